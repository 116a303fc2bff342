//! Sun and moon: positions, events and light against independent figures.

use exposure::light::Constants;
use readings::sky::{Cover, Facing, Moment, Place, Sky, ev_of, moonlight, sunlight};

use crate::check::{close, number, rows, sound};

/// Seconds since the beginning of 1970 of `2020-01-05T12:00:00Z`, by the days of the civil calendar
/// (H. Hinnant, `days_from_civil`, public domain).
fn seconds(text: &str) -> f64 {
    let part = |range: core::ops::Range<usize>| -> i64 { text[range].parse().expect("digits") };
    let (year, month, day) = (part(0..4), part(5..7), part(8..10));
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let of_era = year - era * 400;
    let of_year = (153 * (month + if month > 2 { -3 } else { 9 }) + 2) / 5 + day - 1;
    let days = era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468;
    let (hour, minute, second) = (part(11..13), part(14..16), part(17..19));
    #[expect(clippy::cast_precision_loss, reason = "seconds of some centuries")]
    let seconds = (days * 86_400 + hour * 3600 + minute * 60 + second) as f64;
    seconds
}

fn place(latitude: &str, longitude: &str) -> Place {
    Place::new(number(latitude), number(longitude)).expect("a place")
}

fn sky(place: Place, at: f64) -> Sky {
    Sky::new(place, Moment::new(at).expect("a moment")).expect("a sky")
}

/// Degrees between two directions.
fn turned(a: f64, b: f64) -> f64 {
    ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs()
}

#[test]
fn sun_as_the_reference_program_has_it() {
    for row in rows(
        "sun_positions.csv",
        include_str!("../data/sun_positions.csv"),
    ) {
        let sky = sky(place(row[1], row[2]), seconds(row[0]));
        // The table's zenith distance contains refraction at 1000 mbar and 10 °C (the reference's own formula).
        let seen = 90.0 - number(row[4]);
        let refraction = (1000.0 / 1010.0) * 1.02
            / (60.0
                * (sky.sun_height + 10.3 / (sky.sun_height + 5.11))
                    .to_radians()
                    .tan());
        close(
            format!("height {row:?}"),
            sky.sun_height + refraction,
            seen,
            0.02,
        );
        let slant = sky.sun_height.to_radians().cos();
        close(
            format!("direction {row:?}"),
            turned(sky.sun_direction, number(row[3])) * slant,
            0.0,
            0.02,
        );
    }
}

#[test]
fn sunrise_and_sunset() {
    let (mut seen, mut none) = (0, 0);
    for row in rows("sun_events.csv", include_str!("../data/sun_events.csv")) {
        let noon = seconds(row[0]);
        let spot = place(row[1], row[2]);
        if row[3] != "NORMAL" {
            let sky = sky(spot, noon);
            assert!(sky.day.is_none(), "{row:?}: {:?}", sky.day);
            none += 1;
            continue;
        }
        for (at, text) in [row[4], row[5]].into_iter().enumerate() {
            let Some((hour, minute)) = text.split_once(':') else {
                continue;
            };
            // The table lists what happens on a day of UTC; away from Greenwich rise and set of it belong to two days of light.
            let table = noon - 43_200.0 + number(hour) * 3600.0 + number(minute) * 60.0;
            let day = sky(spot, table)
                .day
                .unwrap_or_else(|| panic!("{row:?} has no day"));
            let event = if at == 0 { day.rise } else { day.set };
            close(format!("{row:?} {text}"), event.seconds(), table, 90.0);
        }
        seen += 1;
    }
    assert!(
        seen > 10 && none > 3,
        "{seen} days and {none} without rise or set"
    );
}

#[test]
fn moon_as_another_ephemeris_has_it() {
    for row in rows("moon.csv", include_str!("../data/moon.csv")) {
        let sky = sky(place(row[1], row[2]), number(row[0]));
        let moon = sky.moon;
        close(format!("height {row:?}"), moon.height, number(row[3]), 0.5);
        close(
            format!("direction {row:?}"),
            turned(moon.direction, number(row[4])) * moon.height.to_radians().cos(),
            0.0,
            0.5,
        );
        close(
            format!("elongation {row:?}"),
            moon.elongation,
            number(row[5]),
            0.5,
        );
        close(format!("lit {row:?}"), moon.lit(), number(row[6]), 0.01);
        // That ephemeris sees the sun from the spot, 0.0024° lower at most.
        close(format!("sun {row:?}"), sky.sun_height, number(row[7]), 0.02);
    }
}

/// J. Meeus, *Astronomical Algorithms*, example 48.a, has a lit share of 0.6786 at an elongation of 110.7929°; the simple
/// formula leaves out that the sun is not infinitely far away. Below full moon the words follow.
#[test]
fn phases() {
    let full = sky(place("47", "8"), 1_741_933_800.0).moon;
    assert_eq!(full.phase(), "full");
    let new = sky(place("47", "8"), 1_712_588_400.0).moon;
    assert_eq!(new.phase(), "new");
    let waning = sky(place("47", "8"), 1_741_933_800.0 + 7.4 * 86_400.0).moon;
    assert_eq!(waning.phase(), "in its last quarter");
    assert!(
        !waning.waxing && (waning.lit() - 0.5).abs() < 0.15,
        "{waning:?}"
    );
    let lit = |elongation: f64| (1.0 - elongation.to_radians().cos()) / 2.0;
    close("example 48.a", lit(110.7929), 0.6786, 0.002);
}

