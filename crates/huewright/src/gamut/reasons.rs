//! Why a way is no more vivid, in plain words, each from numbers that were worked out for it.

use super::sampling::{Sampled, sample};
use super::tally::{Made, SAME_HUE_DEG, SAME_LIGHTNESS, Tally};
use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use crate::matching::best::{Reach, made};
use crate::matching::enumerate::Candidate;
use crate::matching::flat::lab_of;
use crate::matching::setting_words;
use crate::matching::step::Step;
use colour::Lab;
use library::{FinishFile, MediumAbove};

/// A gain in chroma below this is not told: nobody sees it.
const TOLD_CHROMA: f64 = 2.0;

/// A candidate whose machine allows no setting.
pub(crate) fn nothing_to_set(candidate: &Candidate) -> String {
    let machines: Vec<&str> = candidate.steps.iter().map(Step::machine).collect();
    format!("{} cannot be set to anything here", machines.join(" with "))
}

/// The colour that the reasons are about: at the wanted hue and lightness if the way has one there, else the most vivid.
fn subject(tally: &Tally) -> Option<&Made> {
    tally.at_hue.as_ref().or(tally.most.as_ref())
}

fn chroma(lab: Lab) -> f64 {
    lab.lch().c
}

/// Why this way is no more vivid.
pub(crate) fn reasons(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    sampled: &Sampled,
    wanted: Option<Lab>,
) -> Result<Vec<String>, Fault> {
    let Some(subject) = subject(&sampled.tally) else { return Ok(Vec::new()) };
    let Some(finish) = made(candidate, &sampled.space.settings(&subject.x), &[]) else { return Ok(Vec::new()) };
    let Some(here) = lab_of(engine, eye, &finish) else { return Ok(Vec::new()) };
    let mut list = Vec::new();
    if let Some(wanted) = wanted {
        list.push(against_wanted(&sampled.tally, here, wanted));
    }
    list.extend(texture_and_spread(engine, eye, sampled, &finish, here));
    list.extend(wet(engine, eye, &finish, here));
    list.extend(end_of_range(engine, eye, candidate, sampled, wanted)?);
    list.extend(grey_share(engine, eye, &finish));
    Ok(list)
}

fn against_wanted(tally: &Tally, here: Lab, wanted: Lab) -> String {
    let asked = chroma(wanted);
    if tally.at_hue.is_none() {
        return format!(
            "it makes no colour within {SAME_HUE_DEG} degrees of the wanted hue and {SAME_LIGHTNESS} of the wanted L*; \
             its most vivid has chroma {:.0}, hue {:.0}, L* {:.0}",
            chroma(here),
            here.lch().h,
            here.l
        );
    }
    let short = asked - chroma(here);
    let verdict = if short > 0.5 { format!("it falls short by {short:.0}") } else { "that is enough".to_owned() };
    format!(
        "within {SAME_HUE_DEG} degrees of the wanted hue and {SAME_LIGHTNESS} of the wanted L*, its chroma goes up to \
         {:.0}; wanted is {asked:.0}: {verdict}",
        chroma(here)
    )
}

/// The colour of the finish after a change.
fn changed(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile, change: impl Fn(&mut FinishFile)) -> Option<Lab> {
    let mut other = finish.clone();
    change(&mut other);
    lab_of(engine, eye, &other)
}

/// What texture and spread take.
fn texture_and_spread(
    engine: &Engine,
    eye: &Eye<'_>,
    sampled: &Sampled,
    finish: &FinishFile,
    here: Lab,
) -> Vec<String> {
    let Some(ideal) = sampled.ideal.as_ref().and_then(subject) else { return Vec::new() };
    let gain = chroma(ideal.lab) - chroma(here);
    let cause = if gain < TOLD_CHROMA { ": texture and unevenness are hardly the cause" } else { "" };
    let mut list = vec![format!(
        "on a mirror with even films the same way would reach chroma {:.0}; here {:.0}{cause}",
        chroma(ideal.lab),
        chroma(here)
    )];
    if gain < TOLD_CHROMA {
        return list;
    }
    let slope = finish.base.texture.slope_deg;
    if slope > 0.0
        && let Some(lab) = changed(engine, eye, finish, |f| f.base.texture.slope_deg = 0.0)
    {
        list.push(format!(
            "facets that lean by {slope:.0} degrees mix colours of many tilts: without them chroma {:.0} instead of {:.0} \
             at these settings",
            chroma(lab),
            chroma(here)
        ));
    }
    let spread = finish.films.iter().map(|f| f.spread).fold(0.0, f64::max);
    if spread > 0.0
        && let Some(lab) = changed(engine, eye, finish, |f| f.films.iter_mut().for_each(|x| x.spread = 0.0))
    {
        list.push(format!(
            "films uneven by up to {:.0} % of their thickness mix neighbouring colours: even ones give chroma {:.0} \
             instead of {:.0} at these settings",
            100.0 * spread,
            chroma(lab),
            chroma(here)
        ));
    }
    list
}

