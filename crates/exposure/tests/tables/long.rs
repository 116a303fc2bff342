//! Reciprocity failure: published rules, worked cases, and what happens at thresholds and ends.

use exposure::{Counted, FilmKind, LongRule, LongTimes, PUBLISHED_LONG, Stops, range, words};

use crate::check::{EXACT, Table, close, close_relative, same};

fn power(exponent: f64) -> LongTimes {
    LongTimes::power(exponent, 1.0).expect("an exponent in range")
}

fn added(share: f64) -> LongTimes {
    let rule = LongRule::Added {
        share,
        exponent: 1.62,
    };
    LongTimes::new(rule, 0.001).expect("a share in range")
}

fn table(rows: &[[f64; 2]], threshold: f64) -> LongTimes {
    LongTimes::new(LongRule::Table(rows.to_vec()), threshold).expect("a table")
}

#[test]
fn published_rules() {
    let rows = Table::read("long_times.csv", include_str!("../data/long_times.csv"));
    let rules = [
        ("p86", LongTimes::schwarzschild(0.86, 1.0).unwrap()),
        // Abney's plate: 64 times the time for 1/64 of the light gave half the energy, p = 1 − log 2 / log 64 = 5/6.
        ("p8333", LongTimes::schwarzschild(5.0 / 6.0, 1.0).unwrap()),
        ("power131", power(1.31)),
        ("a046", added(0.046)),
        ("a069", added(0.069)),
        ("a101", added(0.101)),
        ("a169", added(0.169)),
    ];
    for row in rows.rows() {
        let metered = row.number("metered");
        for (column, rule) in &rules {
            close(
                format!("{column} at {metered} s"),
                rule.needed(metered),
                row.number(column),
                rows.tolerance,
            );
            close_relative(
                format!("{column} at {metered} s by its stops"),
                rule.stops(metered).factor() * metered,
                rule.needed(metered),
                EXACT,
            );
        }
    }
}

/// The two exponents of one film are reciprocals: 1.31 is Schwarzschild's 0.763. [CALC]
#[test]
fn two_exponents_of_one_film() {
    let by_p = LongTimes::schwarzschild(0.763_359, 1.0).unwrap();
    close("at 10 s", by_p.needed(10.0), 20.417, 0.0005);
    assert!(
        LongTimes::schwarzschild(1.31, 1.0).is_err(),
        "an exponent above 1 is no Schwarzschild exponent"
    );
    assert!(
        LongTimes::power(0.763, 1.0).is_err(),
        "an exponent under 1 would shorten the time"
    );
}

/// Worked case 12: metered 8 s, exponent 1.31; each frame by itself, and never the needed time doubled.
#[test]
fn case_12_bracket() {
    let film = power(1.31);
    for (metered, needed, counted) in [
        (8.0, 15.2422, "15.2 s"),
        (16.0, 37.7918, "37.8 s"),
        (32.0, 93.7016, "1 min 34 s"),
    ] {
        close(
            format!("{metered} s"),
            film.needed(metered),
            needed,
            0.000_05,
        );
        same("to count", &words::to_count(film.needed(metered)), counted);
    }
    // Doubling the needed 15.2 s amounts to 0.76 stop: 2^(1/1.31) of the metered time.
    let doubled = (2.0 * film.needed(8.0)).powf(1.0 / 1.31);
    close("doubled", (doubled / 8.0).log2(), 0.763_36, 0.000_005);
}

/// Worked case 13: last, not first. Metered 4.5 s after filter and extension needs 7.2 s; a correction made before them
/// (metered under a second) would have been none, half a stop short of it.
#[test]
fn case_13_last_of_all() {
    let film = power(1.31);
    // EV 10 less 3 for the filter and 1.1699 for 100 mm on 66.67 mm is 5.8301: at f/16, Av 8, 2^2.1699 s.
    let metered = (8.0 - (10.0 - 3.0 - 2.25_f64.log2())).exp2();
    close("metered", metered, 4.5, 1e-9);
    close("last", film.needed(metered), 7.1733, 0.0001);
    same("to count", &words::to_count(film.needed(metered)), "7.2 s");
    close(
        "what is lost when it is done first",
        (4.5_f64).powf(1.0 / 1.31).log2() - 4.5_f64.log2(),
        -0.5135,
        0.000_05,
    );
}

