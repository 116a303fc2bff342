//! What has to hold for every setting, camera and gesture.

use exposure::{DepthOfField, Doubt, Effect, LongRule, LongTimes, Mark, Reading, Steps, Stops};
use panel::{
    Control, Intent, Lean, LedgerView, Nudge, Save, State, apply, derive,
    handover::{self, Series},
    light::{Change, Depth, Found as FoundLight, Line, LineKind, Long},
    link,
    store::{self, Found},
};
use proptest::prelude::*;

fn control() -> impl Strategy<Value = Control> {
    prop_oneof![
        Just(Control::Time),
        Just(Control::Aperture),
        Just(Control::Sensitivity)
    ]
}

fn camera() -> impl Strategy<Value = Intent> {
    let ids: Vec<&str> = exposure::KINDS.iter().map(|kind| kind.id).collect();
    proptest::sample::select(ids).prop_map(|id| Intent::Camera(id.to_owned()))
}

fn key(keys: &'static [&'static str]) -> impl Strategy<Value = String> {
    proptest::sample::select(keys).prop_map(str::to_owned)
}

fn nudge() -> impl Strategy<Value = Nudge> {
    prop_oneof![
        (-40..40).prop_map(Nudge::Marks),
        (-12..12).prop_map(Nudge::Stops),
        any::<bool>().prop_map(Nudge::End),
    ]
}

/// Anything that a person can do with the page, sensible or not.
fn intent() -> impl Strategy<Value = Intent> {
    prop_oneof![
        4 => (control(), nudge()).prop_map(|(control, nudge)| Intent::Nudge(control, nudge)),
        2 => (control(), 0_usize..60).prop_map(|(control, to)| Intent::Turn(control, to)),
        1 => (control(), ".{0,8}").prop_map(|(control, text)| Intent::Type(control, text)),
        1 => (control(), "(1/)?[0-9]{1,4}").prop_map(|(control, text)| Intent::Type(control, text)),
        1 => (control(), "(1/)?[0-9]{1,3}").prop_map(|(control, text)| Intent::Reading(control, text)),
        2 => (control(), any::<bool>()).prop_map(|(control, on)| Intent::Hold(control, on)),
        1 => Just(Intent::Settle),
        1 => control().prop_map(Intent::GiveBack),
        1 => Just(Intent::BackToReading),
        1 => any::<bool>().prop_map(Intent::ReadingHalves),
        1 => "[0-9]{1,5}".prop_map(Intent::BoxSpeed),
        1 => key(&["colour-negative", "black-and-white", "slide", "?"]).prop_map(Intent::Film),
        1 => key(&["film", "more", "nearest"]).prop_map(Intent::Rounding),
        1 => camera(),
        1 => key(&["time", "aperture"]).prop_map(Intent::BracketBy),
        1 => (0_u8..8).prop_map(Intent::BracketUnder),
        1 => (0_u8..8).prop_map(Intent::BracketOver),
        1 => key(&["third", "half", "one", "two"]).prop_map(Intent::BracketStep),
        1 => key(&["rising", "falling", "base"]).prop_map(Intent::BracketOrder),
        1 => (0_usize..16).prop_map(Intent::Pick),
        1 => (0_usize..16, any::<bool>()).prop_map(|(i, on)| Intent::Correct(i, on)),
    ]
}

/// Whatever was done, refusals left out.
fn after(intents: &[Intent]) -> State {
    intents.iter().fold(State::default(), |state, intent| {
        apply(&state, intent).map_or(state, |(next, _)| next)
    })
}

/// A reading at f/8 and ISO 100, with a time so many stops from a second.
fn reading(stops: i32) -> Reading {
    let time = if stops < 0 {
        format!("{}", 1 << -stops)
    } else {
        format!("1/{}", 1 << stops)
    };
    let mark =
        |control, text: &str| Mark::parse(control, text, Steps::Third).expect("a usual figure");
    let (aperture, sensitivity) = (
        mark(Control::Aperture, "8"),
        mark(Control::Sensitivity, "100"),
    );
    Reading::new(mark(Control::Time, &time), aperture, sensitivity).expect("in order")
}

