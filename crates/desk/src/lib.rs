//! The desk where questions are handed in as JSON text and answers handed out: the same for the browser's module and for
//! HTTP, so that both give the same answer to the byte.
//!
//! - [`Desk::ask`]: one question by its name, see [`QUESTIONS`];
//! - [`Refusal`]: why it was not answered, ready to be shown beside the field;
//! - [`ribbon_figure`], [`way_figure`], [`board`]: answers as figures.
//!
//! Without the feature `all` it answers only what needs neither the search nor a plan: the browser's first module is small
//! that way (decision 0008).
//!
//! What it is not: it knows no formula, no disk, no HTTP, and keeps nothing between two questions.

mod area;
#[cfg(feature = "all")]
mod chamber_picture;
#[cfg(feature = "all")]
mod correct;
mod files;
#[cfg(feature = "all")]
mod gamut;
#[cfg(feature = "all")]
mod gamut_picture;
#[cfg(feature = "all")]
mod loads_picture;
mod look;
mod materials;
mod pictures;
#[cfg(feature = "all")]
mod plan;
#[cfg(feature = "all")]
mod plan_picture;
mod quantity;
mod refusal;
mod request;
mod ribbon;
mod setting_words;
mod shelf;
mod wanted;
#[cfg(feature = "all")]
mod way_ribbon;
#[cfg(feature = "all")]
mod ways;

#[cfg(feature = "all")]
pub use gamut_picture::gamut_figure;
#[cfg(feature = "all")]
pub use loads_picture::loads_figure;
pub use pictures::{board, ribbon_figure, spectrum_figure, way_figure};
#[cfg(feature = "all")]
pub use plan_picture::plan_pictures;
pub use refusal::{Refusal, one_line};
pub use setting_words::{setting_words, shutter_words};

use huewright::Engine;
use library::InputError;
use serde_json::Value;

/// Told how many of how many parts of a long question are done.
pub type Progress<'p> = &'p mut dyn FnMut(usize, usize);

/// One question: its name, what it answers, and who answers it.
pub struct Question {
    /// Name, as in a path or message.
    pub name: &'static str,
    /// What it answers.
    pub words: &'static str,
    /// An example of a request, JSON; the tests ask it.
    pub example: &'static str,
    answer: fn(&Engine, &str, Progress<'_>) -> Result<Value, Refusal>,
}

/// Every question, in the order of the job. A row that is marked with the feature is in the full module alone; the page is
/// told by `ui/src/house/first.json`, and a test holds the two together.
pub const QUESTIONS: &[Question] = &[
    Question { name: "shelf", words: "What there is to choose from", example: "{}", answer: shelf::shelf },
    Question {
        name: "read",
        words: "A workshop, finish or part file (TOML) as JSON with the same keys, checked",
        example: files::READ_EXAMPLE,
        answer: files::read,
    },
    Question {
        name: "write",
        words: "A workshop, finish or part (JSON) as a TOML file, checked",
        example: files::WRITE_EXAMPLE,
        answer: files::write,
    },
    Question {
        name: "quantity",
        words: "Text with a unit as a number in the field's unit, checked",
        example: "{\"key\":\"max_voltage_v\",\"text\":\"60 V\"}",
        answer: quantity::quantity,
    },
    Question { name: "area", words: "How much surface has this part?", example: area::EXAMPLE, answer: area::area },
    Question {
        name: "wanted",
        words: "A wanted colour: how it was given, how sure it is",
        example: "{\"colour\":\"deep blue\"}",
        answer: wanted::wanted,
    },
    #[cfg(feature = "all")]
    Question {
        name: "match",
        words: "Which routes give a colour, with which settings, how sure",
        example: ways::EXAMPLE,
        answer: ways::ways,
    },
    #[cfg(feature = "all")]
    Question {
        name: "gamut",
        words: "What each route can reach at all, and why one is less vivid than another",
        example: gamut::EXAMPLE,
        answer: gamut::reach,
    },
    #[cfg(feature = "all")]
    Question {
        name: "way-ribbon",
        words: "The ribbon of a way's last step, with its setting",
        example: way_ribbon::EXAMPLE,
        answer: way_ribbon::way,
    },
    #[cfg(feature = "all")]
    Question {
        name: "plan",
        words: "What happens minute by minute in a recipe, and what to do",
        example: plan::EXAMPLE,
        answer: plan::plan,
    },
    #[cfg(feature = "all")]
    Question {
        name: "correct",
        words: "Why the loads of a coater came out as they did, and what to set next",
        example: correct::EXAMPLE,
        answer: correct::correct,
    },
    Question { name: "look", words: "What colour is this finish?", example: look::EXAMPLE, answer: look::look },
    Question {
        name: "ribbon",
        words: "How does the colour move as one setting is turned?",
        example: ribbon::EXAMPLE,
        answer: ribbon::ribbon,
    },
    Question {
        name: "materials",
        words: "What is in the library, from whom, and how far the tables disagree",
        example: "{}",
        answer: materials::materials,
    },
];

/// The library made ready, and every question that it answers.
pub struct Desk {
    engine: Engine,
}

impl Desk {
    /// Reads and checks the data inside the program.
    ///
    /// # Errors
    /// [`InputError`] when a data file is faulty: a contributor's mistake, found by the tests.
    pub fn open() -> Result<Self, InputError> {
        Ok(Self { engine: Engine::new()? })
    }

    /// Answers question `name` put as JSON text, with JSON text. `progress` is told of long work.
    ///
    /// # Errors
    /// [`Refusal`] for a question that does not exist, JSON that does not parse, and bad input.
    pub fn ask(&self, name: &str, request: &str, progress: Progress<'_>) -> Result<String, Refusal> {
        let Some(question) = QUESTIONS.iter().find(|q| q.name == name) else {
            let known: Vec<&str> = QUESTIONS.iter().map(|q| q.name).collect();
            return Err(Refusal::words(format!("there is no question '{name}'; there are {}", known.join(", "))));
        };
        (question.answer)(&self.engine, request, progress).map(|answer| answer.to_string())
    }
}
