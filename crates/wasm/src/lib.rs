//! The desk in a browser: questions as JSON text. Built twice: a small first module, and the full one (feature `all`).
//!
//! What it is not: it knows no question by name; whatever the desk answers, it passes on.

use wasm_bindgen::prelude::{JsError, JsValue, wasm_bindgen};

/// The desk, for JavaScript.
#[wasm_bindgen]
pub struct Engine {
    desk: desk::Desk,
}

#[wasm_bindgen]
impl Engine {
    /// Reads the library.
    ///
    /// # Errors
    /// When a data file is faulty.
    #[wasm_bindgen(constructor)]
    pub fn new() -> Result<Engine, JsError> {
        Ok(Engine { desk: desk::Desk::open().map_err(|e| JsError::new(&e.to_string()))? })
    }

    /// Answers `question` put as JSON text; `progress` is called with (done, of) while long work goes on.
    ///
    /// # Errors
    /// The refusal as JSON text: `{"error", "field", "line"}`.
    pub fn ask(&self, question: &str, request: &str, progress: &Progress) -> Result<String, JsValue> {
        self.desk
            .ask(question, request, &mut |done, of| {
                progress.tell(u32::try_from(done).unwrap_or(u32::MAX), u32::try_from(of).unwrap_or(u32::MAX));
            })
            .map_err(|refusal| JsValue::from_str(&refusal.json()))
    }
}

#[wasm_bindgen]
extern "C" {
    /// Whatever listens to progress: an object with a method `tell(done, of)`.
    pub type Progress;

    #[wasm_bindgen(method)]
    fn tell(this: &Progress, done: u32, of: u32);
}
