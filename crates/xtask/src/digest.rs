//! SHA-256 in the two spellings that the build needs.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

/// The digest as 64 hexadecimal digits.
#[must_use]
pub fn hex(contents: &[u8]) -> String {
    Sha256::digest(contents)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The first eight hexadecimal digits: enough to name a file by its contents.
#[must_use]
pub fn short(contents: &[u8]) -> String {
    hex(contents)[..8].to_owned()
}

/// The digest as browsers check it: `sha256-` and base64.
#[must_use]
pub fn integrity(contents: &[u8]) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(contents)))
}

/// Whether a file's name has the form `stem-<8 hexadecimal digits>.extension`.
#[must_use]
pub fn is_in_name(name: &str) -> bool {
    let file = name.rsplit('/').next().unwrap_or_default();
    let stem = file.split('.').next().unwrap_or_default();
    stem.rsplit_once('-').is_some_and(|(before, digest)| {
        !before.is_empty()
            && digest.len() == 8
            && digest
                .bytes()
                .all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knows_a_hashed_name() {
        for name in [
            "app-0123abcd.wasm",
            "app-0123abcd.js.br",
            "a/b-deadbeef.css",
        ] {
            assert!(is_in_name(name), "{name}");
        }
        for name in [
            "app.js",
            "icon-192.png",
            "app-0123ABCD.js",
            "-0123abcd.js",
            "icon-maskable.svg",
        ] {
            assert!(!is_in_name(name), "{name}");
        }
    }

    #[test]
    fn known_digests() {
        // FIPS 180-4 example "abc".
        assert_eq!(
            hex(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
            "hex"
        );
        assert_eq!(short(b"abc"), "ba7816bf", "short");
        assert_eq!(
            integrity(b"abc"),
            "sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=",
            "integrity"
        );
    }
}
