//! One step of a recipe: a route with what the person sets, or a preparation.

use crate::embedded::Library;
use crate::fault::{InputError, Problem, nearest};
use crate::fields::Fields;
use crate::recipe_anodise::{AnodiseSpec, read_anodise};
use crate::recipe_lay::{LaySpec, read_lay};
use crate::register::Role;
use crate::workshop_file::CoaterKind;

const MAX_STEPS: usize = 100;
const MAX_STOPS: usize = 100;
/// What is taken where a heating says nothing: how fast a thin part warms that is put into a hot oven, and in a flame,
/// C/min. Own judgement; so quick that the minutes count as the oxidation laws count them.
const RAMP_C_PER_MIN: [f64; 2] = [200.0, 300.0];
/// Time constants of cooling in air, minutes: out of an oven, and after a flame.
const COOL_MINUTES: [f64; 2] = [1.0, 1.0];

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct StepSpec {
    /// Line of the file where it begins, for errors.
    pub line: usize,
    /// Its number, from 1.
    pub number: usize,
    /// Areas that it reaches; empty: all.
    pub areas: Vec<String>,
    /// What is done.
    pub what: StepWhat,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub enum StepWhat {
    /// A bath, or a brush with its bath.
    Anodise(AnodiseSpec),
    /// An oven or a flame.
    Heat(HeatSpec),
    /// A film laid in vacuum.
    Lay(LaySpec),
    /// Something done to the surface.
    Prepare {
        /// Id among the preparations.
        id: String,
        /// Id of one of its means.
        with: Option<String>,
    },
}

/// Heat in air.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatSpec {
    /// Oven, by its name in the workshop.
    pub machine: Option<String>,
    /// Whether it is a flame instead.
    pub flame: bool,
    /// Film id that was foretold.
    pub film: Option<String>,
    /// Temperature, C; `None` only in a gradient.
    pub temperature_c: Option<f64>,
    /// Time at temperature, min.
    pub minutes: f64,
    /// Steady rise, C/min.
    pub ramp_c_per_min: f64,
    /// Time constant of cooling, min.
    pub cool_minutes: f64,
    /// Keys whose value is taken and not given: `ramp_c_per_min`, `cool_minutes`.
    pub assumed: Vec<&'static str>,
    /// A gradient of temperature, from 0 to 100, two or more; empty: none.
    pub along: Vec<HeatStop>,
}

/// The temperature in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatStop {
    /// Per cent of the way.
    pub at: f64,
    /// Temperature, C.
    pub temperature_c: f64,
}

/// All `[[step]]` of a recipe whose areas are `areas`.
pub(crate) fn read_steps(f: &Fields<'_>, areas: &[&str], library: &Library) -> Result<Vec<StepSpec>, InputError> {
    f.tables("step", "steps", MAX_STEPS)?
        .into_iter()
        .enumerate()
        .map(|(i, step)| {
            let spec = StepSpec {
                line: step.place("").line.unwrap_or(1),
                number: i + 1,
                areas: read_reached(&step, areas)?,
                what: read_what(&step, library)?,
            };
            step.finish()?;
            Ok(spec)
        })
        .collect()
}

fn read_reached(f: &Fields<'_>, known: &[&str]) -> Result<Vec<String>, InputError> {
    let Some(names) = f.texts("areas")? else { return Ok(Vec::new()) };
    if names.is_empty() {
        let message = "areas names none, so that the step does nothing; leave it out for all areas".to_owned();
        return Err(f.fault("areas", Problem::Conflict { message }));
    }
    for (i, name) in names.iter().enumerate() {
        if !known.contains(&name.as_str()) {
            let hint = if known.is_empty() {
                format!(
                    "the recipe has no areas; add [[area]] with name = \"{name}\", or leave it out for the whole part"
                )
            } else {
                format!("areas of this recipe: {}", known.join(", "))
            };
            let near = nearest(name, known.iter().copied());
            let unknown = Problem::UnknownName { what: "area", given: name.clone(), nearest: near, hint };
            return Err(f.fault("areas", unknown));
        }
        if names[..i].contains(name) {
            let message = format!("'{name}' stands twice; name each area once");
            return Err(f.fault("areas", Problem::Conflict { message }));
        }
    }
    Ok(names)
}

