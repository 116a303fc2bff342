//! A day's curves against the figures of single moments, and those against independent ones.

use exposure::{Ev, light::Constants};
use readings::sky::{
    Course, Cover, Daylight, Facing, HEIGHTS, HOURS, Moment, Place, Point, Sky, change_in_words,
    clock::{Lead, Shown},
    coming,
};

use crate::check::{EXACT, close, number, rows};

const HOUR: f64 = 3600.0;

fn place(north: f64, east: f64) -> Place {
    Place::new(north, east).expect("a place")
}

fn shown(day: &str, time: &str) -> Shown {
    Shown::parse(day, time).expect("typed well")
}

fn course(place: Place, day: &str, lead: Lead<'_>) -> Course {
    Course::new(place, shown(day, "12:00"), lead).expect("a day")
}

/// The point of a moment, if the day has one.
fn at(course: &Course, seconds: f64) -> Option<Point> {
    let is_it = |point: &&Point| (point.moment.seconds() - seconds).abs() < 0.5;
    course.points.iter().find(is_it).copied()
}

/// The reference program's positions (see `sun_positions.csv`) that lie on a point of a day of UTC.
#[test]
fn the_sun_of_a_day_as_the_reference_program_has_it() {
    let mut seen = 0;
    for row in rows(
        "sun_positions.csv",
        include_str!("../data/sun_positions.csv"),
    ) {
        let (day, time) = row[0].split_once('T').expect("a day and a time");
        let time = &time[..5];
        let course = course(place(number(row[1]), number(row[2])), day, &|_| 0.0);
        let hour = f64::from(shown(day, time).minutes()) / 60.0;
        let is_it = |point: &&Point| (point.hour - hour).abs() < EXACT;
        let Some(point) = course.points.iter().find(is_it) else {
            continue;
        };
        let height = point.standing.sun_height;
        let refraction = (1000.0 / 1010.0) * 1.02
            / (60.0 * (height + 10.3 / (height + 5.11)).to_radians().tan());
        close(
            format!("{row:?}"),
            height + refraction,
            90.0 - number(row[4]),
            0.02,
        );
        seen += 1;
    }
    assert!(seen > 10, "{seen} moments");
}

/// The ephemeris of the Jet Propulsion Laboratory (see `moon.csv`), where its moments are points of a day of UTC.
#[test]
fn the_moon_of_a_day_as_another_ephemeris_has_it() {
    let mut seen = 0;
    for row in rows("moon.csv", include_str!("../data/moon.csv")) {
        let seconds = number(row[0]);
        if seconds % 600.0 != 0.0 {
            continue;
        }
        let here = place(number(row[1]), number(row[2]));
        let day = Shown::at(seconds, &|_| 0.0);
        let course = Course::new(here, day, &|_| 0.0).expect("a day");
        let point = at(&course, seconds).expect("a point of the day");
        close(
            format!("moon {row:?}"),
            point.standing.moon.height,
            number(row[3]),
            0.06,
        );
        close(
            format!("sun {row:?}"),
            point.standing.sun_height,
            number(row[7]),
            0.01,
        );
        seen += 1;
    }
    assert!(seen > 10, "{seen} moments");
}

/// What is drawn at a moment is what is said of it.
#[test]
fn points_are_what_is_said_of_their_moments() {
    let usual = Constants::default();
    for (here, day, lead) in [
        (place(47.0, 8.0), "2026-06-21", 2.0),
        (place(0.0, 0.0), "2026-03-20", 0.0),
        (place(78.22, 15.63), "2026-12-21", 1.0),
        (place(78.22, 15.63), "2026-06-21", 2.0),
        (place(-33.9, 151.2), "2026-01-03", 11.0),
        (place(90.0, 0.0), "2026-09-23", 0.0),
    ] {
        let course = course(here, day, &|_| lead * HOUR);
        assert_eq!(course.points.len(), 145, "{day}");
        let lights = course.lights(Cover::Thin, Facing::Side, &usual);
        for ((point, [hour, light]), [_, sun]) in
            course.points.iter().zip(lights).zip(course.suns())
        {
            let sky = Sky::new(here, point.moment).expect("a sky");
            // Between two full positions it is taken in proportion.
            close("sun", point.standing.sun_height, sky.sun_height, 0.0005);
            close("drawn", sun, point.standing.sun_height, 0.0);
            assert_eq!(point.standing.moon, sky.moon);
            close("hour", hour, point.hour, 0.0);
            assert!(HOURS.holds(hour) && HEIGHTS.to() >= sun);
            if let Ok(found) = sky.found(Cover::Thin, Facing::Side, &usual) {
                close("light", light, found.light().get(), 0.001);
            }
        }
        assert_eq!(course.remark, "");
    }
}

/// The hour that is jumped over has no points, and of the hour that comes twice the first is taken (Central Europe,
/// Directive 2000/84/EC).
#[test]
fn days_on_which_a_clock_is_put() {
    let put = |at: f64, before: f64, after: f64| {
        move |moment: f64| if moment < at { before } else { after }
    };
    // 29 March and 25 October 2026, 01:00 UTC.
    let spring = put(1_774_746_000.0, HOUR, 2.0 * HOUR);
    let spring = course(place(47.0, 8.0), "2026-03-29", &spring);
    assert_eq!(spring.points.len(), 139);
    assert!(
        !spring
            .points
            .iter()
            .any(|point| point.hour >= 2.0 && point.hour < 3.0),
        "a time that is none is drawn"
    );
    assert_eq!(spring.remark, "The clock is put forward by 1 h that day.");
    let autumn = put(1_792_890_000.0, 2.0 * HOUR, HOUR);
    let autumn = course(place(47.0, 8.0), "2026-10-25", &autumn);
    assert_eq!(autumn.points.len(), 145);
    let [before, after] = [17, 18].map(|at| autumn.points[at].moment.seconds());
    close("from 02:50 to 03:00", after - before, 70.0 * 60.0, 0.0);
    assert!(autumn.in_words().contains("put back by 1 h"), "said");
}

