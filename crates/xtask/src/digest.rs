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

#[cfg(test)]
mod tests {
    use super::*;

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
