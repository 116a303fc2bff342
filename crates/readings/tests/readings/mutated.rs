//! Damaged files: nothing panics, and what comes out is sound.
//!
//! `STOPKEEPER_MUTATIONS=1000000 cargo test --release -p readings --test readings mutated` runs a million.

use readings::photo::{Filled, read};

use crate::check::sound;
use crate::fixture::{FLASH, Laid, METERING, ORDERS, TAKEN, TV, Value, plain, tiff};
use crate::wrapped::{
    End, HEIC, Heic, LEADS, Way, boxed, chunk, exif_segment, jpeg, jpeg_of, png, profile_text,
    raw_boxes, raw_with_jpeg, segment, stored, webp,
};

/// A plain generator (xorshift, G. Marsaglia, 2003), so that each run makes the same files.
struct Dice(u64);

impl Dice {
    fn throw(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % u64::try_from(below.max(1)).expect("a size")).expect("a size")
    }
}

fn damage(dice: &mut Dice, file: &mut Vec<u8>) {
    const NASTY: [u8; 8] = [0, 1, 2, 0x7f, 0x80, 0xfe, 0xff, 8];
    for _ in 0..=dice.throw(6) {
        let at = dice.throw(file.len());
        match dice.throw(6) {
            0 => file.truncate(at),
            1 => {
                file.insert(at.min(file.len()), NASTY[dice.throw(NASTY.len())]);
            }
            2 if at < file.len() => {
                file.remove(at);
            }
            3 => {
                let to = dice.throw(file.len());
                if at < file.len() && to < file.len() {
                    file.swap(at, to);
                }
            }
            4 => {
                if let Some(byte) = file.get_mut(at) {
                    *byte = u8::try_from(dice.throw(256)).expect("a byte");
                }
            }
            _ => {
                if let Some(byte) = file.get_mut(at) {
                    *byte = NASTY[dice.throw(NASTY.len())];
                }
            }
        }
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let mut tags = plain();
    tags.exif.extend([
        (FLASH, Value::Short(1)),
        (METERING, Value::Short(5)),
        (TAKEN, Value::Text("2026:11:25 13:35:10")),
        (TV, Value::Signed(7, 1)),
    ]);
    tags.position = vec![(2, Value::Ratio(47, 1))];
    ORDERS
        .into_iter()
        .flat_map(|order| {
            let block = tiff(order, &tags);
            let named = [b"Exif\0\0", &block[..]].concat();
            let text = profile_text(&block);
            let alone = |directories| {
                let mut laid = Laid::new(order, &[]);
                laid.directories = directories;
                laid.file()
            };
            let mut raw = Laid::new(order, &tags.exif);
            raw.number = 0x0055;
            raw.newer_pointer = true;
            let mut holder = Laid::new(order, &[]);
            holder.number = 0x4F52;
            holder.directories = vec![vec![(0x002E, Value::Bytes(jpeg(&block)))]];
            let mut all = vec![
                jpeg(&block),
                jpeg_of(&[segment(0xE1, b"a name space\0<x/>"), exif_segment(&block)]),
                png(&[chunk(b"eXIf", &block)], &[]),
                png(
                    &[],
                    &[chunk(
                        b"zTXt",
                        &[b"Raw profile type exif\0\0", &stored(&text)[..]].concat(),
                    )],
                ),
                webp(&[(b"VP8X", b"\x08\0\0\0\0\0\0\0\0\0"), (b"EXIF", &named)]),
                boxed(b"jP  ", &boxed(b"ftyp", b"jp2 \0\0\0\0jp2 ")),
                [
                    boxed(b"ftyp", b"jxl \0\0\0\0jxl "),
                    boxed(b"Exif", &[b"\0\0\0\x06", &named[..]].concat()),
                ]
                .concat(),
                raw_boxes(&[alone(vec![tags.exif.clone()]), block.clone()]),
                raw_with_jpeg(&jpeg(&block)),
                alone(vec![tags.exif.clone(), tags.exif.clone()]),
                raw.file(),
                holder.file(),
            ];
            for (places, way, end, parts) in [
                (0, Way::File, End::Usual, 1),
                (1, Way::Own, End::OfTheFile, 2),
                (2, Way::Item, End::Wide, 3),
            ] {
                all.extend(LEADS.map(|lead| {
                    let written = Heic {
                        places,
                        way,
                        end,
                        parts,
                        lead,
                        widths: [4, 4, 4, 4],
                        ..HEIC
                    };
                    written.of_items(&[(49, &block), (50, &block)], 2)
                }));
            }
            all.push(block);
            all
        })
        .collect()
}

#[test]
fn mutated_files_never_panic() {
    let wanted = option_env_count();
    let seeds = seeds();
    let mut dice = Dice(0x5709_5eed_0000_0001);
    let (mut complete, mut refused, mut damaged) = (0_u32, 0_u32, 0_u32);
    let filled = Filled {
        time: "1/60".into(),
        aperture: "8".into(),
        sensitivity: "100".into(),
    };
    for round in 0..wanted {
        let mut file = seeds[round % seeds.len()].clone();
        damage(&mut dice, &mut file);
        let photo = read(&file);
        match photo.found(&Filled::default(), None) {
            Ok(found) => {
                complete += 1;
                sound(&found);
            }
            Err(error) => {
                refused += 1;
                assert!(
                    !error.to_string().is_empty(),
                    "a refusal without a sentence"
                );
            }
        }
        damaged += u32::from(photo.remarks.iter().any(|r| r.contains("damaged")));
        sound(&photo.found(&filled, None).expect("everything was typed"));
    }
    // The damage reaches what it is about: files that are still complete, refused ones, and partly damaged ones.
    for (what, count) in [
        ("complete", complete),
        ("refused", refused),
        ("damaged", damaged),
    ] {
        assert!(count > 100, "only {count} files came out {what}");
    }
}

fn option_env_count() -> usize {
    #[expect(
        clippy::disallowed_methods,
        reason = "how many files are tried is asked for from outside; what is checked stays the same"
    )]
    std::env::var("STOPKEEPER_MUTATIONS")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(20_000)
}