#[test]
fn the_ends_of_the_years() {
    let last = course(place(47.0, 8.0), "2999-12-31", &|_| 0.0);
    assert_eq!(last.points.len(), 144, "all but the first minute of 3000");
    assert!(
        Course::new(place(47.0, 8.0), shown("3000-01-01", "12:00"), &|_| 0.0).is_err(),
        "beyond"
    );
}

/// What is said of the moon holds at the moments that are said, to the minute.
#[test]
fn the_moon_rises_and_sets_when_it_is_said() {
    let mut seen = 0;
    for day in 1..=28 {
        let day = format!("2026-02-{day:02}");
        let here = place(52.5, 13.4);
        let line = course(here, &day, &|_| HOUR).moon;
        for (passes, rising) in [("rises ", true), ("sets ", false)] {
            let Some((_, rest)) = line.split_once(passes) else {
                continue;
            };
            let moment = shown(&day, &rest[..5])
                .moment(&|_| HOUR)
                .expect("a moment")
                .moment;
            let height = |minutes: f64| {
                let moment = Moment::new(moment.seconds() + minutes * 60.0).expect("near");
                Sky::new(here, moment).expect("a sky").moon.height + 50.0 / 60.0
            };
            // The moon takes a tenth of a degree for a minute at most, a quarter at the equator.
            close(format!("{day} {line}"), height(0.0), 0.0, 0.13);
            assert_eq!(height(10.0) > height(-10.0), rising, "{day} {line}");
            seen += 1;
        }
    }
    // In a month the moon leaves out one rising and one setting.
    assert!(seen > 50, "{seen}");
    let pole = course(place(89.9, 0.0), "2026-02-25", &|_| 0.0).moon;
    assert!(
        pole.ends_with("stays up all day.") || pole.ends_with("does not rise that day."),
        "{pole}"
    );
}

/// Shadows are long while the sun is over the horizon and not over 10°.
#[test]
fn hours_of_long_shadows() {
    let daylight = |here, day: &str, lead: f64| {
        let noon = shown(day, "12:00").moment(&|_| lead).expect("a moment");
        Daylight::around(here, noon.moment).expect("a day")
    };
    let line = |here, day: &str, lead: f64| {
        daylight(here, day, lead).long_shadows_line(shown(day, "12:00"), &|_| lead)
    };
    let here = place(47.0, 8.0);
    let stretches = daylight(here, "2026-06-21", 2.0 * HOUR).long_shadows();
    let [[Some(dawn), Some(up)], [Some(down), Some(dusk)]] = stretches[..] else {
        panic!("{stretches:?}");
    };
    let height = |at: Moment| Sky::new(here, at).expect("a sky").sun_height;
    for (at, degrees) in [
        (dawn, -5.0 / 6.0),
        (up, 10.0),
        (down, 10.0),
        (dusk, -5.0 / 6.0),
    ] {
        close("height", height(at), degrees, 0.01);
    }
    assert!(dawn < up && up < down && down < dusk, "in their order");
    // A winter day so low that all of it is long.
    let winter = daylight(place(60.2, 24.9), "2026-12-21", 2.0 * HOUR).long_shadows();
    assert!(matches!(winter[..], [[Some(_), Some(_)]]), "{winter:?}");
    let arctic = place(78.22, 15.63);
    assert_eq!(
        line(arctic, "2026-12-21", HOUR),
        "Long shadows (sun up to 10° high): none, the sun does not rise."
    );
    assert_eq!(
        line(arctic, "2026-06-21", 2.0 * HOUR),
        "Long shadows (sun up to 10° high): none, the sun stays higher."
    );
    // In April the sun stays up, and at night it is low; the day of the sun begins and ends in that night.
    let said = line(arctic, "2026-04-26", 2.0 * HOUR);
    assert!(said.contains("until ") && said.contains(" on."), "{said}");
    assert_eq!(
        line(place(90.0, 0.0), "2026-04-01", 0.0),
        "Long shadows (sun up to 10° high): all day."
    );
}

#[test]
fn the_light_of_a_later_hour() {
    let (here, usual) = (place(47.0, 8.0), Constants::default());
    let lead = |_| 2.0 * HOUR;
    let of = |time: &str| {
        let shown = shown("2026-06-21", time);
        let moment = shown.moment(&lead).expect("a moment").moment;
        let light = Sky::new(here, moment)
            .expect("a sky")
            .found(Cover::Clear, Facing::Disc, &usual)
            .expect("a light")
            .light();
        (shown, moment, light)
    };
    // 21 June: the sun goes from 30° to 11° high between 17:58 and 20:00.
    let words = change_in_words(of("18:00"), of("20:00"));
    assert!(
        words.starts_with("20:00 is 2 h after 18:00: ") && words.ends_with(" less light."),
        "{words}"
    );
    let words = change_in_words(of("20:00"), of("18:05"));
    assert!(
        words.starts_with("18:05 is 1 h 55 min before 20:00: ") && words.ends_with(" more light."),
        "{words}"
    );
    let (_, evening, light) = of("19:00");
    let words = coming(here, evening, Cover::Clear, Facing::Disc, &usual).expect("words");
    let (one, two) = words.split_once(", ").expect("two hours");
    let less = |then: Ev| exposure::words::difference(light.light_relative_to(then));
    assert_eq!(one, format!("In 1 h {}", less(of("20:00").2)));
    assert_eq!(two, format!("in 2 h {}.", less(of("21:00").2)));
    assert!(words.contains("less light"), "{words}");
}
