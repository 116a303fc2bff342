//! The laws of corrections between lens and film, on arbitrary films, filters, lenses and flashes.

use exposure::{
    BracketStep, Control, DepthOfField, ExposureIndex, FilmKind, LongRule, LongTimes, Mark, Place,
    Scale, Steps, Stops,
    extension::Extension,
    filter::{Filter, Given, in_thirds, stacked},
    flash::{By, Flash, Powers, Series, Unit, together},
    meter, range,
    shutter::{self, Timings, Tolerance, VideoTime},
    transmission::{self, Transmission},
    words,
};
use proptest::prelude::*;

use crate::properties::{any_text, config};

/// A few hundred roundings of the last digit, in logarithms and back.
const CLOSE: f64 = 1e-9;

fn near(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < CLOSE
}

/// A table that does not contradict itself: metered and needed times that grow by factors, from the threshold on.
fn any_table() -> impl Strategy<Value = (LongRule, f64)> {
    (
        -6.0..3.0_f64,
        proptest::collection::vec((0.01..1.6_f64, 0.01..1.8_f64), 1..=7),
    )
        .prop_map(|(threshold, steps)| {
            let threshold = threshold.exp2();
            let (mut metered, mut needed) = (threshold, threshold);
            let rows = steps
                .into_iter()
                .map(|(longer, more)| {
                    metered *= longer.exp2();
                    needed = metered.max(needed * more.exp2());
                    [metered, needed]
                })
                .collect();
            (LongRule::Table(rows), threshold)
        })
}

fn any_film() -> impl Strategy<Value = LongTimes> {
    let threshold = || (-9.9..11.0_f64).prop_map(f64::exp2);
    prop_oneof![
        (1.0..=2.0_f64, threshold())
            .prop_map(|(exponent, from)| (LongRule::Power { exponent }, from)),
        (0.0..=10.0_f64, 1.0..=3.0_f64, threshold())
            .prop_map(|(share, exponent, from)| (LongRule::Added { share, exponent }, from)),
        any_table(),
    ]
    .prop_map(|(rule, from)| LongTimes::new(rule, from).expect("a film"))
}

/// A metered time, and one near a threshold or a row.
fn any_seconds() -> impl Strategy<Value = f64> {
    (-14.9..16.3_f64).prop_map(f64::exp2)
}

fn any_filter() -> impl Strategy<Value = Filter> {
    prop_oneof![
        (1.0..1e6_f64).prop_map(Given::Factor),
        (0.0..=20.0_f64).prop_map(Given::Stops),
        (0.0..=6.0_f64).prop_map(Given::Density),
    ]
    .prop_map(|given| Filter::new(given).expect("in range"))
}

fn any_rating() -> impl Strategy<Value = ExposureIndex> {
    (-6.0..8.0_f64).prop_map(|stops| {
        let mark = Mark::between(Control::Sensitivity, Place::new(stops).expect("a place"));
        ExposureIndex::new(mark.expect("a speed")).expect("a rating")
    })
}

