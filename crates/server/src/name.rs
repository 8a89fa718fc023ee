//! Names of records, and the names of their files.

/// What a record is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Workshop,
    Finish,
    Part,
    Recipe,
    Wanted,
}

impl Kind {
    pub(crate) const ALL: [Self; 5] = [Self::Workshop, Self::Finish, Self::Part, Self::Recipe, Self::Wanted];

    /// In addresses, and the name of its folder.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Workshop => "workshop",
            Self::Finish => "finish",
            Self::Part => "part",
            Self::Recipe => "recipe",
            Self::Wanted => "wanted",
        }
    }

    pub(crate) fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.word() == word)
    }

    /// Whether the desk's question `read` knows it, so that it is checked before it is kept.
    pub(crate) fn is_read(self) -> bool {
        matches!(self, Self::Workshop | Self::Finish | Self::Part)
    }
}

const MOST_LETTERS: usize = 80;
/// File systems stop at 255 bytes; the ending and the date of a removed one need room.
const MOST_BYTES: usize = 200;
/// Names that Windows keeps for devices, with any ending.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// A name that was checked: it holds no separator, no control character, and begins with no dot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Name(String);

impl Name {
    /// Letters of any script, digits 0 to 9, space, `-`, `_`, `.`, `,`, `'`, `(`, `)`: the invented benches are named so.
    pub(crate) fn new(name: &str) -> Result<Self, String> {
        let letters = name.chars().count();
        if letters == 0 || letters > MOST_LETTERS || name.len() > MOST_BYTES {
            return Err(format!("the name has {letters} characters; 1 to {MOST_LETTERS} are allowed"));
        }
        let allowed = |c: &char| c.is_alphabetic() || c.is_ascii_digit() || " -_.,()'".contains(*c);
        if let Some(other) = name.chars().find(|c| !allowed(c)) {
            return Err(format!(
                "the name holds '{}'; letters, digits, space, comma, - _ . ' ( and ) are allowed",
                other.escape_default()
            ));
        }
        if name.starts_with(['.', ' ']) || name.ends_with(['.', ' ']) {
            return Err("the name begins or ends with a dot or space; leave it out".to_owned());
        }
        let stem = name.split('.').next().unwrap_or_default().trim_end().to_lowercase();
        let numbered = |device: &str| {
            stem.strip_prefix(device).is_some_and(|n| n.len() == 1 && n.chars().all(|c| c.is_ascii_digit()))
        };
        if DEVICES.contains(&stem.as_str()) || numbered("com") || numbered("lpt") {
            return Err(format!("'{stem}' is a device on Windows; choose another name"));
        }
        Ok(Self(name.to_owned()))
    }

    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }

    /// Name of its file: the name and `.toml`; a wanted spectrum or swatch keeps its `.csv` or `.json`.
    pub(crate) fn file(&self, kind: Kind) -> String {
        if kind == Kind::Wanted && table(&self.0) { self.0.clone() } else { format!("{}.toml", self.0) }
    }

    /// The name whose file this is; `None` for a file that is not a record.
    pub(crate) fn of_file(kind: Kind, file: &str) -> Option<Self> {
        let name = match file.strip_suffix(".toml") {
            Some(name) => name,
            None if kind == Kind::Wanted && table(file) => file,
            None => return None,
        };
        Self::new(name).ok().filter(|n| n.file(kind) == file)
    }

    /// Media type of its text.
    pub(crate) fn media(&self, kind: Kind) -> &'static str {
        match self.0.rsplit_once('.') {
            Some((_, "csv")) if kind == Kind::Wanted => "text/csv; charset=utf-8",
            Some((_, "json")) if kind == Kind::Wanted => "application/json",
            _ => "application/toml",
        }
    }
}

fn table(name: &str) -> bool {
    name.ends_with(".csv") || name.ends_with(".json")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_a_workshop_pass() {
        for name in [
            "blue dome",
            "Dome 3 - B_flat",
            "v1.2",
            "G\u{f6}teborg \u{e9}t\u{e9}",
            "\u{9418}",
            "a",
            "com10",
            "console",
            "7",
        ] {
            let kept = Name::new(name).unwrap();
            for kind in Kind::ALL {
                assert_eq!(Name::of_file(kind, &kept.file(kind)), Some(kept.clone()), "{name}");
            }
        }
        assert_eq!(Name::new("deep.csv").unwrap().file(Kind::Wanted), "deep.csv");
        assert_eq!(Name::new("deep.csv").unwrap().file(Kind::Finish), "deep.csv.toml");
        assert_eq!(Name::new(&"x".repeat(80)).unwrap().as_str().len(), 80);
    }

    #[test]
    fn names_of_the_benches_and_examples_pass() {
        let here = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut read = 0;
        for folder in ["../../data/benches", "../../examples/bells"] {
            for entry in std::fs::read_dir(here.join(folder)).unwrap() {
                let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
                let line = text.lines().find_map(|l| l.strip_prefix("name = \"")).unwrap();
                let name = line.split('"').next().unwrap();
                assert!(Name::new(name).is_ok(), "{name}");
                read += 1;
            }
        }
        assert!(read >= 6, "{read}");
    }

    #[test]
    fn names_that_are_paths_or_devices_do_not() {
        let long = "x".repeat(81);
        let wide = "\u{9418}".repeat(80);
        for name in [
            "",
            ".",
            "..",
            "...",
            ".hidden",
            "../x",
            "a/b",
            "a\\b",
            "/etc/passwd",
            "C:\\x",
            "c:x",
            "a\0b",
            "a\nb",
            "a\tb",
            "a\u{2215}b",
            "a\u{ff0f}b",
            "a\u{2044}b",
            "a\u{29f8}b",
            "\u{ff0e}\u{ff0e}",
            "\u{2024}\u{2024}",
            "\u{202e}x",
            "a\u{200b}b",
            "a\u{a0}b",
            "a ",
            " a",
            "a.",
            "con",
            "CON",
            "nul.txt",
            "aux .x",
            "Com1",
            "lpt9.old",
            "conin$",
            "a*b",
            "a?b",
            "a|b",
            "a<b",
            "a:b",
            "a\"b",
            "%2e%2e",
            "~",
            "e\u{301}",
            "com\u{b9}",
            long.as_str(),
            wide.as_str(),
        ] {
            assert!(Name::new(name).is_err(), "{name:?} passed");
        }
    }

    #[test]
    fn no_name_leaves_its_folder() {
        // Every character there is, alone and in the middle: a name that passes is one ordinary part of a path.
        for c in (0..=0x10_ffff).filter_map(char::from_u32) {
            for text in [c.to_string(), format!("a{c}b"), format!("{c}{c}"), format!("{c}a")] {
                let Ok(name) = Name::new(&text) else { continue };
                let file = name.file(Kind::Finish);
                let parts: Vec<_> = std::path::Path::new(&file).components().collect();
                assert!(
                    matches!(parts.as_slice(), [std::path::Component::Normal(p)] if *p == file.as_str()),
                    "{text:?}"
                );
            }
        }
    }
}
