//! STL files, binary and text.
//!
//! The format as 3D Systems published it (StereoLithography Interface Specification, 1988; from memory): a binary file
//! is 80 bytes of anything, a count, and for each triangle a normal, three corners (32-bit floating point, least byte
//! first) and two bytes of anything; a text file says the same in words. Normals are not read: many programs write 0,
//! and the order of corners says the same.

use crate::reading::{Place, ReadError, Reading, Soup, coordinate, lines, quoted, three, unmarked, words};
use crate::vector::Vec3;

const HEAD: usize = 84;
const RECORD: usize = 50;

/// Reads an STL file; corners are not merged yet.
pub(crate) fn read(bytes: &[u8], reading: &Reading) -> Result<Soup, ReadError> {
    let count = count(bytes);
    // Binary files, too, may begin with 'solid': their length tells them apart.
    if count.is_some_and(|count| bytes.len() as u64 == length(count)) {
        return binary(bytes, reading);
    }
    let begins = unmarked(bytes).trim_ascii_start();
    let solid = begins.get(..5).is_some_and(|word| word.eq_ignore_ascii_case(b"solid"));
    if solid && !bytes.iter().take(512).any(|b| *b == 0) {
        return text(unmarked(bytes), reading);
    }
    match count {
        // More bytes than triangles: some programs append their own.
        Some(triangles) if bytes.len() as u64 >= length(triangles) && triangles > 0 => binary(bytes, reading),
        Some(triangles) => Err(ReadError::Length { triangles, needed: length(triangles), bytes: bytes.len() }),
        None => Err(ReadError::Stub { bytes: bytes.len() }),
    }
}

/// How many triangles a binary head promises.
fn count(bytes: &[u8]) -> Option<u32> {
    let field = bytes.get(80..HEAD)?;
    Some(u32::from_le_bytes([field[0], field[1], field[2], field[3]]))
}

fn length(triangles: u32) -> u64 {
    HEAD as u64 + RECORD as u64 * u64::from(triangles)
}

fn binary(bytes: &[u8], reading: &Reading) -> Result<Soup, ReadError> {
    let triangles = count(bytes).unwrap_or(0);
    let most = reading.limits.triangles;
    if triangles > most {
        return Err(ReadError::Triangles { place: Place::Byte(80), triangles: u64::from(triangles), most });
    }
    let mut soup = Soup::default();
    for (i, record) in bytes[HEAD..].chunks_exact(RECORD).take(triangles as usize).enumerate() {
        let mut corners = [[0.0; 3]; 3];
        for (j, field) in record[12..48].chunks_exact(4).enumerate() {
            let given = f64::from(f32::from_le_bytes([field[0], field[1], field[2], field[3]]));
            let place = Place::Byte(HEAD + RECORD * i + 12 + 4 * j);
            corners[j / 3][j % 3] = coordinate(given, reading.unit, place)?;
        }
        push(&mut soup, corners);
    }
    Ok(soup)
}

fn push(soup: &mut Soup, corners: [Vec3; 3]) {
    let first = soup.points_mm.len() as u32;
    soup.points_mm.extend(corners);
    soup.triangles.push([first, first + 1, first + 2]);
}

const CORNER: &str = "a corner is 'vertex' and three numbers with points, as 'vertex 1.5 0 -2e-3'; mend the line or export \
                      the mesh again";
const FACET: &str = "a facet has exactly 3 corners, each on a line of its own; export triangles";

fn text(bytes: &[u8], reading: &Reading) -> Result<Soup, ReadError> {
    let mut soup = Soup::default();
    // Corners of the facet that is open.
    let mut open: Option<Vec<Vec3>> = None;
    let mut last = 0;
    let wrong = |line: usize, given: String, wanted| ReadError::Line { place: Place::Line(line), given, wanted };
    for (line, content) in lines(bytes) {
        last = line;
        let mut rest = words(content);
        let Some(word) = rest.next() else { continue };
        let found = || quoted(content);
        match word.to_ascii_lowercase().as_slice() {
            // Names of solids are anything.
            b"solid" | b"endsolid" if open.is_none() => {}
            b"facet" if open.is_none() => {
                let triangles = soup.triangles.len() as u64 + 1;
                let most = reading.limits.triangles;
                if triangles > u64::from(most) {
                    return Err(ReadError::Triangles { place: Place::Line(line), triangles, most });
                }
                open = Some(Vec::with_capacity(3));
            }
            // 'outer loop' and its end bracket the corners, and say nothing else.
            b"outer" | b"endloop" if open.is_some() => {}
            b"vertex" => {
                let place = Place::Line(line);
                let corner = three(&mut rest, place, reading.unit, CORNER)?;
                if let Some(more) = rest.next() {
                    return Err(wrong(line, format!("{} follows the third number", quoted(more)), CORNER));
                }
                match &mut open {
                    Some(corners) if corners.len() < 3 => corners.push(corner),
                    Some(_) => return Err(wrong(line, "a fourth corner of one facet".to_owned(), FACET)),
                    None => return Err(wrong(line, "a corner outside of any facet".to_owned(), FACET)),
                }
            }
            b"endfacet" => match open.take().as_deref() {
                Some([a, b, c]) => push(&mut soup, [*a, *b, *c]),
                Some(fewer) => return Err(wrong(line, format!("a facet ends with {} corners", fewer.len()), FACET)),
                None => return Err(wrong(line, "'endfacet' without 'facet'".to_owned(), FACET)),
            },
            _ => {
                let wanted = "a text STL file has the words solid, facet, outer loop, vertex, endloop, endfacet and \
                              endsolid in that order; export the mesh again";
                return Err(wrong(line, format!("{} does not belong here", found()), wanted));
            }
        }
    }
    if open.is_some() {
        let wanted = "the last facet must be closed by 'endfacet'; the file was cut short: copy or export it again";
        return Err(wrong(last, "the file ends within a facet".to_owned(), wanted));
    }
    Ok(soup)
}
