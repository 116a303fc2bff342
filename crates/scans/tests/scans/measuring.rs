//! One picture: clipping, percentiles, noise and casts, against published figures.

use exposure::tone;
use scans::{
    Measured, Pixels,
    frame::{Cast, percent},
    noise::{donoho, immerkaer},
    speed::scan_density,
    stats::{percentile, robust_spread},
};

use crate::{
    check::{close, noise, number, rows},
    made::{Made, to_code},
};

fn measured(width: usize, height: usize, pixels: impl Fn(usize) -> [u8; 3]) -> Measured {
    let rgba: Vec<u8> = (0..width * height)
        .flat_map(|at| {
            let [red, green, blue] = pixels(at);
            [red, green, blue, 255]
        })
        .collect();
    Measured::of(&Pixels::new(width, height, &rgba).expect("as many as said"))
}

/// C1 [CALC].
#[test]
fn codes_and_densities() {
    let table = include_str!("../data/clipping.csv");
    for row in rows("code,step_stops,density", table) {
        let code = number(row[0]);
        if !row[1].is_empty() {
            let step = (tone::light(code + 1.0) / tone::light(code)).log2();
            // A step is the mean of the ones to both sides of the code, where it is told apart at all.
            let below = (tone::light(code) / tone::light(code - 1.0)).log2();
            let wanted = number(row[1]);
            let near = (step - wanted).abs().min((below - wanted).abs());
            assert!(near <= 0.000_51, "step of code {code}: {step}, {below}");
        }
        if !row[2].is_empty() {
            let density = scan_density(code).expect("not black");
            close(
                format!("density of code {code}"),
                density,
                number(row[2]),
                0.000_051,
            );
        }
    }
    assert_eq!(scan_density(0.0), None, "black has no density");
    // Percentiles of 1 to 10, also as a picture of as many pixels.
    let ten: Vec<f64> = (1..=10).map(f64::from).collect();
    for (share, expected) in [(0.05, 1.45), (0.5, 5.5), (0.95, 9.55)] {
        close(
            share,
            percentile(&ten, share).expect("ten"),
            expected,
            1e-12,
        );
    }
    let picture = measured(5, 2, |at| [to_code(10.0 * ten[at]); 3]);
    close("p5", picture.tones.codes[1], 14.5, 1e-6);
    close("p50", picture.tones.median(), 55.0, 1e-6);
    close("p95", picture.tones.codes[5], 95.5, 1e-6);
}

#[test]
fn clipped_shares_are_counted_by_colour_and_for_any() {
    // A tenth red burnt out, a tenth blue, half of that both; a fifth black in green.
    let picture = measured(10, 10, |at| match at {
        0..5 => [255, 100, 100],
        5..10 => [254, 100, 254],
        10..15 => [253, 100, 255],
        20..40 => [100, 1, 100],
        _ => [100, 100, 100],
    });
    let bright = picture.bright;
    for (at, expected) in [0.10, 0.0, 0.10].into_iter().enumerate() {
        close(at, bright.colours[at], expected, 1e-12);
    }
    close("any", bright.any, 0.15, 1e-12);
    close("dark green", picture.dark.colours[1], 0.20, 1e-12);
    close("dark any", picture.dark.any, 0.20, 1e-12);
    close("in bars", picture.bars.iter().sum(), 0.85, 1e-9);
    let said = picture.words().join(" ");
    assert!(
        said.contains("Burnt out: 15 % (red 10 %, green nothing, blue 10 %)"),
        "{said}"
    );
    assert!(
        said.contains(
            "Black: nothing; black in a colour: 20 % (red nothing, green 20 %, blue nothing)"
        ),
        "{said}"
    );
    assert!(said.contains("on a copy of 10 × 10 pixels"), "{said}");
    close("black", picture.black(), 0.0, 1e-12);
    // Black in all colours, beside what is burnt out and what is red.
    let picture = measured(10, 10, |at| match at {
        0..10 => [0, 1, 0],
        10..25 => [255, 0, 0],
        25..40 => [200, 0, 0],
        _ => [100, 100, 100],
    });
    close("black", picture.black(), 0.10, 1e-9);
    let said = picture.words().join(" ");
    assert!(
        said.contains("Black: 10 %; black in a colour: 40 % (red 10 %, green 40 %, blue 40 %)"),
        "{said}"
    );
    let said = measured(10, 10, |_| [0; 3]).words().join(" ");
    assert!(said.contains("Black: 100 %. Counted"), "{said}");
    assert!(said.contains("as if the scan were plain sRGB"), "{said}");
    assert_eq!(percent(0.004), "less than 1 %", "little");
}

