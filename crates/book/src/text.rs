//! Small text work that several parts share.

use exposure::Stops;

/// FNV-1a, 64 bits: names records by content; nothing depends on it being hard to guess.
#[must_use]
pub fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// The first eight hexadecimal digits of [`hash`].
pub(crate) fn short_hash(text: &str) -> String {
    format!("{:08x}", hash(text) >> 32)
}

/// Lower-case letters, digits and hyphens of a name, for ids that can be read.
pub(crate) fn slug(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars().map(small) {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
        if out.len() >= 24 {
            break;
        }
    }
    let out = out.trim_matches('-');
    if out.is_empty() {
        "unnamed".to_owned()
    } else {
        out.to_owned()
    }
}

/// A positive number with enough decimals to be read back as the same number: nine, or twelve below one.
///
/// Both keep the scaled integer below 2^53, so that printing what was read gives the same text again.
pub(crate) fn exact(number: f64) -> String {
    let places = if number < 1.0 {
        12
    } else if number < 1_000_000.0 {
        9
    } else {
        3
    };
    exposure::words::exact(number, places)
}

/// A list in running text: `a`, `a and b`, `a, b and c`.
pub(crate) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// The same text with a large first letter, to begin a sentence.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        [large(first)].into_iter().chain(letters).collect()
    })
}

/// The small letter of a large one, in the scripts of Europe; everything else stays.
///
/// The tables of the standard library have all scripts, and are a tenth of what the page loads for the film book.
fn small(c: char) -> char {
    let code = u32::from(c);
    let small = match code {
        // Large and small letters in turn, large ones at even places.
        0x100..=0x12f
        | 0x132..=0x137
        | 0x14a..=0x177
        | 0x1de..=0x1ef
        | 0x1f8..=0x21f
        | 0x222..=0x233
        | 0x370..=0x373
        | 0x3d8..=0x3ef
        | 0x460..=0x481
        | 0x48a..=0x4bf
        | 0x4d0..=0x52f
        | 0x1e00..=0x1e95
        | 0x1ea0..=0x1eff => code | 1,
        // The same, at odd places.
        0x139..=0x148 | 0x179..=0x17e | 0x1cd..=0x1dc | 0x4c1..=0x4ce => code + code % 2,
        0x41..=0x5a | 0xc0..=0xd6 | 0xd8..=0xde | 0x391..=0x3a1 | 0x3a3..=0x3ab => code + 32,
        0x410..=0x42f => code + 32,
        0x400..=0x40f => code + 80,
        0x531..=0x556 => code + 48,
        0x388..=0x38a => code + 37,
        0x38e | 0x38f => code + 63,
        0x178 => 0xff,
        0x386 => 0x3ac,
        0x38c => 0x3cc,
        _ => code,
    };
    char::from_u32(small).unwrap_or(c)
}

/// The large letter of a small one, as [`small`] has them.
fn large(c: char) -> char {
    let steps = [1, 32, 80, 48, 37, 38, 63, 64];
    let mut before = steps.into_iter().filter_map(|step| {
        let code = u32::from(c).checked_sub(step)?;
        char::from_u32(code)
    });
    before.find(|large| small(*large) == c).unwrap_or(c)
}

/// A text in small letters, to be compared.
pub(crate) fn in_small(text: &str) -> String {
    text.chars().map(small).collect()
}

/// `1 frame`, `3 frames`.
pub(crate) fn counted(count: usize, one: &str) -> String {
    if count == 1 {
        format!("1 {one}")
    } else {
        format!("{count} {one}s")
    }
}

/// Sorts a short list in place and keeps equal items in their order.
///
/// A plain insertion sort: the one of the standard library is ten times the code for each type, and the page loads it.
pub(crate) fn order<T>(items: &mut [T], before: impl Fn(&T, &T) -> bool) {
    for end in 1..items.len() {
        let mut at = end;
        while at > 0 && before(&items[at], &items[at - 1]) {
            items.swap(at, at - 1);
            at -= 1;
        }
    }
}

/// Numbers from least to most.
pub(crate) fn rising(numbers: &mut [f64]) {
    order(numbers, |a, b| a < b);
}

