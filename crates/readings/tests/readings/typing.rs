//! EV, cd/m², lx and their older units as people type them.

use exposure::light::Constants;
use readings::typed::{Typed, Unit, constants, number, sensitivity};

use crate::check::{EXACT, close, marks, number as cell, rows, sound};

fn light(text: &str, unit: Unit) -> f64 {
    Typed {
        text,
        unit,
        iso: None,
    }
    .light(&Constants::default())
    .unwrap_or_else(|error| panic!("{text}: {error}"))
    .get()
}

#[test]
fn all_units_mean_the_same_light() {
    for row in rows("meters.csv", include_str!("../data/meters.csv")) {
        let ev = cell(row[0]);
        for (at, unit, tolerance) in [
            (0, Unit::Ev, EXACT),
            (1, Unit::CandelaPerSquareMetre, 1e-6),
            (2, Unit::Lux, 1e-6),
            // Four printed figures, and two for the dimmest: half a unit of the last is 0.013 EV there.
            (3, Unit::FootLambert, if ev < -5.0 { 0.013 } else { 0.0035 }),
            (4, Unit::Footcandle, 0.0015),
        ] {
            close(
                format!("{} {}", row[at], unit.sign()),
                light(row[at], unit),
                ev,
                tolerance,
            );
        }
    }
}

/// ISO 2721:2013: 4 cd/m² and 4096 cd/m² are exactly EV 5 and EV 15 at K 12.5. A K of 14 calls the same luminance 0.16 less.
#[test]
fn constants_are_shown_and_can_be_changed() {
    close(
        "4 cd/m²",
        light("4", Unit::CandelaPerSquareMetre),
        5.0,
        EXACT,
    );
    let other = constants("14", "").expect("in use");
    let typed = Typed {
        text: "4096",
        unit: Unit::CandelaPerSquareMetre,
        iso: None,
    };
    close(
        "K 14",
        typed.light(&other).expect("a light").get(),
        15.0 - (14.0_f64 / 12.5).log2(),
        EXACT,
    );
    let found = typed.found(&other).expect("a reading");
    sound(&found);
    assert!(found.from.contains("K 14"), "{}", found.from);
    for (k, c, says) in [
        ("x", "", "constant K"),
        ("", "nothing", "constant C"),
        ("1", "", "between 5 and 25"),
        ("", "9", "between 100 and 700"),
    ] {
        let refused = constants(k, c).expect_err("not taken");
        assert!(refused.to_string().contains(says), "{refused}");
    }
}

#[test]
fn an_ev_is_meant_at_a_sensitivity() {
    let typed = Typed {
        text: "14",
        unit: Unit::Ev,
        iso: sensitivity("400").expect("a speed"),
    };
    let found = typed.found(&Constants::default()).expect("a reading");
    sound(&found);
    close("EV 14 at ISO 400", found.light().get(), 12.0, EXACT);
    assert!(found.from.contains("ISO 400"), "{}", found.from);
    assert!(sensitivity("fast").is_err(), "no speed");
    assert!(sensitivity(" ").expect("nothing").is_none(), "ISO 100 then");
}

#[test]
fn natural_pairs() {
    for (ev, pair) in [
        ("17", "1/250 f/22 ISO 100"),
        ("15", "1/125 f/16 ISO 100"),
        ("12", "1/60 f/8 ISO 100"),
        ("10", "1/60 f/4 ISO 100"),
        ("9", "1/60 f/2.8 ISO 100"),
        ("7", "1/60 f/2.8 ISO 400"),
        ("5", "1/60 f/2.8 ISO 1600"),
        ("3", "1/60 f/2.8 ISO 6400"),
        ("-3", "1s f/2.8 ISO 6400"),
        ("-13", "120s f/1 ISO 6400"),
    ] {
        let found = Typed {
            text: ev,
            unit: Unit::Ev,
            iso: None,
        }
        .found(&Constants::default())
        .expect("a reading");
        sound(&found);
        assert_eq!(marks(&found).replace("2min", "120s"), pair, "EV {ev}");
        assert!(found.lines.is_empty(), "{found:?}");
    }
    for beyond in ["23", "-15", "99"] {
        let refused = Typed {
            text: beyond,
            unit: Unit::Ev,
            iso: None,
        }
        .found(&Constants::default())
        .expect_err("beyond");
        assert!(refused.to_string().contains("beyond"), "{refused}");
    }
}

#[test]
fn numbers_as_people_type_them() {
    for (text, value) in [
        ("12", 12.0),
        (" 12.25 ", 12.25),
        ("12,5", 12.5),
        ("-2", -2.0),
        ("−2½", -2.5),
        ("– 3", -3.0),
        ("⅓", 1.0 / 3.0),
        ("12⅔", 12.0 + 2.0 / 3.0),
        ("12 1/3", 12.0 + 1.0 / 3.0),
        ("1/2", 0.5),
        ("81 920", 81_920.0),
        ("81\u{202f}920", 81_920.0),
        ("1'000'000", 1e6),
        ("1 234,5", 1234.5),
        ("80k", 80_000.0),
        ("1.5 k", 1500.0),
        (".5", 0.5),
        ("+4", 4.0),
    ] {
        close(text, number(text).unwrap_or(f64::NAN), value, EXACT);
    }
    for text in [
        "",
        " ",
        "-",
        "k",
        "1e9",
        "NaN",
        "inf",
        "1/0",
        "1//2",
        "12 34",
        "1 2345",
        "1.2.3",
        "½½",
        "½3",
        "x",
        "1 000 00",
        "99999999999999999999999999",
    ] {
        assert!(number(text).is_none(), "“{text}” is {:?}", number(text));
    }
}

#[test]
fn refusals_are_sentences() {
    for (text, unit, says) in [
        ("", Unit::Ev, "Nothing was typed"),
        ("bright", Unit::Lux, "“bright”"),
        ("0", Unit::Lux, "more than nothing"),
        ("-4", Unit::CandelaPerSquareMetre, "more than nothing"),
    ] {
        let refused = Typed {
            text,
            unit,
            iso: None,
        }
        .found(&Constants::default())
        .expect_err("not taken");
        assert!(refused.to_string().contains(says), "{refused}");
    }
}