fn long() -> impl Strategy<Value = Option<Long>> {
    let rule = prop_oneof![
        (1.0..2.0_f64).prop_map(|exponent| LongRule::Power { exponent }),
        (0.01..0.2_f64).prop_map(|share| LongRule::Added {
            share,
            exponent: 1.62
        }),
        (2.0..4.0_f64, 1.0..9.0_f64)
            .prop_map(|(at, more)| LongRule::Table(vec![[at, at], [at * 10.0, at * 10.0 + more]])),
    ];
    (rule, any::<bool>(), any::<bool>()).prop_map(|(rule, on, there)| {
        let times = LongTimes::new(rule, 1.0).expect("within the ranges");
        there.then(|| {
            Long::new("Some film", times)
                .expect("a short name")
                .counted(on)
        })
    })
}

fn depth() -> impl Strategy<Value = Option<Depth>> {
    (
        20.0..300.0_f64,
        proptest::option::of(500.0..9e6_f64),
        0.01..0.2_f64,
    )
        .prop_map(|(focal, distance, circle)| {
            let of = DepthOfField::new(focal, distance, circle).expect("within the ranges");
            Some(Depth::new(of, "Some convention").expect("a short name"))
        })
}

/// Anything that the light program can change.
fn change() -> impl Strategy<Value = Change> {
    let stops = || (-20.0..20.0_f64).prop_map(Stops::constant);
    let kinds = [
        LineKind::Device,
        LineKind::Filter,
        LineKind::CloseUp,
        LineKind::Lens,
        LineKind::Other,
    ];
    prop_oneof![
        4 => (proptest::sample::select(kinds.to_vec()), "[a-z]{1,3}", stops()).prop_map(|(kind, name, effect)| {
            Change::Line(Line::new(kind, &name, effect).expect("a short name and at most 20 stops"))
        }),
        1 => ("[a-z]{1,3}", varying()).prop_map(|(name, effect)| {
            Change::Line(Line::by(LineKind::Shutter, &name, effect).expect("a short name and few stops"))
        }),
        1 => (0_usize..14).prop_map(Change::Drop),
        2 => (0_usize..14, any::<bool>()).prop_map(|(i, on)| Change::Count(i, on)),
        1 => long().prop_map(Change::Long),
        1 => depth().prop_map(Change::Depth),
        1 => (-3_i32..12, any::<bool>(), "[a-z ]{0,70}", 0_u64..20_000, proptest::collection::vec(("[a-z]{0,4}", stops()), 0..3)).prop_map(
            |(time, halves, from, doubt, lines)| {
                Change::Take(FoundLight { reading: reading(time), halves, from, doubt: Doubt::of_thousandths(doubt), lines })
            },
        ),
    ]
}

fn state() -> impl Strategy<Value = State> {
    let changes = proptest::collection::vec(change(), 0..6);
    (proptest::collection::vec(intent(), 0..24), changes).prop_map(|(intents, changes)| {
        changes.iter().fold(after(&intents), |state, change| {
            state.with(change).unwrap_or(state)
        })
    })
}

/// The sum of all lines of the ledger as they are printed.
fn bars(ledger: &LedgerView) -> f64 {
    ledger.lines.iter().map(|line| line.bar).sum()
}

/// A correction that belongs to a time or a stop.
fn varying() -> impl Strategy<Value = Effect> {
    let mark =
        |control, text: &str| Mark::parse(control, text, Steps::Full).expect("a usual figure");
    let stops = || (-3.0..3.0_f64).prop_map(Stops::constant);
    prop_oneof![
        Just(Effect::Leaf),
        (
            proptest::sample::select(vec!["1/30", "1/50", "1/125", "1/250", "1s"]),
            stops()
        )
            .prop_map(move |(time, effect)| Effect::AtTime(mark(Control::Time, time), effect)),
        (-1.0..0.0_f64, -1.0..0.0_f64).prop_map(move |(wide, small)| Effect::ByStop(vec![
            (mark(Control::Aperture, "2"), Stops::constant(wide)),
            (mark(Control::Aperture, "8"), Stops::constant(small)),
        ])),
    ]
}

