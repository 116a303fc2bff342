//! Two readings of the same light.

use exposure::Control;
use readings::{
    Found,
    agree::{Agreement, Keep, agree, between},
};

use super::{
    found::{MOST_EV, Outcome, ev, nothing, of_the_dial, offering},
    room::Room,
    tones::{mark, settings},
};
use crate::{
    choice::Options,
    drawn,
    form::{Typed, choice, fixed, only},
    live::{Live, Worked},
    parts::{Part, el, follows, parts},
    piece::paragraph,
};

/// The key of what is typed here.
const TYPED: &str = "typed";
/// The key of what the dial reads.
const DIAL: &str = "dial";

const ABOUT: &str = "Two readings of the same light hardly ever agree to a third of a stop. See how far they are apart, and choose what is used; readings that other pages kept to compare stand in the lists.";

/// What may be used of two readings.
const KEEPS: [(&str, &str); 4] = [
    ("first", "The first"),
    ("second", "The second"),
    ("middle", "The middle of both"),
    ("more", "The one that gives the film more light"),
];

/// The two readings that can be chosen, with those that were kept.
fn choices(room: Room) -> Options {
    let mut all: Options = vec![
        (DIAL.to_owned(), "What the dial reads now".to_owned()),
        (TYPED.to_owned(), "Another device, typed here".to_owned()),
    ];
    room.kept.compared.with(|kept| {
        let kept = kept.iter().enumerate();
        all.extend(kept.map(|(at, found)| (at.to_string(), found.sentence())));
    });
    all
}

/// One that was chosen; `typed` is what the other device shows.
fn chosen_of(room: Room, chosen: &str, typed: [Typed; 3]) -> Outcome {
    match chosen {
        DIAL => Ok(of_the_dial(room)),
        TYPED => settings(typed)
            .map(|reading| Found::shown(reading, false, "the other device"))
            // It is said at the field.
            .or_else(|_| nothing()),
        at => room.kept.compared.with(|kept| {
            at.parse()
                .ok()
                .and_then(|at: usize| kept.get(at).cloned())
                .ok_or_else(|| "That reading is no longer kept.".to_owned())
        }),
    }
}

/// Both readings with what they may be off, one under the other on one line of light.
fn drawn_beside(first: &Outcome, second: &Outcome, says: String) -> Part {
    let (Ok(first), Ok(second)) = (first, second) else {
        return paragraph("lines", says).into();
    };
    let line = between(first, second);
    let beside = |name: &'static str, found: &Found| {
        let [dimmest, brightest] = found.reach();
        let pieces = vec![
            drawn::band(line, "band", dimmest, brightest),
            drawn::dot(line, "dot", found.light().get()),
        ];
        parts![
            paragraph("beside", format!("{name}: {}", found.light_in_words())),
            drawn::track(line, MOST_EV, pieces),
        ]
    };
    let drawing = parts![
        beside("First", first),
        beside("Second", second),
        drawn::line_scale(line, MOST_EV, ev),
    ];
    drawn::figure("How far they are apart, EV at ISO 100", says, drawing).into()
}

pub(super) fn page(room: Room) -> Part {
    // The reading kept last is the one that is meant.
    let last = room.kept.compared.once(Vec::len).checked_sub(1);
    let first = Live::new(DIAL.to_owned());
    let second = Live::new(last.map_or(TYPED.to_owned(), |at| at.to_string()));
    let keep = Live::new(KEEPS[0].0.to_owned());
    let typed = ["1/125", "f/8", "ISO 100"].map(Typed::new);
    let of = move |chosen: Live<String>| chosen_of(room, &chosen.get(), typed);
    let agreed = Worked::new(move || -> Result<Agreement, String> {
        let keep = match keep.get().as_str() {
            "second" => Keep::Second,
            "middle" => Keep::Middle,
            "more" => Keep::MoreLight,
            _ => Keep::First,
        };
        agree(&of(first)?, &of(second)?, keep).map_err(|error| error.to_string())
    });
    let says = move || {
        agreed.with(|agreed| match agreed {
            Ok(agreed) => agreed.sentence.clone(),
            Err(_) => String::new(),
        })
    };
    let is_typed = move || first.with(|key| key == TYPED) || second.with(|key| key == TYPED);
    let [time, aperture, iso] = typed;
    let (of_time, of_aperture, of_iso) = (
        "Time of the other device",
        "Aperture of the other device",
        "Sensitivity of the other device",
    );
    let shown = parts![
        paragraph("reason", ABOUT),
        el("div").class("form").all([
            choice("agree-first", "First reading", move || choices(room), first),
            choice(
                "agree-second",
                "Second reading",
                move || choices(room),
                second
            ),
            only(is_typed, mark(Control::Time, "agree-time", of_time, time)),
            only(
                is_typed,
                mark(Control::Aperture, "agree-aperture", of_aperture, aperture),
            ),
            only(
                is_typed,
                mark(Control::Sensitivity, "agree-iso", of_iso, iso)
            ),
            choice("agree-keep", "What is used", fixed(KEEPS), keep),
        ]),
        follows(move || drawn_beside(&of(first), &of(second), says())),
    ];
    offering(room, shown, move || agreed.get().map(|agreed| agreed.found))
}
