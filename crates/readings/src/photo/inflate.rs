//! Unpacks what was packed by deflate (RFC 1951) in a frame of its own (RFC 1950), written from these two.

/// Longest code, in bits.
const LONGEST: usize = 15;

/// What was packed, unless it is damaged or longer than `most` bytes.
///
/// The sum at its end is not checked: it says nothing that what is packed does not.
pub(super) fn inflate(packed: &[u8], most: usize) -> Option<Vec<u8>> {
    let [method, flags, rest @ ..] = packed else {
        return None;
    };
    // Deflate, and no dictionary that both know.
    if method & 15 != 8
        || flags & 32 != 0
        || (u16::from(*method) << 8 | u16::from(*flags)) % 31 != 0
    {
        return None;
    }
    let mut bits = Bits { bytes: rest, at: 0 };
    let mut out = Vec::new();
    loop {
        let is_last = bits.take(1)? == 1;
        match bits.take(2)? {
            0 => stored(&mut bits, &mut out, most)?,
            1 => {
                let lengths: Vec<u8> = (0..288).map(usual).collect();
                let (literals, distances) = (Codes::new(&lengths), Codes::new(&[5; 30]));
                coded(&mut bits, &literals, &distances, &mut out, most)?;
            }
            2 => {
                let (literals, distances) = own_codes(&mut bits)?;
                coded(&mut bits, &literals, &distances, &mut out, most)?;
            }
            _ => return None,
        }
        if is_last {
            return Some(out);
        }
    }
}

/// Bits, the lowest of each byte first.
struct Bits<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Bits<'_> {
    fn take(&mut self, count: u8) -> Option<usize> {
        let mut value = 0;
        for place in 0..count {
            let byte = self.bytes.get(self.at / 8)?;
            value |= usize::from(byte >> (self.at % 8) & 1) << place;
            self.at += 1;
        }
        Some(value)
    }
}

/// Codes by their lengths: how many there are of each length, and what they stand for in order.
struct Codes {
    counts: [usize; LONGEST + 1],
    symbols: Vec<usize>,
}

impl Codes {
    fn new(lengths: &[u8]) -> Self {
        let mut counts = [0; LONGEST + 1];
        let mut symbols = Vec::new();
        for (length, count) in counts.iter_mut().enumerate().skip(1) {
            let of_this = lengths.iter().enumerate();
            let of_this = of_this.filter(|(_, other)| usize::from(**other) == length);
            let before = symbols.len();
            symbols.extend(of_this.map(|(symbol, _)| symbol));
            *count = symbols.len() - before;
        }
        Self { counts, symbols }
    }

    /// The next symbol: codes of one length are numbers that follow each other, and those of the next length go on from them.
    fn next(&self, bits: &mut Bits<'_>) -> Option<usize> {
        let (mut code, mut first, mut index) = (0, 0, 0);
        for count in &self.counts[1..] {
            code |= bits.take(1)?;
            // More codes than there are numbers for them: damaged.
            let within = usize::checked_sub(code, first)?;
            if within < *count {
                return self.symbols.get(index + within).copied();
            }
            index += count;
            first = (first + count) << 1;
            code <<= 1;
        }
        None
    }
}

/// The usual length of the code of a symbol.
const fn usual(symbol: u16) -> u8 {
    match symbol {
        0..144 => 8,
        144..256 => 9,
        256..280 => 7,
        _ => 8,
    }
}

fn stored(bits: &mut Bits<'_>, out: &mut Vec<u8>, most: usize) -> Option<()> {
    let start = bits.at.div_ceil(8);
    let [a, b, c, d] = *bits.bytes.get(start..)?.first_chunk::<4>()?;
    let length = u16::from_le_bytes([a, b]);
    if length != !u16::from_le_bytes([c, d]) {
        return None;
    }
    let (from, length) = (start + 4, usize::from(length));
    let data = bits.bytes.get(from..from + length)?;
    bits.at = (from + length) * 8;
    out.extend_from_slice(data);
    (out.len() <= most).then_some(())
}