/// A film maker's note prints: 10 s needs 20.4 s, use 20 s; none at 1 s or less.
#[test]
fn threshold_of_a_note() {
    let film = power(1.31);
    close("10 s", film.needed(10.0), 20.4, 0.001);
    for metered in [1e-4, 0.01, 0.5, 1.0] {
        close(format!("{metered} s"), film.needed(metered), metered, EXACT);
        assert_eq!(
            film.stops(metered),
            Stops::ZERO,
            "{metered} s is no long time"
        );
    }
    // A bare power would shorten half a second to 0.40 s; with a threshold of 1/100 s it still does not.
    let early = LongTimes::power(1.31, 0.01).unwrap();
    close("1/2 s", early.needed(0.5), 0.5, EXACT);
    // A threshold later than 1 s: the rule holds beyond it, and the needed time jumps up there.
    let late = LongTimes::power(1.31, 10.0).unwrap();
    close("at it", late.needed(10.0), 10.0, EXACT);
    close(
        "past it",
        late.needed(10.0_f64.next_up()),
        20.4174,
        0.000_05,
    );
}

/// The usual table of older black-and-white film, from memory but for its 10 s row (a public page): 1, 10, 100 s need 2, 50, 1200.
#[test]
fn table_in_log_log() {
    let film = table(&[[1.0, 2.0], [10.0, 50.0], [100.0, 1200.0]], 0.1);
    for (metered, needed) in [(0.1, 0.1), (1.0, 2.0), (10.0, 50.0), (100.0, 1200.0)] {
        close_relative(format!("{metered} s"), film.needed(metered), needed, EXACT);
    }
    // Half way between two rows on log-log paper: the geometric means of both columns.
    for (metered, needed) in [
        (1.0, (0.1_f64, 2.0_f64), (0.1_f64, 1.0_f64)),
        (10.0, (2.0, 50.0), (1.0, 10.0)),
        (100.0, (50.0, 1200.0), (10.0, 100.0)),
    ]
    .map(|(_, needed, metered)| ((metered.0 * metered.1).sqrt(), (needed.0 * needed.1).sqrt()))
    {
        close_relative(format!("{metered} s"), film.needed(metered), needed, EXACT);
    }
    // Beyond the last row along the last piece: ten times as long is 24 times as much again.
    close_relative("1000 s", film.needed(1000.0), 1200.0 * 24.0, EXACT);
    assert!(film.beyond_table(100.1), "a guess is called one");
    assert!(!film.beyond_table(100.0), "a row is no guess");
    assert!(!power(1.31).beyond_table(1e4), "a formula has no last row");
}

/// A line that climbs too slowly beyond its last row never falls under the metered time.
#[test]
fn never_less_than_metered() {
    let odd = table(&[[10.0, 50.0], [100.0, 100.5]], 1.0);
    close("100 s", odd.needed(100.0), 100.5, EXACT);
    close("5000 s", odd.needed(5000.0), 5000.0, EXACT);
    let level = table(&[[1.0, 1.0]], 1.0);
    close("nothing known", level.needed(60.0), 60.0, EXACT);
    let one = table(&[[10.0, 20.0]], 1.0);
    close_relative("one row goes on", one.needed(100.0), 400.0, EXACT);
}

/// Two rows so steep that their line would lead beyond any number: it stops at forty stops, and still grows.
#[test]
fn steep_table() {
    let steep = table(&[[0.4726, 0.8446]], 0.4693);
    let (day, half) = (steep.needed(86_400.0), steep.needed(43_200.0));
    assert!(day.is_finite() && day > half, "got {half} and {day}");
    close("forty stops", steep.stops(86_400.0).get(), 40.0, EXACT);
    close_relative("and back", steep.amounts_to(day), 86_400.0, EXACT);
}

