//! From the state to everything that is shown. Pure, total, and the only place that fills a [`View`].

use std::sync::Arc;

use exposure::{
    Asked, Camera, Control, End, FilmKind, Frame, KINDS, Ledger, Mark, Pair, Solution, Stops,
    bracket, pairs, range, two_meanings, words,
};

use crate::{
    choices::{BRACKET_BY, FILMS, ORDERS, STEPS, key_of},
    light::{Depth, Line, give_or_take},
    state::State,
    timer,
    view::{
        AxisView, BracketView, CameraView, DialView, FilmView, FrameView, Lean, LedgerLine,
        LedgerView, PairView, Part, ReadingView, View,
    },
};

const FILM_NAMES: &[(&str, &str)] = &[
    ("colour-negative", "Colour negative"),
    ("black-and-white", "Black-and-white negative"),
    ("slide", "Slide (reversal)"),
];
const STEP_NAMES: &[(&str, &str)] = &[
    ("third", "⅓ stop"),
    ("half", "½ stop"),
    ("one", "1 stop"),
    ("two", "2 stops"),
];
const ORDER_NAMES: &[(&str, &str)] = &[
    ("rising", "Least light first"),
    ("falling", "Most light first"),
    ("base", "Base first"),
];

/// Works out everything that is shown.
#[must_use]
pub fn derive(state: &State) -> View {
    let solution = state.solution();
    View {
        by_dials: state.device.is_some(),
        reading: reading(state),
        film: film(state, &solution),
        camera: camera(state),
        dials: Control::ALL.map(|control| dial(state, &solution, control)),
        ledger: ledger(state, &solution),
        bracket: strip(state, &solution),
        pairs: table(state, &solution),
    }
}

fn lean_of(stops: Stops) -> Lean {
    if stops.is_more() {
        Lean::More
    } else if stops.is_less() {
        Lean::Less
    } else {
        Lean::Even
    }
}

fn reading(state: &State) -> ReadingView {
    let [time, aperture, sensitivity] = state.reading.marks();
    let ambiguous: Vec<String> = [time, aperture]
        .into_iter()
        .filter(|mark| two_meanings(mark.control(), mark.engraved()))
        .map(words::value)
        .collect();
    ReadingView {
        time: words::value(time),
        aperture: words::value(aperture),
        sensitivity: words::value(sensitivity),
        halves: state.halves,
        from: match state.from.as_str() {
            "" => String::new(),
            from => format!("From: {from}"),
        },
        two_meanings: (!ambiguous.is_empty()).then(|| {
            format!(
                "{} can be a half or a third stop. It is read as {}: say which your device steps in.",
                ambiguous.join(" and "),
                if state.halves { "a half" } else { "a third" }
            )
        }),
        light: words::light(state.reading.light()) + &give_or_take(state.doubt),
    }
}

/// A rating against box speed, in words.
pub(crate) fn against_box(offset: Stops) -> String {
    if offset.is_even() {
        "Rated at box speed".to_owned()
    } else {
        format!("Rated for {} than box speed", words::difference(offset))
    }
}

fn film(state: &State, solution: &Solution) -> FilmView {
    let rated = State::rated(solution.marks[2]);
    FilmView {
        line: format!("Box {}, {}", words::value(&state.box_speed.mark()), {
            let kind = key_of(&FILMS, &state.film);
            let name = FILM_NAMES.iter().find(|(key, _)| *key == kind);
            name.map_or("", |(_, name)| name).to_ascii_lowercase()
        }),
        box_speed: words::value(&state.box_speed.mark()),
        against_box: against_box(state.box_speed.offset(rated)),
        kind: key_of(&FILMS, &state.film),
        kinds: FILM_NAMES,
    }
}

fn camera(state: &State) -> CameraView {
    let equipment = &state.equipment;
    CameraView {
        chosen: equipment.id.clone(),
        all: KINDS
            .iter()
            .map(|kind| (kind.id.to_owned(), kind.name.to_owned()))
            .chain(
                state
                    .own
                    .iter()
                    .map(|own| (own.id.clone(), own.form.name.clone())),
            )
            .collect(),
        hand_limit: words::value(&state.limit()),
        hand_limit_source: hand_limit_source(state.hand_limit.is_some(), &equipment.camera),
    }
}

/// Where a hand-held limit is from: one's own, or the rule of thumb for a camera.
pub(crate) fn hand_limit_source(own: bool, camera: &Camera) -> String {
    match camera.focal() {
        _ if own => "your own limit".to_owned(),
        Some(focal) => format!(
            "rule of thumb: 1 / focal length ({} mm)",
            words::decimal(focal, 1)
        ),
        None => "rule of thumb; the focal length is not known".to_owned(),
    }
}