/// The middle of numbers from least to most, or the middle between the two in the middle; none of none.
pub(crate) fn median(sorted: &[f64]) -> Option<f64> {
    let middle = sorted.len() / 2;
    let upper = *sorted.get(middle)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    // OK because an even count above zero has one below the middle.
    Some(f64::midpoint(sorted[middle - 1], upper))
}

/// Thousandths of a stop, for records.
#[expect(
    clippy::cast_possible_truncation,
    reason = "differences are within 300 stops"
)]
pub(crate) fn thousandths(stops: Stops) -> i32 {
    (stops.get() * 1000.0).round() as i32
}

/// A difference from thousandths of a stop; beyond 100 stops it is held there.
pub(crate) fn from_thousandths(thousandths: i32) -> Stops {
    let stops = f64::from(thousandths.clamp(-100_000, 100_000)) / 1000.0;
    Stops::new(stops).unwrap_or(Stops::ZERO)
}

/// A difference from whole twelfths of a stop; beyond 100 stops it is held there.
pub(crate) fn from_twelfths(twelfths: i32) -> Stops {
    Stops::new(f64::from(twelfths.clamp(-1200, 1200)) / 12.0).unwrap_or(Stops::ZERO)
}

/// Whole twelfths of a stop in words, never rounded: `⅓ stop more light`, `1 1/12 stops less light`.
pub(crate) fn twelfths(twelfths: i32) -> String {
    if twelfths % 2 == 0 {
        return exposure::words::difference(from_twelfths(twelfths));
    }
    let size = twelfths.unsigned_abs();
    let (whole, rest) = (size / 12, size % 12);
    let whole = if whole == 0 {
        String::new()
    } else {
        format!("{whole} ")
    };
    format!(
        "{whole}{rest}/12 stop{} {}",
        if size < 12 { "" } else { "s" },
        if twelfths > 0 {
            "more light"
        } else {
            "less light"
        }
    )
}

/// A difference in words for running text; none is `as at the base` or what the caller calls it.
pub(crate) fn lean(difference: Stops, none: &str) -> String {
    if difference.is_even() {
        none.to_owned()
    } else {
        exposure::words::difference(difference)
    }
}

/// Numbers on the film in runs: `3, 6 to 8`.
pub(crate) fn runs(numbers: &[u16]) -> String {
    let mut out: Vec<(u16, u16)> = Vec::new();
    for number in numbers {
        match out.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(*number) => *last = *number,
            Some((_, last)) if *last == *number => {}
            _ => out.push((*number, *number)),
        }
    }
    let parts: Vec<String> = out
        .into_iter()
        .map(|(first, last)| {
            if first == last {
                format!("{first}")
            } else {
                format!("{first} to {last}")
            }
        })
        .collect();
    list(&parts)
}

#[cfg(test)]
mod tests {
    use super::{capital, in_small, large, small};

    #[test]
    fn letters_of_europe_are_small_as_the_standard_library_has_them() {
        let latin = (0..0x180).chain(0x1cd..0x1f0).chain(0x1f8..0x220);
        let others = (0x370..0x530).chain(0x531..0x587).chain(0x1e00..0x1e96);
        let all = latin.chain(others).chain(0x1ea0..0x1f00);
        for c in all.filter_map(char::from_u32) {
            // A small letter with a dot of its own, a digraph between large and small, and signs that are no letters of words.
            if matches!(c, 'İ' | 'Ǳ'..='ǳ' | 'Ϳ' | 'ϴ' | 'Ϸ' | 'Ϲ'..='Ͽ' | 'Ͷ' | 'Ϗ' | 'Ӏ' | 'Ÿ')
            {
                continue;
            }
            let known: String = c.to_lowercase().collect();
            assert_eq!(small(c).to_string(), known, "{c} {:x}", u32::from(c));
            if small(c) != c {
                assert_eq!(large(small(c)), c, "{c} {:x}", u32::from(c));
            }
        }
    }

    #[test]
    fn a_sentence_begins_large_and_is_found_small() {
        assert_eq!(capital("über 20"), "Über 20", "a letter of its own");
        assert_eq!(
            in_small("ÉTÉ Łódź ПЛЁНКА Φιλμ"),
            "été łódź плёнка φιλμ",
            "names"
        );
    }
}
