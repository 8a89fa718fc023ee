//! The command line.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::net::IpAddr;
use std::path::PathBuf;

/// For people who colour metal: what colour a film gives, which of your routes reaches a colour, and how sure that is.
#[derive(Debug, Parser)]
#[command(
    name = "huewright",
    version,
    max_term_width = 100,
    after_help = "Start with `huewright demo`. Quantities may carry units (\"68 F\", \"2 in\", \"0.05 um\").\n\
                  Exit status: 0 done; 1 no answer here, the reason is printed; 2 bad input."
)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// What colour is this finish?
    #[command(after_help = "Example:\n  huewright look examples/bells/blue-dome.toml --light A --tilt 45 --why")]
    Look(LookArgs),
    /// How does the colour move as I turn the setting?
    #[command(after_help = "Examples:\n  \
        huewright ribbon titanium --volts 0..110 --bath citric-acid\n  \
        huewright ribbon titanium --film titania-anodic --thickness 0..200 --tilts 0,30,60\n  \
        huewright ribbon titanium --degrees 450..650 --minutes 60\n  \
        huewright ribbon examples/bells/blue-dome.toml --thickness 0..200 --svg ribbon.svg --csv ribbon.csv")]
    Ribbon(RibbonArgs),
    /// Which of my routes give this colour, with which settings, how sure?
    #[command(after_help = "Examples:\n  \
        huewright match \"deep blue\" --workshop examples/bells/workshop.toml\n  \
        huewright match \"#27509b\" --workshop examples/bells/workshop.toml --save 1 recipe.toml\n  \
        huewright match \"lab(38, 4, -42)\" --workshop examples/bells/workshop.toml --from examples/bells/blue-dome.toml\n  \
        huewright match measured.csv --workshop examples/bells/workshop.toml --light A --json")]
    Match(MatchArgs),
    /// Exactly what happens in a recipe, minute by minute, and what do I do?
    #[command(after_help = "Examples:\n  \
        huewright plan examples/bells/recipe-fade.toml\n  \
        huewright plan examples/bells/recipe-two-colours.toml --picture plan.svg\n  \
        huewright match \"deep blue\" --workshop examples/bells/workshop.toml --save 1 recipe.toml && huewright plan recipe.toml\n\n\
        A recipe is a TOML file (docs/files.md); `match --save` writes one. Workshop and part may stand in it, or be given here.")]
    Plan(PlanArgs),
    /// Why did the loads of a coater come out as they did; what do I set next?
    #[command(after_help = "Examples:\n  \
        huewright correct loads.toml\n  \
        huewright correct loads.toml --workshop shop.toml --picture loads.svg --why\n\n\
        A log of loads is a TOML file; a load takes under a minute to write:\n  \
        schema = 1\n  \
        recipe = \"recipe.toml\"        # what was ordered; its coater, films and wanted colour\n  \
        observer = 10                  # of the colours below; default 2, light D65\n  \
        [[load]]\n  \
        ampere_hours = 120             # or cathode_v, nitrogen_sccm, pressure_pa = \"3 mTorr\", ...; a key\n  \
        seconds = [3750, 240]          #   left out is as in the load before. Shutter times of its films\n  \
        [[load.witness]]\n  \
        at = \"middle\"                  # or \"top outer\", ...; or height_mm = 150\n  \
        lab = [38, 4, -42]\n\n\
        The first load that went as foretold teaches how far published constants are off in your machine;\n\
        later ones are judged against it. Without a recipe the runs alone speak (docs/json.md).\n\
        Exit status: 0 next settings are told; 1 nothing can be said; 2 bad input.")]
    Correct(CorrectArgs),
    /// Why is mine less vivid; what can each route reach at all?
    #[command(after_help = "Examples:\n  \
        huewright gamut\n  \
        huewright gamut --workshop examples/bells/workshop.toml --picture reach.svg\n  \
        huewright gamut \"deep blue\" --workshop examples/bells/workshop.toml --picture reach.png\n  \
        huewright gamut \"lab(38, 4, -42)\" --from examples/bells/blue-dome.toml --workshop examples/bells/workshop.toml --json\n\n\
        Without --workshop: whatever the library can grow or lay, on bare mirrors.")]
    Gamut(GamutArgs),
    /// What is in the library, from whom, and how far do the tables disagree?
    #[command(after_help = "Examples:\n  huewright materials\n  huewright materials titanium --why")]
    Materials(MaterialsArgs),
    /// Show me, now, with nothing set up: an invented bell workshop, its wanted blue, the ways to it.
    Demo(DemoArgs),
    /// The workbench in a browser, with records kept in a folder.
    #[command(after_help = "Examples:\n  huewright serve --open\n  huewright serve --folder records --port 8080\n  \
        huewright serve --host 0.0.0.0        # for the phone in the workshop; prints an address with a token\n\n\
        Stop it with Ctrl-C. docs/server.md says what it keeps and what protects it.")]
    Serve(ServeArgs),
}

