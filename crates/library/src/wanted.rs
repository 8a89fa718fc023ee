//! What a part is to look like: a colour, under which light and for whom, and how far each axis may be off.

use crate::embedded::Library;
use crate::fault::{InputError, Problem, nearest};
use crate::fields::Fields;

/// A spectrum may reflect somewhat more than the white, up to 1.2 of it: L* 107.
const MAX_L: f64 = 110.0;
const MAX_AB: f64 = 200.0;

/// What the whole part is to look like.
#[derive(Debug, Clone, PartialEq)]
pub struct WantedSpec {
    /// L*, a*, b* under the light and observer of the question.
    pub lab: Option<[f64; 3]>,
    /// How it was given, in words: for the reader.
    pub given: Option<String>,
    /// A colour in words or as sRGB.
    pub colour: Option<String>,
    /// The light under which it is judged, a word of the library; `None`: that of the question.
    pub light: Option<String>,
    /// 2 or 10 degrees; `None`: that of the question.
    pub observer: Option<u8>,
    /// How far each axis may be off.
    pub limits: Option<AxisLimits>,
}

/// Limits of the difference from the wanted colour, from and to; an axis without one may be anything.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxisLimits {
    /// Of L*.
    pub l: Option<[f64; 2]>,
    /// Of a*.
    pub a: Option<[f64; 2]>,
    /// Of b*.
    pub b: Option<[f64; 2]>,
}

/// The table `[wanted]`.
pub(crate) fn read_wanted(f: Fields<'_>, library: &Library) -> Result<WantedSpec, InputError> {
    let wanted = WantedSpec {
        lab: read_lab(&f)?,
        given: f.text("given")?.map(ToOwned::to_owned),
        colour: f.text("colour")?.map(ToOwned::to_owned),
        light: read_light_word(&f, library)?,
        observer: read_observer(&f)?,
        limits: f.table("limits")?.map(read_limits).transpose()?,
    };
    match (wanted.lab, &wanted.colour) {
        (Some(_), Some(_)) => {
            let message = "lab and colour both say what is wanted; keep one of them".to_owned();
            return Err(f.fault("colour", Problem::Conflict { message }));
        }
        (None, None) => return Err(f.missing("colour", "colour = \"deep blue\", or lab = [38, 4, -42]")),
        _ => {}
    }
    f.finish()?;
    Ok(wanted)
}

/// `lab`: L*, a*, b*.
pub(crate) fn read_lab(f: &Fields<'_>) -> Result<Option<[f64; 3]>, InputError> {
    let Some(list) = f.numbers("lab")? else { return Ok(None) };
    match list[..] {
        [l, a, b] if (0.0..=MAX_L).contains(&l) && a.abs() <= MAX_AB && b.abs() <= MAX_AB => Ok(Some([l, a, b])),
        _ => {
            let wanted = format!("three numbers [L, a, b]: L* from 0 to {MAX_L}, a* and b* from -{MAX_AB} to {MAX_AB}");
            Err(f.fault("lab", Problem::WrongKind { given: format!("{list:?}"), wanted }))
        }
    }
}

/// `light`: a light of the library by its word.
pub(crate) fn read_light_word(f: &Fields<'_>, library: &Library) -> Result<Option<String>, InputError> {
    let Some(word) = f.text("light")? else { return Ok(None) };
    let known: Vec<&str> = library.lights().iter().map(|l| l.light.as_str()).collect();
    if !known.contains(&word) {
        return Err(f.fault(
            "light",
            Problem::UnknownName {
                what: "light",
                given: word.to_owned(),
                nearest: nearest(word, known.iter().copied()),
                hint: format!("known: {}", known.join(", ")),
            },
        ));
    }
    Ok(Some(word.to_owned()))
}

/// `observer`: 2 or 10.
pub(crate) fn read_observer(f: &Fields<'_>) -> Result<Option<u8>, InputError> {
    match f.integer("observer")? {
        None => Ok(None),
        Some(2) => Ok(Some(2)),
        Some(10) => Ok(Some(10)),
        Some(other) => {
            let wanted = "2 or 10, the degrees of the standard observer".to_owned();
            Err(f.fault("observer", Problem::WrongKind { given: other.to_string(), wanted }))
        }
    }
}