fn dial(state: &State, solution: &Solution, control: Control) -> DialView {
    let i = control.index();
    let (equipment, marks) = state.on_dials(solution);
    let mark = &marks[i];
    let part = if state.device.is_some() {
        Part::Reads
    } else if state.is_held(control) {
        Part::Held
    } else if state.lead.control == control {
        Part::Leads
    } else if state.followers().first() == Some(&control)
        || solution.ends.iter().any(Option::is_some)
    {
        Part::Follows
    } else {
        Part::Free
    };
    let figure = |mark: &Mark| match control {
        Control::Sensitivity => words::figure(mark),
        Control::Time | Control::Aperture => words::value(mark),
    };
    let beside = |brighter: bool| {
        let beside = equipment.beside(control, mark.place(), brighter);
        beside.map_or_else(String::new, figure)
    };
    DialView {
        control,
        name: control.name(),
        value: match part {
            Part::Reads => words::value(mark),
            // What the film is rated at is another thing than the sensitivity of a device.
            _ if control == Control::Sensitivity => words::ei(mark),
            _ => words::value(mark),
        },
        less: beside(false),
        more: beside(true),
        spoken: words::spoken(mark),
        face: Arc::clone(&equipment.faces[i]),
        at: equipment.index_of(control, mark.place()),
        place: mark.place().get(),
        part,
        note: match part {
            Part::Reads => None,
            _ => note(state, solution, control),
        },
    }
}

/// What a time comes to on the film in words, where the film needs more than this time; empty where it does not, or nobody knows.
fn to_count(state: &State, time: &Mark) -> String {
    let counted = state.film_needs(time.gives());
    if !counted.more.is_more() {
        return String::new();
    }
    if !counted.by_hand() {
        // No hand counts it; what is too little to set is left to the ledger.
        return if (counted.more - Stops::SMALL).is_more() {
            format!("film needs {} more time", words::stops(counted.more))
        } else {
            String::new()
        };
    }
    let guess = if counted.guess {
        ", beyond the table"
    } else {
        ""
    };
    let needed = words::to_count(counted.needed);
    if state.equipment.camera.times().has_b() {
        format!("count {needed}{guess}")
    } else {
        format!("film needs {needed}{guess}; no B to count it")
    }
}

fn note(state: &State, solution: &Solution, control: Control) -> Option<String> {
    let mark = &solution.marks[control.index()];
    if control == Control::Time {
        let count = to_count(state, mark);
        if !count.is_empty() {
            return Some(count);
        }
    }
    if let Some(seconds) = mark.measured() {
        let measured = Mark::new(control, seconds, exposure::Steps::Engraved).ok()?;
        return Some(format!("measured {}", words::value(&measured)));
    }
    if mark.by_hand() {
        return Some("by hand on B".to_owned());
    }
    let ended = solution.ends[control.index()].map(|end| match (control, end) {
        (Control::Time, End::Brightest) => "slowest mark",
        (Control::Time, End::Darkest) => "fastest mark",
        (Control::Aperture, End::Brightest) => "wide open",
        (Control::Aperture, End::Darkest) => "smallest stop",
        (Control::Sensitivity, End::Brightest) => "highest mark",
        (Control::Sensitivity, End::Darkest) => "lowest mark",
    });
    if let Some(end) = ended {
        return Some(end.to_owned());
    }
    match control {
        Control::Time => tripod(state, mark).then(|| "tripod".to_owned()),
        Control::Aperture => None,
        // The rating stands large; what the maker printed beside it.
        Control::Sensitivity => Some(format!("box {}", words::value(&state.box_speed.mark()))),
    }
}

/// Whether a time is longer than can be held by hand. A small difference from the limit does not count.
fn tripod(state: &State, time: &Mark) -> bool {
    (time.relative_to(&state.limit()) - Stops::SMALL).is_more()
}

fn support(state: &State, time: &Mark) -> &'static str {
    if time.by_hand() {
        "tripod, by hand on B"
    } else if tripod(state, time) {
        "tripod"
    } else {
        "hand-held"
    }
}

