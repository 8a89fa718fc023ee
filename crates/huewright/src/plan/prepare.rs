//! A preparation: what it does to the surface and to the films, and what it forbids.

use super::answer::{StepPlan, WhyNot};
use super::work::{Stop, Work, cannot};
use crate::matching::enumerate::id_of;
use library::Circumstance;

pub(super) fn prepare(
    work: &mut Work<'_>,
    number: usize,
    areas: &[usize],
    id: &str,
    with: Option<&str>,
) -> Result<StepPlan, Stop> {
    let library = work.engine.library();
    let preparation = library.preparation(id).map_err(|p| crate::Fault::Input(p.in_file("recipe")))?.clone();
    let means = with.and_then(|w| preparation.means.iter().find(|m| m.id == w)).or_else(|| {
        // Where a licence is needed and none is declared, the means without one stands first.
        preparation.means.iter().find(|m| !m.licensed)
    });
    if let Some(means) = means
        && means.licensed
        && !(means.id.contains("hydrofluoric") && work.bench.workshop.is_some_and(|w| w.licensed_hydrofluoric))
    {
        let words = format!(
            "{}: only in licensed facilities{}",
            means.words,
            if means.id.contains("hydrofluoric") {
                ", which the workshop does not declare (licensed_hydrofluoric = true)"
            } else {
                ": have a plating shop do it"
            }
        );
        return Err(cannot(number, "licence", words, means.instead.clone()));
    }
    let first = work.areas[areas[0]].finish.clone();
    let base = id_of(&first.base.material).unwrap_or("an own material");
    if !preparation.metals.is_empty() && !preparation.metals.iter().any(|m| m == base) {
        let words = format!("{id} is for {}, not for {base}", preparation.metals.join(", "));
        return Err(cannot(number, "metal", words, Some("preparation = \"clean\" or \"strip\"".to_owned())));
    }
    let more = Circumstance { preparation: Some(id), means: means.map(|m| m.id.as_str()), ..Circumstance::default() };
    let cautions = work.cautions("", &first, more);
    let mut notes = preparation.does.clone();
    notes.extend(preparation.forbids.iter().map(|f| format!("afterwards: {f}")));
    notes.extend(preparation.risk.iter().map(|r| format!("risk: {r}")));
    notes.push(format!("{}; {}", preparation.status, preparation.source));
    let mut todo = vec![preparation.words.clone()];
    if let Some(m) = means {
        todo.push(m.words.clone());
        if let Some(instead) = &m.instead {
            todo.push(format!("Without it: {instead}"));
        }
    }
    let everywhere = areas.len() == work.areas.len();
    for i in areas {
        let area = &mut work.areas[*i];
        if preparation.strips {
            if let Some((by, _)) = area.own.take()
                && everywhere
            {
                let words =
                    format!("step {number}: it takes off the colour of '{}', which step {by} had finished", area.name);
                let nearest = format!("areas = [...] without '{}', or this step before step {by}", area.name);
                work.why_not.push(WhyNot { step: number, limit: "order", words, nearest: Some(nearest) });
            }
            area.finish.films.clear();
            area.finish.over.clear();
            area.along = None;
        }
        if let Some(word) = &preparation.texture
            && let Some(texture) = library.textures().iter().find(|t| t.word.as_ref() == Some(word))
        {
            area.finish.base.texture = texture.clone();
        }
        if preparation.strips || preparation.texture.is_some() {
            // What comes after starts from here.
            if preparation.strips {
                area.chain.clear();
                area.from = area.finish.clone();
            } else {
                area.from.base.texture = area.finish.base.texture.clone();
            }
        }
    }
    let names: Vec<String> = areas.iter().map(|i| work.areas[*i].name.clone()).collect();
    Ok(StepPlan {
        number,
        kind: "preparation",
        route: id.to_owned(),
        title: format!(
            "{}{}",
            capital(id),
            if names.len() < work.areas.len() { format!(": {}", names.join(" and ")) } else { String::new() }
        ),
        areas: names,
        set: Vec::new(),
        todo,
        watch: Vec::new(),
        stop: None,
        seconds: None,
        cautions,
        notes,
        trace: None,
        passed: Vec::new(),
        lift: None,
        sizing: None,
        lasts: None,
        chamber: None,
    })
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().collect::<String>() + letters.as_str())
}