/// How a finish is looked at.
#[derive(Debug, Args)]
pub(crate) struct ViewArgs {
    /// Light: D65, A, D50, F2, F11, LED-B3, or a lamp file with columns wavelength_nm,power.
    #[arg(long, default_value = "D65", value_name = "LIGHT|FILE.csv")]
    pub(crate) light: String,
    /// Observer: 2 or 10 degrees.
    #[arg(long, default_value = "2", value_name = "DEGREES")]
    pub(crate) observer: String,
    /// Tilt from the normal, 0 to 85 degrees.
    #[arg(long, default_value = "0", value_name = "DEGREES", allow_hyphen_values = true)]
    pub(crate) tilt: String,
    /// What is measured: all light, all but the mirror reflection, or the mirror reflection alone.
    #[arg(long, value_enum, default_value_t = GeometryArg::Included)]
    pub(crate) geometry: GeometryArg,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum GeometryArg {
    /// Specular component included, as ISO 8654.
    Included,
    /// Specular component excluded.
    Excluded,
    /// The mirror reflection alone.
    Specular,
}

/// How an answer is shown.
#[derive(Debug, Args)]
pub(crate) struct ShowArgs {
    /// Print JSON for programs.
    #[arg(long)]
    pub(crate) json: bool,
    /// Print where the numbers come from.
    #[arg(long)]
    pub(crate) why: bool,
    /// Colour swatches in the terminal.
    #[arg(long, value_enum, default_value_t = Swatches::Auto, value_name = "WHEN")]
    pub(crate) swatches: Swatches,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Swatches {
    /// Where the terminal can.
    Auto,
    /// Always.
    Always,
    /// Plain text.
    Never,
}

#[derive(Debug, Args)]
pub(crate) struct LookArgs {
    /// Finish file.
    #[arg(value_name = "FINISH.toml")]
    pub(crate) finish: PathBuf,
    #[command(flatten)]
    pub(crate) view: ViewArgs,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct RibbonArgs {
    /// Finish file, or the id of a base for a bare mirror of it.
    #[arg(value_name = "FINISH.toml|BASE")]
    pub(crate) subject: String,
    /// Turn the thickness of a film, nm: FROM..TO.
    #[arg(long, value_name = "FROM..TO", group = "axis", allow_hyphen_values = true)]
    pub(crate) thickness: Option<String>,
    /// Turn the voltage of a bath, V: FROM..TO.
    #[arg(long, value_name = "FROM..TO", group = "axis", allow_hyphen_values = true)]
    pub(crate) volts: Option<String>,
    /// Turn the temperature of a heating, C: FROM..TO (with --minutes for how long).
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub(crate) degrees: Option<String>,
    /// Turn the time of a heating, min: FROM..TO (with one temperature in --degrees), or how long --degrees lasts.
    #[arg(long, value_name = "TIME|FROM..TO", allow_hyphen_values = true)]
    pub(crate) minutes: Option<String>,
    /// Electrolyte for --volts; some have a growth law of their own.
    #[arg(long, value_name = "ELECTROLYTE", requires = "volts")]
    pub(crate) bath: Option<String>,
    /// Film that grows on a bare BASE with --thickness.
    #[arg(long, value_name = "FILM", requires = "thickness")]
    pub(crate) film: Option<String>,
    /// Which film of a finish file to turn, 1 at the base; the outermost if left out.
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["volts", "degrees", "minutes"])]
    pub(crate) which: Option<usize>,
    /// A row for each tilt, degrees.
    #[arg(long, value_delimiter = ',', value_name = "DEGREES,...")]
    pub(crate) tilts: Vec<String>,
    /// How many colours.
    #[arg(long, default_value_t = 221, value_name = "NUMBER")]
    pub(crate) points: usize,
    /// Write the ribbon as SVG.
    #[arg(long, value_name = "FILE")]
    pub(crate) svg: Option<PathBuf>,
    /// Write the ribbon as PNG.
    #[arg(long, value_name = "FILE")]
    pub(crate) png: Option<PathBuf>,
    /// Write the colours as CSV.
    #[arg(long, value_name = "FILE")]
    pub(crate) csv: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) view: ViewArgs,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct MatchArgs {
    /// Wanted colour: "#27509b", "lab(38, 4, -42)", a trade name, or a spectrum file (.csv).
    #[arg(value_name = "COLOUR")]
    pub(crate) colour: String,
    /// What you own or can reach.
    #[arg(long, value_name = "SHOP.toml")]
    pub(crate) workshop: PathBuf,
    /// Start from this finish instead of the workshop's bare metals.
    #[arg(long, value_name = "FINISH.toml")]
    pub(crate) from: Option<PathBuf>,
    /// Write the recipe of way number N.
    #[arg(long, num_args = 2, value_names = ["N", "RECIPE.toml"])]
    pub(crate) save: Option<Vec<String>>,
    /// How many ways of each kind to print; JSON always holds all.
    #[arg(long, default_value_t = 6, value_name = "NUMBER")]
    pub(crate) most: usize,
    /// Write a picture of the best ways, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE")]
    pub(crate) picture: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) view: ViewArgs,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct PlanArgs {
    /// The recipe.
    #[arg(value_name = "RECIPE.toml")]
    pub(crate) recipe: PathBuf,
    /// What you own or can reach, in place of what the recipe names.
    #[arg(long, value_name = "SHOP.toml")]
    pub(crate) workshop: Option<PathBuf>,
    /// The part, in place of what the recipe names.
    #[arg(long, value_name = "PART.toml")]
    pub(crate) part: Option<PathBuf>,
    /// Another recipe: does a piece of it match a piece of this one, such as niobium beside titanium?
    #[arg(long, value_name = "RECIPE.toml")]
    pub(crate) beside: Option<PathBuf>,
    /// Write a picture of each step through time, of each coater's chamber and of each fade: FILE.svg, or FILE-1.svg, FILE-2.svg, ... (or .png).
    #[arg(long, value_name = "FILE")]
    pub(crate) picture: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) view: ViewArgs,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct CorrectArgs {
    /// The log of loads: what was set, and which colours came out.
    #[arg(value_name = "LOADS.toml")]
    pub(crate) loads: PathBuf,
    /// What you own or can reach, in place of what the recipe names.
    #[arg(long, value_name = "SHOP.toml")]
    pub(crate) workshop: Option<PathBuf>,
    /// Write a picture of the loads, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE")]
    pub(crate) picture: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct GamutArgs {
    /// Hold the ways against this colour: "#27509b", "lab(38, 4, -42)", a trade name, or a spectrum file (.csv).
    #[arg(value_name = "COLOUR")]
    pub(crate) colour: Option<String>,
    /// What you own or can reach; if left out, whatever the library can grow or lay.
    #[arg(long, value_name = "SHOP.toml")]
    pub(crate) workshop: Option<PathBuf>,
    /// Start from this finish instead of the workshop's metals.
    #[arg(long, value_name = "FINISH.toml")]
    pub(crate) from: Option<PathBuf>,
    /// How many ways of each kind to print; JSON always holds all.
    #[arg(long, default_value_t = 1, value_name = "NUMBER")]
    pub(crate) most: usize,
    /// Write a picture of what the kinds of ways reach, SVG or PNG by its ending.
    #[arg(long, value_name = "FILE")]
    pub(crate) picture: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) view: ViewArgs,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct MaterialsArgs {
    /// Only these ids; all if left out.
    #[arg(value_name = "ID")]
    pub(crate) ids: Vec<String>,
    #[command(flatten)]
    pub(crate) show: ShowArgs,
}

#[derive(Debug, Args)]
pub(crate) struct DemoArgs {
    /// Folder for the pictures; made if it is not there.
    #[arg(long, default_value = "demo-pictures", value_name = "FOLDER")]
    pub(crate) folder: PathBuf,
    /// Colour swatches in the terminal.
    #[arg(long, value_enum, default_value_t = Swatches::Auto, value_name = "WHEN")]
    pub(crate) swatches: Swatches,
}

#[derive(Debug, Args)]
pub(crate) struct ServeArgs {
    /// Port; if left out, 4717 or one of the ten after it. 0 takes any free one.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) port: Option<u16>,
    /// Folder in which records are kept; if left out, the system's folder for data of programs.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) folder: Option<PathBuf>,
    /// Listen for other machines at this address of this machine, 0.0.0.0 for all; then only with a token.
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) host: Option<IpAddr>,
    /// A further name for this machine, NAME or NAME:PORT; may be repeated.
    #[arg(long, value_name = "NAME")]
    pub(crate) allow_host: Vec<String>,
    /// Take the token from the first line of a file, so that it stays the same.
    #[arg(long, value_name = "FILE")]
    pub(crate) token_file: Option<PathBuf>,
    /// Open the page in the browser.
    #[arg(long)]
    pub(crate) open: bool,
}