#[test]
fn tables_that_contradict_themselves() {
    for (rows, threshold, says) in [
        (vec![], 1.0, "the number of rows"),
        (vec![[2.0, 3.0]; 31], 1.0, "the number of rows"),
        (vec![[0.5, 1.0]], 1.0, "begins below"),
        (vec![[1.0, 2.0]], 1.0, "first row corrects"),
        (vec![[10.0, 9.0]], 1.0, "shorter than its metered"),
        (
            vec![[10.0, 20.0], [10.0, 30.0]],
            1.0,
            "metered times of the table",
        ),
        (
            vec![[10.0, 20.0], [5.0, 30.0]],
            1.0,
            "metered times of the table",
        ),
        (
            vec![[10.0, 50.0], [20.0, 50.0]],
            1.0,
            "needed times of the table",
        ),
        (vec![[f64::NAN, 50.0]], 1.0, "a shutter time"),
        (vec![[10.0, f64::INFINITY]], 1.0, "a shutter time"),
        (vec![[10.0, 20.0]], 0.0, "up to which nothing"),
        (vec![[10.0, 20.0]], f64::NAN, "up to which nothing"),
    ] {
        let error = LongTimes::new(LongRule::Table(rows.clone()), threshold)
            .expect_err("no table of long times");
        assert!(
            error.to_string().contains(says),
            "{rows:?} from {threshold}: got “{error}”, expected “{says}”"
        );
    }
    for rule in [
        LongRule::Power { exponent: 2.1 },
        LongRule::Power { exponent: f64::NAN },
        LongRule::Added {
            share: -0.1,
            exponent: 1.62,
        },
        LongRule::Added {
            share: 0.1,
            exponent: 0.9,
        },
    ] {
        assert!(
            LongTimes::new(rule.clone(), 1.0).is_err_and(|error| error.is_range()),
            "{rule:?} is out of range"
        );
    }
}

/// What is no time at all needs nothing and breaks nothing.
#[test]
fn no_times() {
    for film in [power(2.0), added(10.0), table(&[[10.0, 50.0]], 1.0)] {
        for metered in [0.0, -1.0, f64::NEG_INFINITY] {
            close(
                "no time",
                film.needed(metered).max(-1.0),
                metered.max(-1.0),
                EXACT,
            );
        }
        assert!(
            film.needed(f64::NAN).is_nan(),
            "what is no number stays none"
        );
        assert!(film.stops(f64::NAN) == Stops::ZERO, "and needs nothing");
        assert!(film.needed(range::TIME.max).is_finite(), "a day is a time");
    }
}

#[test]
fn times_to_count() {
    for (seconds, expected) in [
        (0.0, "0 s"),
        (1.0 / 128.0, "1/125 s"),
        (0.2, "1/5 s"),
        (0.3, "0.3 s"),
        (0.5, "0.5 s"),
        (0.714, "0.71 s"),
        (3.994, "3.99 s"),
        (3.996, "4 s"),
        (7.1733, "7.2 s"),
        (15.0, "15 s"),
        (15.2422, "15.2 s"),
        (59.94, "59.9 s"),
        (59.96, "1 min"),
        (60.0, "1 min"),
        (93.7016, "1 min 34 s"),
        (119.6, "2 min"),
        (416.8694, "6 min 57 s"),
        (3599.4, "59 min 59 s"),
        (3599.6, "1 h"),
        (3600.0, "1 h"),
        (3720.0, "1 h 2 min"),
        (28_800.0, "8 h"),
        (7e9, "1\u{202f}944\u{202f}444 h 27 min"),
    ] {
        same(format!("{seconds} s"), &words::to_count(seconds), expected);
    }
    // Within a fiftieth of a stop wherever time is counted.
    let mut seconds = 1e-4;
    while seconds < 1e5 {
        let text = words::to_count(seconds);
        let mut parts = text.split(' ');
        let mut read = 0.0;
        while let (Some(number), Some(unit)) = (parts.next(), parts.next()) {
            let number = crate::check::number(&number.replace('\u{202f}', ""));
            read += number
                * match unit {
                    "h" => 3600.0,
                    "min" => 60.0,
                    _ => 1.0,
                };
        }
        assert!(
            (read / seconds).log2().abs() < 0.02,
            "{seconds} s is told as {text}"
        );
        seconds *= 1.003;
    }
}

#[track_caller]
fn published(id: &str) -> LongTimes {
    PUBLISHED_LONG
        .iter()
        .find(|row| row.id == id)
        .unwrap_or_else(|| panic!("{id} is published"))
        .long_times()
        .unwrap_or_else(|error| panic!("{id}: {error}"))
}

