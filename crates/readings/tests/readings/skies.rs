//! Sun and moon: positions, events and light against independent figures.

use exposure::light::Constants;
use readings::sky::{
    Cover, Daylight, Edge, Facing, Moment, Place, Sky,
    clock::{Shown, far_from_the_sun, lead_in_words, parse_lead},
    ev_of, moonlight, sunlight,
};

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
        close(format!("height {row:?}"), moon.height, number(row[3]), 0.06);
        close(
            format!("direction {row:?}"),
            turned(moon.direction, number(row[4])) * moon.height.to_radians().cos(),
            0.0,
            0.06,
        );
        close(
            format!("elongation {row:?}"),
            moon.elongation,
            number(row[5]),
            0.06,
        );
        close(format!("lit {row:?}"), moon.lit(), number(row[6]), 0.003);
        close(format!("sun {row:?}"), sky.sun_height, number(row[7]), 0.01);
        close(
            format!("direction of the sun {row:?}"),
            turned(sky.sun_direction, number(row[8])) * sky.sun_height.to_radians().cos(),
            0.0,
            0.01,
        );
    }
}

/// P. Schlyter, *Computing planetary positions, a tutorial with worked examples*, sections 6 and 9: 19 April 1990, 0 h UT, 60°
/// north, 15° east: the moon as seen from there at right ascension 310.0017° and declination −19.8790°, local sidereal time
/// 221.8388°; the sun 17.9570° below the horizon. His sums are good to two minutes of arc.
#[test]
fn moon_as_a_published_example_has_it() {
    let sky = sky(place("60", "15"), seconds("1990-04-19T00:00:00Z"));
    let (north, declination) = (60_f64.to_radians(), (-19.8790_f64).to_radians());
    let hour = (221.8388_f64 - 310.0017).to_radians();
    let height =
        (north.sin() * declination.sin() + north.cos() * declination.cos() * hour.cos()).asin();
    close(
        "moon",
        sky.moon.height,
        height.to_degrees(),
        2.0 / 60.0 + 0.03,
    );
    close("sun", sky.sun_height, -17.957, 0.01);
}

/// The moon's parallax is what the height from the centre of the earth would be wrong by: 0.90° to 1.02° at the horizon
/// (J. Meeus, chapter 40: the moon's horizontal parallax), next to nothing at the zenith.
#[test]
fn moon_is_lower_from_the_ground() {
    // The same moment from both ends of the earth: the angle between both heights and a half turn is the sum of what each
    // place sees the moon lower by.
    for at in [1_706_212_800.0, 1_741_933_800.0, 1_909_656_000.0] {
        let heights: Vec<f64> = [(0.0, 0.0), (0.0, 180.0)]
            .into_iter()
            .map(|(north, east)| {
                let place = Place::new(north, east).expect("a place");
                sky(place, at).moon.height
            })
            .collect();
        // Seen from the centre both heights would add up to nothing.
        let lower = -(heights[0] + heights[1]) / 2.0;
        let share = heights[0].to_radians().cos();
        assert!(
            (0.88 * share..1.04 * share).contains(&lower),
            "lower by {lower}° at {heights:?}"
        );
    }
}

#[test]
fn distant_years() {
    for row in rows(
        "distant_skies.csv",
        include_str!("../data/distant_skies.csv"),
    ) {
        let at = number(row[0]);
        let sky = sky(place(row[1], row[2]), at);
        // The estimate of the library that works out the sun, by the year.
        let year = 1970.0 + at / (365.2425 * 86_400.0);
        let ours = solar_positioning::delta_t::estimate(year).expect("an estimate");
        let apart = (ours - number(row[7])).abs() / 3600.0;
        let solar = ours.abs() / 3600.0 / 24.0;
        let near = 0.08 + solar + apart * 0.55;
        close(
            format!("moon {row:?}"),
            sky.moon.height,
            number(row[3]),
            near,
        );
        close(
            format!("direction of the moon {row:?}"),
            turned(sky.moon.direction, number(row[4])) * sky.moon.height.to_radians().cos(),
            0.0,
            near,
        );
        let near = 0.02 + solar + apart / 24.0;
        close(format!("sun {row:?}"), sky.sun_height, number(row[5]), near);
        close(
            format!("direction of the sun {row:?}"),
            turned(sky.sun_direction, number(row[6])) * sky.sun_height.to_radians().cos(),
            0.0,
            near,
        );
    }
}

