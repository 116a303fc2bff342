//! Bytes as letters that addresses allow (RFC 4648, section 5, without padding).

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// Bytes as letters.
pub(crate) fn encode(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let bits = group
            .iter()
            .fold(0, |bits, byte| bits << 8 | usize::from(*byte));
        let bits = bits << (8 * (3 - group.len()));
        for place in 0..=group.len() {
            let six = bits >> (18 - 6 * place) & 63;
            text.push(char::from(LETTERS[six]));
        }
    }
    text
}

/// The bytes of letters; none where these are no such letters.
pub(crate) fn decode(text: &str) -> Option<Vec<u8>> {
    let mut all = Vec::with_capacity(text.len());
    for group in text.as_bytes().chunks(4) {
        let bits = group
            .iter()
            .try_fold(0, |bits, letter| Some(bits << 6 | six_of(*letter)?))?;
        let bytes = u32::to_be_bytes(bits << (6 * (4 - group.len())));
        // Of the last group only whole bytes count, and what is over is nought.
        let (whole, over) = bytes[1..].split_at(group.len() - 1);
        if whole.is_empty() || over.iter().any(|byte| *byte != 0) {
            return None;
        }
        all.extend_from_slice(whole);
    }
    Some(all)
}

fn six_of(letter: u8) -> Option<u32> {
    let (first, start) = match letter {
        b'A'..=b'Z' => (b'A', 0),
        b'a'..=b'z' => (b'a', 26),
        b'0'..=b'9' => (b'0', 52),
        b'-' => (b'-', 62),
        b'_' => (b'_', 63),
        _ => return None,
    };
    Some(u32::from(letter - first) + start)
}

#[cfg(test)]
mod tests {
    use base64::{Engine as _, engine::general_purpose::URL_SAFE_NO_PAD};
    use proptest::prelude::*;

    use super::{decode, encode};

    proptest! {
        #[test]
        fn bytes_come_back_and_stand_as_another_writes_them(bytes: Vec<u8>) {
            let text = encode(&bytes);
            prop_assert_eq!(&text, &URL_SAFE_NO_PAD.encode(&bytes));
            prop_assert_eq!(decode(&text), Some(bytes));
        }

        #[test]
        fn what_another_refuses_is_refused(text in "[A-Za-z0-9_+=/ é-]{0,9}") {
            prop_assert_eq!(decode(&text), URL_SAFE_NO_PAD.decode(&text).ok());
        }
    }
}