/// Published rules stand side by side: at 10 s an older figure asks for 50 or 60 s, measured newer films for 12 to 17 s, two
/// stops apart.
#[test]
fn conflicts_stay_apart() {
    for (id, needed) in [
        ("older-50", 50.0),
        ("older-60", 60.0),
        ("added-0.046", 11.9176),
        ("added-0.061", 12.5429),
        ("added-0.069", 12.8764),
        ("added-0.101", 14.2104),
        ("added-0.169", 17.0451),
        ("power-1.31", 20.4174),
        ("schwarzschild-0.86", 14.5476),
        ("abney", 15.8489),
        ("colour-negative", 40.0),
        ("slide", 28.28),
    ] {
        close(id, published(id).needed(10.0), needed, 0.000_005);
    }
    let apart = published("older-50").stops(10.0) - published("added-0.069").stops(10.0);
    close("two stops", apart.get(), 1.9572, 0.000_05);
    for (i, row) in PUBLISHED_LONG.iter().enumerate() {
        assert!(row.long_times().is_ok(), "{} can be used", row.id);
        assert!(!row.source.is_empty(), "{} has a source", row.id);
        for other in &PUBLISHED_LONG[i + 1..] {
            assert!(
                row.id != other.id && row.name != other.name,
                "{} stands twice",
                row.id
            );
        }
    }
}

/// A trade table prints stops: colour negative 1, 2 and 2½ at 1, 10 and 100 s; slide ½, 1½ and 2½.
#[test]
fn printed_stops_of_colour() {
    for (id, stops) in [
        ("colour-negative", [1.0, 2.0, 2.5]),
        ("slide", [0.5, 1.5, 2.5]),
    ] {
        for (metered, stops) in [1.0, 10.0, 100.0].into_iter().zip(stops) {
            close(
                format!("{id} at {metered} s"),
                published(id).stops(metered).get(),
                stops,
                0.001,
            );
        }
    }
}

#[test]
fn rules_in_words() {
    for (film, expected) in [
        (power(1.31), "exponent 1.31 beyond 1 s"),
        (added(0.069), "share 0.069, exponent 1.62, beyond 1/1000 s"),
        (
            table(&[[1.0, 2.0], [10.0, 50.0], [100.0, 1200.0]], 0.2),
            "a table of 3 rows from 1/5 s to 1 min 40 s",
        ),
        (
            table(&[[10.0, 50.0]], 1.0),
            "a table of 1 row from 1 s to 10 s",
        ),
    ] {
        same("rule", &words::long_times(&film), expected);
    }
    let sheet = table(&[[1.0, 2.0], [10.0, 50.0]], 0.2);
    same(
        "in the table",
        &words::bulb(&sheet.count(10.0)),
        "Count 50 s; the meter alone says 10 s.",
    );
    same(
        "beyond it",
        &words::bulb(&sheet.count(100.0)),
        "Count 20 min 50 s; the meter alone says 1 min 40 s. The film's table ends before that: this is a guess along its last piece.",
    );
    same(
        "no rule",
        &words::bulb(&Counted::as_metered(30.0)),
        "Count 30 s, as metered.",
    );
}

/// Colour film is cautioned from 1 s on, with a rule or without; black-and-white only where no rule is known.
#[test]
fn cautions() {
    for (kind, metered, corrected, says) in [
        (FilmKind::ColourNegative, 0.5, false, ""),
        (FilmKind::ColourNegative, 1.0, true, "open the lens instead"),
        (FilmKind::Reversal, 30.0, true, "Tungsten slide film"),
        (FilmKind::BlackAndWhite, 1.0, false, "rule of your film"),
        (FilmKind::BlackAndWhite, 100.0, true, ""),
        (FilmKind::BlackAndWhite, 0.99, false, ""),
        (FilmKind::Reversal, f64::NAN, false, ""),
    ] {
        let found = words::long_caution(kind, metered, corrected).unwrap_or_default();
        assert!(
            if says.is_empty() {
                found.is_empty()
            } else {
                found.contains(says)
            },
            "{kind:?} {metered} {corrected}: got “{found}”"
        );
    }
}

