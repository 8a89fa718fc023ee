//! The surface of the metal: a word, a grit, a roughness, or numbers.

use crate::embedded::Library;
use crate::fault::{InputError, Problem, nearest};
use crate::fields::{Document, Fields};
use quantities::{Written, limit, parse};

/// The surface under the films.
#[derive(Debug, Clone, PartialEq)]
pub struct TextureSpec {
    /// `mirror`, `satin`, `blasted`, `400 grit` and so on, or `None` when given in numbers.
    pub word: Option<String>,
    /// Micro-roughness, nm rms.
    pub roughness_nm: f64,
    /// Rms lean of facets, degrees.
    pub slope_deg: f64,
    /// What reading it assumed, such as Ra taken as rms.
    pub assumed: Option<String>,
}

/// Reads `data/textures.toml`.
pub(crate) fn read_textures(file: &str, text: &str) -> Result<Vec<TextureSpec>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(word, f)| {
            let texture = TextureSpec {
                word: Some(word.to_owned()),
                roughness_nm: f.need_number("roughness_nm")?,
                slope_deg: f.need_number("slope_deg")?,
                assumed: None,
            };
            f.need_text("source", "source = \"...\"")?;
            f.finish()?;
            Ok(texture)
        })
        .collect()
}

/// `texture` (a word, a grit, or Ra or Rq with a unit), or `roughness_nm` and `slope_deg`.
pub(crate) fn read_texture(f: &Fields<'_>, library: &Library) -> Result<TextureSpec, InputError> {
    let roughness = f.written("roughness_nm", "roughness_nm")?;
    let slope = f.quantity("slope_deg")?;
    let Some(word) = f.text("texture")? else { return Ok(in_numbers(roughness, slope)) };
    let texture = said(word, library.textures()).map_err(|problem| f.fault("texture", problem))?;
    if roughness.is_some() || slope.is_some() {
        let message = "texture and roughness_nm or slope_deg say the same thing twice; keep one of them".to_owned();
        return Err(f.fault("texture", Problem::Conflict { message }));
    }
    Ok(texture)
}

fn in_numbers(roughness: Option<Written>, slope: Option<f64>) -> TextureSpec {
    TextureSpec {
        word: None,
        roughness_nm: roughness.as_ref().map_or(0.0, |r| r.value),
        slope_deg: slope.unwrap_or(0.0),
        assumed: roughness.and_then(|r| r.assumed),
    }
}

/// What the text of `texture` means.
fn said(word: &str, textures: &[TextureSpec]) -> Result<TextureSpec, Problem> {
    let find = |word: &str| textures.iter().find(|t| t.word.as_deref() == Some(word)).cloned();
    if let Some(texture) = find(word) {
        return Ok(texture);
    }
    if let Some(kind) = word.trim().get(..2)
        && ["ra", "rq"].contains(&kind.to_ascii_lowercase().as_str())
        && word.chars().any(|c| c.is_ascii_digit())
    {
        return roughness(word.trim());
    }
    match abrasive(word) {
        Some(Abrasive::Grit(number)) => find(&format!("{number} grit")).ok_or_else(|| no_such_grit(number, textures)),
        Some(Abrasive::Fepa(number)) => Err(Problem::Conflict {
            message: format!(
                "'{word}' is a grade of the European (FEPA) scale, whose numbers are not those of the grits here (CAMI); \
                 write the CAMI grit such as \"{} grit\" if you know it, or give slope_deg",
                nearest_grit(number, textures)
            ),
        }),
        Some(Abrasive::Bare(number)) => Err(Problem::Conflict {
            message: format!("'{word}' is a bare number; write \"{number} grit\", or give roughness_nm or slope_deg"),
        }),
        None => Err(unknown(word, textures)),
    }
}

fn roughness(text: &str) -> Result<TextureSpec, Problem> {
    let kind = &text[..2];
    if kind != "Ra" && kind != "Rq" {
        let right = kind[..1].to_ascii_uppercase() + &kind[1..].to_ascii_lowercase() + &text[2..];
        return Err(Problem::Conflict { message: format!("'{text}': letter case counts; write \"{right}\"") });
    }
    // Nothing stands for the unit of a word, so a bare number would be guessed at.
    if text[2..].trim().parse::<f64>().is_ok() {
        return Err(Problem::Conflict {
            message: format!("'{text}' has no unit; write for instance \"{text} uin\" or \"{text} nm\""),
        });
    }
    let read = parse(text, limit("roughness_nm")).map_err(|e| Problem::Quantity(Box::new(e)))?;
    Ok(in_numbers(Some(read), None))
}

