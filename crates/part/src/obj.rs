//! OBJ files: the corners and faces of them.
//!
//! The format as Wavefront published it (Advanced Visualizer manual, appendix B1; from memory). Read are `v` and `f`
//! with polygons and with numbers that count backwards. Normals, textures, groups, materials, lines and points are
//! passed over: normals follow from the faces.

use crate::polygon::{MOST_CORNERS, cut};
use crate::reading::{Place, ReadError, Reading, Soup, lines, quoted, three, unmarked, words};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// Words that say nothing of the surface.
const PASSED: [&[u8]; 17] = [
    b"vn",
    b"vt",
    b"o",
    b"g",
    b"s",
    b"mg",
    b"usemtl",
    b"mtllib",
    b"usemap",
    b"maplib",
    b"l",
    b"p",
    b"lod",
    b"bevel",
    b"c_interp",
    b"d_interp",
    b"shadow_obj",
];
/// Words of exact surfaces and curves.
const EXACT: [&[u8]; 8] = [b"vp", b"cstype", b"deg", b"curv", b"curv2", b"surf", b"parm", b"bmat"];

const CORNER: &str = "a vertex is 'v' and three numbers with points, as 'v 1.5 0 -2e-3'; mend the line or export the mesh \
                      again";
const FACE: &str = "a face is 'f' and 3 or more vertices, each a number, or a number, a slash and more, as 'f 1 2 3' or \
                    'f 1/1/1 2/2/1 3/3/1'; mend the line or export the mesh again";
const CORNERS: &str = "a face has at most 256 corners; export triangles";

/// Reads an OBJ file; corners are not merged yet.
pub(crate) fn read(bytes: &[u8], reading: &Reading) -> Result<Soup, ReadError> {
    let mut soup = Soup::default();
    // Faces may name vertices that stand after them: they are cut when all are known.
    let mut faces: Vec<(usize, Vec<i64>)> = Vec::new();
    let (mut strange, mut exact) = (BTreeSet::new(), false);
    let mut triangles = 0_u64;
    for (line, content) in whole_lines(unmarked(bytes)) {
        let place = Place::Line(line);
        let content = content.split(|b| *b == b'#').next().unwrap_or_default();
        let mut rest = words(content);
        let Some(word) = rest.next() else { continue };
        match word {
            b"v" => {
                // A fourth number is a weight, or colours follow: neither moves the vertex.
                let corner = three(&mut rest, place, reading.unit, CORNER)?;
                soup.points_mm.push(corner);
                // A triangle needs no more than three vertices of its own.
                let most = 3 * u64::from(reading.limits.triangles);
                if soup.points_mm.len() as u64 > most {
                    let given = format!("more than {most} vertices");
                    return Err(ReadError::Line { place, given, wanted: "export the mesh coarser" });
                }
            }
            // 'fo' is an old word for the same.
            b"f" | b"fo" => {
                let named = face(rest, place, soup.points_mm.len())?;
                triangles += named.len() as u64 - 2;
                let most = reading.limits.triangles;
                if triangles > u64::from(most) {
                    return Err(ReadError::Triangles { place, triangles, most });
                }
                faces.push((line, named));
            }
            word if PASSED.contains(&word) => {}
            word => {
                exact |= EXACT.contains(&word);
                if strange.len() < 3 {
                    strange.insert((line, quoted(word)));
                }
            }
        }
    }
    for (line, named) in &faces {
        polygon(&mut soup, Place::Line(*line), named)?;
    }
    if soup.triangles.is_empty() {
        return Err(ReadError::None { hint: hint(&strange, exact) });
    }
    Ok(soup)
}

fn hint(strange: &BTreeSet<(usize, String)>, exact: bool) -> String {
    if exact {
        return ", but curves or exact surfaces, which are not read".to_owned();
    }
    match strange.iter().next() {
        Some((line, word)) => format!("; line {line} begins with {word}, which no OBJ file has: is it another format?"),
        None => String::new(),
    }
}

/// Lines, those that end with a backslash joined with the next.
fn whole_lines(bytes: &[u8]) -> impl Iterator<Item = (usize, Cow<'_, [u8]>)> {
    let mut pieces = lines(bytes);
    std::iter::from_fn(move || {
        let (first, piece) = pieces.next()?;
        if !piece.ends_with(b"\\") {
            return Some((first, Cow::Borrowed(piece)));
        }
        let mut whole = piece.to_vec();
        while whole.pop_if(|last| *last == b'\\').is_some() {
            let Some((_, next)) = pieces.next() else { break };
            whole.push(b' ');
            whole.extend_from_slice(next);
        }
        Some((first, Cow::Owned(whole)))
    })
}

/// The vertices that a face names, from 1; those that count backwards from the last of `before` are turned round, and
/// stay negative where they reach past the first.
fn face<'w>(words: impl Iterator<Item = &'w [u8]>, place: Place, before: usize) -> Result<Vec<i64>, ReadError> {
    let mut named = Vec::new();
    for word in words {
        let first = word.split(|b| *b == b'/').next().unwrap_or_default();
        let given = std::str::from_utf8(first).ok().and_then(|text| text.parse::<i64>().ok()).filter(|n| *n != 0);
        let Some(given) = given else {
            let given = format!("{} names no vertex", quoted(word));
            return Err(ReadError::Line { place, given, wanted: FACE });
        };
        let absolute = if given < 0 { before as i64 + 1 + given.max(-i64::from(u32::MAX)) } else { given };
        if absolute <= 0 {
            return Err(ReadError::Vertex { place, given, count: before });
        }
        if named.len() == MOST_CORNERS {
            return Err(ReadError::Line {
                place,
                given: "a face of more than 256 corners".to_owned(),
                wanted: CORNERS,
            });
        }
        named.push(absolute);
    }
    if named.len() < 3 {
        let given = format!("a face of {} vertices", named.len());
        return Err(ReadError::Line { place, given, wanted: FACE });
    }
    Ok(named)
}

/// Cuts a face into triangles.
fn polygon(soup: &mut Soup, place: Place, named: &[i64]) -> Result<(), ReadError> {
    let count = soup.points_mm.len();
    let mut corners = Vec::with_capacity(named.len());
    for given in named {
        match u32::try_from(*given - 1) {
            Ok(index) if (index as usize) < count => corners.push(index),
            _ => return Err(ReadError::Vertex { place, given: *given, count }),
        }
    }
    let places: Vec<_> = corners.iter().map(|c| soup.points_mm[*c as usize]).collect();
    soup.triangles.extend(cut(&places).into_iter().map(|triangle| triangle.map(|c| corners[c])));
    Ok(())
}
