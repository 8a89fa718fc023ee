//! A recipe as a person, or a search, writes it: the part as it is, what is wanted, and the steps to it.

use crate::Reader;
use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields, text_of};
use crate::finish_file::{Context, FinishFile};
use crate::part_file::PartFile;
use crate::recipe_step::{StepSpec, read_steps};
use crate::wanted::{WantedSpec, read_lab, read_wanted};
use crate::workshop_file::{WORKSHOP_KEYS, WorkshopFile, read_workshop};
use std::path::Path;

const MAX_AREAS: usize = 50;
/// How far the shares of all areas may be from 1: they are judged by eye, 0.33 three times is meant as thirds.
const SHARES_WITHIN: f64 = 0.01;
/// What the search that wrote the recipe foretold.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Foretold {
    /// L*, a*, b* that come out nominally.
    pub lab: Option<[f64; 3]>,
    /// Its name.
    pub name: Option<String>,
    /// CIEDE2000 from the target, nominally.
    pub delta_e: Option<f64>,
    /// CIEDE2000 from the target, in the mean.
    pub expected_delta_e: Option<f64>,
    /// Chance to land.
    pub chance: Option<f64>,
    /// Chance that two runs land and look alike.
    pub chance_alike: Option<f64>,
}

/// An area of the part that gets a colour of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct AreaSpec {
    /// What the person calls it.
    pub name: String,
    /// Share of the whole; all together are 1.
    pub share: f64,
    /// The colour wanted there.
    pub wanted: Option<String>,
}

/// A recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct RecipeFile {
    /// What the person calls it.
    pub name: Option<String>,
    /// Machines and baths, from the file that the recipe names or from the recipe itself.
    pub workshop: Option<WorkshopFile>,
    /// The part, from the file that the recipe names or from the recipe itself.
    pub part: Option<PartFile>,
    /// What the whole is to look like.
    pub wanted: Option<WantedSpec>,
    /// What was foretold.
    pub foretold: Option<Foretold>,
    /// The part as it is.
    pub start: Option<FinishFile>,
    /// Areas with colours of their own; empty: the part is one.
    pub areas: Vec<AreaSpec>,
    /// What is done, in order.
    pub steps: Vec<StepSpec>,
}

impl RecipeFile {
    /// Reads a recipe from the bytes of `file`. The files that it names are fetched with `reader`, from the file's folder.
    ///
    /// # Errors
    /// [`InputError`] with file, line, field, what was given and what is allowed.
    pub fn read(file: &str, bytes: &[u8], library: &Library, reader: Reader<'_>) -> Result<Self, InputError> {
        let text = text_of(file, bytes, "TOML")?;
        let document = Document::parse(file, text)?;
        let f = document.fields();
        let folder = Path::new(file).parent().map(Path::to_path_buf).unwrap_or_default();
        let context = Context { library, reader, folder };
        let name = f.text("name")?.map(ToOwned::to_owned);
        let workshop = read_own_workshop(&f, &context)?;
        let part = read_part(&f, &context)?;
        let wanted = f.table("wanted")?.map(|wanted| read_wanted(wanted, library)).transpose()?;
        let foretold = f.table("foretold")?.map(read_foretold).transpose()?;
        let start = f.table("start")?.map(|start| FinishFile::read_fields(start, &context)).transpose()?;
        let areas = read_areas(&f)?;
        let names: Vec<&str> = areas.iter().map(|a| a.name.as_str()).collect();
        let steps = read_steps(&f, &names, library)?;
        f.finish()?;
        Ok(Self { name, workshop, part, wanted, foretold, start, areas, steps })
    }
}

/// The path and the bytes of a file that a recipe, or a log, names under `key`.
pub(crate) fn named(
    f: &Fields<'_>,
    key: &str,
    name: &str,
    context: &Context<'_>,
) -> Result<(String, Vec<u8>), InputError> {
    let path = context.folder.join(name);
    let bytes =
        (context.reader)(&path).map_err(|e| f.fault(key, Problem::Unreadable { reason: format!("'{name}': {e}") }))?;
    Ok((path.display().to_string(), bytes))
}

