//! How many figures are shown: each quantity over its whole range, printed and read back by a plain reader that knows nothing
//! of the code, and held to the precision that the design document states for it.

use exposure::{
    Control, Ev, Ledger, Mark, Place, Reading, Sharp, Steps, Stops, light::Constants, words,
};
use proptest::prelude::*;

use crate::check::same;

/// What words without "about" may be off, in stops.
const FIFTIETH: f64 = 0.02;
/// What a value may be off by arithmetic.
const NOISE: f64 = 2e-6;

/// A plain number: digits, one point, thin spaces between groups, a fraction with a slash.
fn number(text: &str) -> f64 {
    let text = text.replace('\u{202f}', "");
    match text.split_once('/') {
        Some((over, under)) => number(over) / number(under),
        None => text
            .parse()
            .unwrap_or_else(|_| panic!("“{text}” is no number")),
    }
}

/// Whole and vulgar fraction, or a decimal: `1⅓`, `½`, `0.51`.
fn mixed(text: &str) -> f64 {
    let parts = [
        ('⅙', 1.0 / 6.0),
        ('⅓', 1.0 / 3.0),
        ('½', 0.5),
        ('⅔', 2.0 / 3.0),
        ('⅚', 5.0 / 6.0),
    ];
    let last = text.chars().last().expect("something");
    match parts.iter().find(|(sign, _)| *sign == last) {
        Some((_, part)) => {
            let whole = text.trim_end_matches(last);
            part + if whole.is_empty() { 0.0 } else { number(whole) }
        }
        None => number(text),
    }
}