fn read_what(f: &Fields<'_>, library: &Library) -> Result<StepWhat, InputError> {
    if f.has("preparation") && f.has("route") {
        let message = "a step is a route or a preparation; make two steps of it".to_owned();
        return Err(f.fault("preparation", Problem::Conflict { message }));
    }
    if let Some(id) = f.text("preparation")? {
        let preparation = library.preparation(id).map_err(|problem| f.fault("preparation", problem))?;
        let with = f.text("with")?;
        if let Some(with) = with {
            preparation.means_named(with).map_err(|problem| f.fault("with", problem))?;
        }
        return Ok(StepWhat::Prepare { id: id.to_owned(), with: with.map(ToOwned::to_owned) });
    }
    match f.text("route")? {
        None => Err(f.missing("route", "route = \"anodise\", or preparation = \"clean\"")),
        Some("anodise") => read_anodise(f, library).map(StepWhat::Anodise),
        Some("heat") => read_heat(f, library).map(StepWhat::Heat),
        Some("sputter") => read_lay(f, CoaterKind::Sputter, library).map(StepWhat::Lay),
        Some("arc") => read_lay(f, CoaterKind::Arc, library).map(StepWhat::Lay),
        Some(other) => {
            let wanted = "\"anodise\", \"heat\", \"sputter\" or \"arc\"".to_owned();
            Err(f.fault("route", Problem::WrongKind { given: format!("\"{other}\""), wanted }))
        }
    }
}

/// A film id, where one stands.
pub(crate) fn read_film<'d>(f: &Fields<'d>, library: &Library) -> Result<Option<&'d str>, InputError> {
    let Some(id) = f.text("film")? else { return Ok(None) };
    library.entry(id).map_err(|problem| f.fault("film", problem))?;
    if !library.serves_as(id, Role::Film) {
        let message = format!("'{id}' is not a film; `huewright materials` lists films");
        return Err(f.fault("film", Problem::Conflict { message }));
    }
    Ok(Some(id))
}

pub(crate) fn owned(text: Option<&str>) -> Option<String> {
    text.map(ToOwned::to_owned)
}

/// None of `keys` may stand here.
pub(crate) fn exclude(f: &Fields<'_>, keys: &[&str], why: &str) -> Result<(), InputError> {
    match keys.iter().find(|key| f.has(key)) {
        None => Ok(()),
        Some(key) => Err(f.fault(key, Problem::Conflict { message: format!("{why}; leave {key} out") })),
    }
}

