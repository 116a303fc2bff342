//! What the rules say side by side, and the base with its bracket. Cases are numbered as in the worked scenarios of the
//! trade; the rules are common practice or one tester's figures, and say so.

use std::collections::BTreeMap;

use book::{
    Evidence, Film, Finding, Group, Question, Rules, Source, Start, Storage, Sureness, budget,
    rating_for, start,
};
use exposure::{BracketStep, Stops};
use proptest::prelude::*;

use crate::check::{close, date, expiry, same, speed};

fn ask(
    film: Film,
    iso: &str,
    dated: Option<&str>,
    storage: Storage,
    rules: &Rules,
    findings: &[&Finding],
) -> Start {
    start(&Question {
        film,
        box_speed: speed(iso),
        expiry: dated.and_then(expiry),
        storage,
        on: date("2024-06-15"),
        exposures: 36,
        slate: false,
        rules,
        findings,
        tests: &[],
    })
}

#[track_caller]
fn row<'a>(found: &'a Start, id: &str) -> &'a book::RuleSays {
    found
        .says
        .iter()
        .find(|row| row.id == id)
        .unwrap_or_else(|| panic!("no rule “{id}” among {:?}", found.says))
}

#[test]
fn case_14_two_rules_by_age_and_a_bracket_that_covers_both() {
    // Colour negative 200, date 2004-06, used 2024-06: a decade rule says EI 50, 14 years a stop say EI 80.
    let found = ask(
        Film::ColourNegative,
        "200",
        Some("2004-06"),
        Storage::Unknown,
        &Rules::default(),
        &[],
    );
    let decade = row(&found, "decade");
    close("decade", decade.least.get(), 2.0, 1e-9);
    same("decade", &decade.rating_least.rating_words(), "EI 50");
    assert_eq!(
        decade.source,
        Source::CommonPractice,
        "called a rule of thumb"
    );
    same(
        "decade",
        &decade.statement,
        "20 years at 10 years per stop: 2 stops more light.",
    );
    let years = row(&found, "years_by_type");
    close("years per stop", years.least.get(), 4.0 / 3.0, 1e-9);
    same(
        "years per stop",
        &years.rating_least.rating_words(),
        "EI 80",
    );
    assert_eq!(
        years.source,
        Source::OneTester,
        "called one tester's figures"
    );
    same(
        "years per stop",
        &years.statement,
        "20 years at 14 years per stop: 1.43 stops more light, to the nearest third 1⅓ stops.",
    );
    let frames: Vec<String> = found.frames.iter().map(|ei| ei.rating_words()).collect();
    assert_eq!(
        frames,
        ["EI 160", "EI 80", "EI 40", "EI 20"],
        "offsets 1/3 to 3 1/3"
    );
    same("base", &found.base.rating_words(), "EI 80");
    same(
        "words",
        &found.words,
        "Base EI 80 (1⅓ stops more light); the rules range from EI 80 to EI 50. Frames at EI 160, EI 80, EI 40 and EI 20: 4 \
         frames a scene, 9 scenes on 36 frames, 0 spare.",
    );
}

#[test]
fn case_15_slide_film_has_no_rule_by_age() {
    // Slide 100, 12 years, cold: base 100, half stops to both sides, no decade rule.
    let found = ask(
        Film::Reversal,
        "100",
        Some("2012-06"),
        Storage::Fridge,
        &Rules::default(),
        &[],
    );
    same("base", &found.base.rating_words(), "EI 100");
    assert_eq!(
        (found.under, found.over, found.step),
        (1, 1, BracketStep::Half),
        "to both sides"
    );
    let silent: Vec<&str> = found.silent.iter().map(|(name, _)| *name).collect();
    assert!(
        silent.contains(&"One stop a decade"),
        "the decade rule says why it is silent: {silent:?}"
    );
    assert!(
        found.says.iter().all(|row| row.id == "slide"),
        "no other rule speaks: {:?}",
        found.says
    );
    let warm = ask(
        Film::Reversal,
        "100",
        Some("2012-06"),
        Storage::Room,
        &Rules::default(),
        &[],
    );
    close("at most half a stop", warm.range.1.get(), 0.5, 1e-9);
}