/// What abrasive paper a text names.
#[derive(Debug, PartialEq)]
enum Abrasive {
    /// `400 grit`, in any spelling.
    Grit(u32),
    /// `P400`.
    Fepa(u32),
    /// A number and nothing else.
    Bare(u32),
}

fn abrasive(text: &str) -> Option<Abrasive> {
    let lower = text.trim().to_ascii_lowercase();
    let without = lower.strip_suffix("grit").or_else(|| lower.strip_prefix("grit"));
    let body = without.unwrap_or(&lower).trim_matches(|c: char| c == ' ' || c == '-');
    if let Some(number) = body.strip_prefix('p') {
        return number.trim_start_matches([' ', '-']).parse().ok().map(Abrasive::Fepa);
    }
    let number = body.parse().ok()?;
    Some(if without.is_some() { Abrasive::Grit(number) } else { Abrasive::Bare(number) })
}

fn grits(textures: &[TextureSpec]) -> Vec<u32> {
    textures
        .iter()
        .filter_map(|t| match abrasive(t.word.as_deref()?) {
            Some(Abrasive::Grit(number)) => Some(number),
            _ => None,
        })
        .collect()
}

/// Nearest by ratio, as papers are graded.
fn nearest_grit(number: u32, textures: &[TextureSpec]) -> u32 {
    let away = |grit: &u32| libm::log(f64::from(*grit) / f64::from(number.max(1))).abs();
    grits(textures).into_iter().min_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(number)
}

fn no_such_grit(number: u32, textures: &[TextureSpec]) -> Problem {
    let known: Vec<String> = grits(textures).iter().map(ToString::to_string).collect();
    Problem::UnknownName {
        what: "grit",
        given: number.to_string(),
        nearest: Some(format!("{} grit", nearest_grit(number, textures))),
        hint: format!("known: {}; or give slope_deg", known.join(", ")),
    }
}

fn unknown(word: &str, textures: &[TextureSpec]) -> Problem {
    let words: Vec<&str> = textures.iter().filter_map(|t| t.word.as_deref()).collect();
    Problem::UnknownName {
        what: "texture",
        given: word.to_owned(),
        nearest: nearest(word, words.iter().copied()),
        hint: format!("known: {}; \"Rq 25 nm\"; or give roughness_nm and slope_deg", words.join(", ")),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;

    fn read(word: &str) -> Result<TextureSpec, String> {
        said(word, Library::embedded().unwrap().textures()).map_err(|problem| problem.to_string())
    }

    #[test]
    fn a_grit_may_be_spelled_in_any_way() {
        for spelled in ["400 grit", "400 Grit", "400grit", "400-grit", "grit 400", "GRIT400", " 400  grit "] {
            assert_eq!(read(spelled).unwrap().word.as_deref(), Some("400 grit"), "{spelled}");
        }
    }

    #[test]
    fn a_finer_grit_leans_less_and_all_lie_between_mirror_and_blasted() {
        let library = Library::embedded().unwrap();
        let numbers = grits(library.textures());
        assert_eq!(numbers, [120, 240, 400, 600, 800, 1200]);
        let slope = |word: &str| read(word).unwrap().slope_deg;
        let mut last = slope("blasted");
        for number in numbers {
            let next = slope(&format!("{number} grit"));
            assert!(next < last, "{number} grit leans {next} degrees, the coarser one {last}");
            last = next;
        }
        assert!(last > slope("mirror"));
    }

    #[test]
    fn roughness_is_a_texture_too() {
        let rq = read("Rq 25 nm").unwrap();
        assert!((rq.roughness_nm - 25.0).abs() < 1e-12 && rq.word.is_none() && rq.assumed.is_none());
        let ra = read("Ra 1 uin").unwrap();
        // sqrt(pi/2): rms over mean deviation of normally distributed heights.
        assert!((ra.roughness_nm - 25.4 * (std::f64::consts::PI / 2.0).sqrt()).abs() < 1e-9);
        assert!(ra.assumed.is_some());
    }

    #[test]
    fn what_is_not_clear_is_refused_with_what_to_write() {
        for (given, part) in [
            ("P400", "FEPA"),
            ("p 1200 grit", "\"1200 grit\""),
            ("400", "\"400 grit\""),
            ("500 grit", "did you mean '600 grit'"),
            ("ra 8 uin", "\"Ra 8 uin\""),
            ("Ra 8", "no unit"),
            ("Ra 8 V", "does not measure"),
            ("stain", "did you mean 'satin'"),
            ("#400", "known: mirror"),
            ("", "known: mirror"),
            ("é400", "known: mirror"),
        ] {
            let message = read(given).unwrap_err();
            assert!(message.contains(part), "{given}: {message}");
        }
    }
}