/// A figure before “stop”: `1⅓`, `½`, `0.51`.
fn size(figure: &str) -> f64 {
    let parts = [
        ('⅙', 1.0 / 6.0),
        ('⅓', 1.0 / 3.0),
        ('½', 0.5),
        ('⅔', 2.0 / 3.0),
        ('⅚', 5.0 / 6.0),
    ];
    let part = parts
        .iter()
        .find(|(sign, _)| figure.ends_with(*sign))
        .map_or(0.0, |(_, part)| *part);
    let whole = figure.trim_end_matches(|c: char| c.is_numeric() && !c.is_ascii_digit());
    part + if whole.is_empty() {
        0.0
    } else {
        whole.parse::<f64>().expect("a figure")
    }
}

/// What a line of the ledger says, with its direction; what asks for light takes it.
fn signed(line: &str) -> f64 {
    let words: Vec<&str> = line.split(' ').collect();
    let Some(at) = words.iter().position(|word| word.starts_with("stop")) else {
        return 0.0;
    };
    if words[..at].contains(&"under") {
        return 0.0;
    }
    let less = line.contains("less light") != line.starts_with("asks for");
    size(words[at - 1]) * if less { -1.0 } else { 1.0 }
}

#[track_caller]
fn counted_right(text: &str) {
    let words: Vec<&str> = text.split(' ').collect();
    for pair in words.windows(2) {
        let noun = pair[1].trim_end_matches(|c: char| !c.is_alphabetic());
        let figure = pair[0];
        let is_figure = figure.starts_with(char::is_numeric)
            && figure.chars().all(|c| c.is_numeric() || c == '.');
        if is_figure && matches!(noun, "stop" | "stops") {
            let one = size(figure) > 0.0 && size(figure) <= 1.0;
            assert_eq!(
                noun == "stop",
                one,
                "{figure} is counted wrongly in: {text}"
            );
        }
    }
}

fn values(state: &State) -> [String; 3] {
    derive(state).dials.map(|dial| dial.value)
}