fn ledger(state: &State, solution: &Solution) -> LedgerView {
    let [set_time, set_aperture, _] = &solution.marks;
    let at = |line: &Line| line.effect().at(set_time, set_aperture);
    let counted = state.counted().map(at);
    let exact = Ledger::new(&state.reading, &solution.marks, counted);
    let (lines, total) = exact.printed();
    let line = |control: Control| {
        let i = control.index();
        let (read, set) = (&state.reading.marks()[i], &solution.marks[i]);
        let gives = lines[i];
        let set_text = if control == Control::Sensitivity {
            words::ei(set)
        } else {
            words::value(set)
        };
        LedgerLine {
            name: control.name().to_owned(),
            change: if gives.is_even() && words::value(read) == words::value(set) {
                format!("{set_text}, as read")
            } else {
                format!("{} → {set_text}", words::value(read))
            },
            stops: if gives.is_even() {
                words::part(gives)
            } else if control == Control::Sensitivity {
                // A film rated lower than the reading's ISO asks for light; it does not give any.
                format!("asks for {}", words::part(-gives))
            } else {
                format!("gives {}", words::part(gives))
            },
            lean: lean_of(gives),
            bar: gives.get(),
            counts: None,
        }
    };
    let wish = state.wish();
    let mut rounded = lines[3..].iter();
    let correction = |name: String, stops: String, gives: Stops, on: bool| LedgerLine {
        name,
        change: String::new(),
        stops,
        lean: lean_of(gives),
        bar: gives.get(),
        counts: Some(on),
    };
    let mut all: Vec<LedgerLine> = Control::ALL.into_iter().map(line).collect();
    for line in state.lines() {
        let gives = line.on().then(|| rounded.next()).flatten().copied();
        let stops = match gives {
            None => "left out".to_owned(),
            // It belongs to another time or stop.
            Some(gives) if gives.is_even() && line.effect().fixed().is_none() => {
                "nothing at this setting".to_owned()
            }
            Some(gives) => words::part(gives),
        };
        all.push(correction(
            line.name().to_owned(),
            stops,
            gives.unwrap_or(Stops::ZERO),
            line.on(),
        ));
    }
    if let Some(long) = state.long() {
        let time = words::value(&solution.marks[0]);
        let stops = match (long.on(), to_count(state, &solution.marks[0])) {
            (false, _) => "left out".to_owned(),
            (true, count) if count.is_empty() => {
                let more = state.film_needs(solution.marks[0].gives()).more;
                if more.is_more() {
                    format!("{} more time at {time}", words::stops(more))
                } else {
                    format!("nothing needed at {time}")
                }
            }
            (true, count) => format!("{count} for {time}"),
        };
        all.push(correction(
            format!("Long times: {}", long.name()),
            stops,
            Stops::ZERO,
            long.on(),
        ));
    }
    LedgerView {
        lines: all,
        total: if exact.total.is_even() {
            "As the reading asks".to_owned()
        } else if total.is_even() {
            format!(
                "As the reading asks, but for {}",
                words::difference(exact.total)
            )
        } else {
            format!(
                "{} than the reading asks for{}",
                words::difference(exact.total),
                words::in_brackets(total)
            )
        } + &give_or_take(state.doubt_on_film()),
        reasons: reasons(state, solution, wish),
        can_go_back: !wish.is_even() || state.could_be_nearer(),
    }
}

fn reasons(state: &State, solution: &Solution, wish: Stops) -> Vec<String> {
    let mut reasons = Vec::new();
    if !wish.is_even() {
        reasons.push(format!("Turned on purpose: {}.", words::difference(wish)));
    }
    reasons.extend(long_reason(state, &solution.marks[0]));
    let rest = solution.residual;
    if rest.is_even() {
        return reasons;
    }
    // A control stands at an end if it could not turn further in the direction that is missing.
    let stuck = |control: Control| {
        let (scale, mark) = (
            state.equipment.scale(control),
            &solution.marks[control.index()],
        );
        let end = if rest.is_less() {
            scale.brightest()
        } else {
            scale.darkest()
        };
        mark.relative_to(end).is_even()
    };
    let free: Vec<Control> = state.followers();
    let ended = !free.is_empty()
        && free.iter().all(|control| stuck(*control))
        && rest.size() > Stops::SMALL;
    reasons.push(if ended {
        let names: Vec<String> = free
            .iter()
            .map(|control| {
                format!(
                    "{} ends at {}",
                    words::noun(*control),
                    words::value(&solution.marks[control.index()])
                )
            })
            .collect();
        format!(
            "{}: {}.",
            capital(&names.join(" and ")),
            words::difference(rest)
        )
    } else if state.could_be_nearer() {
        format!(
            "Kept from before: {}. Back to the reading makes up for it.",
            words::difference(rest)
        )
    } else {
        format!(
            "Rounded to marks that this camera has: {}.",
            words::difference(rest)
        )
    });
    reasons
}

