//! Where records are kept when no folder is given.

use std::ffi::OsString;
use std::path::PathBuf;

/// The platform's folder for data of programs: `$XDG_DATA_HOME/huewright` or `~/.local/share/huewright`, on macOS
/// `~/Library/Application Support/huewright`, on Windows `%APPDATA%\huewright`. `None` where no home is known.
///
/// Source of the first two: XDG Base Directory Specification, 0.8 (a relative `$XDG_DATA_HOME` is ignored).
pub fn usual_folder() -> Option<PathBuf> {
    folder_of(&|name| std::env::var_os(name))
}

fn folder_of(env: &dyn Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    let path = |name: &str| env(name).map(PathBuf::from).filter(|p| p.is_absolute());
    let base = if cfg!(windows) {
        path("APPDATA")?
    } else if cfg!(target_os = "macos") {
        path("HOME")?.join("Library/Application Support")
    } else {
        match path("XDG_DATA_HOME") {
            Some(data) => data,
            None => path("HOME")?.join(".local/share"),
        }
    };
    Some(base.join("huewright"))
}

#[cfg(all(test, not(windows), not(target_os = "macos")))]
mod tests {
    use super::*;

    fn with(pairs: &[(&str, &str)]) -> Option<PathBuf> {
        folder_of(&|name| pairs.iter().find(|(n, _)| *n == name).map(|(_, v)| v.into()))
    }

    #[test]
    fn the_rules_of_the_platform() {
        let home = ("HOME", "/home/founder");
        assert_eq!(with(&[home]), Some("/home/founder/.local/share/huewright".into()));
        assert_eq!(with(&[home, ("XDG_DATA_HOME", "/data")]), Some("/data/huewright".into()));
        assert_eq!(with(&[home, ("XDG_DATA_HOME", "data")]), Some("/home/founder/.local/share/huewright".into()));
        assert_eq!(with(&[home, ("XDG_DATA_HOME", "")]), Some("/home/founder/.local/share/huewright".into()));
        assert_eq!(with(&[]), None);
    }
}