proptest! {
    // Failures are mended and become plain tests; no file of seeds is kept.
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn out_and_back_is_identity(state in state(), control in control(), by in nudge()) {
        let turned = apply(&state, &Intent::Nudge(control, by)).expect("a turn is never refused").0;
        // Back by the position that the dial had: what a finger returning to where it came from does.
        let was = derive(&state).dials[control.index()].at;
        prop_assume!((was - was.round()).abs() < 1e-9);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a whole index")]
        let back = apply(&turned, &Intent::Turn(control, was.round() as usize)).expect("a turn is never refused").0;
        prop_assert_eq!(values(&back), values(&state));
    }

    #[test]
    fn light_stays_equal_while_a_follower_has_room(state in state(), control in control(), by in nudge()) {
        // A leaf shutter gives at f/16 what it takes: then an open way changes nothing.
        prop_assume!(state.lines().iter().all(|line| line.effect().fixed().is_some()));
        let turned = apply(&state, &Intent::Nudge(control, by)).expect("a turn is never refused").0;
        let before = derive(&state);
        let after = derive(&turned);
        let follows = after.dials.iter().any(|dial| dial.control != control && dial.part == panel::Part::Follows);
        let moved = before.dials[control.index()].place.to_bits() != after.dials[control.index()].place.to_bits();
        let ended = after.ledger.reasons.iter().any(|reason| reason.contains(" ends at ") || reason.starts_with("Kept from before"));
        if follows && moved && !ended {
            // What is left is no more than the marks of the follower stand apart.
            let rest: f64 = bars(&after.ledger);
            let wish = after.ledger.reasons.iter().any(|reason| reason.starts_with("Turned on purpose"));
            let widest = after.dials.iter().flat_map(|dial| dial.face.notches.windows(2))
                .map(|pair| pair[1].place - pair[0].place).fold(0.0, f64::max);
            prop_assert!(wish || rest.abs() <= widest + 0.02, "{rest} left with {:?}", after.ledger);
        }
    }

    #[test]
    fn a_turn_that_settles_shows_what_it_showed(state in state(), control in control(), by in nudge()) {
        // The page does not work out a view at that moment.
        let turned = apply(&state, &Intent::Nudge(control, by)).map_or(state, |(next, _)| next);
        let (settled, _) = apply(&turned, &Intent::Settle).expect("a turn can always settle");
        prop_assert_eq!(derive(&settled), derive(&turned));
    }

    #[test]
    fn the_turned_dial_goes_where_it_is_turned(state in state(), control in control(), to in 0_usize..60) {
        let turned = apply(&state, &Intent::Turn(control, to)).expect("a turn is never refused").0;
        let dial = &derive(&turned).dials[control.index()];
        let last = dial.face.notches.len() - 1;
        #[expect(clippy::cast_precision_loss, reason = "an index")]
        let there = to.min(last) as f64;
        prop_assert!((dial.at - there).abs() < 1e-9, "asked for {there}, stands at {}", dial.at);
    }

    #[test]
    fn every_dial_stands_on_its_scale(state in state()) {
        for dial in derive(&state).dials {
            let on_a_mark = (dial.at - dial.at.round()).abs() < 1e-9;
            // On B a person counts any second, whether or not it is engraved on the face.
            let counted = dial.spoken.ends_with("by hand on B");
            prop_assert!(on_a_mark || dial.face.stepless || counted, "{} at {}", dial.name, dial.at);
            let (first, last) = (dial.face.notches[0].place, dial.face.notches[dial.face.notches.len() - 1].place);
            prop_assert!(dial.place >= first - 1e-9 && dial.place <= last + 1e-9, "{} at {}", dial.name, dial.place);
        }
    }

    /// Whatever was done, the pair on the dials is in the list, and is the best there or named as turned by hand; what is
    /// said of it is what the ledger says of it.
    #[test]
    fn the_dials_are_in_the_list(state in state()) {
        let view = derive(&state);
        let current: Vec<_> = view.pairs.iter().filter(|pair| pair.current).collect();
        prop_assert_eq!(current.len(), 1, "{:?}", view.pairs);
        let words = current[0].residual.split(", ").next().unwrap_or_default().to_owned();
        // How far the reading may be off stands behind it and changes nothing of it.
        let total = view.ledger.total.split(", give or take").next().unwrap_or_default();
        let even = words == "exact" && total == "As the reading asks";
        prop_assert!(even || total.contains("the reading asks") && words != "exact", "{words} beside {total}");
        prop_assert_eq!(words.contains("more light"), total.contains("more light"), "{} beside {}", words, total);
    }

    #[test]
    fn the_ledger_adds_up(state in state()) {
        let ledger = derive(&state).ledger;
        let sum = bars(&ledger);
        let stated = if sum.abs() < 0.004 { Lean::Even } else if sum > 0.0 { Lean::More } else { Lean::Less };
        let words = if ledger.total.starts_with("As the reading asks") { Lean::Even }
            else if ledger.total.contains("more light") { Lean::More } else { Lean::Less };
        prop_assert_eq!(stated, words, "{:?}", ledger);
    }

    #[test]
    fn no_bare_sign_is_ever_shown(state in state()) {
        let view = derive(&state);
        let mut texts: Vec<String> = vec![view.ledger.total, view.film.against_box, view.bracket.summary];
        texts.extend(view.ledger.reasons);
        texts.extend(view.ledger.lines.into_iter().map(|line| line.stops));
        texts.extend(view.bracket.frames.into_iter().map(|frame| frame.sentence()));
        texts.extend(view.pairs.into_iter().map(|pair| pair.residual));
        for text in texts {
            prop_assert!(!text.contains(['+', '−', '±']), "a bare sign in: {text}");
        }
    }

    /// Every size is counted right (“1 stop”, “½ stop”, “1½ stops”), nothing worked out has more figures than it has, and the
    /// lines of the ledger as a reader adds them up are its total.
    #[test]
    fn figures_are_said_by_one_rule(state in state()) {
        let view = derive(&state);
        let mut texts: Vec<String> = vec![view.ledger.total.clone(), view.film.against_box, view.bracket.summary];
        texts.extend(view.ledger.reasons.iter().cloned());
        texts.extend(view.ledger.lines.iter().map(|line| line.stops.clone()));
        texts.extend(view.bracket.frames.into_iter().map(|frame| frame.sentence()));
        texts.extend(view.pairs.into_iter().map(|pair| pair.residual));
        for text in &texts {
            counted_right(text);
            for ei in text.split("about EI ").skip(1) {
                let digits = ei.chars().take_while(|c| c.is_ascii_digit() || *c == '.').filter(char::is_ascii_digit);
                let figures = digits.collect::<String>().trim_start_matches('0').trim_end_matches('0').len();
                prop_assert!(figures <= 3, "{figures} figures in: {text}");
            }
            if let Some((wanted, given)) = text.split_once("wanted ").and_then(|(_, rest)| rest.split_once(", gives ")) {
                let given = given.split(';').next().expect("what is given");
                prop_assert_ne!(wanted, given.trim_start_matches("about "), "{}", text);
            }
        }
        let sum: f64 = view.ledger.lines.iter().map(|line| signed(&line.stops)).sum();
        let (total, _) = view.ledger.total.split_once(", give or take").unwrap_or((&view.ledger.total, ""));
        let total = match total.split_once('(') {
            Some((words, figure)) => {
                let size: f64 = figure.trim_end_matches(')').parse().expect("hundredths");
                if words.contains("more light") { size } else { -size }
            }
            None if total.starts_with("As the reading asks") => 0.0,
            None => signed(total),
        };
        // Words in sixths stand alone where they are right to half a hundredth.
        prop_assert!((sum - total).abs() < 0.0101, "{} from lines of {sum}: {:?}", view.ledger.total, view.ledger.lines);
    }

    #[test]
    fn the_strip_is_in_order(state in state()) {
        let strip = derive(&apply(&state, &Intent::BracketOrder("rising".to_owned())).expect("an order").0).bracket;
        for pair in strip.frames.windows(2) {
            let same = pair[1].flags.iter().any(|flag| flag.starts_with("same "));
            prop_assert!(pair[1].box_bar > pair[0].box_bar + 1e-9 || same, "{:?}", strip.frames.iter().map(panel::FrameView::sentence).collect::<Vec<_>>());
        }
        let (under, over) = (usize::from(strip.under), usize::from(strip.over));
        prop_assert!(strip.frames.len() == under + over + 1, "one cell per frame");
        prop_assert_eq!(strip.frames.iter().filter(|frame| frame.base).count(), 1, "one base");
    }

    /// What another part of the page does to its copy of the setting arrives on the dial whole.
    #[test]
    fn the_dial_takes_the_light(state in state(), change in change()) {
        let changed = state.with(&change);
        prop_assume!(changed.is_ok());
        let changed = changed.expect("asked just now");
        let (taken, outcome) = apply(&state, &Intent::Take(link::parcel(&changed))).expect("our own text");
        prop_assert_eq!(outcome.save, Save::Setting);
        prop_assert!(!taken.from_link() || state.from_link());
        let (taken, changed) = (derive(&taken), derive(&changed));
        prop_assert_eq!(&taken.reading, &changed.reading);
        prop_assert_eq!(taken.ledger.corrections(), changed.ledger.corrections());
        prop_assert_eq!(taken.dials.map(|dial| dial.value), changed.dials.map(|dial| dial.value));
    }

    /// A correction changes nothing but what the settings amount to, and leaving it out takes that back.
    #[test]
    fn a_correction_can_be_left_out(state in state(), stops in -20.0..20.0_f64) {
        let line = Line::new(LineKind::Other, "Some correction", Stops::constant(stops)).expect("in range");
        let Ok(with) = state.with(&Change::Line(line)) else { return Ok(()) };
        // What belongs to a time or a stop changes with the dials, which make up for the correction.
        prop_assume!(state.lines().iter().all(|line| line.effect().fixed().is_some()));
        let before = state.correction().get();
        prop_assert!((with.correction().get() - before - stops).abs() < 1e-9);
        let i = with.lines().iter().position(|line| line.name() == "Some correction").expect("it is there");
        let without = apply(&with, &Intent::Correct(i, false)).expect("it is there").0;
        prop_assert!((without.correction().get() - before).abs() < 1e-9);
        let light = |state: &State| state.light().light().get();
        prop_assert!((light(&without) - light(&state)).abs() < 1e-9);
    }

    #[test]
    fn a_reload_shows_the_same(state in state()) {
        let found = Found { setting: Some(store::encode_setting(&state)), cameras: store::encode_cameras(&state) };
        let opened = store::open(&found);
        prop_assert!(opened.notices.is_empty(), "{:?}", opened.notices);
        prop_assert_eq!(values(&opened.state), values(&state));
        let (again, before) = (derive(&opened.state), derive(&state));
        prop_assert_eq!(again.reading, before.reading);
        prop_assert_eq!(again.ledger.total, before.ledger.total);
        let cells = |view: panel::BracketView| view.frames.into_iter().map(|frame| frame.sentence()).collect::<Vec<_>>();
        prop_assert_eq!(cells(again.bracket), cells(before.bracket));
    }

    /// The film book takes over what the strip shows, or says why not; a reload, and what is not planned, leave it the same.
    #[test]
    fn a_series_is_handed_over_as_it_is_planned(state in state()) {
        let text = handover::text(&state);
        let found = Found { setting: Some(store::encode_setting(&state)), cameras: store::encode_cameras(&state) };
        let again = store::open(&found).state;
        prop_assert_eq!(&handover::text(&again), &text, "after a reload");
        let themed = apply(&state, &Intent::Theme("darkroom".to_owned())).expect("a theme").0;
        prop_assert_eq!(&handover::text(&themed), &text, "in another theme");
        let series = match Series::read(&text) {
            Ok(series) => series,
            Err(refusal) => {
                let together: f64 = state.lines().iter().filter_map(|line| line.effect().fixed()).map(|stops| stops.get().abs()).sum();
                prop_assert!(together > 60.0, "{}", refusal.sentence);
                return Ok(());
            }
        };
        let view = derive(&state);
        let by_time = view.bracket.by == "time";
        let shown: Vec<String> = series.frames.iter().map(|frame| {
            if by_time { frame.set.time.shown() } else { frame.set.aperture.shown() }
        }).collect();
        let cells: Vec<String> = view.bracket.frames.iter().map(|cell| cell.set.clone()).collect();
        prop_assert_eq!(shown, cells);
        prop_assert_eq!(series.scene.light.doubt(), state.doubt_on_film().filter(|doubt| *doubt > Doubt::NONE));
    }

    #[test]
    fn a_link_carries_the_setting(state in state()) {
        let here = State::default();
        let (opened, outcome) = apply(&here, &Intent::OpenLink(link::fragment(&state))).expect("our own link");
        prop_assert_eq!(values(&opened), values(&state));
        prop_assert_eq!(outcome.save, Save::Cameras);
        let back = apply(&opened, &Intent::LeaveLink).expect("the way back").0;
        prop_assert_eq!(derive(&back), derive(&here));
    }

    #[test]
    fn no_text_panics(text in any::<String>(), control in control()) {
        let state = State::default();
        for intent in [
            Intent::Type(control, text.clone()),
            Intent::Reading(control, text.clone()),
            Intent::BoxSpeed(text.clone()),
            Intent::HandLimit(text.clone()),
            Intent::OpenLink(text.clone()),
            Intent::OpenLink(format!("set1.{text}")),
            Intent::OpenLink(format!("set2.{text}")),
            Intent::OpenLink(format!("set3.{text}")),
            Intent::Take(text.clone()),
            Intent::Camera(text.clone()),
            Intent::CamerasElsewhere(vec![(format!("{}{text}", store::CAMERA_PREFIX), text.clone())]),
            Intent::SaveCamera(None, panel::CameraForm {
                name: text.clone(), times: text.clone(), apertures: text.clone(), steps: text.clone(), focal: text.clone(),
            }),
        ] {
            if let Err(refusal) = apply(&state, &intent) {
                prop_assert!(refusal.sentence.ends_with('.'), "{}", refusal.sentence);
            }
        }
        let opened = store::open(&Found { setting: Some(text.clone()), cameras: vec![(text.clone(), text)] });
        prop_assert!(!opened.notices.is_empty());
    }
}