/// What has to be said of a time at which film may answer less.
fn long_reason(state: &State, time: &Mark) -> Option<String> {
    if !to_count(state, time).is_empty() {
        let colour = state.film_kind() != FilmKind::BlackAndWhite;
        return colour.then(|| {
            "Colour film also shifts its colours at long times, which no filter quite mends: a wider aperture avoids it."
                .to_owned()
        });
    }
    let known = state.long_times().is_some();
    (!known && time.place().get() > -Stops::SMALL.get()).then(|| {
        "From about 1 s on, film may need more time than metered (reciprocity failure). Enter its figures under Corrections."
            .to_owned()
    })
}

/// With a large first letter, where it is one of the usual 26: the table of all letters there are is larger than a dial.
pub(crate) fn capital(text: &str) -> String {
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

pub(crate) fn frames(state: &State, solution: &Solution) -> Vec<Frame> {
    let base = [solution.marks[0], solution.marks[1]];
    let scale = state.equipment.scale(state.bracket.by());
    // OK to show no strip on an error: it would take settings a hundred stops apart, which no marks in range are.
    bracket(
        &state.bracket,
        Asked::new(&state.reading, &state.effects()),
        state.box_speed,
        &base,
        scale,
    )
    .unwrap_or_default()
}

/// The time of each frame of the series, in its order.
pub(crate) fn times_of_frames(state: &State) -> Vec<Mark> {
    let solution = state.solution();
    let by_time = state.bracket.by() == Control::Time;
    let frames = frames(state, &solution).into_iter();
    frames
        .map(|frame| {
            if by_time {
                frame.mark
            } else {
                solution.marks[0]
            }
        })
        .collect()
}

/// What is taken for sharp, where the frames say so.
fn sharp_by(state: &State) -> String {
    state.depth().map_or_else(String::new, |depth| {
        let of = depth.of();
        format!(
            " Sharp for {} mm at {}, by {}.",
            words::decimal(of.focal(), 1),
            words::distance(of.distance()),
            depth.circle(),
        )
    })
}

/// One line on the series.
pub(crate) fn bracket_summary(state: &State) -> String {
    let plan = &state.bracket;
    let solution = state.solution();
    let stays = if plan.by() == Control::Time {
        Control::Aperture
    } else {
        Control::Time
    };
    let count = usize::from(plan.under()) + usize::from(plan.over()) + 1;
    let step = words::stops(plan.step().stops());
    let frames = if count == 1 {
        "1 frame".to_owned()
    } else {
        format!("{count} frames")
    };
    let sides = match (plan.under(), plan.over()) {
        (0, 0) => "the base only".to_owned(),
        (0, over) => format!("the base and {over} with more light"),
        (under, 0) => format!("the base and {under} with less light"),
        (under, over) => format!("the base, {under} with less and {over} with more light"),
    };
    format!(
        "{frames} by {} at {}, {step} apart: {sides}.",
        words::noun(plan.by()),
        words::value(&solution.marks[stays.index()]),
    )
}

fn strip(state: &State, solution: &Solution) -> BracketView {
    let plan = &state.bracket;
    let frames = frames(state, solution);
    let by = plan.by();
    let base = &solution.marks[by.index()];
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the limit is a small whole number"
    )]
    let most = range::SIDE.max as u8;
    BracketView {
        by: key_of(&BRACKET_BY, &by),
        under: plan.under(),
        over: plan.over(),
        most,
        step: key_of(&STEPS, &plan.step()),
        steps: STEP_NAMES,
        order: key_of(&ORDERS, &plan.order()),
        orders: ORDER_NAMES,
        frames: (0..frames.len())
            .map(|i| cell(state, solution, i, &frames))
            .collect(),
        axis: axis(&frames),
        summary: bracket_summary(state) + &sharp_by(state),
        set_back: if frames
            .last()
            .is_some_and(|frame| frame.mark.relative_to(base).is_even())
        {
            format!(
                "The {} stands at {} again",
                words::noun(by),
                words::value(base)
            )
        } else {
            format!("Set back to {}", words::value(base))
        },
    }
}

/// As long as a bracket usually needs, so that it seldom changes; longer where frames lie further out.
fn axis(frames: &[Frame]) -> AxisView {
    let places = || frames.iter().map(|frame| frame.from_box.get());
    #[expect(
        clippy::cast_possible_truncation,
        reason = "frames are a few dozen stops from box speed at most"
    )]
    let whole = |stops: f64| stops as i32;
    AxisView {
        from: whole(places().fold(-2.0, f64::min).floor()),
        to: whole(places().fold(6.0, f64::max).ceil()),
    }
}

fn from_box_words(offset: Stops) -> String {
    if offset.is_even() {
        "at box speed".to_owned()
    } else {
        format!("{} than box", words::difference(offset))
    }
}

