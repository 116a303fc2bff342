//! Whatever the pixels: no panic, and nothing that is no number.

use proptest::prelude::*;
use scans::{Measured, Pixels, register::register, roll, stats};

fn pictures() -> impl Strategy<Value = (usize, usize, Vec<u8>)> {
    (1_usize..40, 1_usize..40).prop_flat_map(|(width, height)| {
        let colours = prop_oneof![
            prop::collection::vec(any::<u8>(), width * height * 4),
            prop::collection::vec(
                prop::sample::select(vec![0_u8, 1, 2, 253, 254, 255]),
                width * height * 4
            ),
            any::<u8>().prop_map(move |code| vec![code; width * height * 4]),
        ];
        (Just(width), Just(height), colours)
    })
}

proptest! {
    #[test]
    fn any_pixels((width, height, pixels) in pictures()) {
        let measured = Measured::of(&Pixels::new(width, height, &pixels).expect("as many as said"));
        let noise = measured.noise.map(|noise| {
            vec![noise.lightness, noise.density, noise.thirds.into_iter().flatten().sum()]
        });
        let casts = measured.casts.iter().flatten();
        let casts = casts.flat_map(|cast| [cast.lightness, cast.a, cast.b, cast.red, cast.blue]);
        let numbers = measured.bars.into_iter()
            .chain(measured.tones.codes)
            .chain(measured.bright.colours)
            .chain(measured.dark.colours)
            .chain(noise.into_iter().flatten())
            .chain(casts);
        for number in numbers {
            prop_assert!(number.is_finite(), "{measured:?}");
        }
        prop_assert!(measured.tones.codes.is_sorted());
        let said = measured.words().join(" ");
        prop_assert!(!said.contains("NaN") && !said.contains('+') && !said.contains('−'), "{said}");
        let again = Measured::read(&measured.text());
        prop_assert_eq!(again.as_ref(), Ok(&measured));
        if let Some(shift) = register(&measured.grid, &measured.grid) {
            prop_assert_eq!((shift.across, shift.down), (0, 0));
            prop_assert!((shift.height - 1.0).abs() < 1e-6, "{shift:?}");
        }
    }

    #[test]
    fn any_logs(offsets in prop::collection::vec((0_u16..3, -400_i32..400, 0_u8..=255), 0..12)) {
        let pictures: Vec<Measured> = offsets.iter().map(|(_, _, code)| {
            let pixels = [*code, *code, *code, 255].repeat(16);
            Measured::of(&Pixels::new(4, 4, &pixels).expect("as many as said"))
        }).collect();
        let mut frames: Vec<roll::Frame<'_>> = offsets.iter().zip(&pictures).zip(1_u16..)
            .map(|(((scene, offset, _), measured), number)| roll::Frame {
                number, scene: *scene, offset: f64::from(*offset) / 100.0, measured,
            })
            .collect();
        let scanned = roll::scanned(&frames);
        prop_assert!(scanned.slope.is_none_or(f64::is_finite));
        let said = scanned.words(roll::Said::Unknown).join(" ");
        prop_assert!(!said.contains("NaN") && !said.contains('+') && !said.contains('−'), "{said}");
        let before = (scanned, roll::beginnings(&frames));
        frames.reverse();
        prop_assert_eq!(before, (roll::scanned(&frames), roll::beginnings(&frames)), "order of files");
    }

    #[test]
    fn medians_lie_between(values in prop::collection::vec(-1e6..1e6_f64, 1..40)) {
        let rising = stats::rising(values.iter().copied());
        let median = stats::median(values.iter().copied()).expect("some");
        prop_assert!(rising[0] <= median && median <= rising[rising.len() - 1]);
    }
}

#[test]
fn what_is_no_picture_is_refused() {
    assert!(Pixels::new(0, 0, &[]).is_err(), "nothing");
    assert!(Pixels::new(2, 2, &[0; 15]).is_err(), "too few");
    assert!(Pixels::new(usize::MAX, 2, &[0; 16]).is_err(), "too large");
}
