//! How long a scan takes: `cargo run --release -p scans --example timing`.
#![expect(
    clippy::disallowed_types,
    clippy::disallowed_macros,
    reason = "an example that measures has a clock and prints"
)]

use std::time::Instant;

use scans::{Measured, Pixels, register::Waves};

fn main() {
    let (width, height) = (6000, 4000);
    let mut seed = 1_u32;
    let rgba: Vec<u8> = (0..width * height * 4)
        .map(|at| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let tone = (at / 4 % width / 40 + at / 4 / width / 40) % 200;
            u8::try_from(tone).unwrap_or(0) + u8::try_from(seed >> 28).unwrap_or(0)
        })
        .collect();
    let began = Instant::now();
    let pixels = Pixels::new(width, height, &rgba).expect("as many as said");
    let measured = Measured::of(&pixels);
    println!("24 million pixels: {:?}", began.elapsed());
    let began = Instant::now();
    let waves = Waves::of(&measured.grid);
    println!("waves of a small picture: {:?}", began.elapsed());
    let began = Instant::now();
    let shift = waves.shift_to(&waves);
    println!("two of them compared: {:?} ({shift:?})", began.elapsed());
}