fn cell(state: &State, solution: &Solution, i: usize, frames: &[Frame]) -> FrameView {
    let frame = &frames[i];
    let by = state.bracket.by();
    let (time, stays) = if by == Control::Time {
        (&frame.mark, &solution.marks[1])
    } else {
        (&solution.marks[0], &solution.marks[0])
    };
    let (base, even) = (frame.wanted.is_even(), frame.given.is_even());
    let mut flags = Vec::new();
    if frame.end.is_some() || !(frame.given - frame.wanted).is_even() {
        let why = if frame.end.is_some() {
            "end of scale"
        } else {
            "nearest mark"
        };
        let gives = words::wanted_and_given(frame.wanted, frame.given);
        flags.push(format!("{why}: {gives}"));
    }
    if let Some(earlier) = frame.repeats {
        let what = if frames[earlier].mark.relative_to(&frame.mark).is_even() {
            "setting"
        } else {
            "light"
        };
        flags.push(format!("same {what} as frame {}", earlier + 1));
    }
    let from_base = if base {
        "base".to_owned()
    } else if even {
        "as the base".to_owned()
    } else {
        words::difference(frame.given)
    };
    let from_box = from_box_words(frame.from_box);
    let amounts_to = words::ei(&frame.amounts_to.mark());
    let support = support(state, time);
    let count = to_count(state, time);
    let aperture = if by == Control::Time {
        stays
    } else {
        &frame.mark
    };
    let sharp = state.depth().map_or_else(String::new, |depth| {
        words::depth(&depth.of().at(aperture.gives()))
    });
    let blurs = |depth: &Depth| depth.of().diffraction_shows(aperture.gives());
    if state.depth().is_some_and(blurs) {
        flags.push("diffraction shows".to_owned());
    }
    let set = words::value(&frame.mark);
    let leave = words::value(stays);
    FrameView {
        number: i + 1,
        set,
        leave,
        from_base,
        from_box,
        box_bar: frame.from_box.get(),
        amounts_to,
        base,
        even,
        support,
        tripod: tripod(state, time),
        timed: time.by_hand() || !count.is_empty(),
        count,
        metered: timer::metered_text(time.gives()),
        sharp,
        flags,
    }
}

/// The pairs that can be set now, in the order of the table, each with whether only a hand would set it.
pub(crate) fn pairs_now(state: &State) -> Vec<(Pair, bool)> {
    table_of(state, &state.solution())
}

/// What the reading asks for, whatever was turned on purpose; where the dials stand is always among it.
fn table_of(state: &State, solution: &Solution) -> Vec<(Pair, bool)> {
    let camera = &state.equipment.camera;
    let [time, aperture, rated] = solution.marks;
    let asked = &state.effects();
    let listed = pairs(
        Asked::new(&state.reading, asked),
        Stops::ZERO,
        &rated,
        camera.times(),
        camera.apertures(),
        state.prefer(),
    );
    let grade = |pair: &Pair| state.prefer().judge(pair.residual).grade();
    let here = Pair {
        time,
        aperture,
        residual: solution.difference,
    };
    let best = listed.iter().map(grade).min().unwrap_or(0);
    let by_hand = grade(&here) > best;
    let mut all: Vec<(Pair, bool)> = listed
        .into_iter()
        .map(|pair| {
            let same = stands(&pair, solution);
            (if same { here } else { pair }, same && by_hand)
        })
        .collect();
    if !all.iter().any(|(pair, _)| stands(pair, solution)) {
        let slower = |(pair, _): &(Pair, bool)| pair.time.relative_to(&time).is_more();
        let at = all.iter().position(|row| !slower(row)).unwrap_or(all.len());
        all.insert(at, (here, by_hand));
    }
    all
}

/// Whether the dials stand at a pair.
fn stands(pair: &Pair, solution: &Solution) -> bool {
    pair.time.relative_to(&solution.marks[0]).is_even()
        && pair.aperture.relative_to(&solution.marks[1]).is_even()
}

fn table(state: &State, solution: &Solution) -> Vec<PairView> {
    table_of(state, solution)
        .iter()
        .map(|(pair, by_hand)| {
            let mut residual = if pair.residual.is_even() {
                "exact".to_owned()
            } else {
                words::difference(pair.residual)
            };
            if *by_hand {
                residual.push_str(", turned by hand");
            }
            let support = support(state, &pair.time);
            let count = to_count(state, &pair.time);
            let (time, aperture) = (words::value(&pair.time), words::value(&pair.aperture));
            PairView {
                count,
                tripod: tripod(state, &pair.time),
                current: stands(pair, solution),
                time,
                aperture,
                residual,
                support,
            }
        })
        .collect()
}