/// Where both estimates end, and one second beyond.
#[test]
fn the_years_that_are_worked_out() {
    let here = place("47", "8");
    let (first, last) = (
        seconds("1500-01-01T00:00:00Z") - 2000.0 / 400.0 * 146_097.0 * 86_400.0,
        seconds("3000-01-01T00:00:00Z"),
    );
    for at in [first, last - 1.0] {
        let moment = Moment::new(at).expect("within");
        let sky = Sky::new(here, moment).expect("a sky");
        assert!(sky.sun_height.abs() < 90.0 && sky.moon.height.abs() < 90.0);
        assert!(Daylight::around(here, moment).is_ok());
    }
    for at in [first - 1.0, last, f64::NAN, f64::INFINITY, -1e12, 1e12] {
        let refused = Moment::new(at).expect_err("beyond");
        assert!(refused.to_string().contains("2999"), "{refused}");
    }
}

/// Seconds since 1970 of the entries of a cell.
fn moments(cell: &str) -> Vec<f64> {
    cell.split(';')
        .filter(|at| !at.is_empty())
        .map(seconds)
        .collect()
}

#[test]
fn twilights_as_another_ephemeris_has_them() {
    let (mut seen, mut none) = (0, 0);
    for row in rows("sun_edges.csv", include_str!("../data/sun_edges.csv")) {
        let spot = place(row[2], row[3]);
        let edge = match number(row[4]) {
            at if at > -1.0 => 0,
            at if at > -7.0 => 1,
            at if at > -13.0 => 2,
            _ => 3,
        };
        let daylight = |at: f64| {
            let moment = Moment::new(at).expect("a moment");
            let found = Daylight::around(spot, moment).expect("a day");
            assert_eq!(found.edges[edge].edge, Edge::ALL[edge]);
            found.edges[edge].clone()
        };
        for (cell, is_rise) in [(row[5], true), (row[6], false)] {
            for table in moments(cell) {
                let found = daylight(table);
                let list = if is_rise { found.rises } else { found.sets };
                let nearest = list
                    .iter()
                    .map(|moment| (moment.seconds() - table).abs())
                    .fold(f64::INFINITY, f64::min);
                assert!(nearest <= 30.0, "{row:?}: {nearest} s off of {list:?}");
                seen += 1;
            }
        }
        if row[5].is_empty() && row[6].is_empty() {
            // Nothing within the day of UTC: nothing of the sun's own day falls into it.
            let (start, end) = (seconds(row[0]), seconds(row[1]));
            let found = daylight(f64::midpoint(start, end));
            for moment in found.rises.iter().chain(&found.sets) {
                assert!(
                    !(start..end).contains(&moment.seconds()),
                    "{row:?}: {found:?}"
                );
            }
            none += 1;
        }
    }
    assert!(seen > 40 && none > 15, "{seen} events, {none} days without");
}

#[test]
fn civil_twilight_as_an_observatory_has_it() {
    for row in rows(
        "civil_twilight.csv",
        include_str!("../data/civil_twilight.csv"),
    ) {
        let noon = seconds(row[0]);
        let spot = place(row[1], row[2]);
        let passing = |at: f64| {
            let moment = Moment::new(at).expect("a moment");
            let [_, civil, ..] = Daylight::around(spot, moment).expect("a day").edges;
            civil
        };
        if row[3] == "ALL_DAY" {
            // The middle of the day of UTC may lie at night: the sun's own day around it has no edge either.
            let found = passing(noon);
            assert!(
                found.rises.is_empty() && found.sets.is_empty() && found.above,
                "{row:?}"
            );
            continue;
        }
        for (text, is_rise) in [(row[4], true), (row[5], false)] {
            let (hour, minute) = text.split_once(':').expect("a time");
            let table = noon - 43_200.0 + number(hour) * 3600.0 + number(minute) * 60.0;
            let found = passing(table);
            let list = if is_rise { found.rises } else { found.sets };
            let [moment] = list[..] else {
                panic!("{row:?}: {list:?}")
            };
            close(format!("{row:?} {text}"), moment.seconds(), table, 90.0);
        }
    }
}

