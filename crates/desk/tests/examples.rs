//! Every question answers its own example, and refuses what it does not take.

use desk::{Desk, QUESTIONS};
use serde_json::{Value, from_str};

#[test]
fn every_example_is_answered() {
    let desk = Desk::open().unwrap();
    for question in QUESTIONS {
        let answer = desk
            .ask(question.name, question.example, &mut |_, _| ())
            .unwrap_or_else(|r| panic!("{}: {r}", question.name));
        let answer: Value = from_str(&answer).unwrap();
        assert!(answer.as_object().is_some_and(|o| !o.is_empty()), "{}: {answer}", question.name);
    }
}

#[test]
fn unknown_fields_and_broken_json_are_refused() {
    let desk = Desk::open().unwrap();
    for question in QUESTIONS {
        for request in ["{\"nonsense\":1}", "{", "[]", ""] {
            let refusal = desk.ask(question.name, request, &mut |_, _| ()).unwrap_err();
            assert!(!refusal.error.is_empty(), "{} took {request}", question.name);
        }
    }
    assert!(desk.ask("nothing", "{}", &mut |_, _| ()).unwrap_err().error.contains("look"));
}

#[test]
fn a_refusal_names_the_field() {
    let desk = Desk::open().unwrap();
    let ask = |question: &str, request: &str| desk.ask(question, request, &mut |_, _| ()).unwrap_err();
    let film = ask(
        "look",
        "{\"finish\":{\"base\":{\"material\":\"titanium\"},\"film\":[{\"material\":\"titania-anodic\",\"thickness_nm\":-4}]}}",
    );
    assert_eq!(film.field, "film[1].thickness_nm");
    assert!(film.error.contains("0 to 20000 nm"), "{film}");
    assert_eq!(film.line, None, "the lines are those of a text that nobody saw");
    let text = ask(
        "read",
        "{\"kind\":\"workshop\",\"name\":\"shop.toml\",\"text\":\"schema = 1\\n[[metal]]\\nid = \\\"titanum\\\"\\n\"}",
    );
    assert_eq!((text.field.as_str(), text.line), ("metal[1].id", Some(3)));
    assert!(text.error.contains("shop.toml") && text.error.contains("titanium"), "{text}");
}

#[test]
fn a_file_written_reads_back_the_same() {
    let desk = Desk::open().unwrap();
    let shelf: Value = from_str(&desk.ask("shelf", "{}", &mut |_, _| ()).unwrap()).unwrap();
    let benches = shelf["benches"].as_array().unwrap();
    assert!(benches.len() >= 4);
    for bench in benches {
        let read = |text: &Value| -> Value {
            let request = serde_json::json!({ "kind": "workshop", "name": "bench.toml", "text": text }).to_string();
            from_str(&desk.ask("read", &request, &mut |_, _| ()).unwrap()).unwrap()
        };
        let value = read(&bench["text"])["value"].clone();
        let request = serde_json::json!({ "kind": "workshop", "value": value }).to_string();
        let written: Value = from_str(&desk.ask("write", &request, &mut |_, _| ()).unwrap()).unwrap();
        assert_eq!(read(&written["text"])["value"], value, "{}", bench["id"]);
    }
}
