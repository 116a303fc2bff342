//! Spots and zones.

use exposure::{Doubt, FilmKind};
use readings::{
    LineKind, Method,
    tones::{
        MOST_SPOTS, Placing, SHADES, STRIP, Spot, TONES, Zone, beyond_in_words, falls, held,
        held_edges, held_in_words, look, place, range_in_words, roman,
    },
};

use crate::check::{EXACT, close, ev, marks, sound};

fn spots(lights: &[f64]) -> Vec<Spot> {
    lights
        .iter()
        .enumerate()
        .map(|(at, light)| Spot {
            name: format!("spot {}", at + 1),
            light: ev(*light),
            method: Method::Meter,
            doubt: Some(Doubt::constant(1.0 / 3.0)),
        })
        .collect()
}

fn zone(number: f64) -> Zone {
    Zone::new(number).expect("a zone")
}

/// A spot reading of a shadow, placed on zone III, needs two stops less light (common practice).
#[test]
fn shadow_on_zone_three() {
    let placed = place(
        &spots(&[9.0, 15.0]),
        Placing::On {
            spot: 0,
            zone: zone(3.0),
        },
    )
    .expect("placed");
    sound(&placed.found);
    close("light", placed.found.light().get(), 11.0, EXACT);
    // The marks are what the spot read; the tone is a line of its own that can be left out.
    close("marks", placed.found.reading.light().get(), 9.0, EXACT);
    assert_eq!(placed.found.lines[0].kind, LineKind::Tone);
    let words: Vec<&str> = placed.falls.iter().map(|fall| &*fall.words).collect();
    assert_eq!(
        words,
        [
            "spot 1: zone III, dark with texture",
            "spot 2: zone IX, nearly white, no texture"
        ]
    );
    close("range", placed.range.get(), 6.0, EXACT);
    assert!(range_in_words(placed.range).contains("6 stops"), "six");
}

#[test]
fn averages() {
    let lights = spots(&[9.0, 12.0, 15.0, 15.0]);
    let mean = place(&lights, Placing::Average).expect("placed");
    close("average", mean.found.light().get(), 12.75, EXACT);
    let midway = place(&lights, Placing::Midway).expect("placed");
    close("midway", midway.found.light().get(), 12.0, EXACT);
    assert_eq!(marks(&midway.found), "1/60 f/8 ISO 100");
    for placed in [mean, midway] {
        sound(&placed.found);
        assert_eq!(placed.falls.len(), 4);
    }
}

/// Worked case: a grey card in sun reads 14: set 13.5 (card instructions).
#[test]
fn grey_card_in_sun() {
    let placed = place(&spots(&[14.0]), Placing::CardInSun { spot: 0 }).expect("placed");
    sound(&placed.found);
    close("light", placed.found.light().get(), 13.5, EXACT);
}

#[test]
fn beyond_black_and_white_is_said() {
    let placed = place(
        &spots(&[2.0, 10.0, 17.0]),
        Placing::On {
            spot: 1,
            zone: Zone::MIDDLE,
        },
    )
    .expect("placed");
    assert!(
        placed.falls[0].words.contains("three stops"),
        "{:?}",
        placed.falls
    );
    assert!(
        placed.falls[2].words.contains("above zone X"),
        "{:?}",
        placed.falls
    );
}

#[test]
fn zones_in_roman_figures() {
    for (number, text) in [
        (0.0, "0"),
        (1.0, "I"),
        (4.34, "IV⅓"),
        (6.75, "VI⅔"),
        (9.9, "X"),
        (10.0, "X"),
    ] {
        assert_eq!(roman(zone(number)), text);
        assert!(!look(zone(number)).is_empty(), "a look");
    }
    for beyond in [-0.1, 10.1, f64::NAN, f64::INFINITY] {
        assert!(Zone::new(beyond).is_err(), "{beyond}");
    }
    assert!(
        TONES
            .windows(2)
            .all(|pair| pair[0].zone.get() < pair[1].zone.get()),
        "darkest first"
    );
    assert!(TONES.iter().all(|tone| !tone.source.is_empty()), "sources");
}

