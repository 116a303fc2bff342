//! What holds for every reading, on arbitrary input.

use exposure::{Doubt, Ev, light::Constants};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use readings::{
    Method,
    agree::{Keep, agree},
    live::Steady,
    photo,
    picture::{self, Picture, Spot},
    sky::{Cover, Facing, Moment, Place, Sky, moonlight, sunlight},
    tones::{self, Placing, Zone},
    typed::{self, Typed, Unit},
};

use crate::check::{EXACT, sound};

/// The same examples in every run; another seed or number of cases is asked for by `PROPTEST_RNG_SEED` and `PROPTEST_CASES`.
fn config() -> Config {
    let asked = Config::default();
    Config {
        rng_seed: match asked.rng_seed {
            RngSeed::Random => RngSeed::Fixed(0x0005_70f5),
            fixed @ RngSeed::Fixed(_) => fixed,
        },
        failure_persistence: None,
        ..asked
    }
}

fn unit() -> impl Strategy<Value = Unit> {
    (0..Unit::ALL.len()).prop_map(|at| Unit::ALL[at])
}

fn cover() -> impl Strategy<Value = Cover> {
    (0..Cover::ALL.len()).prop_map(|at| Cover::ALL[at])
}

fn facing() -> impl Strategy<Value = Facing> {
    (0..Facing::ALL.len()).prop_map(|at| Facing::ALL[at])
}