fn read_own_workshop(f: &Fields<'_>, context: &Context<'_>) -> Result<Option<WorkshopFile>, InputError> {
    let own = WORKSHOP_KEYS.iter().find(|key| f.has(key));
    match (f.text("workshop")?, own) {
        (Some(_), Some(own)) => {
            let message =
                format!("workshop names a file, and {own} stands in the recipe itself; keep one of the two places");
            Err(f.fault(own, Problem::Conflict { message }))
        }
        (Some(name), None) => {
            let (path, bytes) = named(f, "workshop", name, context)?;
            WorkshopFile::read(&path, &bytes, context.library, context.reader).map(Some)
        }
        (None, Some(_)) => read_workshop(f, context).map(Some),
        (None, None) => Ok(None),
    }
}

fn read_part(f: &Fields<'_>, context: &Context<'_>) -> Result<Option<PartFile>, InputError> {
    if let Some(name) = f.text_if("part") {
        let (path, bytes) = named(f, "part", name, context)?;
        return PartFile::read(&path, &bytes, context.library).map(Some);
    }
    f.table("part")?.map(|part| PartFile::read_fields(part, context.library)).transpose()
}

fn read_foretold(f: Fields<'_>) -> Result<Foretold, InputError> {
    let foretold = Foretold {
        lab: read_lab(&f)?,
        name: f.text("name")?.map(ToOwned::to_owned),
        delta_e: f.quantity("delta_e")?,
        expected_delta_e: f.quantity("expected_delta_e")?,
        chance: f.quantity("chance")?,
        chance_alike: f.quantity("chance_alike")?,
    };
    f.finish()?;
    Ok(foretold)
}

fn read_areas(f: &Fields<'_>) -> Result<Vec<AreaSpec>, InputError> {
    let tables = f.tables("area", "areas", MAX_AREAS)?;
    let count = tables.len();
    let mut areas: Vec<AreaSpec> = Vec::new();
    let mut shares = Vec::new();
    for area in tables {
        let name = area.need_text("name", "name = \"rim\"")?.to_owned();
        if areas.iter().any(|other| other.name == name) {
            let message = format!("there are two areas '{name}'; give each a name of its own");
            return Err(area.fault("name", Problem::Conflict { message }));
        }
        let share = area.quantity("share")?;
        if !areas.is_empty() && share.is_some() == shares.is_empty() {
            let message =
                "some areas say their share and some do not; say it for all, or for none (then they are equal)";
            return Err(area.fault("share", Problem::Conflict { message: message.to_owned() }));
        }
        shares.extend(share);
        #[expect(clippy::cast_precision_loss, reason = "at most 50 areas")]
        let equal = 1.0 / count as f64;
        let wanted = area.text("wanted")?.map(ToOwned::to_owned);
        areas.push(AreaSpec { name, share: share.unwrap_or(equal), wanted });
        area.finish()?;
    }
    let sum: f64 = shares.iter().sum();
    if !shares.is_empty() && (sum - 1.0).abs() > SHARES_WITHIN {
        let message =
            format!("the shares of the areas add up to {sum:.3}; they must add up to 1, within {SHARES_WITHIN}");
        return Err(f.fault("area", Problem::Conflict { message }));
    }
    if !shares.is_empty() {
        areas.iter_mut().for_each(|area| area.share /= sum);
    }
    Ok(areas)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::finish_file::MaterialRef;
    use crate::recipe_step::StepWhat;

    /// Files that a recipe in the folder `bench` names.
    fn shelf(path: &Path) -> std::io::Result<Vec<u8>> {
        let text = match path.to_str().unwrap().replace('\\', "/").as_str() {
            "bench/workshop.toml" => "schema = 1\n[[metal]]\nid = \"titanium\"\n",
            "bench/dome.toml" => "schema = 1\nmetal = \"niobium\"\n[shape]\nkind = \"sphere\"\ndiameter_mm = 20\n",
            _ => return Err(std::io::ErrorKind::NotFound.into()),
        };
        Ok(text.as_bytes().to_vec())
    }

    fn read(rows: &str) -> Result<RecipeFile, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n{rows}");
        RecipeFile::read("bench/recipe.toml", text.as_bytes(), &library, &shelf).map_err(|e| e.to_string())
    }

    /// Two steps as `huewright match` writes them, with its comments (crates/huewright/src/matching/recipe.rs).
    const WRITTEN_BY_MATCH: &str = r##"