#[test]
fn the_histogram_stands_in_stops_about_middle_grey() {
    for (code, stops) in [(118, 0.0), (162, 1.0), (85, -1.0), (221, 2.0), (62, -2.0)] {
        let bars = measured(8, 8, |_| [code; 3]).histogram();
        assert_eq!(bars.len(), 1, "one tone is one bar");
        close(format!("code {code}"), bars[0].stops, stops, 1e-12);
        close("all of it", bars[0].share, 1.0, 1e-12);
    }
    assert!(
        measured(8, 8, |_| [255; 3]).histogram().is_empty(),
        "burnt out"
    );
    let black = measured(8, 8, |_| [0; 3]);
    assert!(
        black.histogram().is_empty() && black.middle().is_none(),
        "black"
    );
}

/// C2 [CALC]: Immerkær's measure of small planes and of the test noise, and Donoho's.
#[test]
fn noise_of_planes() {
    let plane = |of: &dyn Fn(f64, f64) -> f64| -> Vec<f64> {
        let five = [0.0, 1.0, 2.0, 3.0, 4.0];
        five.iter().flat_map(|y| five.map(|x| of(x, *y))).collect()
    };
    let sigma = |of: &dyn Fn(f64, f64) -> f64| immerkaer(&plane(of), 5).expect("five by five");
    close("slope", sigma(&|x, y| 10.0 + 3.0 * x + 7.0 * y), 0.0, 1e-12);
    close("bowl", sigma(&|x, y| x * x + y * y), 0.0, 1e-12);
    close("x²y²", sigma(&|x, y| x * x * y * y), 0.835_542_758_2, 1e-9);
    close(
        "checks",
        sigma(&|x, y| (x + y) % 2.0),
        1.671_085_516_4,
        1e-9,
    );
    let single = sigma(&|x, y| f64::from(u8::from((x + 5.0 * y - 12.0).abs() < 0.5)));
    close("single", single, 0.371_352_337_0, 1e-9);
    let sums = noise(64 * 64);
    for (at, expected) in [
        -0.659_655_42,
        -0.798_523_43,
        0.282_921_96,
        1.691_576_82,
        -0.654_252_53,
    ]
    .into_iter()
    .enumerate()
    {
        close(format!("sum {at}"), sums[at], expected, 5.1e-9);
    }
    let unrounded: Vec<f64> = sums.iter().map(|sum| 128.0 + 5.0 * sum).collect();
    let whole: Vec<f64> = unrounded
        .iter()
        .map(|value| (value + 0.5).floor())
        .collect();
    assert_eq!(
        whole[..8],
        [125.0, 124.0, 129.0, 136.0, 125.0, 128.0, 130.0, 136.0],
        "first row"
    );
    close("all pixels", whole.iter().sum(), 524_439.0, 0.1);
    let of = |plane: &[f64]| immerkaer(plane, 64).expect("large enough");
    close("unrounded", of(&unrounded), 4.945_754_861_9, 1e-9);
    close("rounded", of(&whole), 4.962_882_711_0, 1e-9);
    let wavelet = |plane: &[f64]| donoho(plane, 64).expect("large enough");
    close("wavelet", wavelet(&unrounded), 4.875_325_926_1, 1e-9);
    close("wavelet, rounded", wavelet(&whole), 5.189_107_764_8, 1e-9);
    // A ramp and a step change neither of the wavelet's.
    let with = |add: &dyn Fn(usize) -> f64| -> Vec<f64> {
        unrounded
            .iter()
            .enumerate()
            .map(|(at, value)| value + add(at % 64))
            .collect()
    };
    #[expect(clippy::cast_precision_loss, reason = "64 columns")]
    let ramp = with(&|x| 1.5 * x as f64);
    let step = with(&|x| if x >= 32 { 60.0 } else { 0.0 });
    for (name, plane) in [("ramp", &ramp), ("step", &step)] {
        close(name, wavelet(plane), 4.875_325_926_1, 1e-9);
    }
    close("a slope is none", of(&ramp), 4.945_754_861_9, 1e-9);
    close(
        "spread of a patch",
        robust_spread(&[118.0, 120.0, 116.0, 119.0, 117.0, 121.0, 118.0, 90.0]).expect("eight"),
        2.2239,
        1e-9,
    );
    assert_eq!(immerkaer(&[1.0; 4], 2), None, "too small");
    assert_eq!(immerkaer(&[1.0; 7], 3), None, "no rectangle");
    assert_eq!(donoho(&[1.0; 3], 3), None, "one row");
}

