//! Damaged files: nothing panics, and what comes out is sound.
//!
//! `STOPKEEPER_MUTATIONS=1000000 cargo test --release -p readings --test readings mutated` runs a million.

use readings::photo::{Filled, read};

use crate::check::sound;
use crate::fixture::{FLASH, METERING, ORDERS, TAKEN, TV, Value, heic, jpeg, plain, tiff};

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
            [jpeg(&block), heic(&block), block]
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