#[test]
fn the_figures_by_type_are_those_of_the_list() {
    for (film, iso, years, stops, note) in [
        (Film::BlackAndWhite, "100", 25, 1.0, false),
        (Film::BlackAndWhite, "125", 25, 1.0, false),
        (Film::BlackAndWhite, "400", 20, 1.0, false),
        (Film::ColourNegative, "25", 20, 1.0, false),
        (Film::ColourNegative, "160", 15, 1.0, false),
        (Film::ColourNegative, "200", 14, 1.0, false),
        (Film::ColourNegative, "400", 8, 1.0, false),
        (Film::ColourNegative, "800", 8, 1.0, true),
        (Film::ColourNegative, "100", 15, 1.0, true),
        (Film::BlackAndWhite, "200", 20, 1.0, true),
    ] {
        let dated = format!("{}-06", 2024 - years);
        let found = ask(
            film,
            iso,
            Some(&dated),
            Storage::Unknown,
            &Rules::default(),
            &[],
        );
        let says = row(&found, "years_by_type");
        close(&format!("{film:?} {iso}"), says.least.get(), stops, 1e-9);
        assert_eq!(
            says.statement.contains("nearest one listed"),
            note,
            "{}",
            says.statement
        );
    }
}

#[test]
fn black_and_white_keeps_and_a_decade_rule_is_its_far_end() {
    let found = ask(
        Film::BlackAndWhite,
        "400",
        Some("1984-06"),
        Storage::Unknown,
        &Rules::default(),
        &[],
    );
    let keeps = row(&found, "bw_keeps");
    assert_eq!(
        (keeps.least.get(), keeps.most.get()),
        (0.0, 2.0),
        "from box speed to two stops"
    );
    // 40 years: 20 years a stop say two stops, a decade a stop four, and one may keep to box speed.
    let decade = row(&found, "decade");
    close("decade", decade.least.get(), 4.0, 1e-9);
    assert!(
        decade.statement.ends_with("this is the far end."),
        "{}",
        decade.statement
    );
    same("base", &found.base.rating_words(), "EI 100");
    let frames: Vec<String> = found.frames.iter().map(|ei| ei.rating_words()).collect();
    assert_eq!(
        frames,
        ["EI 400", "EI 200", "EI 100", "EI 50", "EI 25"],
        "from box speed to four stops more light"
    );
    let young = ask(
        Film::BlackAndWhite,
        "400",
        Some("2020-06"),
        Storage::Unknown,
        &Rules::default(),
        &[],
    );
    assert!(
        young.says.iter().all(|row| row.id != "bw_keeps"),
        "not for young film"
    );
}

#[test]
fn cold_storage_silences_the_rules_that_are_not_for_it() {
    let found = ask(
        Film::ColourNegative,
        "200",
        Some("2004-06"),
        Storage::Frozen,
        &Rules::default(),
        &[],
    );
    let cold = row(&found, "cold");
    assert_eq!(cold.source, Source::Assumption, "called an assumption");
    close("least", cold.least.get(), 0.0, 1e-9);
    close(
        "most: half of 1.43, to a third",
        cold.most.get(),
        2.0 / 3.0,
        1e-9,
    );
    assert_eq!(
        found.silent.len(),
        2,
        "two rules say why they are silent: {:?}",
        found.silent
    );
}

#[test]
fn an_unknown_age_gives_a_wide_range_and_never_one_number() {
    let found = ask(
        Film::ColourNegative,
        "200",
        None,
        Storage::Unknown,
        &Rules::default(),
        &[],
    );
    assert_eq!(
        (found.range.0.get(), found.range.1.get()),
        (0.0, 3.0),
        "wide"
    );
    assert!(
        found.words.contains("the rules range from EI 200 to EI 25"),
        "{}",
        found.words
    );
    assert_eq!((found.under, found.over), (1, 4), "covered");
}