/// Noise that was put into a picture is found again, in each third and whatever is clipped beside it.
#[test]
fn noise_of_pictures() {
    let sums = noise(96 * 96);
    // A code is 0.40 L* at code 118.
    let each = tone::lightness(tone::light(118.5)) - tone::lightness(tone::light(117.5));
    for strength in [1.5, 3.0, 5.0] {
        let grained = |at: usize| to_code(118.0 + strength * sums[at]);
        let even = measured(96, 96, |at| [grained(at); 3]);
        let found = even.noise.expect("noise").lightness;
        // Codes are whole: a twelfth of a square code is added.
        let truth = (strength * strength + 1.0 / 12.0_f64).sqrt() * each;
        close(format!("strength {strength}"), found / truth, 1.0, 0.06);
        // A third burnt out, and an edge: the rest says the same.
        let cut = measured(96, 96, |at| match at % 96 {
            0..32 => [255; 3],
            32..48 => [to_code(60.0 + strength * sums[at]); 3],
            _ => [grained(at); 3],
        });
        close(
            format!("strength {strength} beside white"),
            cut.noise.expect("noise").thirds[1].expect("middle") / truth,
            1.0,
            0.08,
        );
    }
    assert_eq!(measured(64, 64, |_| [255; 3]).noise, None, "all burnt out");
    assert_eq!(measured(3, 3, |_| [99; 3]).noise, None, "too small");
}

/// What was measured where is said: noise is a median, and of another size than what is counted.
#[test]
fn sizes_are_said() {
    let sums = noise(96 * 96);
    let grained = |at: usize| [to_code(118.0 + 3.0 * sums[at]); 3];
    let mut whole = measured(96, 96, grained);
    let piece = measured(64, 48, grained);
    whole.noise = piece.noise;
    let said = whole.words().join(" ");
    assert!(
        said.contains("on a copy of 96 × 96 pixels")
            && said.contains(
                " L*, the median of all patches of the 64 × 48 pixels in the middle, at full size; "
            ),
        "{said}"
    );
    assert_eq!(Measured::read(&whole.text()), Ok(whole), "kept");
}

/// A transparent border is no part of a picture: it is neither black, nor noise, nor an edge.
#[test]
fn transparent_borders_are_left_out() {
    let (width, height) = (192, 128);
    let shot = Made::new(4, 0.0).pixels();
    let is_border = |at: usize| at % width < 32 || at / width >= 96;
    let with: Vec<u8> = shot
        .chunks_exact(4)
        .enumerate()
        .flat_map(|(at, pixel)| match is_border(at) {
            true => [0; 4],
            false => [pixel[0], pixel[1], pixel[2], 255],
        })
        .collect();
    let cut: Vec<u8> = shot
        .chunks_exact(4)
        .enumerate()
        .filter(|(at, _)| !is_border(*at))
        .flat_map(|(_, pixel)| pixel.iter().copied())
        .collect();
    let with = Measured::of(&Pixels::new(width, height, &with).expect("as many as said"));
    let cut = Measured::of(&Pixels::new(160, 96, &cut).expect("as many as said"));
    assert_eq!((with.tones, with.bars), (cut.tones, cut.bars), "tones");
    assert_eq!((with.bright, with.dark), (cut.bright, cut.dark), "clipping");
    assert_eq!(with.casts, cut.casts, "casts");
    close("black", with.black(), 0.0, 1e-12);
    let lightness = |measured: &Measured| measured.noise.expect("noise").lightness;
    close("noise", lightness(&with) / lightness(&cut), 1.0, 0.1);
    // The border is as bright as the picture, so that two of other scenes do not look alike by it.
    let least = *cut.grid.codes().iter().min().expect("some");
    assert!(
        with.grid.codes().iter().all(|code| *code >= least),
        "no edge"
    );
    let nothing = [0, 0, 0, 0].repeat(64);
    let nothing = Measured::of(&Pixels::new(8, 8, &nothing).expect("as many as said"));
    assert_eq!(
        Measured::read(&nothing.text()),
        Ok(nothing),
        "nothing at all"
    );
}

