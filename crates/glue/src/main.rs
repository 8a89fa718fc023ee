//! `glue MODULE.wasm FOLDER NAME`: writes the module and its JavaScript into the folder under that name. Called by `cargo xtask page`.

#![expect(clippy::print_stderr, reason = "this is a tool for the terminal")]

use std::process::ExitCode;
use wasm_bindgen_cli_support::Bindgen;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [module, folder, name] = &arguments[..] else {
        eprintln!("glue: give the module, the folder and the name: glue MODULE.wasm FOLDER NAME");
        return ExitCode::from(2);
    };
    let mut bindgen = Bindgen::new();
    let made = bindgen.input_path(module).web(true).and_then(|b| {
        b.out_name(name)
            .omit_default_module_path(true)
            .typescript(true)
            .remove_name_section(true)
            .remove_producers_section(true)
            .generate(folder)
    });
    match made {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("glue: {error:#}");
            ExitCode::FAILURE
        }
    }
}