/// By a clock two hours ahead: the times of the observatory's table for Brasília, and what is said at the poles.
#[test]
fn times_by_a_clock_on_the_wall() {
    let shown = |day| Shown::parse(day, "12:00").expect("a noon");
    let lines = |north, east, day, lead: f64| {
        let noon = shown(day)
            .noon()
            .moment(&|_| lead)
            .expect("a moment")
            .moment;
        let found = Daylight::around(place(north, east), noon).expect("a day");
        found.lines(shown(day), &|_| lead)
    };
    // The table has 09:18 and 21:10 UT for 5 April 2020.
    let brasilia = lines("-15.8", "-47.85", "2020-04-05", -3.0 * 3600.0);
    assert_eq!(brasilia[0], "Sun (its upper rim): rises 06:18, sets 18:10.");
    let far = lines("-15.8", "-47.85", "2020-04-05", 7.0 * 3600.0);
    assert_eq!(
        far[0],
        "Sun (its upper rim): rises 16:18, sets 04:10 the day after."
    );
    // Longyearbyen: no sun in December, no night in June.
    let winter = lines("78.22", "15.63", "2026-12-21", 3600.0);
    assert_eq!(winter[0], "Sun (its upper rim): does not rise that day.");
    assert_eq!(
        winter[1],
        "Civil twilight (sun 6° below the horizon): none, the sun stays lower all day."
    );
    assert!(
        winter[2].starts_with("Nautical twilight (12°): begins "),
        "{}",
        winter[2]
    );
    let summer = lines("78.22", "15.63", "2026-06-21", 7200.0);
    assert_eq!(summer[0], "Sun (its upper rim): does not set that day.");
    assert_eq!(summer[3], "Astronomical twilight (18°): lasts all night.");
    // Below 48.6° north it becomes dark at midsummer, above it does not: 90° less 18° less the sun's 23.4°.
    let munich = lines("48.1", "11.6", "2026-06-21", 7200.0);
    assert!(munich[3].ends_with(" the day after."), "{}", munich[3]);
    let hamburg = lines("53.6", "10", "2026-06-21", 7200.0);
    assert_eq!(hamburg[3], "Astronomical twilight (18°): lasts all night.");
    // The pole at its one sunrise of the year: 18 March 2024, 00:40 UT, as the ephemeris has it.
    let pole = lines("90", "0", "2024-03-18", 0.0);
    assert_eq!(
        pole[0],
        "Sun (its upper rim): rises 00:40, and not again that day."
    );
}

#[test]
fn days_that_the_calendar_does_not_have() {
    for (day, says) in [
        (
            "2026-02-30",
            "February 2026 has 28 days, so there is no 30 February.",
        ),
        (
            "2026-02-29",
            "February 2026 has 28 days, so there is no 29 February.",
        ),
        ("2100-02-29", "February 2100 has 28 days"),
        ("2026-04-31", "April 2026 has 30 days"),
        ("2026-01-32", "January 2026 has 31 days"),
        ("2026-01-00", "there is no 0 January"),
        ("2026-13-01", "There is no month 13"),
        ("2026-00-10", "There is no month 0"),
        ("0000-01-01", "A year has four figures"),
        ("the longest", "A day is typed as year, month and day"),
        ("2026-06", "A day is typed as year, month and day"),
        ("2026-06-21-1", "A day is typed as year, month and day"),
        ("+2026-06-21", "A day is typed as year, month and day"),
        ("", "A day is typed as year, month and day"),
    ] {
        let refused = Shown::parse(day, "12:00").expect_err(day).to_string();
        assert!(
            refused.contains(says) && refused.ends_with('.'),
            "{day}: {refused}"
        );
    }
    for day in [
        "2024-02-29",
        "2000-02-29",
        "2026-12-31",
        " 2026-6-1 ",
        "0987-06-01",
        "2999-12-31",
    ] {
        let shown = Shown::parse(day, "12:00").unwrap_or_else(|error| panic!("{day}: {error}"));
        assert!(shown.moment(&|_| 0.0).is_ok(), "{day}");
    }
    assert!(
        Shown::parse("3000-01-01", "12:00")
            .expect("a day")
            .moment(&|_| 0.0)
            .is_err(),
        "beyond the estimate"
    );
    for time in ["24:00", "12:60", "noon", "12", "-1:00", "12:00:00", ""] {
        let refused = Shown::parse("2026-06-21", time)
            .expect_err(time)
            .to_string();
        assert!(
            refused.contains("A time is typed as hours and minutes"),
            "{time}: {refused}"
        );
    }
}

/// A clock that is put forward or back at one moment.
fn put(at: f64, before: f64, after: f64) -> impl Fn(f64) -> f64 {
    move |moment| if moment < at { before } else { after }
}