/// C4 [CALC].
#[test]
fn casts() {
    let names = "red,green,blue,lightness,a,b,chroma,red_stops,blue_stops";
    for row in rows(names, include_str!("../data/casts.csv")) {
        let codes = [0, 1, 2].map(|at| to_code(number(row[at])));
        let cast = Cast::of(codes.map(|code| tone::light(f64::from(code))));
        let what = format!("{codes:?}");
        close(
            format!("L* of {what}"),
            cast.lightness,
            number(row[3]),
            0.001,
        );
        close(format!("a* of {what}"), cast.a, number(row[4]), 0.0015);
        close(format!("b* of {what}"), cast.b, number(row[5]), 0.001);
        close(
            format!("C* of {what}"),
            cast.chroma(),
            number(row[6]),
            0.001,
        );
        close(format!("red of {what}"), cast.red, number(row[7]), 0.000_06);
        close(
            format!("blue of {what}"),
            cast.blue,
            number(row[8]),
            0.000_06,
        );
        // A frame of this tone has it in its middle third and nowhere else.
        let casts = measured(20, 20, |_| codes).casts;
        assert!(casts[0].is_none() && casts[2].is_none(), "{what}");
        let middle = casts[1].expect("the middle third");
        close(format!("frame of {what}"), middle.a, cast.a, 1e-3);
        close(format!("frame of {what}"), middle.b, cast.b, 1e-3);
    }
    assert_eq!(
        Cast::of([130.0, 118.0, 110.0].map(tone::light)).words(),
        "towards yellow and magenta by 7 (C*)"
    );
    assert_eq!(Cast::of([0.2, 0.2, 0.2]).words(), "without a cast");
    assert_eq!(
        Cast::of([118.0, 124.0, 118.0].map(tone::light)).words(),
        "towards yellow and green by 4 (C*)"
    );
}

/// A cast in the shadows is found there and not in the highlights.
#[test]
fn a_cast_that_crosses_over() {
    let fine = Made::new(3, 0.0).measured();
    let leaning = Made {
        cast: 0.8,
        ..Made::new(3, 0.0)
    }
    .measured();
    let b = |measured: &Measured, third: usize| measured.casts[third].expect("enough there").b;
    assert!(
        b(&leaning, 0) < b(&fine, 0) - 4.0,
        "shadows are blue: {}",
        b(&leaning, 0)
    );
    close("highlights", b(&leaning, 2), b(&fine, 2), 0.5);
}

/// Of a large picture only some patches are looked at for noise; what they say is the same, and everything else counts every pixel.
#[test]
fn a_large_picture_says_what_a_small_one_does() {
    let sums = noise(96 * 96);
    let grained = |x: usize, y: usize| [to_code(118.0 + 3.0 * sums[y % 96 * 96 + x % 96]); 3];
    let (width, height) = (2592, 2400);
    let large = measured(width, height, |at| grained(at % width, at / width));
    let small = measured(96, 96, |at| grained(at % 96, at / 96));
    let lightness = |measured: &Measured| measured.noise.expect("noise").lightness;
    // The small one is 36 patches, of which those at its edge see less.
    close("noise", lightness(&large) / lightness(&small), 1.0, 0.06);
    close("median", large.tones.median(), small.tones.median(), 1e-6);
    for (a, b) in large.bars.iter().zip(&small.bars) {
        close("share", *a, *b, 2e-6);
    }
    // A burnt line of ten pixels in six million is counted, wherever it lies.
    let line = measured(width, height, |at| match at {
        1_234_500..1_234_510 => [255; 3],
        _ => grained(at % width, at / width),
    });
    close("a burnt line", line.bright.any, 10.0 / 6_220_800.0, 1e-6);
    assert!(line.bright.any > 0.0, "{:?}", line.bright);
}