#[test]
fn what_cannot_be_placed() {
    for (lights, placing) in [
        (vec![], Placing::Average),
        (vec![], Placing::Midway),
        (vec![9.0], Placing::CardInSun { spot: 1 }),
        (
            vec![9.0],
            Placing::On {
                spot: 7,
                zone: Zone::MIDDLE,
            },
        ),
        (vec![9.0; MOST_SPOTS + 1], Placing::Average),
    ] {
        let refused = place(&spots(&lights), placing).expect_err("refused");
        assert!(!refused.to_string().is_empty(), "a sentence");
    }
}

/// A spot that is dragged to another zone takes all others along, and more than the strip shows is said at its ends.
#[test]
fn what_falls_beyond_is_said_at_the_ends() {
    let lights = spots(&[2.0, 9.0, 10.0, 14.0, 17.0]);
    let on = |number| Placing::On {
        spot: 2,
        zone: zone(number),
    };
    let at = |number| falls(&lights, on(number)).expect("they fall");
    let zones: Vec<f64> = at(5.0).iter().map(|fall| fall.zone).collect();
    for (zone, expected) in zones.into_iter().zip([-3.0, 4.0, 5.0, 9.0, 12.0]) {
        close("zone", zone, expected, EXACT);
    }
    assert_eq!(
        beyond_in_words(&at(5.0)),
        ["Below zone 0: spot 1", "Above zone X: spot 5"]
    );
    assert_eq!(
        beyond_in_words(&at(1.0)),
        ["Below zone 0: spot 1", ""],
        "zone 0 itself is on the strip"
    );
    assert_eq!(
        held_in_words(FilmKind::Reversal, &at(5.0)),
        "Slide film keeps texture from zone III to VII (common practice, no source; old film keeps less). Outside: spot 1, spot 4, spot 5."
    );
    assert!(
        held_in_words(
            FilmKind::BlackAndWhite,
            &falls(&spots(&[9.0]), Placing::Average).expect("one")
        )
        .ends_with("keeps less)."),
        "nothing falls outside"
    );
    // Where no marks reach the light, it is still seen where the spots fall.
    let dark = spots(&[-15.0, -10.0]);
    let beyond = Placing::On {
        spot: 0,
        zone: zone(10.0),
    };
    assert!(place(&dark, beyond).is_err(), "EV −15");
    let fallen = falls(&dark, beyond).expect("all the same");
    close("placed", fallen[0].zone, 10.0, EXACT);
    close("along", fallen[1].zone, 15.0, EXACT);
}

#[test]
fn the_strip_and_its_shades() {
    // Thirds of a zone from its beginning reach every third of it.
    for thirds in 0..=30 {
        let steps = (f64::from(thirds) / 3.0 - STRIP.from()) * 3.0;
        close(format!("{thirds} thirds"), steps, steps.round(), EXACT);
    }
    for (shade, zone) in SHADES.into_iter().zip(0_u8..) {
        let lightness = f64::from(zone) * 10.0;
        let luminance = if lightness > 8.0 {
            ((lightness + 16.0) / 116.0).powi(3)
        } else {
            lightness / 903.3
        };
        let encoded = if luminance <= 0.003_130_8 {
            12.92 * luminance
        } else {
            1.055 * luminance.powf(1.0 / 2.4) - 0.055
        };
        close(format!("zone {zone}"), shade, encoded, 0.000_5);
    }
    for film in [
        FilmKind::ColourNegative,
        FilmKind::BlackAndWhite,
        FilmKind::Reversal,
    ] {
        let [from, to] = held(film);
        assert!(from < 5 && to > 5 && to <= 10, "{film:?}");
        let [low, high] = held_edges(film);
        close(
            "as wide as its zones",
            high - low,
            f64::from(to - from) + 1.0,
            EXACT,
        );
    }
}