/// The days and times are those of the zones' rules: Central Europe (Directive 2000/84/EC: last Sunday of March and October,
/// 01:00 UTC), Lord Howe Island (half an hour), Samoa (which left out 30 December 2011).
#[test]
fn times_that_a_clock_jumps_over_or_shows_twice() {
    const HOUR: f64 = 3600.0;
    let ask = |day, time, lead: &dyn Fn(f64) -> f64| {
        Shown::parse(day, time).expect("typed well").moment(lead)
    };
    let spring = put(seconds("2026-03-29T01:00:00Z"), HOUR, 2.0 * HOUR);
    for time in ["02:00", "02:30", "02:59"] {
        let refused = ask("2026-03-29", time, &spring)
            .expect_err(time)
            .to_string();
        assert_eq!(
            refused,
            format!(
                "The clock never shows {time} on 2026-03-29: it is put forward from 02:00 to 03:00."
            )
        );
    }
    for (day, time, utc) in [
        ("2026-03-29", "01:59", "2026-03-29T00:59:00Z"),
        ("2026-03-29", "03:00", "2026-03-29T01:00:00Z"),
        ("2026-03-28", "12:00", "2026-03-28T11:00:00Z"),
        ("2026-03-29", "12:00", "2026-03-29T10:00:00Z"),
    ] {
        let known = ask(day, time, &spring).expect("a moment");
        close(
            format!("{day} {time}"),
            known.moment.seconds(),
            seconds(utc),
            0.0,
        );
        assert_eq!(known.remark, "", "{day} {time}");
    }
    let autumn = put(seconds("2026-10-25T01:00:00Z"), 2.0 * HOUR, HOUR);
    for (time, utc, twice) in [
        ("01:59", "2026-10-24T23:59:00Z", false),
        ("02:00", "2026-10-25T00:00:00Z", true),
        ("02:59", "2026-10-25T00:59:00Z", true),
        ("03:00", "2026-10-25T02:00:00Z", false),
    ] {
        let known = ask("2026-10-25", time, &autumn).expect("a moment");
        close(time, known.moment.seconds(), seconds(utc), 0.0);
        let says = if twice {
            format!(
                "The clock shows {time} twice that day, for it is put back by 1 h: the first time is taken."
            )
        } else {
            String::new()
        };
        assert_eq!(known.remark, says);
    }
    let half = put(seconds("2026-10-03T15:30:00Z"), 10.5 * HOUR, 11.0 * HOUR);
    let refused = ask("2026-10-04", "02:15", &half)
        .expect_err("jumped over")
        .to_string();
    assert!(refused.contains("from 02:00 to 02:30"), "{refused}");
    let samoa = put(seconds("2011-12-30T10:00:00Z"), -10.0 * HOUR, 14.0 * HOUR);
    let refused = ask("2011-12-30", "12:00", &samoa)
        .expect_err("no such day")
        .to_string();
    assert!(
        refused.contains("from 00:00 to 00:00 the day after"),
        "{refused}"
    );
}

#[test]
fn clocks_by_their_hours_from_utc() {
    for (text, hours) in [
        ("2", 2.0),
        ("+2", 2.0),
        ("UTC+2", 2.0),
        ("utc −3:30", -3.5),
        ("-3:30", -3.5),
        ("5:45", 5.75),
        ("5.5", 5.5),
        ("5,5", 5.5),
        ("0", 0.0),
        ("14", 14.0),
    ] {
        close(text, parse_lead(text).expect(text), hours * 3600.0, 0.0);
    }
    for text in ["", "16", "-16", "2:60", "here", "2:3:4", "--2", "1e1"] {
        let refused = parse_lead(text).expect_err(text).to_string();
        assert!(
            refused.contains("The hours from UTC are typed like"),
            "{text}: {refused}"
        );
    }
    for (lead, words) in [
        (7200.0, "2 h ahead of UTC"),
        (-12_600.0, "3 h 30 min behind UTC"),
        (0.0, "the same as UTC"),
        (1800.0, "30 min ahead of UTC"),
        // What a town's clock showed before there were zones: Bern, +0:29:46.
        (1786.0, "30 min ahead of UTC"),
    ] {
        assert_eq!(lead_in_words(lead), words);
    }
    // Clocks as they are, by the time zone database: the west of China, Greenland, Kiribati, western Alaska in summer.
    for (lead, east) in [
        (8.0, "75.9"),
        (-2.0, "-51.7"),
        (14.0, "-157.4"),
        (-8.0, "-168.1"),
        (0.0, "0"),
    ] {
        assert_eq!(
            far_from_the_sun(lead * 3600.0, place("40", east)),
            "",
            "{east}"
        );
    }
    assert_eq!(
        far_from_the_sun(3600.0, place("35.7", "139.7")),
        "That is 8 h behind the sun at this place: is it the clock there?"
    );
    assert!(far_from_the_sun(3600.0, place("40.7", "-74")).contains("6 h ahead of the sun"));
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
        // The table's heights are from the centre of the earth; the circular's own parallax leads to what is seen.
        let height = number(row[1]) - 0.95 * number(row[1]).to_radians().cos();
        let light = moonlight(height, number(row[0]), Cover::Clear).horizontal;
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
}