#[test]
fn tables_as_people_type_them() {
    for (text, rows) in [
        (
            "1 2; 10 50; 100 1200",
            vec![[1.0, 2.0], [10.0, 50.0], [100.0, 1200.0]],
        ),
        ("1 2\n10 50\n", vec![[1.0, 2.0], [10.0, 50.0]]),
        ("1 2, 10 50", vec![[1.0, 2.0], [10.0, 50.0]]),
        ("0,5 0,7; 1 1,5", vec![[0.5, 0.7], [1.0, 1.5]]),
        (
            "1 s = 2 s; 1 min = 20 min",
            vec![[1.0, 2.0], [60.0, 1200.0]],
        ),
        ("10s 50s; 1 min 20 min", vec![[10.0, 50.0], [60.0, 1200.0]]),
        ("1/2 → 0.6", vec![[0.5, 0.6]]),
        ("10: 50; 60 -> 600", vec![[10.0, 50.0], [60.0, 600.0]]),
        ("2 min = 1 h", vec![[120.0, 3600.0]]),
    ] {
        let found =
            words::parse_long_table(text).unwrap_or_else(|error| panic!("“{text}”: {error}"));
        assert_eq!(found, rows, "“{text}”");
        assert_eq!(
            words::parse_long_table(&words::long_table(&found)),
            Ok(found),
            "“{text}” printed and read again"
        );
    }
    for (text, says) in [
        ("", "nothing was typed"),
        (" \n;; ", "nothing was typed"),
        ("10", "“10” was not understood"),
        ("1 2; 10 fifty", "“10 fifty” was not understood"),
        ("1 2 3", "“1 2 3” was not understood"),
        ("-1 2", "“-1 2” was not understood"),
        ("1 min 30 s 4 min", "was not understood"),
        (&"1 2; ".repeat(500), "too long"),
    ] {
        let error = words::parse_long_table(text).expect_err("no table");
        assert!(
            error.is_parse() && error.to_string().contains(says),
            "“{text}”: got “{error}”, expected “{says}”"
        );
    }
}

/// Bare figures are seconds here, and metres, and millimetres: each says so where it is not understood.
#[test]
fn figures_as_people_type_them() {
    for (text, seconds) in [
        ("60", 60.0),
        ("0,5", 0.5),
        ("1/2", 0.5),
        ("90 s", 90.0),
        ("1'30", 90.0),
        ("1:30", 90.0),
        ("2 min", 120.0),
        ("1.5 h", 5400.0),
    ] {
        close(text, words::parse_seconds(text).unwrap(), seconds, EXACT);
    }
    for (text, mm) in [
        ("2", Some(2000.0)),
        ("2,5 m", Some(2500.0)),
        ("80 cm", Some(800.0)),
        ("6 ft", Some(1828.8)),
        ("6'", Some(1828.8)),
        ("20 in", Some(508.0)),
        ("350mm", Some(350.0)),
        ("∞", None),
        (" Infinity ", None),
    ] {
        let found = words::parse_distance(text).unwrap_or_else(|error| panic!("“{text}”: {error}"));
        close(text, found.unwrap_or(0.0), mm.unwrap_or(0.0), EXACT);
        assert_eq!(found.is_none(), mm.is_none(), "“{text}” and infinity");
    }
    close(
        "50",
        words::parse_length("a focal length", "50").unwrap(),
        50.0,
        EXACT,
    );
    close(
        "5 cm",
        words::parse_length("a focal length", "5 cm").unwrap(),
        50.0,
        EXACT,
    );
    for (text, stops) in [
        ("2", 2.0),
        ("0", 0.0),
        ("0.5", 0.5),
        ("1,5", 1.5),
        ("2/3", 2.0 / 3.0),
        ("1 2/3", 5.0 / 3.0),
        ("1  1/3 stops", 4.0 / 3.0),
        ("⅔", 2.0 / 3.0),
        ("1 ½ stop", 1.5),
        ("2⅚", 17.0 / 6.0),
    ] {
        close(
            text,
            words::parse_stops(text)
                .unwrap_or_else(|error| panic!("“{text}”: {error}"))
                .get(),
            stops,
            EXACT,
        );
    }
    for bad in [
        "", "+1", "-1", "−1", "1/0", "one", "1/", "/3", "½½", "1 2", ".", "1e3",
    ] {
        let found = words::parse_stops(bad);
        assert!(found.is_err(), "“{bad}”: got {found:?}");
    }
    for (error, says) in [
        (words::parse_seconds("soon").err(), "in seconds"),
        (words::parse_distance("near").err(), "in metres"),
        (
            words::parse_length("a focal length", "x").err(),
            "a focal length is typed in millimetres",
        ),
        (
            words::parse_figure("a filter factor", "1,000").err(),
            "a filter factor is typed",
        ),
        (
            words::parse_figure("a density", "").err(),
            "nothing was typed",
        ),
    ] {
        let error = error.expect("not understood").to_string();
        assert!(error.contains(says), "got “{error}”, expected “{says}”");
    }
}
