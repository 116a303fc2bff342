//! A reading that was found, shown before it is used: what it says, what it rests on, and the button that takes it.

use exposure::{Stops, words};
use panel::{
    State,
    light::{self, Change},
};
use readings::{Found, LIGHT, Method};

use super::room::Room;
use crate::{
    choice::Options,
    drawn,
    form::tick,
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts},
    piece::{button, row, said},
};

// What says where a reading came from fits into what the panel and the log keep.
const _: () = assert!(
    readings::LONGEST <= light::LONGEST_NAME,
    "a name that is found is one that can be kept"
);

/// A reading, or why there is none; an empty sentence where nothing was asked yet.
pub(super) type Outcome = Result<Found, String>;

/// A line that was left out: its name and what it came to.
type LeftOut = (String, Stops);

fn is((name, effect): &LeftOut, line: &readings::Line) -> bool {
    *name == line.name && *effect == line.effect
}

const TAKEN_BEFORE: &str = "It was taken so; which way it was found by is no longer known.";

/// Nothing was asked yet.
pub(super) const fn nothing() -> Outcome {
    Err(String::new())
}

/// A page that leads to a reading: what it shows is scrolled, with the lines of the reading and how sure it is at its end; the
/// reading itself, and the buttons, stand under it.
pub(super) fn offering(
    room: Room,
    page: impl Into<Part>,
    found: impl Fn() -> Outcome + 'static,
) -> Part {
    offering_boxed(room, page.into(), Box::new(found))
}

fn offering_boxed(room: Room, page: Part, found: Box<dyn Fn() -> Outcome>) -> Part {
    Offer::of(found).under(room, page)
}

/// A reading with its lines, some of which may be left out.
#[derive(Clone, Copy)]
pub(super) struct Offer {
    left_out: Live<Vec<LeftOut>>,
    counted: Worked<Outcome>,
}

impl Offer {
    pub(super) fn of(found: Box<dyn Fn() -> Outcome>) -> Self {
        // Lines that were left out, so that they stay out while the reading is worked out anew; one of the same name that comes
        // to something else belongs to another reading, and counts until it is left out itself.
        let left_out = Live::new(Vec::<LeftOut>::new());
        let counted = Worked::new(move || {
            let mut found = found();
            if let Ok(found) = &mut found {
                for line in &mut found.lines {
                    line.on = !left_out.with(|all| all.iter().any(|out| is(out, line)));
                }
            }
            found
        });
        Self { left_out, counted }
    }

    /// The reading as it would be taken.
    pub(super) fn with<T>(self, of: impl FnOnce(&Outcome) -> T) -> T {
        self.counted.with(of)
    }

    /// The dial as it would stand if the reading were taken; none where that is refused, and where there is none.
    pub(super) fn on_the_dial(self, room: Room) -> Option<State> {
        let change = self.with(|counted| {
            let found = counted.as_ref().ok()?;
            Some(Change::Take(for_the_dial(found)))
        })?;
        room.with(|state| state.with(&change).ok())
    }

    /// The offer with the page that leads to it over it.
    pub(super) fn under(self, room: Room, page: Part) -> Part {
        let Self { left_out, counted } = self;
        offer(room, page, left_out, counted)
    }
}

fn offer(room: Room, page: Part, left_out: Live<Vec<LeftOut>>, counted: Worked<Outcome>) -> Part {
    let rests_on = follows(move || {
        let (lines, how_sure) = counted.with(|counted| match counted {
            Ok(found) => (
                found.lines.iter().map(|at| line(left_out, at)).collect(),
                found.how_sure(),
            ),
            Err(_) => (Vec::new(), String::new()),
        });
        let none = lines.is_empty();
        let lines = el("ul").class("shelves").all(lines);
        parts![
            lines.named("What the marks leave to count").hidden(none),
            said("reason", how_sure),
        ]
    });
    let offer = follows(move || {
        let (sentence, refusal, drawn) = counted.with(|counted| match counted {
            Ok(found) => (found.sentence(), String::new(), on_the_line(room, found)),
            Err(refusal) => (String::new(), refusal.clone(), Part::Nothing),
        });
        let none = sentence.is_empty();
        let (take, keep) = (move || take(room, counted), move || keep(room, counted));
        el("section")
            .class("offer")
            .named("The reading")
            .hidden(none && refusal.is_empty())
            .with(said("answer", sentence))
            .with(said("field-error", refusal).attr("aria-live", "polite"))
            .with(drawn)
            .with(row([
                button("main", "Take this reading", take).flag("disabled", none),
                button("", "Keep it to compare", keep).flag("disabled", none),
            ]))
    });
    parts![el("div").class("scrolls").with(page).with(rests_on), offer]
}