#[test]
fn every_value_can_be_replaced() {
    let printed = ask(
        Film::ColourNegative,
        "200",
        Some("2004-06"),
        Storage::Unknown,
        &Rules::default(),
        &[],
    );
    let own = Rules {
        own: BTreeMap::from([
            ("decade".to_owned(), 60),
            ("months_per_stop_cn_200".to_owned(), 120),
        ]),
    };
    let found = ask(
        Film::ColourNegative,
        "200",
        Some("2004-06"),
        Storage::Unknown,
        &own,
        &[],
    );
    close(
        "5 years a stop",
        row(&found, "decade").least.get(),
        4.0,
        1e-9,
    );
    close(
        "10 years a stop",
        row(&found, "years_by_type").least.get(),
        2.0,
        1e-9,
    );
    for says in &printed.says {
        let value = says.value.as_ref().expect("every printed rule has a value");
        let own = Rules {
            own: BTreeMap::from([(value.id.clone(), value.printed * 2)]),
        };
        let changed = ask(
            Film::ColourNegative,
            "200",
            Some("2004-06"),
            Storage::Unknown,
            &own,
            &[],
        );
        assert_ne!(
            row(&changed, says.id).most,
            says.most,
            "the value of “{}” matters",
            says.name
        );
    }
    let silly = Rules {
        own: BTreeMap::from([
            ("decade".to_owned(), 0),
            ("months_per_stop_cn_200".to_owned(), -5),
        ]),
    };
    let found = ask(
        Film::ColourNegative,
        "200",
        Some("2004-06"),
        Storage::Unknown,
        &silly,
        &[],
    );
    close(
        "a value without meaning is held at the end",
        row(&found, "decade").least.get(),
        100.0,
        1e-9,
    );
    assert!(
        found
            .cautions
            .iter()
            .any(|line| line.contains("further than six frames")),
        "and said"
    );
}

fn measured() -> Finding {
    Finding {
        id: "f".to_owned(),
        group: Group {
            stock: "harbour".to_owned(),
            batch: "box".to_owned(),
            storage: Storage::Unknown,
        },
        on: date("2024-01-01"),
        box_speed: speed("400"),
        rating: speed("100"),
        median_thousandths: 2000,
        liked_thousandths: (1000, 2333),
        usable_thousandths: Some((1000, 3000)),
        sure: Sureness::Split,
        evidence: vec![Evidence {
            roll: "box-1".to_owned(),
            scene: 1,
            name: "pier".to_owned(),
            camera: "old folder".to_owned(),
            light_tenths: 120,
            give_or_take_thousandths: Some(500),
            liked_thousandths: 2000,
            usable_thousandths: (1000, 3000),
            tried_thousandths: (0, 3000),
            liked_range_thousandths: None,
        }],
        note: String::new(),
    }
}

#[test]
fn what_was_usable_is_said_with_how_much_was_seen() {
    let said = |finding: Finding| finding.usable_words().unwrap_or_default();
    let found = "Usable so far on this group, counted from box speed: from 1 stop more light to 3 stops more light";
    same(
        "the end of what was tried",
        &said(measured()),
        &format!("{found}, and beyond as far as was tried, in 1 scene."),
    );
    let mut wide = measured();
    wide.evidence[0].tried_thousandths = (0, 4000);
    wide.evidence.push(wide.evidence[0].clone());
    same(
        "two scenes",
        &said(wide.clone()),
        &format!("{found}, in 2 scenes."),
    );
    wide.sure = Sureness::Hint;
    same(
        "a hint",
        &said(wide.clone()),
        &format!("{found}, in 2 scenes, which is a hint."),
    );
    wide.usable_thousandths = Some((1000, 1000));
    for scene in &mut wide.evidence {
        scene.usable_thousandths = (1000, 1000);
    }
    same(
        "one offset",
        &said(wide.clone()),
        "Usable so far on this group, counted from box speed: at 1 stop more light, in 2 scenes, which is a hint.",
    );
    wide.usable_thousandths = None;
    same("no offset", &said(wide), "");
}

#[test]
fn an_own_result_goes_before_the_rules_and_they_stay_beside_it() {
    let finding = measured();
    let found = ask(
        Film::ColourNegative,
        "400",
        Some("2004-06"),
        Storage::Unknown,
        &Rules::default(),
        &[&finding],
    );
    same("base", &found.base.rating_words(), "EI 100");
    assert_eq!(
        (found.under, found.over),
        (1, 1),
        "one check bracket of three"
    );
    assert!(
        !row(&found, "decade").counts,
        "the rule stands there without a say"
    );
    assert!(row(&found, "measured").counts, "the result has it");
    assert!(
        found
            .words
            .contains("your results range from EI 200 to EI 80"),
        "{}",
        found.words
    );
}