#[test]
fn sunlight_as_the_circular_has_it() {
    for row in rows("sunlight.csv", include_str!("../data/sunlight.csv")) {
        let light = sunlight(number(row[0]), Cover::Clear);
        let lux = number(row[1]);
        close(format!("{row:?}"), light.horizontal / lux, 1.0, 0.005);
        close(
            format!("{row:?}"),
            ev_of(light.horizontal, &Constants::default())
                .expect("a light")
                .get(),
            number(row[2]),
            0.01,
        );
        if !row[3].is_empty() {
            close(
                format!("{row:?} direct"),
                light.direct / number(row[3]),
                1.0,
                0.005,
            );
        }
        for (cover, divisor) in [
            (Cover::Thin, 2.0),
            (Cover::Average, 3.0),
            (Cover::Dark, 10.0),
        ] {
            let clouded = sunlight(number(row[0]), cover).horizontal;
            close(
                cover.name(),
                clouded * divisor / light.horizontal,
                1.0,
                1e-9,
            );
        }
    }
}

#[test]
fn moonlight_as_the_circular_has_it() {
    for row in rows("moonlight.csv", include_str!("../data/moonlight.csv")) {
        let light = moonlight(number(row[1]), number(row[0]), Cover::Clear).horizontal;
        // Printed to two or three figures, with the night sky of 0.0005 lx left out.
        close(format!("{row:?}"), light / number(row[2]), 1.0, 0.02);
    }
}

/// The estimate agrees with the daylight tables, which are independent of it.
#[test]
fn estimates_agree_with_tables() {
    let usual = Constants::default();
    let ev = |height: f64, facing| {
        let lux = sunlight(height, Cover::Clear).on(facing, Cover::Clear);
        ev_of(lux, &usual).expect("a light").get()
    };
    // ANSI PH2.7: front light in bright sun 15, open shade 12, side light one less, back light two less.
    close(
        "front light, sun 40° high",
        ev(40.0, Facing::Disc),
        15.0,
        0.4,
    );
    close(
        "open shade, sun 45° high",
        ev(45.0, Facing::Shade),
        12.0,
        0.5,
    );
    close(
        "side",
        ev(40.0, Facing::Side),
        ev(40.0, Facing::Disc) - 1.0,
        1e-9,
    );
    close(
        "back",
        ev(40.0, Facing::Back),
        ev(40.0, Facing::Disc) - 2.0,
        1e-9,
    );
    // Heavy clouds 12.
    let dark = sunlight(45.0, Cover::Dark).on(Facing::Disc, Cover::Dark);
    close(
        "heavy clouds",
        ev_of(dark, &usual).expect("a light").get(),
        12.0,
        0.5,
    );
}

#[test]
fn a_summer_noon_and_a_winter_night() {
    // 21 June 2026, 11:30 UTC, and 21 December 2026, 23:00 UTC, 47° north, 8° east.
    let here = place("47", "8");
    let noon = sky(here, seconds("2026-06-21T11:30:00Z"));
    assert!(
        noon.in_words().contains("in the south"),
        "{}",
        noon.in_words()
    );
    assert_eq!(noon.tables_hold(), "The daylight tables hold now.");
    let found = noon
        .found(Cover::Clear, Facing::Horizontal, &Constants::default())
        .expect("light");
    sound(&found);
    assert!(
        found.from.starts_with("estimate: sun 66° high"),
        "{}",
        found.from
    );
    assert!(
        found.uncertainty.contains("horizontal surface"),
        "{}",
        found.uncertainty
    );
    let night = sky(here, seconds("2026-12-21T23:00:00Z"));
    assert!(
        night.tables_hold().contains("sun is down"),
        "{}",
        night.tables_hold()
    );
    let found = night
        .found(Cover::Clear, Facing::Disc, &Constants::default())
        .expect("light");
    sound(&found);
    assert!(found.from.contains("moon"), "{}", found.from);
    close("moonlight", found.light().get(), -3.0, 1.5);
    let polar = sky(place("78.2", "15.6"), seconds("2026-12-21T11:00:00Z"));
    assert!(
        polar.tables_hold().contains("does not rise"),
        "{}",
        polar.tables_hold()
    );
    let midnight_sun = sky(place("78.2", "15.6"), seconds("2026-06-21T23:00:00Z"));
    assert!(
        midnight_sun.tables_hold().contains("does not set"),
        "{}",
        midnight_sun.tables_hold()
    );
}

#[test]
fn places_as_people_type_them() {
    for (north, east, latitude, longitude) in [
        ("47.1", "8.3", 47.1, 8.3),
        ("47,1 N", "70.5 w", 47.1, -70.5),
        ("33.9 S", "−70", -33.9, -70.0),
        ("46°56'", "7°27′ E", 46.0 + 56.0 / 60.0, 7.45),
        ("-0°30'", "0", -0.5, 0.0),
        ("90°", "180", 90.0, 180.0),
    ] {
        let place =
            Place::parse(north, east).unwrap_or_else(|error| panic!("{north} {east}: {error}"));
        close(north, place.latitude(), latitude, 1e-9);
        close(east, place.longitude(), longitude, 1e-9);
    }
    for (north, east) in [
        ("", "8"),
        ("47", "here"),
        ("91", "0"),
        ("0", "181"),
        ("46°61'", "7"),
        ("NaN", "7"),
    ] {
        let refused = Place::parse(north, east).expect_err("no place");
        assert!(refused.to_string().ends_with('.'), "{refused}");
    }
    for moment in [0.0, f64::NAN, f64::INFINITY, -1e12, 1e12] {
        assert!(Moment::new(moment).is_err(), "{moment}");
    }
}