proptest! {
    #![proptest_config(config())]

    /// The marks and what they leave over are the light, and the marks alone are within a sixth of a stop of it.
    #[test]
    fn marks_and_rest_are_the_light(ev in -14.0..22.0_f64) {
        let found = Typed { text: &format!("{ev:.9}"), unit: Unit::Ev, iso: None }
            .found(&Constants::default()).expect("within reach");
        sound(&found);
        prop_assert!((found.light().get() - ev).abs() < 1e-8);
        let rest: f64 = found.lines.iter().map(|line| line.effect.get()).sum();
        prop_assert!(rest.abs() <= 1.0 / 6.0 + EXACT, "{rest}");
    }

    /// No text panics; what is refused is refused in a sentence.
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>(), other in any::<String>(), unit in unit()) {
        match (Typed { text: &text, unit, iso: None }).found(&Constants::default()) {
            Ok(found) => sound(&found),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
        prop_assert!(typed::number(&text).is_none_or(f64::is_finite));
        let _ = (typed::constants(&text, &other), typed::sensitivity(&text), Place::parse(&text, &other));
        let filled = photo::Filled { time: text.clone(), aperture: other, sensitivity: text };
        if let Ok(found) = photo::Photo::unread("nothing").found(&filled, None) {
            sound(&found);
        }
    }

    /// No bytes panic.
    #[test]
    fn any_bytes_are_read(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        for start in [&b""[..], b"II*\0\x08\0\0\0", b"MM\0*\0\0\0\x08", b"\xff\xd8\xff\xe1\0\x40Exif\0\0", b"\0\0\0\x18ftypheic"] {
            let photo = photo::read([start, &bytes].concat());
            prop_assert!(photo.missing().len() < 3 || !photo.remarks.is_empty());
        }
    }

    /// More light falls on zone V from a spot that is placed lower, stop for stop.
    #[test]
    fn zones_are_stops(ev in -10.0..18.0_f64, zone in 0.0..10.0_f64) {
        let spots = [tones::Spot { name: "one".into(), light: Ev::new(ev).expect("a level"), method: Method::Meter, doubt: None }];
        let placed = tones::place(&spots, Placing::On { spot: 0, zone: Zone::new(zone).expect("a zone") });
        if let Ok(placed) = placed {
            sound(&placed.found);
            prop_assert!((placed.found.light().get() - (ev + 5.0 - zone)).abs() < 1e-9);
        }
    }

    /// A spot that is moved by so many zones moves the reading by as many stops the other way, and all others along.
    #[test]
    fn a_spot_that_is_moved_moves_all(lights in proptest::collection::vec(-2.0..16.0_f64, 1..=12), spot in 0_usize..12, from in 0_u8..=30, to in 0_u8..=30) {
        let spot = spot % lights.len();
        let spots: Vec<tones::Spot> = lights.iter().enumerate().map(|(at, ev)| tones::Spot {
            name: at.to_string(), light: Ev::new(*ev).expect("a level"), method: Method::Meter, doubt: None,
        }).collect();
        let on = |thirds: u8| Placing::On { spot, zone: Zone::new(f64::from(thirds) / 3.0).expect("a zone") };
        let by = (f64::from(to) - f64::from(from)) / 3.0;
        let (before, after) = (tones::falls(&spots, on(from)).expect("falls"), tones::falls(&spots, on(to)).expect("falls"));
        prop_assert!((after[spot].zone - f64::from(to) / 3.0).abs() < 1e-9);
        for (before, after) in before.iter().zip(&after) {
            prop_assert!((after.zone - before.zone - by).abs() < 1e-9);
        }
        for placing in [on(from), on(to), Placing::Average, Placing::Midway, Placing::CardInSun { spot }] {
            let Ok(placed) = tones::place(&spots, placing) else { continue };
            for (fall, light) in placed.falls.iter().zip(&lights) {
                prop_assert!((light - placed.found.light().get() + 5.0 - fall.zone).abs() < 1e-9);
            }
        }
        if let (Ok(before), Ok(after)) = (tones::place(&spots, on(from)), tones::place(&spots, on(to))) {
            prop_assert!((before.found.light().get() - after.found.light().get() - by).abs() < 1e-9);
        }
    }

    /// Agreement is the same both ways round, and what is kept is one of the two or between them.
    #[test]
    fn agreement_both_ways(a in -10.0..20.0_f64, b in -10.0..20.0_f64) {
        let typed = |ev: f64| Typed { text: &format!("{ev:.6}"), unit: Unit::Ev, iso: None }
            .found(&Constants::default()).expect("within reach");
        let (first, second) = (typed(a), typed(b));
        let there = agree(&first, &second, Keep::Middle).expect("readings");
        let back = agree(&second, &first, Keep::Middle).expect("readings");
        prop_assert!((there.brighter.get() + back.brighter.get()).abs() < 1e-9);
        prop_assert!((there.found.light().get() - back.found.light().get()).abs() < 1e-9);
        let more = agree(&first, &second, Keep::MoreLight).expect("readings").found.light().get();
        prop_assert!((more - a.min(b)).abs() < 1e-5);
    }

    /// Whatever is kept is no surer than the better of both ways, however well they agree; and where they are further apart
    /// than they say of themselves, it reaches to both.
    #[test]
    fn agreement_never_makes_surer(apart in -4.0..4.0_f64, doubts in [0.34..3.0_f64, 0.34..3.0], methods in [0..6_usize, 0..6]) {
        const METHODS: [Method; 6] = [Method::Meter, Method::Photo, Method::Live, Method::Table, Method::Sky, Method::Taken];
        let one = |ev: f64, i: usize| readings::Found {
            method: METHODS[methods[i]],
            doubt: Doubt::new(doubts[i]).ok(),
            ..Typed { text: &format!("{ev:.6}"), unit: Unit::Ev, iso: None }.found(&Constants::default()).expect("within reach")
        };
        let (first, second) = (one(10.0, 0), one(10.0 + apart, 1));
        let least = first.doubt.min(second.doubt).map_or(0.0, |doubt| doubt.half_width().get());
        for keep in [Keep::First, Keep::Second, Keep::Middle, Keep::MoreLight] {
            let found = agree(&first, &second, keep).expect("readings").found;
            sound(&found);
            let doubt = found.doubt.expect("both have one").half_width().get();
            // A third of a stop is the least of all floors.
            prop_assert!(doubt >= least.min(1.0 / 3.0));
            let further = (found.light().get() - first.light().get()).abs().max((found.light().get() - second.light().get()).abs());
            if apart.abs() > doubts[0].hypot(doubts[1]) + 0.002 {
                prop_assert!(doubt >= further - 1e-5, "{} does not reach {}", doubt, further);
            }
            if apart.abs() < doubts[0].min(doubts[1]) && keep == Keep::First {
                prop_assert_eq!(found.doubt, first.doubt);
            }
        }
    }

    /// Light rises with the height of the sun or moon, and never is less than nothing.
    #[test]
    fn light_rises_with_height(low in -12.0..89.0_f64, step in 0.01..20.0_f64, elongation in 0.0..=180.0_f64, cover in cover()) {
        let high = (low + step).min(90.0);
        prop_assert!(sunlight(low, cover).horizontal <= sunlight(high, cover).horizontal);
        let moon = |height| moonlight(height, elongation, cover).horizontal;
        prop_assert!(moon(low) >= 0.0 && moon(low) <= moon(high) + 1e-12);
        prop_assert!(moonlight(high, elongation, cover).horizontal <= moonlight(high, 180.0, cover).horizontal + 1e-12);
    }

    /// Every place and moment has a sky, and every surface a light or a sentence.
    #[test]
    fn every_place_has_a_sky(latitude in -90.0..=90.0_f64, longitude in -180.0..=180.0_f64, at in -77_945_673_600.0..32_503_680_000.0_f64, cover in cover(), facing in facing()) {
        let sky = Sky::new(Place::new(latitude, longitude).expect("a place"), Moment::new(at).expect("a moment")).expect("a sky");
        prop_assert!(sky.sun_height.abs() <= 90.0 && sky.moon.height.abs() <= 90.0);
        prop_assert!((0.0..=180.0).contains(&sky.moon.elongation) && !sky.in_words().is_empty() && !sky.tables_hold().is_empty());
        if let Some(day) = sky.day {
            prop_assert!(day.rise < day.set);
        }
        match sky.found(cover, facing, &Constants::default()) {
            Ok(found) => {
                sound(&found);
                prop_assert!(found.doubt.is_some_and(|doubt| doubt >= Doubt::constant(1.0)));
            }
            // A moonless night under clouds is darker than any marks say.
            Err(error) => {
                let lux = sky.parts(cover).on(facing, cover);
                prop_assert!(lux > 0.0 && lux < 0.0002, "{lux} lx: {error}");
            }
        }
    }

    /// Any picture gives a patch within black and white.
    #[test]
    fn any_pixels_are_read(pixels in proptest::collection::vec(any::<u8>(), 64), across in 0.0..=1.0_f64, down in 0.0..=1.0_f64, radius in 0.005..=0.5_f64) {
        let picture = Picture::new(4, 4, &pixels).expect("a picture");
        for patch in [picture.whole(), picture.spot(Spot { across, down, radius }).expect("a spot")] {
            prop_assert!((0.0..=1.0).contains(&patch.mean) && (0.0..=1.0).contains(&patch.burnt) && (0.0..=1.0).contains(&patch.black));
            if let Ok(found) = patch.found(&picture::Settings { light: Ev::new(10.0).expect("a level"), doubt: Some(Doubt::NONE) }) {
                sound(&found);
            }
        }
    }

    /// Noise of half a band either way never changes what is shown of a constant light.
    #[test]
    fn a_constant_light_never_flickers(
        light in -10.0..20.0_f64,
        noise in prop::collection::vec(-0.5..=0.5_f64, 1..80),
    ) {
        let mut steady = Steady::new();
        for (i, noise) in noise.iter().enumerate() {
            let changed = steady.see(Some(light + noise * Steady::<usize>::BAND), i);
            prop_assert_eq!(changed, i == 0, "frame {}", i);
        }
    }

    /// A step of a stop is shown with its third frame, whatever the noise, and once.
    #[test]
    fn a_step_of_a_stop_is_shown_with_its_third_frame(
        light in -10.0..20.0_f64,
        up in any::<bool>(),
        before in prop::collection::vec(-0.5..=0.5_f64, 5..40),
        after in prop::collection::vec(-0.5..=0.5_f64, 3..40),
    ) {
        const BAND: f64 = Steady::<f64>::BAND;
        let mut steady = Steady::new();
        for noise in before {
            let level = light + noise * BAND;
            steady.see(Some(level), level);
        }
        let light = if up { light + 1.0 } else { light - 1.0 };
        for (i, noise) in after.iter().enumerate() {
            let level = light + noise * BAND;
            let changed = steady.see(Some(level), level);
            let shown = *steady.shown().expect("a frame");
            prop_assert_eq!((shown - light).abs() <= BAND / 2.0 + 1e-9, i >= 2, "frame {}", i);
            prop_assert_eq!(changed, i == 2, "frame {}", i);
        }
    }
}