#[test]
fn case_20_how_far_the_frames_of_a_roll_go() {
    // 36: five frames and a slate are 6 scenes. 12: three frames, no slate, capped once are 3 scenes (10 frames), 2 spare.
    for (exposures, frames, slate, capped, scenes, used, spare) in [
        (36, 5, true, false, 6, 36, 0),
        (12, 3, false, true, 3, 10, 2),
        (12, 5, true, false, 2, 12, 0),
        (24, 5, false, true, 4, 21, 3),
        (72, 4, false, false, 18, 72, 0),
        (3, 5, false, false, 0, 0, 3),
        (0, 5, true, true, 0, 0, 0),
        (36, 0, false, false, 36, 36, 0),
    ] {
        let found = budget(exposures, frames, slate, capped);
        assert_eq!(
            (found.scenes, found.used, found.spare),
            (scenes, used, spare),
            "{exposures} exposures, {frames} frames, slate {slate}, capped {capped}"
        );
    }
}

#[test]
fn half_stops_are_not_passed_off_as_thirds() {
    let found = ask(
        Film::Reversal,
        "64",
        Some("2012-06"),
        Storage::Room,
        &Rules::default(),
        &[],
    );
    let frames: Vec<String> = found.frames.iter().map(|ei| ei.rating_words()).collect();
    assert_eq!(
        frames,
        ["about EI 89", "EI 64", "about EI 45"],
        "half a stop from EI 63, which is printed 64"
    );
    same(
        "most",
        &row(&found, "slide").rating_most.rating_words(),
        "about EI 45",
    );
}

#[test]
fn the_base_is_a_speed_that_a_device_has_and_its_offset_is_its_own() {
    let found = ask(
        Film::ColourNegative,
        "74",
        Some("2004-06"),
        Storage::Unknown,
        &Rules::default(),
        &[],
    );
    let words = found.base.rating_words();
    assert!(!words.contains("about"), "on the list: {words}");
    let offset = found.base_offset.get();
    close(
        "offset",
        found.base.as_box().iso(),
        74.0 / offset.exp2(),
        0.01,
    );
}

#[test]
fn film_that_is_not_past_its_date_is_rated_at_box_speed() {
    let found = ask(
        Film::ColourNegative,
        "200",
        Some("2025-06"),
        Storage::Room,
        &Rules::default(),
        &[],
    );
    same("base", &found.base.rating_words(), "EI 200");
    same(
        "why",
        &row(&found, "decade").statement,
        "Not past its date, or hardly: box speed.",
    );
}