name = "way to #27509b"

[wanted]
lab = [38.1, 4.25, -42.0]
given = "#27509b"

[foretold]
lab = [48.7, 0.3, -40.4]
name = "blue"
delta_e = 1.6
expected_delta_e = 11.0
chance = 0.23
chance_alike = 0.13

[start]
medium = "water"
[start.base]
material = "stainless-austenitic"
texture = "satin"
[[start.film]]
material = "tin"
source = "slavin-2017"
thickness_nm = 600.0
spread = 0.02
[[start.over]]
material = { n = 1.5, k = 0.0 }
thickness_um = 20.0
# rests on: a stand-in
# CAUTION: open window (common practice, no source)

[[step]]
route = "anodise"
machine = "bench supply"
film = "titania-anodic"
bath = "jar 1"
electrolyte = "ammonium-sulfate"
voltage_v = 24.1  # holds 22.3 to 25.9 V, within 3.0 (CIEDE2000)
# or 30.2 V by another source (published): test first

[[step]]
route = "sputter"
machine = "magnetron machine"
film = "tialn"
thickness_nm = 61.25
seconds = 367.5
composition = 0.5
part_temperature_c = 200.0

[[step]]
route = "heat"
machine = "small kiln"
film = "titania-anatase"
temperature_c = 512.4
minutes = 30.0
"##;

    #[test]
    fn what_match_writes_is_read() {
        let library = Library::embedded().unwrap();
        let source = &library.entry("tin").unwrap().default;
        let read = read(&WRITTEN_BY_MATCH.replace("slavin-2017", source)).unwrap();
        assert_eq!(read.wanted.as_ref().unwrap().lab, Some([38.1, 4.25, -42.0]));
        assert_eq!(read.foretold.as_ref().unwrap().chance_alike, Some(0.13));
        let start = read.start.unwrap();
        assert!(matches!(&start.films[0].material, MaterialRef::Library { id, source: Some(_) } if id == "tin"));
        assert_eq!((start.films.len(), start.over.len(), start.films[0].thickness_sd_nm), (1, 1, 0.0));
        assert_eq!((read.workshop, read.part, read.areas.len()), (None, None, 0));
        let [anodise, lay, heat] = &read.steps[..] else { panic!("three steps") };
        assert!(matches!(&anodise.what, StepWhat::Anodise(a) if a.voltage_v == Some(24.1) && a.fade.is_none()));
        assert!(matches!(&lay.what, StepWhat::Lay(l) if l.seconds == Some(367.5) && l.composition == Some(0.5)));
        // What match does not say is taken, and said to be taken.
        assert!(matches!(&heat.what, StepWhat::Heat(h) if h.assumed == ["ramp_c_per_min", "cool_minutes"]));
        assert_eq!((anodise.number, lay.number, heat.number), (1, 2, 3));
    }

    #[test]
    fn files_are_fetched_from_the_folder_of_the_recipe() {
        let fetched = read("workshop = \"workshop.toml\"\npart = \"dome.toml\"").unwrap();
        assert_eq!(fetched.workshop.unwrap().metals[0].id, "titanium");
        assert_eq!(fetched.part.unwrap().metal, "niobium");
        let message = read("part = \"cup.toml\"").unwrap_err();
        assert!(message.contains("line 2, part: cannot be read: 'cup.toml'"), "{message}");
    }

    #[test]
    fn a_recipe_may_hold_workshop_and_part_itself() {
        let own = read(
            "name = \"blue\"\nlicensed_hydrofluoric = true\n[part]\nmetal = \"titanium\"\nuse = [\"skin\"]\n\
             [part.shape]\nkind = \"sphere\"\ndiameter_mm = 8\n\
             [[bath]]\nname = \"jar\"\nelectrolyte = \"citric-acid\"\ndose = \"1 tsp in 1 cup\"\n\
             [[anodiser]]\nname = \"batteries\"\nkind = \"batteries\"\nmax_voltage_v = 27\nstep_v = 9\n",
        )
        .unwrap();
        let workshop = own.workshop.unwrap();
        assert!(workshop.metals.is_empty() && workshop.licensed_hydrofluoric && workshop.name.is_none());
        assert_eq!((workshop.baths.len(), workshop.anodisers[0].step_v), (1, Some(9.0)));
        assert_eq!((own.name.as_deref(), own.part.unwrap().uses.len()), (Some("blue"), 1));
    }

    #[test]
    fn a_film_of_the_start_may_be_in_doubt() {
        let start = read(
            "[start.base]\nmaterial = \"titanium\"\n[[start.film]]\nmaterial = \"titania-anodic\"\nthickness_nm = 48\n\
             thickness_sd_nm = \"0.003 um\"\n[[start.film]]\nmaterial = \"silica\"\nthickness_nm = 10\n",
        )
        .unwrap()
        .start
        .unwrap();
        assert!((start.films[0].thickness_sd_nm - 3.0).abs() < 1e-12 && start.films[1].thickness_sd_nm == 0.0);
    }

    #[test]
    fn shares_are_given_for_all_areas_or_for_none() {
        let shares = |rows: &str| read(rows).map(|r| r.areas.iter().map(|a| a.share).collect::<Vec<_>>());
        let area = |name: &str, share: &str| format!("[[area]]\nname = \"{name}\"\n{share}\n");
        let two = |a: &str, b: &str| area("rim", a) + &area("bowl", b);
        assert_eq!(shares(&two("", "")).unwrap(), [0.5, 0.5]);
        let given = shares(&two("share = 0.4", "share = \"59.5 %\"")).unwrap();
        // Shares within a hundredth of 1 are stretched to it.
        assert!((given[0] - 0.4 / 0.995).abs() < 1e-12 && (given.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        for (rows, part) in [
            (two("share = 0.4", ""), "line 5, area[2].share: some areas say their share"),
            (two("", "share = 0.4"), "area[2].share: some areas say their share"),
            (two("share = 0.4", "share = 0.5"), "add up to 0.900"),
            (two("share = 0", "share = 1"), "share of the area"),
            (area("rim", "") + &area("rim", ""), "two areas 'rim'"),
        ] {
            let message = shares(&rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }

    #[test]
    fn what_does_not_belong_here_is_refused() {
        for (rows, part) in [
            ("workshop = \"workshop.toml\"\n[[oven]]\nname = \"kiln\"", "keep one of the two places"),
            ("colour = \"gold\"", "'colour' is not known here"),
            ("wanted = \"gold\"", "a table [wanted]"),
            ("[wanted]\ngiven = \"gold\"", "line 2, wanted.colour: is missing"),
            ("[wanted]\nlab = [50, 1]", "three numbers [L, a, b]"),
            ("[wanted]\nlab = [50, nan, 0]", "three numbers [L, a, b]"),
            ("[wanted]\nlab = [50, 1, 2]\ncolour = \"gold\"", "keep one of them"),
            ("[foretold]\nchance = 1.5", "chance that was foretold"),
            ("[start]\n[start.base]\nmaterial = \"titanium\"\nthickness_sd_nm = 2", "'thickness_sd_nm' is not known"),
            ("[start]\nmedium = \"air\"", "start.base: is missing"),
            ("[[oven]]\nname = \"kiln\"", "oven[1].max_temperature_c: is missing"),
        ] {
            let message = read(rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
