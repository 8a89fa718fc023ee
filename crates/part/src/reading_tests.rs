//! Files that are refused, odd ones that are not, and hostile bytes.
#![allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]

use super::*;
use crate::Shape;
use crate::import::read;
use crate::import::tests::{binary_stl, box_of, corners_of, mm, obj, text_stl};
use crate::mesh::tests::meshed;
use proptest::prelude::*;

fn refused(format: Format, bytes: &[u8]) -> String {
    read(format, bytes, &mm()).unwrap_err().to_string()
}

#[test]
fn errors_say_where_and_what_to_do() {
    let triangles = box_of([20.0, 10.0, 5.0], [0.0; 3]);
    let good = text_stl(&triangles);
    let bad_line = |from: &str, to: &str| refused(Format::Stl, good.replacen(from, to, 1).as_bytes());
    for (message, said) in [
        (refused(Format::Stl, b""), "the file is empty"),
        (refused(Format::Stl, b"PK\x03\x04 something else"), "at least 84"),
        (refused(Format::Stl, &[7; 1000]), "byte 80 says 117901063 triangles, which take 5895053234 bytes"),
        (
            refused(Format::Stl, &binary_stl(&triangles)[..600]),
            "byte 80 says 12 triangles, which take 684 bytes, but it holds 600",
        ),
        (refused(Format::Stl, &binary_stl(&[])), "no triangle"),
        (bad_line("facet normal", "face normal"), "line 2: 'face normal 0 0 0' does not belong here"),
        (
            bad_line("vertex", "vertex 1,5"),
            "line 4: '1,5' is no number; a corner is 'vertex' and three numbers with points",
        ),
        (bad_line("vertex", "vertex nan"), "line 4: a coordinate is NaN mm"),
        (bad_line("vertex", "vertex 1e9"), "line 4: a coordinate is 1000000000 mm; it must be a finite number within"),
        (bad_line("vertex", "vertex 1"), "line 4: "),
        (bad_line("    endloop", "vertex 1 2 3\r\n endloop"), "line 7: a fourth corner of one facet"),
        (bad_line("endfacet", "endsolid"), "does not belong here"),
        (refused(Format::Stl, b"solid a\nendsolid a"), "no triangle"),
        (refused(Format::Stl, b"solid a\nfacet\nvertex 1 2 3\nendfacet"), "line 4: a facet ends with 1 corners"),
        (refused(Format::Stl, b"solid a\nfacet\nvertex 1 2 3"), "line 3: the file ends within a facet"),
        (
            refused(Format::Obj, b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4"),
            "line 4: a face names vertex 4, but the file's vertices are 1 to 3",
        ),
        (
            refused(Format::Obj, b"v 0 0 0\nf -1 -2 -3\nv 1 1 1\n"),
            "line 2: a face names vertex -2, but only 1 stand before it",
        ),
        (refused(Format::Obj, b"v 0 0 0\nf 1 0 1"), "line 2: '0' names no vertex"),
        (refused(Format::Obj, b"v 0 0 0\nf 1 1.5 1"), "line 2: '1.5' names no vertex"),
        (refused(Format::Obj, b"v 0 0 0\nf 1 1"), "line 2: a face of 2 vertices"),
        (refused(Format::Obj, b"v 0 0"), "line 1: a number is missing; a vertex is 'v' and three numbers"),
        (refused(Format::Obj, b"v 0 0 zero"), "line 1: 'zero' is no number"),
        (refused(Format::Obj, b"vp 1 2\ncurv 0 1 1 2"), "curves or exact surfaces"),
        (refused(Format::Obj, b"\n\nISO-10303-21;"), "line 3 begins with 'ISO-10303-21;'"),
        (refused(Format::Obj, b"v 0 0 0\nv 1 0 0\nv 2 0 0\nf 1 2 3"), "all 1 triangles have no area"),
    ] {
        assert!(message.contains(said), "{message}");
    }
    let few = |limits: Limits| {
        read(Format::Stl, &binary_stl(&triangles), &Reading { limits, ..mm() }).unwrap_err().to_string()
    };
    let message = few(Limits { bytes: 100, ..Limits::default() });
    assert!(message.contains("684 bytes; at most 100"), "{message}");
    let message = few(Limits { triangles: 11, ..Limits::default() });
    assert!(message.contains("12 triangles or more; at most 11"), "{message}");
    let many = Reading { limits: Limits { triangles: 11, ..Limits::default() }, ..mm() };
    let message = read(Format::Stl, good.as_bytes(), &many).unwrap_err().to_string();
    assert!(message.contains("line 79: 12 triangles"), "{message}");
    assert!(read(Format::Stl, good.as_bytes(), &Reading { crease_deg: f64::NAN, ..mm() }).is_err());
    assert_eq!(Place::Line(3).to_string(), "line 3");
}

/// A binary file whose head begins with 'solid', one with bytes after its triangles, a text file with a mark before it
/// and with ends of lines of every kind.
#[test]
fn odd_but_good_files_are_read() {
    let triangles = box_of([20.0, 10.0, 5.0], [0.0; 3]);
    let mut bytes = binary_stl(&triangles);
    bytes[..6].copy_from_slice(b"solid ");
    bytes[79] = 0;
    assert_eq!(read(Format::Stl, &bytes, &mm()).unwrap().triangles, 12);
    bytes.extend(b"more");
    assert_eq!(read(Format::Stl, &bytes, &mm()).unwrap().triangles, 12);
    let text = text_stl(&triangles);
    for odd in [text.replace("\r\n", "\n"), text.replace("\r\n", "\r"), format!("\u{feff}{text}"), text.to_uppercase()]
    {
        assert_eq!(read(Format::Stl, odd.as_bytes(), &mm()).unwrap().triangles, 12);
    }
    let mesh = meshed(Shape::Block { length_mm: 20.0, width_mm: 10.0, height_mm: 5.0 }, 1.0);
    let text = obj(&mesh);
    for odd in [text.replace('\n', "\r\n"), text.replace("vt 0 0", "strange 1"), format!("\u{feff}{text}")] {
        assert_eq!(read(Format::Obj, odd.as_bytes(), &mm()).unwrap().triangles, 12);
    }
    // Colours after the vertex, faces before it.
    let early = "f 1 2 3\nv 0 0 0 0.1 0.2 0.3\nv 10 0 0 1\nv 0 10 0\n";
    assert_eq!(read(Format::Obj, early.as_bytes(), &mm()).unwrap().triangles, 1);
}

/// What any bytes may do: be read, or be refused in words; and what is read is a mesh.
fn survives(format: Format, bytes: &[u8]) {
    let limits = Limits { keep: 100, ..Limits::default() };
    for unit in [Unit::Millimetre, Unit::Metre] {
        match read(format, bytes, &Reading { limits, ..Reading::of(unit) }) {
            Ok(import) => {
                assert!(import.mesh.surface_mm2().is_finite() && import.mesh.volume_mm3().is_finite());
                assert!(import.faults.iter().all(|f| !f.to_string().is_empty()));
            }
            Err(error) => assert!(error.to_string().len() < 600, "{error}"),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn hostile_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        survives(Format::Stl, &bytes);
        survives(Format::Obj, &bytes);
        survives(Format::Stl, &[b"solid ", &bytes[..]].concat());
        // A head that promises what is there.
        let mut binary = binary_stl(&[]);
        binary[80] = (bytes.len() / 50) as u8;
        binary.extend(&bytes[..bytes.len() / 50 * 50]);
        survives(Format::Stl, &binary);
    }

    #[test]
    fn files_with_wrong_bytes_never_panic(changes in proptest::collection::vec((any::<u16>(), any::<u8>()), 1..20), cut in any::<u16>()) {
        let mesh = meshed(Shape::Wire { diameter_mm: 8.0, length_mm: 30.0 }, 0.2);
        let triangles = corners_of(&mesh);
        let files = [
            (Format::Stl, binary_stl(&triangles)),
            (Format::Stl, text_stl(&triangles).into_bytes()),
            (Format::Obj, obj(&mesh).into_bytes()),
        ];
        for (format, mut bytes) in files {
            for (at, byte) in &changes {
                let at = usize::from(*at) % bytes.len();
                bytes[at] = *byte;
            }
            survives(format, &bytes);
            bytes.truncate(usize::from(cut) % bytes.len());
            survives(format, &bytes);
        }
    }

    #[test]
    fn words_in_any_order_never_panic(picks in proptest::collection::vec((0_usize..16, -5_i64..12), 0..120)) {
        const WORDS: [&str; 16] = ["v", "f", "\n", "\nf", "\nv", "\\\n", "/", "solid", "\nfacet", "\nvertex", "\nendfacet",
            "\nouter loop", "\nendloop", "1e300", "#", "\r\n"];
        let text: String = picks.iter().map(|(w, n)| format!("{} {n} ", WORDS[*w])).collect();
        survives(Format::Obj, text.as_bytes());
        survives(Format::Stl, text.as_bytes());
        survives(Format::Stl, format!("solid\n{text}").as_bytes());
    }

    /// Triangles among few places make every kind of bad neighbour.
    #[test]
    fn any_triangles_make_a_mesh(named in proptest::collection::vec((0_u8..8, 0_u8..8, 0_u8..8), 1..300), far in any::<bool>()) {
        let size = if far { 9e6 } else { 10.0 };
        let place = |i: u8| [f64::from(i & 1) * size, f64::from(i >> 1 & 1) * size, f64::from(i >> 2) * size];
        let triangles: Vec<_> = named.iter().map(|(a, b, c)| [place(*a), place(*b), place(*c)]).collect();
        survives(Format::Stl, &binary_stl(&triangles));
    }
}