/// Codes that stand before what is packed with them.
fn own_codes(bits: &mut Bits<'_>) -> Option<(Codes, Codes)> {
    /// In which order the lengths of the codes for lengths stand.
    const ORDER: [usize; 19] = [
        16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15,
    ];
    let (literals, distances) = (bits.take(5)? + 257, bits.take(5)? + 1);
    let mut short = [0; 19];
    for place in &ORDER[..bits.take(4)? + 4] {
        short[*place] = u8::try_from(bits.take(3)?).ok()?;
    }
    let codes = Codes::new(&short);
    let mut lengths: Vec<u8> = Vec::new();
    while lengths.len() < literals + distances {
        let (length, times) = match codes.next(bits)? {
            16 => (*lengths.last()?, bits.take(2)? + 3),
            17 => (0, bits.take(3)? + 3),
            18 => (0, bits.take(7)? + 11),
            length => (u8::try_from(length).ok()?, 1),
        };
        lengths.extend(std::iter::repeat_n(length, times));
    }
    let (before, after) = lengths.split_at(literals);
    Some((Codes::new(before), Codes::new(after.get(..distances)?)))
}

fn coded(
    bits: &mut Bits<'_>,
    literals: &Codes,
    distances: &Codes,
    out: &mut Vec<u8>,
    most: usize,
) -> Option<()> {
    loop {
        match literals.next(bits)? {
            256 => return Some(()),
            byte if byte < 256 => out.push(u8::try_from(byte).ok()?),
            // The longest has a code of its own; two more stand for nothing.
            285 => copy(bits, distances, out, 258)?,
            286.. => return None,
            code => {
                let length = spread(bits, code - 257, 4)? + 3;
                copy(bits, distances, out, length)?;
            }
        }
        if out.len() > most {
            return None;
        }
    }
}

/// Repeats what stands some distance before the end.
fn copy(bits: &mut Bits<'_>, distances: &Codes, out: &mut Vec<u8>, length: usize) -> Option<()> {
    let code = distances.next(bits)?;
    let distance = spread(bits, code, 2)? + 1;
    let start = out.len().checked_sub(distance)?;
    for at in start..start + length {
        out.push(out[at]);
    }
    Some(())
}

/// A number whose code says how many bits of it follow: with each `step` codes one more.
fn spread(bits: &mut Bits<'_>, code: usize, step: usize) -> Option<usize> {
    let extra = (code / step).saturating_sub(1);
    if extra > 13 {
        return None;
    }
    let start = if extra == 0 {
        code
    } else {
        (step + code % step) << extra
    };
    Some(start + bits.take(u8::try_from(extra).ok()?)?)
}

#[cfg(test)]
mod tests {
    use miniz_oxide::deflate::compress_to_vec_zlib;
    use proptest::prelude::*;

    use super::inflate;

    proptest! {
        #[test]
        fn unpacks_what_another_packed(
            words in prop::collection::vec("[a-f0-9]{0,40}", 0..60),
            level in 0_u8..10,
        ) {
            let text = words.join("\n").into_bytes();
            let packed = compress_to_vec_zlib(&text, level);
            prop_assert_eq!(inflate(&packed, text.len()), Some(text));
        }

        #[test]
        fn unpacks_bytes_of_any_kind(bytes: Vec<u8>, level in 0_u8..10) {
            let packed = compress_to_vec_zlib(&bytes, level);
            prop_assert_eq!(inflate(&packed, bytes.len()), Some(bytes));
        }

        #[test]
        fn nothing_that_is_damaged_is_more_than_was_asked_for(
            bytes: Vec<u8>,
            place: prop::sample::Index,
            other: u8,
        ) {
            let mut packed = compress_to_vec_zlib(&bytes.repeat(3), 6);
            let place = place.index(packed.len());
            packed[place] = other;
            prop_assert!(inflate(&packed, 1000).is_none_or(|out| out.len() <= 1000));
        }
    }

    #[test]
    fn long_repeats_and_long_ways_back() {
        let mut bytes: Vec<u8> = (0..40_000_u32)
            .map(|n| (n.wrapping_mul(n) >> 7).to_le_bytes()[0])
            .collect();
        bytes.extend(vec![7; 5000]);
        bytes.extend_from_within(20_000..30_000);
        for level in [1, 6, 9] {
            let packed = compress_to_vec_zlib(&bytes, level);
            assert_eq!(
                inflate(&packed, bytes.len()).as_ref(),
                Some(&bytes),
                "{level}"
            );
            assert_eq!(inflate(&packed, bytes.len() - 300), None, "too long");
            assert_eq!(
                inflate(&packed[..packed.len() / 2], bytes.len()),
                None,
                "cut"
            );
        }
        assert_eq!(inflate(&[], 10), None, "nothing");
    }
}