fn read_limits(f: Fields<'_>) -> Result<AxisLimits, InputError> {
    let limits = AxisLimits { l: read_axis(&f, "l")?, a: read_axis(&f, "a")?, b: read_axis(&f, "b")? };
    if [limits.l, limits.a, limits.b].iter().all(Option::is_none) {
        return Err(f.missing("l", "limits = { l = 2.0, a = 1.5, b = [-2.0, 1.0] }"));
    }
    f.finish()?;
    Ok(limits)
}

/// One number is the same either way, two are from and to.
fn read_axis(f: &Fields<'_>, key: &str) -> Result<Option<[f64; 2]>, InputError> {
    if !f.holds_list(key) {
        return Ok(f.quantity_in(key, "limit")?.map(|either| [-either, either]));
    }
    let list = f.numbers(key)?.unwrap_or_default();
    match list[..] {
        [from, to] if from.abs() <= MAX_AB && to.abs() <= MAX_AB && from < to => Ok(Some([from, to])),
        _ => {
            let wanted = format!(
                "one number, the same either way, or two [from, to] of the difference, rising, each from -{MAX_AB} to {MAX_AB}"
            );
            Err(f.fault(key, Problem::WrongKind { given: format!("{list:?}"), wanted }))
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::fields::Document;

    fn read(rows: &str) -> Result<WantedSpec, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n[wanted]\n{rows}\n");
        let document = Document::parse("recipe.toml", &text).map_err(|e| e.to_string())?;
        read_wanted(document.fields().need_table("wanted").unwrap(), &library).map_err(|e| e.to_string())
    }

    #[test]
    fn a_master_has_a_light_an_observer_and_limits_of_each_axis() {
        let master = "lab = [38, 4, -42]\nlight = \"D65\"\nobserver = 10\nlimits = { l = 2.0, a = 1.5, b = [-2, 1] }";
        let wanted = read(master).unwrap();
        assert_eq!((wanted.light.as_deref(), wanted.observer), (Some("D65"), Some(10)));
        let limits = wanted.limits.unwrap();
        assert_eq!((limits.l, limits.a, limits.b), (Some([-2.0, 2.0]), Some([-1.5, 1.5]), Some([-2.0, 1.0])));
        let one = read("colour = \"gold\"\n[wanted.limits]\nb = 3").unwrap().limits.unwrap();
        assert_eq!((one.l, one.a, one.b), (None, None, Some([-3.0, 3.0])));
        let plain = read("colour = \"gold\"").unwrap();
        assert_eq!((plain.light, plain.observer, plain.limits), (None, None, None));
    }

    #[test]
    fn limits_that_let_nothing_pass_are_refused() {
        for (rows, part) in [
            ("light = \"D64\"", "line 4, wanted.light: light 'D64' is not known, did you mean 'D65'?"),
            ("observer = 5", "wanted.observer: is 5, but must be 2 or 10"),
            ("observer = \"10\"", "a whole number"),
            ("limits = 2", "a table [wanted.limits]"),
            ("limits = {}", "wanted.limits.l: is missing; add for instance `limits = { l = 2.0"),
            ("limits = { l = 0 }", "limit on either side of the wanted colour is 0; allowed is 0.01 to 200"),
            ("limits = { l = -2 }", "limit on either side of the wanted colour is -2"),
            ("limits = { b = [1, -2] }", "two [from, to] of the difference, rising"),
            ("limits = { b = [1, 1] }", "two [from, to] of the difference, rising"),
            ("limits = { b = [-300, 1] }", "each from -200 to 200"),
            ("limits = { b = [nan, 1] }", "each from -200 to 200"),
            ("limits = { b = [-2] }", "is [-2.0], but must be"),
            ("limits = { l = 1, c = 2 }", "'c' is not known here"),
        ] {
            let message = read(&format!("colour = \"gold\"\n{rows}")).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