/// The reading with what it may be off on the line of light, beside what the dial reads now.
fn on_the_line(room: Room, found: &Found) -> Part {
    let [dimmest, brightest] = found.reach();
    let now = of_the_dial(room).light().get();
    let pieces = vec![
        drawn::band(LIGHT, "band", dimmest, brightest),
        drawn::dot(LIGHT, "ring", now),
        drawn::dot(LIGHT, "dot", found.light().get()),
    ];
    parts![
        drawn::track(LIGHT, MOST_EV, pieces),
        drawn::line_scale(LIGHT, MOST_EV, ev),
    ]
}

/// Round EV on a line of light, at most.
pub(super) const MOST_EV: usize = 7;

/// An EV under a line of light.
pub(super) fn ev(ev: f64) -> String {
    words::decimal(ev, 0)
}

fn take(room: Room, counted: Worked<Outcome>) {
    if let Ok(found) = counted.now() {
        room.take(for_the_dial(&found));
    }
}

fn keep(room: Room, counted: Worked<Outcome>) {
    if let Ok(found) = counted.now() {
        room.said
            .set(format!("Kept to compare: {}.", found.sentence()));
        room.kept.compared.update(|kept| kept.push(found));
    }
}

/// A line of the reading, with its switch.
fn line(left_out: Live<Vec<LeftOut>>, line: &readings::Line) -> Element {
    let words = format!("{}: {}", line.name, words::difference(line.effect));
    let out = (line.name.clone(), line.effect);
    let switch = move |on: bool| {
        left_out.update(|all| {
            all.retain(|other| *other != out);
            if !on {
                all.push(out.clone());
            }
        });
    };
    el("li").with(tick(words, line.on, switch))
}

/// The same for the dial: lines that were left out do not come along.
fn for_the_dial(found: &Found) -> light::Found {
    light::Found {
        reading: found.reading,
        halves: found.halves,
        from: found.from.clone(),
        doubt: found.doubt,
        lines: found
            .lines
            .iter()
            .filter(|line| line.on)
            .map(|line| (line.name.clone(), line.effect))
            .collect(),
    }
}

/// What the dial reads now, as a reading of the same kind.
pub(super) fn of_the_dial(room: Room) -> Found {
    room.with(|state| {
        let from = match state.reading_from() {
            "" => "the dial's reading",
            from => from,
        };
        let mut found = Found::shown(*state.reading(), state.reads_halves(), from);
        // What was found keeps its doubt; what was typed is as right as its device. Where it was found and nobody could say,
        // nobody can say now.
        if !state.reading_from().is_empty() {
            found.method = Method::Taken;
            found.doubt = state.doubt();
            found.uncertainty = TAKEN_BEFORE.to_owned();
        }
        found.lines = state
            .lines()
            .iter()
            .filter(|line| line.kind() == light::LineKind::Reading && line.on())
            // What belongs to a reading is the same at every setting.
            .filter_map(|line| {
                Some(readings::Line {
                    kind: readings::LineKind::Marks,
                    name: line.name().to_owned(),
                    effect: line.effect().fixed()?,
                    on: true,
                })
            })
            .collect();
        found
    })
}

/// Which of a list was chosen by its place; the first for a word that no place has.
pub(super) fn picked<T: Copy>(list: &[T], chosen: &str) -> Option<T> {
    chosen
        .parse()
        .ok()
        .and_then(|at: usize| list.get(at).copied())
        .or_else(|| list.first().copied())
}

/// Choices by their place in a list.
pub(super) fn by_place(names: &[&str]) -> impl Fn() -> Options + use<> {
    let names = names.iter().enumerate();
    let all: Options = names
        .map(|(at, name)| (at.to_string(), (*name).to_owned()))
        .collect();
    move || all.clone()
}