/// `[[step.along]]` or `[[step.through]]`: places from 0 to 100, rising, each with what `aim` reads there.
pub(crate) fn read_stops<T>(
    f: &Fields<'_>,
    key: &str,
    aim: impl Fn(&Fields<'_>) -> Result<T, InputError>,
) -> Result<Vec<(f64, T)>, InputError> {
    let mut stops: Vec<(f64, T)> = Vec::new();
    for stop in f.tables(key, "stops", MAX_STOPS)? {
        let at = stop.quantity("at")?.ok_or_else(|| stop.missing("at", "at = 0"))?;
        if let Some((before, _)) = stops.last()
            && at <= *before
        {
            let message = format!("at is {at}, not more than {before} of the stop before; write the stops in order");
            return Err(stop.fault("at", Problem::Conflict { message }));
        }
        stops.push((at, aim(&stop)?));
        stop.finish()?;
    }
    // The ends stand in the file as 0 and 100: near is not meant otherwise.
    let ends = |from: f64, to: f64| from <= 0.0 && to >= 100.0;
    match (stops.first(), stops.last()) {
        (Some((from, _)), Some((to, _))) if !ends(*from, *to) => {
            let message = format!("the stops run from {from} to {to}; they must run from 0 to 100, end to end");
            Err(f.fault(key, Problem::Conflict { message }))
        }
        _ => Ok(stops),
    }
}

fn read_heat(f: &Fields<'_>, library: &Library) -> Result<HeatSpec, InputError> {
    let machine = owned(f.text("machine")?);
    let flame = f.boolean("flame")?.unwrap_or(false);
    if flame && machine.is_some() {
        let message = "machine names an oven, and flame says that there is none; keep one of them".to_owned();
        return Err(f.fault("flame", Problem::Conflict { message }));
    }
    let film = owned(read_film(f, library)?);
    let along: Vec<HeatStop> = read_stops(f, "along", |stop| stop.need_quantity("temperature_c", "temperature_c"))?
        .into_iter()
        .map(|(at, temperature_c)| HeatStop { at, temperature_c })
        .collect();
    let temperature_c = f.quantity("temperature_c")?;
    if !along.is_empty() {
        exclude(f, &["temperature_c"], "the stops of a gradient say how warm each place gets")?;
    } else if temperature_c.is_none() {
        return Err(f.missing("temperature_c", "temperature_c = 450"));
    }
    let minutes = f.need_quantity("minutes", "minutes")?;
    let mut assumed = Vec::new();
    let mut taken = |key: &'static str, usual: f64| {
        Ok(f.quantity(key)?.unwrap_or_else(|| {
            assumed.push(key);
            usual
        }))
    };
    let ramp_c_per_min = taken("ramp_c_per_min", RAMP_C_PER_MIN[usize::from(flame)])?;
    let cool_minutes = taken("cool_minutes", COOL_MINUTES[usize::from(flame)])?;
    Ok(HeatSpec { machine, flame, film, temperature_c, minutes, ramp_c_per_min, cool_minutes, assumed, along })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::fields::Document;

    /// The steps of a recipe whose areas are rim and bowl.
    fn read(rows: &str) -> Result<Vec<StepSpec>, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n[[step]]\n{rows}\n");
        let document = Document::parse("recipe.toml", &text).unwrap();
        read_steps(&document.fields(), &["rim", "bowl"], &library).map_err(|e| e.to_string())
    }

    fn one(rows: &str) -> StepWhat {
        read(rows).unwrap().remove(0).what
    }

    #[test]
    fn heat_is_an_oven_a_flame_or_a_gradient() {
        let StepWhat::Heat(flame) = one("route = \"heat\"\nflame = true\ntemperature_c = \"932 F\"\nminutes = 2")
        else {
            panic!("heat")
        };
        assert!((flame.temperature_c.unwrap() - 500.0).abs() < 1e-9 && flame.flame); // 932 F = 500 C, exact
        assert!((flame.cool_minutes - 1.0).abs() < 1e-12 && flame.assumed == ["ramp_c_per_min", "cool_minutes"]);
        let gradient = "route = \"heat\"\nminutes = 30\ncool_minutes = 20\n\
                        [[step.along]]\nat = 0\ntemperature_c = 400\n[[step.along]]\nat = 100\ntemperature_c = 600";
        let StepWhat::Heat(gradient) = one(gradient) else { panic!("heat") };
        assert_eq!((gradient.along.len(), gradient.temperature_c), (2, None));
        assert_eq!(gradient.assumed, ["ramp_c_per_min"]);
    }

    #[test]
    fn preparations_areas_and_lines_are_kept() {
        let steps = read(
            "preparation = \"etch\"\nwith = \"pumice\"\nareas = [\"rim\"]\n\n[[step]]\nroute = \"arc\"\nfilm = \"tin\"\n\
             thickness_nm = 500",
        )
        .unwrap();
        assert_eq!(steps[0].what, StepWhat::Prepare { id: "etch".to_owned(), with: Some("pumice".to_owned()) });
        assert_eq!((steps[0].line, steps[0].areas.as_slice()), (2, ["rim".to_owned()].as_slice()));
        assert_eq!((steps[1].line, steps[1].number, steps[1].areas.len()), (7, 2, 0));
        assert!(matches!(&steps[1].what, StepWhat::Lay(l) if l.kind == CoaterKind::Arc));
    }

    #[test]
    fn what_a_step_cannot_be_is_refused() {
        let boiled = "route = \"anodise\"\nvoltage_v = 5\n";
        for (rows, part) in [
            ("voltage_v = 62", "line 2, step[1].route: is missing"),
            ("route = \"boil\"", "\"anodise\", \"heat\", \"sputter\" or \"arc\""),
            ("route = \"anodise\"\npreparation = \"etch\"", "make two steps of it"),
            ("preparation = \"etching\"", "did you mean 'etch'?"),
            ("preparation = \"etch\"\nwith = \"acid\"", "means of 'etch': hydrofluoric-nitric, pumice"),
            ("preparation = \"etch\"\nvoltage_v = 3", "'voltage_v' is not known here"),
            (&format!("{boiled}minutes = 3"), "'minutes' is not known here"),
            (&format!("{boiled}areas = [\"rin\"]"), "did you mean 'rim'?"),
            (&format!("{boiled}areas = []"), "areas names none"),
            (&format!("{boiled}areas = [\"rim\", \"rim\"]"), "'rim' stands twice"),
            (
                "route = \"heat\"\nflame = true\nmachine = \"kiln\"\ntemperature_c = 500\nminutes = 3",
                "keep one of them",
            ),
            ("route = \"heat\"\nminutes = 3", "temperature_c: is missing"),
            ("route = \"sputter\"\nthickness_nm = 3", "film: is missing"),
            ("route = \"sputter\"\nfilm = \"lacquer\"\nthickness_nm = 3", "'lacquer' is not a film"),
            ("route = \"sputter\"\nfilm = \"zrn\"\ncomposition = 0.5\nthickness_nm = 3", "has no composition to set"),
        ] {
            let message = read(rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
