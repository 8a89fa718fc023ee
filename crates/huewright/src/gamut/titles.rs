//! Ways and kinds of ways in words.

use crate::engine::Engine;
use crate::matching::enumerate::{Candidate, RuledOut};
use crate::matching::step::Step;
use crate::ribbon::material_word;
use library::{Class, FinishFile};

/// The part as it is, in words.
fn start_words(start: &FinishFile) -> String {
    let base = material_word(&start.base.material);
    let films: Vec<String> =
        start.films.iter().map(|f| format!("{:.0} nm {}", f.thickness_nm, material_word(&f.material))).collect();
    let word = start.base.texture.word.as_deref().filter(|w| *w != "mirror");
    let base = word.map_or_else(|| base.clone(), |w| format!("{w} {base}"));
    if films.is_empty() { base } else { format!("{base} with {}", films.join(" and ")) }
}

/// Start, steps and machines.
pub(crate) fn title(start: &FinishFile, steps: &[Step]) -> String {
    let doing: Vec<String> = steps
        .iter()
        .map(|step| {
            let (film, machine) = (step.film(), step.machine());
            match (step, step.route()) {
                (Step::Anodise { bath, .. }, _) => format!("anodise in {} ({machine})", bath.name),
                (Step::Heat { .. }, _) => format!("heat in air ({machine})"),
                (_, "arc") => format!("arc-coat with {film} ({machine})"),
                _ => format!("sputter {film} ({machine})"),
            }
        })
        .collect();
    format!("{}: {}", start_words(start), doing.join(", then "))
}

/// A way that was ruled out before any sampling.
pub(crate) fn ruled_out(out: &RuledOut) -> String {
    let what = out.route.map_or_else(|| "any route".to_owned(), |route| format!("{route} ({})", out.machine));
    format!("{}: {what}", start_words(&out.start))
}

/// What ways of one kind have in common. A bath and an oven work on the metal itself, so each metal is a kind; of laid
/// films the class tells more than the metal.
pub(crate) fn kind(engine: &Engine, candidate: &Candidate) -> String {
    let nitride = |step: &Step| engine.library().entry(step.film()).is_ok_and(|e| e.class == Class::Nitride);
    match &candidate.steps[..] {
        [Step::Anodise { .. }] => format!("anodise {}", start_words(&candidate.start)),
        [Step::Heat { .. }] => format!("heat {}", start_words(&candidate.start)),
        [only] if nitride(only) => "lay a nitride".to_owned(),
        [_] => "lay another film".to_owned(),
        [_, Step::Heat { .. }] => "lay a nitride, then heat".to_owned(),
        [_, second] if nitride(second) => "lay a nitride on a nitride".to_owned(),
        _ => "lay a nitride, then another film".to_owned(),
    }
}