/// What water takes.
fn wet(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile, here: Lab) -> Option<String> {
    if finish.medium != MediumAbove::Water {
        return None;
    }
    let dry = changed(engine, eye, finish, |f| f.medium = MediumAbove::Air)?;
    Some(format!("it is seen wet: dry, these settings give chroma {:.0} instead of {:.0}", chroma(dry), chroma(here)))
}

/// Whether a machine that goes further would make it more vivid.
fn end_of_range(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    sampled: &Sampled,
    wanted: Option<Lab>,
) -> Result<Option<String>, Fault> {
    let [step] = &candidate.steps[..] else { return Ok(None) };
    // Like with like: flat against flat.
    let allowed = sampled.ideal.as_ref().unwrap_or(&sampled.tally);
    let mut even = candidate.clone();
    even.start.base.texture.slope_deg = 0.0;
    even.start.films.iter_mut().for_each(|f| f.spread = 0.0);
    if let Some(step) = even.steps.first_mut() {
        match step {
            Step::Anodise { supply, .. } => supply.spread = 0.0,
            Step::Heat { oven, .. } => oven.spread = 0.0,
            Step::Lay { coater, .. } => coater.spread = 0.0,
        }
    }
    let Some(beyond) = sample(engine, eye, &even, wanted, Reach::Wished)? else { return Ok(None) };
    let best = |tally: &Tally| if wanted.is_some() { tally.at_hue.clone() } else { tally.most.clone() };
    let Some(more) = best(&beyond.tally) else { return Ok(None) };
    let here = best(allowed).map_or(0.0, |m| chroma(m.lab));
    if chroma(more.lab) < here + TOLD_CHROMA {
        return Ok(None);
    }
    let needed = beyond.space.settings(&more.x)[0];
    let limit = match step {
        Step::Anodise { laws, .. } => {
            let words = step.greatest_voltage().map(|(_, words)| words).unwrap_or_default();
            format!("{} by this law, but {words}", setting_words("voltage_v", laws[0].1.voltage_v(needed.thickness_nm)))
        }
        Step::Heat { oven, law, .. } => format!(
            "but the rate is known from {} to {} C only, and {} reaches {} C",
            law.valid_c[0], law.valid_c[1], oven.name, oven.max_temperature_c
        ),
        Step::Lay { coater, .. } if needed.thickness_nm < coater.thinnest_nm => {
            format!("but the thinnest film of {} is {} nm", coater.name, coater.thinnest_nm)
        }
        Step::Lay { coater, .. } => format!("which {} does not lay", coater.name),
    };
    let at = if wanted.is_some() { "at the wanted hue and lightness, " } else { "" };
    Ok(Some(format!("{at}chroma {:.0} would come at {:.0} nm, {limit}", chroma(more.lab), needed.thickness_nm)))
}

/// How deep the dark of the spectrum is: what is reflected at every wavelength is grey.
fn grey_share(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Option<String> {
    let built = engine.build(finish).ok()?;
    let seen = eye.see(&built, built.values()).ok()?;
    let visible = eye.viewing().wavelength_nm().iter().zip(&seen.reflectance).filter(|(w, _)| EYE_NM.contains(*w));
    let (mut dark, mut bright) = ((0.0, f64::INFINITY), (0.0, f64::NEG_INFINITY));
    for (w, r) in visible {
        if *r < dark.1 {
            dark = (*w, *r);
        }
        if *r > bright.1 {
            bright = (*w, *r);
        }
    }
    Some(format!(
        "at chroma {:.0} it still reflects {:.0} % where it reflects least ({:.0} nm), and {:.0} % where most ({:.0} nm): \
         what all wavelengths share is grey",
        chroma(seen.lab),
        100.0 * dark.1,
        dark.0,
        100.0 * bright.1,
        bright.0
    ))
}

/// Where the eye sees enough to count, nm.
const EYE_NM: std::ops::RangeInclusive<f64> = 420.0..=680.0;