#[test]
fn a_rating_beyond_the_printed_speeds_is_not_cut_off() {
    close(
        "ISO 25 and six stops",
        rating_for(speed("25"), Stops::constant(6.0)).as_box().iso(),
        25.0 / 64.0,
        0.002,
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// What no frame reaches is named with its rule, whatever values the person has put in.
    #[test]
    fn the_frames_cover_the_range_or_say_what_they_leave_out(
        film in 0_usize..3,
        iso in prop::sample::select(vec!["6", "25", "64", "100", "160", "200", "400", "800", "3200"]),
        year in prop::option::of(1950_u16..2030),
        storage in 0_usize..6,
        decade in prop::option::of(12_i32..400),
        most in prop::option::of(0_i32..200),
        result in any::<bool>(),
    ) {
        let own = [
            decade.map(|value| ("decade", value)),
            most.map(|value| ("bw_most", value)),
            most.map(|value| ("age_unknown_most", value)),
            most.map(|value| ("slide_most", value)),
        ];
        let rules = Rules {
            own: own.into_iter().flatten().map(|(id, value)| (id.to_owned(), value)).collect(),
        };
        let dated = year.map(|year| format!("{year}-06"));
        let finding = measured();
        let findings: &[&Finding] = if result { &[&finding] } else { &[] };
        let found = ask(Film::ALL[film], iso, dated.as_deref(), Storage::ALL[storage], &rules, findings);
        let reach = found.reach();
        let least = found.base_offset.get() - reach.under.get();
        let reached = found.base_offset.get() + reach.over.get();
        let said = found.cautions.join(" ");
        for row in &found.says {
            let within = row.least.get() >= least - 0.01 && row.most.get() <= reached + 0.01;
            let named = said.contains(&format!("“{}” (", row.name));
            prop_assert_eq!(within, !named, "{} in {}", row.name, said);
        }
        let fewer = found.frames.len() - usize::from(found.over) - 1;
        prop_assert_eq!(fewer, usize::from(found.under));
        prop_assert!(found.reasons.iter().any(|line| line.contains("less light than the base")), "{:?}", found.reasons);
    }

    #[test]
    fn the_bracket_covers_every_rule_and_no_base_comes_without_a_range(
        film in 0_usize..3,
        iso in prop::sample::select(vec!["6", "25", "64", "100", "160", "200", "400", "800", "3200"]),
        year in 1950_u16..2030,
        storage in 0_usize..6,
    ) {
        let dated = format!("{year}-06");
        let found = ask(Film::ALL[film], iso, Some(&dated), Storage::ALL[storage], &Rules::default(), &[]);
        prop_assert!(found.says.iter().any(|row| row.counts), "one rule always speaks");
        let step = found.step.stops().get();
        let least = found.base_offset.get() - f64::from(found.under) * step;
        let most = found.base_offset.get() + f64::from(found.over) * step;
        let cut = found.cautions.iter().any(|line| line.contains("further than six frames"));
        for row in &found.says {
            prop_assert!(row.least.get() >= least - 0.01, "{}: {} is below {least}", row.name, row.least.get());
            prop_assert!(cut || row.most.get() <= most + 0.01, "{}: {} is beyond {most}", row.name, row.most.get());
        }
        prop_assert!(found.words.contains("rule"), "the base comes with what it rests on: {}", found.words);
    }
}

#[test]
fn values_of_rules_are_said_and_typed_as_people_say_them() {
    use book::{RuleValue, Unit};
    let value = |unit, printed| RuleValue {
        id: "x".to_owned(),
        unit,
        printed,
        value: printed,
    };
    let years = value(Unit::MonthsPerStop, 300);
    let stops = value(Unit::TwelfthsOfAStop, 6);
    let share = value(Unit::Percent, 50);
    same("years", &years.shown(), "25");
    same("stops", &stops.shown(), "0.5");
    same("share", &share.shown(), "50");
    for (value, text, kept) in [
        (&years, "10", 120),
        (&years, "12,5", 150),
        (&years, "8.33", 100),
        (&stops, "2", 24),
        (&stops, "½", 6),
        (&stops, "1 1/3", 16),
        (&stops, "0", 0),
        (&share, "0", 0),
        (&share, "100", 100),
    ] {
        assert_eq!(value.read(text), Ok(Some(kept)), "{text}");
        let again = RuleValue {
            value: kept,
            ..value.clone()
        };
        assert_eq!(again.read(&again.shown()), Ok(Some(kept)), "{text} again");
    }
    for (value, text) in [
        (&years, "0"),
        (&years, "-5"),
        (&years, "long"),
        (&stops, "+1"),
        (&stops, "21"),
        (&share, "101"),
    ] {
        let refused = value.read(text).expect_err("refused").to_string();
        assert!(
            refused.starts_with(&format!("“{text}” is not understood; type ")),
            "{refused}"
        );
    }
    assert_eq!(years.read("  "), Ok(None), "back to the rule's own value");
}

#[test]
fn a_frame_with_less_light_and_the_base_say_why_they_are_there() {
    let cold = ask(
        Film::ColourNegative,
        "200",
        Some("2004-06"),
        Storage::Frozen,
        &Rules::default(),
        &[],
    );
    let why = cold.reasons.join(" ");
    for part in [
        "No rule names a figure here",
        "One frame in 4, at EI 400, has less light than the base, less than box speed asks for:",
    ] {
        assert!(why.contains(part), "“{part}” in {why}");
    }
    let slide = ask(
        Film::Reversal,
        "100",
        Some("2012-06"),
        Storage::Room,
        &Rules::default(),
        &[],
    );
    let why = slide.reasons.join(" ");
    assert!(why.contains("cannot be mended"), "{why}");
}

/// The reach is the frames of a side times the step, both taken from the same answer.
#[test]
fn the_reach_of_the_bracket_is_its_frames_by_its_step() {
    let book = book::example();
    let roll = book.rolls().next().expect("a roll");
    let on = book::Date::parse("2024-07-01").expect("a day");
    let begin = book::start_for(&book, roll, on, false).expect("a start");
    let reach = begin.reach();
    let step = begin.step.stops().get();
    for (reach, frames) in [(reach.under, begin.under), (reach.over, begin.over)] {
        assert!(
            (reach.get() - f64::from(frames) * step).abs() < 1e-12,
            "{frames} frames of {step} stops reach {}",
            reach.get()
        );
    }
}