proptest! {
    #![proptest_config(config())]

    /// No time needs less than itself, longer times never need less, and what is counted amounts to what was metered.
    #[test]
    fn long_times(film in any_film(), a in any_seconds(), b in any_seconds()) {
        let (short, long) = if a < b { (a, b) } else { (b, a) };
        for time in [short, long, film.threshold(), film.threshold().next_up()] {
            let needed = film.needed(time);
            prop_assert!(needed.is_finite() && needed >= time, "{time} needs {needed}");
            prop_assert!(!film.stops(time).is_less());
            prop_assert!(near(film.stops(time).factor() * time, needed), "stops of {time}");
            prop_assert!(near(film.amounts_to(needed), time), "{time} needs {needed}, which amounts to {}", film.amounts_to(needed));
        }
        prop_assert!(film.needed(short) <= film.needed(long) * (1.0 + CLOSE));
        prop_assert!(film.amounts_to(short) <= film.amounts_to(long) * (1.0 + CLOSE));
        prop_assert!(film.amounts_to(a) <= a * (1.0 + CLOSE), "nothing amounts to more than it is");
        if short <= film.threshold() {
            prop_assert!(film.stops(short).is_even(), "{short} is no long time");
        }
    }

    /// A table says what its rows say, lies between two rows between them, and has no jump at its threshold.
    #[test]
    fn tables_keep_their_rows((rule, threshold) in any_table(), between in 0.0..1.0_f64) {
        let LongRule::Table(rows) = rule.clone() else { unreachable!("a table was made") };
        let film = LongTimes::new(rule, threshold).expect("a film");
        let anchors = std::iter::once([threshold; 2]).chain(rows.clone());
        for (low, high) in anchors.zip(&rows) {
            prop_assert!(near(film.needed(high[0]), high[1]), "{high:?} became {}", film.needed(high[0]));
            prop_assert!(!film.beyond_table(high[0]));
            let at = (low[0].log2() * (1.0 - between) + high[0].log2() * between).exp2();
            let line = (low[1].log2() * (1.0 - between) + high[1].log2() * between).exp2();
            if at > low[0] && at < high[0] {
                prop_assert!(near(film.needed(at), line), "at {at}: {} is not on the line, {line}", film.needed(at));
            }
        }
        let just_beyond = film.needed(threshold * (1.0 + 1e-12));
        prop_assert!((just_beyond / threshold - 1.0).abs() < 1e-6, "a jump to {just_beyond}");
        let last = rows[rows.len() - 1][0];
        prop_assert!(film.beyond_table(last * 1.01));
    }

    /// The two exponents are one rule.
    #[test]
    fn exponents_are_reciprocals(p in 0.5..=1.0_f64, time in any_seconds()) {
        let one = LongTimes::schwarzschild(p, 1.0).expect("in range");
        let other = LongTimes::power(1.0 / p, 1.0).expect("in range");
        prop_assert!(near(one.needed(time), other.needed(time)));
        // I · t^p is the same for the metered and the needed time, the light being the metered time's.
        if time > 1.0 {
            prop_assert!((one.needed(time).powf(p) / time - 1.0).abs() < CLOSE);
        }
    }

    /// Stacked, factors multiply and stops and densities add, in any order; the three ways to state a filter are one.
    #[test]
    fn filters_stack(filters in proptest::collection::vec(any_filter(), 0..4)) {
        for filter in &filters {
            for given in [Given::Factor(filter.factor()), Given::Stops(filter.needs().get()), Given::Density(filter.density())] {
                // At the very ends the way there and back may end outside by the last digit.
                if let Ok(other) = Filter::new(given) {
                    prop_assert!((other.needs() - filter.needs()).size().get() < CLOSE, "{given:?}");
                }
            }
            prop_assert!((filter.passes() * filter.factor() - 1.0).abs() < CLOSE);
            let printed = filter.printed();
            prop_assert!(printed.rest.size().get() <= 1.0 / 6.0 + CLOSE, "{printed:?}");
            prop_assert!((printed.thirds + printed.rest - filter.needs()).is_even());
        }
        let mut backwards = filters.clone();
        backwards.reverse();
        match (stacked(&filters), stacked(&backwards)) {
            (Ok(one), Ok(other)) => {
                prop_assert!((one.needs() - other.needs()).is_even());
                prop_assert!(near(one.factor(), filters.iter().map(Filter::factor).product()));
                prop_assert!((one.density() - filters.iter().map(Filter::density).sum::<f64>()).abs() < CLOSE);
                prop_assert!(!one.effect().is_more());
            }
            (one, other) => prop_assert!(one.is_err() || other.is_err()),
        }
    }

    /// Every way to state a close-up is the same one.
    #[test]
    fn close_ups_agree(focal in 5.0..1500.0_f64, m in 0.01..10.0_f64) {
        let by_m = Extension::magnified(m).expect("in range");
        for other in [
            Extension::to_film(focal, focal * (1.0 + m)),
            Extension::beyond_infinity(focal, focal * m),
            Extension::focused(focal, focal * (1.0 + 1.0 / m)),
            Extension::of_sizes(m * 24.0, 24.0),
        ] {
            let other = other.expect("in range");
            prop_assert!((other.needs() - by_m.needs()).size().get() < CLOSE);
            prop_assert!(near(other.factor(), by_m.factor()));
        }
        // The effective f-number says the same.
        let by_f_number = Stops::new(2.0 * (by_m.effective(8.0) / 8.0).log2()).expect("in range");
        prop_assert!((by_f_number - by_m.needs()).size().get() < CLOSE);
    }

    /// A T-number and the share that passes are one; no lens gives light.
    #[test]
    fn transmission(f_number in 0.7..64.0_f64, loss in 0.0..4.0_f64) {
        let lens = Transmission::t_number(f_number, f_number * (loss / 2.0).exp2()).expect("in range");
        prop_assert!((lens.needs().get() - loss).abs() < CLOSE);
        let share = Transmission::per_cent(lens.passes().min(100.0)).expect("in range");
        prop_assert!((share.needs() - lens.needs()).size().get() < CLOSE);
        prop_assert!(!lens.effect().is_more());
    }

    /// The focus lies inside what is sharp; stopping down and a larger circle never make that shallower, and more
    /// magnification never makes diffraction less.
    #[test]
    fn depth_of_field(focal in 1.0..1000.0_f64, times in 1.001..1000.0_f64, circle in 0.001..1.0_f64, n in 0.7..90.0_f64, stops in 0.0..8.0_f64) {
        let distance = (focal * times).clamp(5.0, 1e7);
        prop_assume!(distance > focal);
        let field = DepthOfField::new(focal, Some(distance), circle).expect("a focus");
        let sharp = field.at(n);
        prop_assert!(sharp.near > 0.0 && sharp.near <= distance * (1.0 + CLOSE), "{sharp:?}");
        prop_assert!(sharp.far.is_none_or(|far| far >= distance * (1.0 - CLOSE)), "{sharp:?}");
        let down = field.at(n * (stops / 2.0).exp2());
        prop_assert!(down.near <= sharp.near * (1.0 + CLOSE));
        let endless_if_none = |far: Option<f64>| far.unwrap_or(f64::INFINITY);
        prop_assert!(endless_if_none(down.far) >= endless_if_none(sharp.far) * (1.0 - CLOSE));
        if let Ok(loose) = DepthOfField::new(focal, Some(distance), circle * 1.5) {
            prop_assert!(loose.at(n).near <= sharp.near * (1.0 + CLOSE));
        }
        let endless = DepthOfField::new(focal, None, circle).expect("a focus");
        prop_assert!(field.diffraction(n) >= endless.diffraction(n));
        prop_assert!(near(field.hyperfocal(n), endless.hyperfocal(n)));
        for text in [words::depth(&sharp), words::distance(sharp.far)] {
            prop_assert!(!text.is_empty() && !text.contains(['+', '-', '−']), "“{text}”");
        }
    }

    /// The f-number and the distance of a flash are inverse; speeds, power and number go in by their roots.
    #[test]
    fn flashes(number in 1.0..200.0_f64, distance in 0.1..30.0_f64, rated in any_rating(), count in 1.0..9.0_f64, below in 0.0..5.0_f64) {
        let flash = Flash::new(number, Unit::Metres, rated).expect("in range");
        prop_assert!(near(flash.guide_number(Unit::Metres, rated), number));
        let f_number = flash.f_number(distance, rated).expect("in range");
        if let Ok(back) = flash.distance(f_number, rated) {
            prop_assert!(near(back, distance));
            prop_assert!(flash.gives(f_number, distance, rated).expect("in range").size().get() < CLOSE);
            let more = flash.times(count).expect("in range").gives(f_number, distance, rated).expect("in range");
            prop_assert!((more.get() - count.log2()).abs() < CLOSE);
            let fill = flash.fill(f_number, distance, Stops::constant(below), Stops::ZERO, rated).expect("in range");
            prop_assert!(near(fill.power, (-below).exp2()));
            // From there full power is the fill wished for.
            if let Ok(there) = flash.gives(f_number, fill.distance, rated) {
                prop_assert!((there.get() + below).abs() < CLOSE);
            }
            // Two lights together are more than the brighter one, by a stop at most, and it does not matter which is which.
            let both = together(Stops::ZERO, fill.wish);
            prop_assert!(both.get() > 0.0 && both.get() <= 1.0 + CLOSE);
            prop_assert!((both - together(fill.wish, Stops::ZERO)).size().get() < CLOSE);
        }
        let tested = Flash::tested(8.0, distance, rated).expect("in range");
        prop_assert!(near(tested.f_number(distance, rated).expect("in range"), 8.0));
    }

    /// A series by flash: by its distance each frame gives what was wanted; by its power each takes a power that the flash has,
    /// and none that it has comes nearer.
    #[test]
    fn flash_series(number in 5.0..100.0_f64, distance in 0.5..20.0_f64, rated in any_rating(), shares in prop::collection::vec(0.002..1.0_f64, 1..12), less in 0..=6_u8, more in 0..=6_u8, wish in -4.0..2.0_f64, power in any::<bool>()) {
        let flash = Flash::new(number, Unit::Metres, rated).expect("in range");
        let powers = Powers::new(shares).expect("in range");
        let series = Series {
            by: if power { By::Power } else { By::Distance },
            less,
            more,
            step: BracketStep::Third,
            f_number: 8.0,
            distance,
            share: powers.shares()[0],
            wish: Stops::constant(wish),
        };
        if let Ok(frames) = flash.bracket(&powers, &series, rated) {
            prop_assert_eq!(frames.len(), usize::from(less) + usize::from(more) + 1);
            for (i, frame) in frames.iter().enumerate() {
                let at = flash.at_power(frame.share).expect("in range");
                prop_assert!((at.gives(8.0, frame.distance, rated).expect("in range") - frame.flash).size().get() < CLOSE);
                prop_assert!((frame.flash.get() - wish - frame.given.get()).abs() < CLOSE);
                if !power {
                    prop_assert!((frame.given - frame.wanted).size().get() < CLOSE);
                } else if i != usize::from(less) {
                    prop_assert!(powers.shares().contains(&frame.share));
                    let off = (frame.given - frame.wanted).size().get();
                    let full = flash.gives(8.0, distance, rated).expect("in range").get();
                    for share in powers.shares() {
                        let other = full + share.log2() - wish - frame.wanted.get();
                        prop_assert!(off <= other.abs() + 1e-5, "{share} comes nearer");
                    }
                }
                if let Some(earlier) = frame.repeats {
                    prop_assert!(earlier < i && near(frames[earlier].share, frame.share));
                }
            }
        }
    }

    /// Set on the device instead of corrected on the ledger, the same light is read, but for what remains; and what remains is
    /// less than what was corrected.
    #[test]
    fn set_on_the_device(stands in -20..=30_i32, thousandths in -4000..=4000_i32, shown in -10.0..20.0_f64, full in any::<bool>()) {
        let stands = Mark::new(Control::Sensitivity, 100.0 * (f64::from(stands) / 3.0).exp2(), Steps::Engraved).expect("in range");
        let scale = if full { meter::full_stops() } else { Scale::sensitivities() };
        let effect = Stops::constant(f64::from(thousandths) / 1000.0);
        // A device that is off by this shows so much more EV at a sensitivity than the light has.
        let shows = |sensitivity: &Mark| shown + sensitivity.place().get() - effect.get();
        if let Some(on) = meter::on_device(effect, &stands, &scale) {
            prop_assert!(scale.index_of(&on.set).is_some());
            prop_assert!((effect.size() - on.rest.size()).is_more());
            // Taken for a reading at the sensitivity that was left, what it shows is the light but for the rest.
            let light = shows(&on.set) - stands.place().get();
            prop_assert!((light - (shown - on.rest.get())).abs() < CLOSE);
            for other in scale.marks() {
                let rest = stands.place() + effect - other.place();
                prop_assert!(!(on.rest.size() - rest.size()).is_more(), "{other:?} comes nearer");
            }
        }
    }

    /// A lens takes at each stop what its T-number there says, between two of them something between, and never gives light.
    #[test]
    fn lenses_by_stop(steps in prop::collection::vec((0.1..2.0_f64, 0.0..1.5_f64), 1..8), at in 0.5..64.0_f64) {
        let mut f_number = 0.9;
        let rows: Vec<[f64; 2]> = steps.iter().map(|(stops, loss)| {
            f_number *= (stops / 2.0).exp2();
            [f_number, f_number * (loss / 2.0).exp2()]
        }).collect();
        let lens = transmission::by_stop(&rows).expect("in range");
        let second = Mark::parse(Control::Time, "1s", Steps::Full).expect("a time");
        let needs = |f_number| {
            let stop = Mark::new(Control::Aperture, f_number, Steps::Full).expect("in range");
            -lens.at(&second, &stop).get()
        };
        for ([f_number, _], (_, loss)) in rows.iter().zip(&steps) {
            prop_assert!((needs(*f_number) - loss).abs() < CLOSE);
        }
        let all = steps.iter().map(|(_, loss)| *loss);
        let (least, most) = (all.clone().fold(f64::MAX, f64::min), all.fold(0.0, f64::max));
        let needs = needs(at);
        prop_assert!(needs >= least - CLOSE && needs <= most + CLOSE);
    }

    /// A measured time is more light if and only if it is longer, and the words say so.
    #[test]
    fn shutter_errors(place in -10.0..3.0_f64, off in -2.0..2.0_f64, top in any::<bool>()) {
        let mark = Mark::new(Control::Time, place.exp2(), Steps::Engraved).expect("a time");
        let measured = mark.measured_as(mark.engraved() * off.exp2()).expect("a time");
        let error = shutter::error(&measured).expect("it was measured");
        prop_assert!((error.get() - off).abs() < CLOSE);
        let said = words::shutter_error(&measured).expect("it was measured");
        prop_assert_eq!(said.contains("more light"), error.is_more(), "{}", said);
        prop_assert_eq!(said.contains("less light"), error.is_less());
        for tolerance in Tolerance::ALL {
            let [least, most] = tolerance.limits(&mark, top);
            prop_assert!(least.is_less() && most.is_more());
            let within = error.get() >= least.get() - 1e-5 && error.get() <= most.get() + 1e-5;
            prop_assert!(within || tolerance.passes(&measured, top) == Some(false));
        }
    }

    /// No number makes anything panic, and what is taken gives numbers.
    #[test]
    fn any_number_is_taken_or_refused(x in any::<f64>(), y in any::<f64>(), z in any::<f64>(), rated in any_rating()) {
        for given in [Given::Factor(x), Given::Stops(x), Given::Density(x)] {
            if let Ok(filter) = Filter::new(given) {
                prop_assert!(filter.factor().is_finite() && !words::filter(&filter).is_empty());
            }
        }
        for near in [Extension::magnified(x), Extension::of_sizes(x, y), Extension::to_film(x, y), Extension::beyond_infinity(x, y), Extension::focused(x, y)].into_iter().flatten() {
            prop_assert!(near.needs().get() >= 0.0 && !words::close_up(&near).is_empty());
        }
        for lens in [Transmission::t_number(x, y), Transmission::per_cent(x)].into_iter().flatten() {
            prop_assert!(lens.needs().get() >= 0.0);
        }
        for rule in [LongRule::Power { exponent: x }, LongRule::Added { share: x, exponent: y }, LongRule::Table(vec![[x, y], [y, x]]), LongRule::Table(vec![[x, y]])] {
            if let Ok(film) = LongTimes::new(rule, z) {
                prop_assert!(film.needed(10.0) >= 10.0);
                prop_assert!(!words::long_times(&film).is_empty());
            }
        }
        let film = LongTimes::power(1.31, 1.0).expect("a film");
        prop_assert!(!film.stops(x).is_less() && film.amounts_to(x).is_nan() == x.is_nan());
        prop_assert!(!words::to_count(x).is_empty() && !words::bulb(&film.count(x)).is_empty());
        for kind in [FilmKind::ColourNegative, FilmKind::BlackAndWhite, FilmKind::Reversal] {
            let _ = words::long_caution(kind, x, true);
        }
        if let Ok(field) = DepthOfField::new(x, Some(y), z) {
            let sharp = field.at(8.0);
            prop_assert!(sharp.near.is_finite() && !words::depth(&sharp).is_empty());
        }
        prop_assert!(!words::distance(Some(x)).is_empty());
        if let Ok(flash) = Flash::new(x, Unit::Feet, rated) {
            prop_assert!(flash.f_number(y, rated).map_or(true, f64::is_finite));
            prop_assert!(flash.fill(y, z, Stops::constant(1.0), Stops::ZERO, rated).map_or(true, |fill| fill.distance.is_finite()));
        }
        prop_assert!(Timings::of(&[x, y, z]).map_or(true, |found| found.spread().get() >= 0.0));
        prop_assert!(VideoTime::new(x, y).map_or(true, |found| range::TIME.contains(found.seconds)));
        if let Ok(stops) = Stops::new(x) {
            prop_assert!(in_thirds(stops).rest.size().get() <= 1.0 / 6.0 + CLOSE);
            prop_assert!(!words::figured(stops).is_empty());
        }
    }

    /// No text makes reading panic; what is refused is refused in a sentence.
    #[test]
    fn any_text_is_read_or_refused(text in any_text(), row in "[0-9 .,;:=smin/→-]{0,40}") {
        for text in [&text, &row] {
            for refused in [
                words::parse_seconds(text).err(),
                words::parse_stops(text).err(),
                words::parse_distance(text).err(),
                words::parse_length("a focal length", text).err(),
                words::parse_figure("a filter factor", text).err(),
                words::parse_long_table(text).err(),
            ]
            .into_iter()
            .flatten()
            {
                prop_assert!(!refused.to_string().is_empty());
            }
            if let Ok(rows) = words::parse_long_table(text) {
                prop_assert!(!rows.is_empty() && rows.iter().flatten().all(|time| time.is_finite() && *time > 0.0));
                let _ = LongTimes::new(LongRule::Table(rows), 0.1);
            }
        }
    }
}