/// A size in stops, and what its words promise: exact to a fiftieth, or "about" to half a sixth.
fn stops(text: &str) -> (f64, f64) {
    if matches!(text, "under ⅙ stop" | "less than ⅙ of a stop") {
        return (0.0, 1.0 / 12.0);
    }
    if text == "under 0.01 stop" {
        return (0.0, 0.005);
    }
    let (text, promise) = match text.strip_prefix("about ") {
        Some(rest) => (rest, 1.0 / 12.0),
        None => (text, FIFTIETH),
    };
    let words = [
        "half a", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    let figure = text
        .trim_end_matches(" stops")
        .trim_end_matches(" stop")
        .trim_end_matches(" of a");
    let spelt = words.iter().position(|word| *word == figure);
    let size = match spelt {
        Some(0) => 0.5,
        #[expect(clippy::cast_precision_loss, reason = "at most twelve")]
        Some(n) => n as f64,
        None => mixed(figure),
    };
    (size, promise)
}

/// Every “stop” and “stops” of a text stands behind a figure that asks for it.
#[track_caller]
pub(crate) fn counted_right(text: &str) {
    let tokens: Vec<&str> = text.split([' ', '\n']).collect();
    for pair in tokens.windows(2) {
        let word = pair[1].trim_end_matches(|c: char| !c.is_alphanumeric());
        let figure = pair[0].trim_start_matches(|c: char| !c.is_alphanumeric());
        let is_figure =
            figure.starts_with(|c: char| c.is_numeric()) && !figure.contains(['/', ',']);
        if is_figure && matches!(word, "stop" | "stops") {
            let size = mixed(figure);
            assert_eq!(
                word == "stop",
                size > 0.0 && size <= 1.0,
                "“{text}” counts {figure} wrongly"
            );
        }
    }
}

/// Seconds of `1/125 s`, `15.2 s`, `1 min 34 s`, `1 h 2 min`.
fn seconds(text: &str) -> f64 {
    let words: Vec<&str> = text.split(' ').collect();
    words
        .chunks(2)
        .map(|pair| {
            let unit = match pair[1] {
                "s" => 1.0,
                "min" => 60.0,
                "h" => 3600.0,
                unit => panic!("“{unit}” of “{text}”"),
            };
            number(pair[0]) * unit
        })
        .sum()
}

/// What the figures of the standard series stand for. Sources: the full stops by Exif 2.2 (CIPA DC-008), thirds and halves by
/// common practice; the values follow by arithmetic, 2^(n/2), 2^(n/3) and so on.
fn stands_for(control: Control, figure: f64) -> Vec<f64> {
    [Steps::Third, Steps::Half]
        .into_iter()
        .filter_map(|steps| Mark::new(control, figure, steps).ok())
        .map(|mark| mark.exact())
        .collect()
}

/// How far a figure is from a value at most, in stops, whatever series it may stand for or as it stands.
fn off(control: Control, figure: f64, value: f64) -> f64 {
    let stops = |figure: f64| match control {
        Control::Aperture => 2.0 * (figure / value).log2().abs(),
        Control::Time | Control::Sensitivity => (figure / value).log2().abs(),
    };
    stands_for(control, figure)
        .into_iter()
        .chain([figure])
        .map(stops)
        .fold(f64::INFINITY, f64::min)
}

fn metres(text: &str) -> f64 {
    match text.split_once(' ').expect("a figure and a unit") {
        (figure, "m") => number(figure),
        (figure, "km") => number(figure) * 1000.0,
        _ => panic!("“{text}” is no distance"),
    }
}

/// Each quantity at the ends of its range and in between, as it is printed. The figures themselves are arithmetic.
#[test]
fn every_quantity_over_its_range() {
    // Times, from the fastest shutter to hours on B: a fraction of the series by its label, three figures, a watch beyond.
    for (value, expected) in [
        (1.0 / 8192.0, "1/8000 s"),
        (1.0 / 8000.0, "1/8000 s"),
        (1.0 / 4321.0, "1/4321 s"),
        (1.0 / 128.0, "1/125 s"),
        (1.0 / 123.45, "1/123 s"),
        (1.0 / 32.0, "1/30 s"),
        (1.0 / 7.3, "1/7.3 s"),
        (0.25, "1/4 s"),
        (0.4, "0.4 s"),
        (0.5, "0.5 s"),
        (0.708, "0.71 s"),
        (3.136, "3.14 s"),
        (16.0, "16 s"),
        (59.96, "1 min"),
        (93.7, "1 min 34 s"),
        (3599.6, "1 h"),
        (86_400.0, "24 h"),
        (100.0 * 3600.0, "100 h"),
    ] {
        same(format!("{value} s"), &words::to_count(value), expected);
    }
    for (value, expected) in [
        (0.5, "f/0.5"),
        (0.6123, "f/0.612"),
        (core::f64::consts::SQRT_2, "f/1.4"),
        (3.7, "f/3.7"),
        (4.757, "f/4.8"),
        (5.5, "f/5.5"),
        (5.6, "f/5.6"),
        (5.657, "f/5.6"),
        (5.7, "f/5.7"),
        (7.43, "f/7.43"),
        (11.3, "f/11"),
        (12.34, "f/12.3"),
        (22.627, "f/22"),
        (45.0, "f/45"),
        (362.04, "f/362"),
        (512.0, "f/512"),
    ] {
        same(
            format!("f-number {value}"),
            &words::f_number(value),
            expected,
        );
    }
    // A distance: millimetres close up, three figures, two from a kilometre on, and no more than that beyond ten.
    for (millimetres, expected) in [
        (5.0, "0.005 m"),
        (353.2, "0.353 m"),
        (999.6, "1 m"),
        (1870.2, "1.87 m"),
        (28_200.0, "28.2 m"),
        (999_000.0, "999 m"),
        (999_600.0, "1 km"),
        (1_868_300.0, "1.9 km"),
        (10_000_000.0, "10 km"),
        (1_868_300_000.0, "more than 10 km"),
    ] {
        same(
            format!("{millimetres} mm"),
            &words::distance(Some(millimetres)),
            expected,
        );
    }
    // Factors, guide numbers, millimetres on the film and per cent: three figures.
    for (value, expected) in [
        (0.000_123_4, "0.000123"),
        (0.001, "0.001"),
        (0.021_466, "0.0215"),
        (0.028_844, "0.0288"),
        (0.05, "0.05"),
        (1.0, "1"),
        (1.3689, "1.37"),
        (28.2843, "28.3"),
        (65.617, "65.6"),
        (76.5625, "76.6"),
        (99.96, "100"),
        (123.45, "123"),
        (1234.5, "1230"),
        (1_000_000.0, "1\u{202f}000\u{202f}000"),
    ] {
        same(format!("{value}"), &words::figures(value), expected);
    }
    for (value, expected) in [
        (0.007_812_5, "0.0078"),
        (0.156, "0.16"),
        (9.96, "10"),
        (4096.0, "4100"),
        (81_920.0, "82\u{202f}000"),
        (1.6e9, "1\u{202f}600\u{202f}000\u{202f}000"),
    ] {
        same(format!("about {value}"), &words::rough(value), expected);
    }
    for (wanted, given, expected) in [
        (
            1.0,
            2.0 / 3.0,
            "wanted 1 stop more light, gives ⅔ stop more light",
        ),
        (
            3.0,
            2.3853,
            "wanted 3 stops more light, gives about 2⅓ stops more light",
        ),
        (
            -1.0,
            -0.96,
            "wanted 1 stop less light, gives 0.96 stop less light",
        ),
        (
            -1.0,
            -0.981,
            "under a fiftieth of a stop more light than wanted",
        ),
        (
            -1.0,
            -1.019,
            "under a fiftieth of a stop less light than wanted",
        ),
        (-1.0, 0.0, "wanted 1 stop less light, gives no difference"),
        (
            1.0 / 3.0,
            0.3,
            "wanted ⅓ stop more light, gives 0.3 stop more light",
        ),
    ] {
        same(
            format!("{wanted} and {given}"),
            &words::wanted_and_given(Stops::constant(wanted), Stops::constant(given)),
            expected,
        );
    }
}

fn config() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Values over so many decades, and the ties between two printed figures with a few units in the last place beside them.
fn over(decades: core::ops::Range<f64>) -> impl Strategy<Value = f64> {
    let low = decades.start.floor();
    let tie = (low..decades.end, 1..999_u32, -2..=2_i8).prop_map(move |(decade, at, ulps)| {
        let value = (f64::from(at) + 0.5) * 10_f64.powf(decade.floor() - 2.0);
        (0..ulps.unsigned_abs()).fold(value, |value, _| {
            if ulps < 0 {
                value.next_down()
            } else {
                value.next_up()
            }
        })
    });
    let ends = decades.clone();
    prop_oneof![decades.prop_map(|at| 10_f64.powf(at)), tie]
        .prop_filter("in range", move |value| ends.contains(&value.log10()))
}

fn differences() -> impl Strategy<Value = f64> {
    let ties = (-600..=600_i32, -3..=3_i8).prop_map(|(twelfths, ulps)| {
        f64::from(twelfths) / 12.0 * (1.0 + f64::from(ulps) * f64::EPSILON)
    });
    let hundredths = (-2000..=2000_i32).prop_map(|at| (f64::from(at) + 0.5) / 100.0);
    prop_oneof![-20.0..20.0_f64, -1.1..1.1_f64, ties, hundredths]
}

proptest! {
    #![proptest_config(config())]

    /// What a record keeps is what the standard library prints, without the zeros at the end, and comes back as it was.
    #[test]
    fn a_number_in_a_record_is_exact(number in over(-3.0..5.0), places in 1_u8..=9, below in any::<bool>()) {
        let number = if below { -number } else { number };
        let written = words::exact(number, places);
        let unit = 10_f64.powi(i32::from(places));
        let kept = (number * unit).round() / unit;
        let known = format!("{kept:.*}", usize::from(places));
        let known = known.trim_end_matches('0').trim_end_matches('.');
        prop_assert_eq!(&written, if known == "-0" { "0" } else { known });
        let size = written.trim_start_matches('-');
        let again = words::plain_decimal(size).unwrap_or(0.0);
        prop_assert!((again - kept.abs()).abs() <= 1e-12 * kept.abs(), "{written}");
    }

    /// Differences in sixths, in running text and in hundredths: within what their words promise, with the right number of
    /// “stop”, and the same again when what is read is printed.
    #[test]
    fn differences_read_back(x in differences()) {
        let difference = Stops::constant(x);
        for said in [words::stops(difference), words::of_a_stop(difference)] {
            let (size, promise) = stops(&said);
            prop_assert!((size - x.abs()).abs() <= promise + NOISE, "{x} is “{said}”");
            counted_right(&said);
        }
        let said = words::hundredths(difference);
        let (size, _) = stops(&said);
        prop_assert!((size - x.abs()).abs() <= 0.005 + NOISE, "{x} is “{said}”");
        counted_right(&said);
        if size > 0.0 {
            same("hundredths again", &words::hundredths(Stops::constant(size)), &said);
        }
        let said = words::stops(difference);
        if said != "under ⅙ stop" {
            let again = words::stops(Stops::constant(stops(&said).0));
            same("sixths again", &again, said.trim_start_matches("about "));
        }
        // The same size is never two: where hundredths stand beside the words, the words are theirs to half a sixth.
        let said = words::figured(difference);
        let (words_of, promise) = stops(said.split(" (").next().expect("words"));
        if let Some((_, figure)) = said.split_once(" (") {
            let figure = number(figure.trim_end_matches(')'));
            prop_assert!((figure - x.abs()).abs() <= 0.005 + NOISE, "{x} is “{said}”");
            prop_assert!((figure - words_of).abs() <= promise + 0.005 + NOISE, "“{said}” contradicts itself");
        }
    }

    /// A wanted and a given difference that are not the same never read the same.
    #[test]
    fn wanted_and_given_are_told_apart(thirds in -18..=18_i32, off in prop_oneof![-0.2..0.2_f64, -6.0..6.0_f64, -0.03..0.03_f64]) {
        let wanted = f64::from(thirds) / 3.0;
        prop_assume!(off.abs() > NOISE);
        let said = words::wanted_and_given(Stops::constant(wanted), Stops::constant(wanted + off));
        counted_right(&said);
        match said.split_once(", gives ") {
            Some((before, given)) => {
                let bare = |text: &str| text.trim_start_matches("wanted ").trim_start_matches("about ").to_owned();
                prop_assert_ne!(bare(before), bare(given), "{} and {}", wanted, wanted + off);
            }
            None => {
                let way = if off > 0.0 { "more light" } else { "less light" };
                prop_assert!(off.abs() < FIFTIETH && said.contains(way), "{said}");
            }
        }
    }

    /// Factors of light: exact up to twelve whole stops, else two figures, never none and never all.
    #[test]
    fn factors_read_back(x in differences()) {
        let said = words::factor(Stops::constant(x));
        let figure = said.trim_start_matches("about ");
        let factor = match figure {
            "the same light" => 1.0,
            "twice the light" => 2.0,
            "half the light" => 0.5,
            "a quarter of the light" => 0.25,
            "an eighth of the light" => 0.125,
            _ => match figure.split_once(" % of") {
                Some((share, _)) => number(share) / 100.0,
                None => number(figure.trim_end_matches(" times the light").trim_end_matches(" of the light")),
            },
        };
        let off = (factor.log2() - x).abs();
        let promise = if said.starts_with("about") { 1.06_f64.log2() } else { FIFTIETH };
        prop_assert!(off <= promise, "{x} is “{said}”");
        prop_assert!(factor > 0.0 && (factor - 1.0).abs() > 1e-9 || x.abs() < 0.075, "{x} is “{said}”");
    }

    /// Times, f-numbers and speeds: within a fiftieth of a stop, whatever their size, and the same when printed again.
    #[test]
    fn settings_read_back(time in over(-3.9..5.5), stop in over(-0.3..2.7), iso in over(-1.0..7.0)) {
        let said = words::to_count(time);
        prop_assert!(off(Control::Time, seconds(&said), time) <= FIFTIETH, "{time} s is “{said}”");
        let again = words::to_count(seconds(&said));
        // 1/64 of arithmetic is 1/60 of a shutter where it is exact; a time to count is the same figure again.
        let apart = if time < 0.4 {
            off(Control::Time, seconds(&again), seconds(&said))
        } else {
            (seconds(&again) / seconds(&said)).log2().abs()
        };
        prop_assert!(apart < NOISE, "“{said}”, then “{again}”");

        let said = words::f_number(stop);
        let read = number(said.trim_start_matches("f/"));
        prop_assert!(off(Control::Aperture, read, stop) <= FIFTIETH, "{stop} is “{said}”");

        for (control, value) in [(Control::Time, time.min(86_400.0)), (Control::Aperture, stop), (Control::Sensitivity, iso)] {
            let mark = Mark::new(control, value, Steps::Engraved).expect("in range");
            let said = words::value(&mark);
            let again = Mark::parse(control, &said, Steps::Engraved).expect("read again");
            let apart = off(control, again.engraved(), mark.exact());
            prop_assert!(apart <= FIFTIETH, "{value} is “{said}”, {apart} stops off");
        }

        let place = Place::new((iso / 100.0).log2()).expect("in range");
        let said = words::ei(&Mark::between(Control::Sensitivity, place).expect("in range"));
        let figure = number(said.trim_start_matches("about ").trim_start_matches("EI "));
        let promise = if said.starts_with("about") { 1.06_f64.log2() } else { FIFTIETH };
        prop_assert!(off(Control::Sensitivity, figure, iso) <= promise, "{iso} is “{said}”");
        prop_assert!(figure < 100.0 || figure.fract() == 0.0, "{iso} is “{said}”");
    }

    /// Distances and plain figures: three figures are half a per cent, two are five.
    #[test]
    fn lengths_and_figures_read_back(mm in over(0.0..9.9), value in over(-3.0..6.0)) {
        let said = words::distance(Some(mm));
        if said == "more than 10 km" {
            prop_assert!(mm > 1e7);
        } else {
            let read = metres(&said) * 1000.0;
            let promise = if mm < 999_500.0 { 0.0051 * mm } else { 0.051 * mm };
            prop_assert!((read - mm).abs() <= promise.max(0.51), "{mm} mm is “{said}”");
            same("again", &words::distance(Some(read)), &said);
        }
        let said = words::figures(value);
        prop_assert!((number(&said) / value - 1.0).abs() <= 0.0051, "{value} is “{said}”");
        same("again", &words::figures(number(&said)), &said);
        let said = words::rough(value);
        prop_assert!((number(&said) / value - 1.0).abs() <= 0.051, "{value} is “{said}”");
        same("again", &words::rough(number(&said)), &said);
    }

    /// What is sharp: two ends that differ read differently, down to a tenth of a millimetre and up to ten kilometres.
    #[test]
    fn depths_read_back(near in over(0.5..7.0), more in over(-4.0..3.0)) {
        let far = near * (1.0 + more);
        let said = words::depth(&Sharp { near, far: Some(far) });
        let (from, to) = said.trim_start_matches("sharp from ").split_once(" to ").expect("two ends");
        prop_assert!(from != to || far - near < 0.11 || near > 999_500.0, "{near} to {far} is “{said}”");
        prop_assert!(!said.contains("infinity"), "{near} to {far} is “{said}”");
    }

    /// Light as EV to a tenth, and in cd/m² and lx to two figures.
    #[test]
    fn light_reads_back(ev in -14.0..35.0_f64, tenths in -140..=350_i32) {
        for ev in [ev, f64::from(tenths) / 10.0, (f64::from(tenths) + 0.5) / 10.0] {
            let light = Ev::new(ev).expect("in range");
            let said = words::light(light);
            let figure = said.trim_start_matches("about ").trim_start_matches("EV ").trim_end_matches(" at ISO 100");
            let read = number(&figure.replace('−', "-"));
            let promise = if said.starts_with("about") { 0.05 } else { 0.005 };
            prop_assert!((read - ev).abs() <= promise + NOISE, "{ev} is “{said}”");
            let said = words::light_in_units(light, &Constants::default());
            let [candela, lux] = said
                .trim_start_matches("about ")
                .split(", ")
                .map(|part| number(part.split(' ').next().expect("a figure")))
                .collect::<Vec<_>>()[..]
            else {
                panic!("two figures in “{said}”");
            };
            // Source: L = K/100 · 2^EV and E = C/100 · 2^EV at ISO 100 (ISO 2720:1974 by secondary sources), K 12.5, C 250.
            for (read, exact) in [(candela, 0.125 * ev.exp2()), (lux, 2.5 * ev.exp2())] {
                prop_assert!((read / exact - 1.0).abs() <= 0.051 || (read - exact).abs() < 5.1e-7, "EV {ev} is “{said}”");
            }
        }
    }

    /// The lines of a ledger as they are printed add up to the total as it is printed, and what a correction takes is printed
    /// as where it stands alone.
    #[test]
    fn printed_ledgers_add_up(
        stand in (-14.0..6.0_f64, -10.0..2.0_f64), sixths in any::<bool>(),
        corrections in proptest::collection::vec(differences(), 0..4),
    ) {
        let mark = |control, place: f64| {
            let place = if sixths { (place * 6.0).round() / 6.0 } else { place };
            Mark::between(control, Place::new(place).expect("in range")).expect("in range")
        };
        let set = [mark(Control::Time, stand.0), mark(Control::Aperture, stand.1), mark(Control::Sensitivity, 0.0)];
        let read = Reading::new(mark(Control::Time, -7.0), mark(Control::Aperture, -6.0), mark(Control::Sensitivity, 1.0));
        let corrections: Vec<Stops> = corrections.into_iter().map(Stops::constant).collect();
        let ledger = Ledger::new(&read.expect("a reading"), &set, corrections.iter().copied());
        let (lines, total) = ledger.printed();
        let read = |stops: Stops| {
            let said = words::part(stops);
            counted_right(&said);
            match said.strip_suffix(" more light") {
                Some(size) => self::stops(size).0,
                None => said.strip_suffix(" less light").map_or(0.0, |size| -self::stops(size).0),
            }
        };
        let sum: f64 = lines.iter().copied().map(read).sum();
        prop_assert!((sum - read(total)).abs() <= 0.005 + 1e-3, "{lines:?} and {total:?}");
        // At most one correction takes a hundredth, and only where no control can.
        let moved = lines[3..].iter().zip(&corrections).filter(|(line, alone)| words::part(**line) != words::part(**alone));
        let moved = moved.filter(|(line, _)| line.size().get() >= 0.005).count();
        prop_assert!(moved <= 1, "{lines:?} of {corrections:?}");
    }
}
