//! The word that opens the door to a workbench on a network.

use sha2::{Digest, Sha256};
use std::path::Path;
use subtle::ConstantTimeEq;

/// 22 letters out of 64 hold 132 bits.
const FEWEST_LETTERS: usize = 22;
const MOST_LETTERS: usize = 200;

/// A secret of at least 128 bits. Its `Debug` does not show it.
#[derive(Clone)]
pub struct Token(String);

impl std::fmt::Debug for Token {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Token(..)")
    }
}

impl Token {
    /// 128 bits from the system's source of randomness, as 32 hexadecimal digits.
    ///
    /// # Errors
    /// Words when the system gives none.
    pub fn random() -> Result<Self, String> {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes).map_err(|e| format!("the system gives no random numbers: {e}"))?;
        Ok(Self(hex(&bytes)))
    }

    /// The first line of a file, of letters, digits, `-` and `_`.
    ///
    /// # Errors
    /// Words when the file cannot be read, others may read it, or the token is short or holds other characters.
    pub fn from_file(path: &Path) -> Result<Self, String> {
        let shown = path.display();
        let text = std::fs::read_to_string(path).map_err(|e| format!("{shown} cannot be read: {e}"))?;
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode =
                std::fs::metadata(path).map_err(|e| format!("{shown} cannot be read: {e}"))?.permissions().mode();
            if mode & 0o077 != 0 {
                return Err(format!("{shown} holds a token, and others may read it: chmod 600 {shown}"));
            }
        }
        let word = text.lines().next().unwrap_or_default().trim();
        let letters = word.chars().count();
        if !(FEWEST_LETTERS..=MOST_LETTERS).contains(&letters)
            || !word.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        {
            return Err(format!(
                "{shown}: the first line has {letters} characters; a token has {FEWEST_LETTERS} to {MOST_LETTERS} letters, \
                 digits, - or _, drawn at random"
            ));
        }
        Ok(Self(word.to_owned()))
    }

    /// As it stands in an address.
    pub fn word(&self) -> &str {
        &self.0
    }

    /// Whether it was given; the time this takes says nothing of where they differ.
    pub(crate) fn is(&self, given: &str) -> bool {
        Sha256::digest(self.0.as_bytes()).ct_eq(&Sha256::digest(given.as_bytes())).into()
    }
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}
