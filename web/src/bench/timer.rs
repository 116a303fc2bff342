//! The timer: what to count on B, and the count in figures that are read at arm's length.

use panel::{
    message::{Ask, Page as Opened},
    timer::{self, LEADS, Phase, Plan, Running, Series, Shown},
};

use super::{Room, watch::Watch};
use crate::{
    browser::{later::spawn_local, sheet},
    choice::Options,
    form::{Typed, checked, choice},
    live::Worked,
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, button_unless, notice, paragraph},
};

const NOT_KEPT: &str = "This browser keeps nothing for this page, so the count lives only as long as the page: do not reload it.";

/// A line on the count over every other page, while there is one.
pub(super) fn beside(room: Room) -> Part {
    let timer = room.page(Opened::Timer);
    follows(move || {
        let is_elsewhere = room.place.get() != timer;
        let words = room.kept.shown.with(|shown| match shown {
            Some(shown) if is_elsewhere => format!("{}: {}", shown.title, shown.since),
            _ => String::new(),
        });
        notice(words, "To the timer", move || room.go(timer))
    })
}

const ABOUT: &str = "For a shutter on B or T, that a hand opens and closes. Once it is open there is no pause: the film goes on seeing.";

pub(super) fn page(room: Room) -> Part {
    let watch = room.kept;
    let counts = Worked::new(move || watch.running.with(Option::is_some));
    turns(
        move || counts.get(),
        move |counts| if counts { under_way(watch) } else { form(room) },
    )
}

/// What may be chosen for the time from the press to the opening of the shutter.
fn leads() -> Options {
    let words = |seconds| match seconds {
        0 => "at the press".to_owned(),
        _ => format!("{seconds} seconds after it"),
    };
    LEADS
        .map(|seconds| (seconds.to_string(), words(seconds)))
        .into()
}

/// What to count, and the start.
fn form(room: Room) -> Part {
    let watch = room.kept;
    let asked = match room.asked.quietly(Option::take).flatten() {
        Some(Ask::Time(metered)) => Some(metered),
        _ => None,
    };
    // After a frame of the series comes the next one, ready to be started; after anything else the same again.
    let last = watch.last.quietly(Option::take).flatten();
    let (mut due, mut next, mut was_last) = (None, None, false);
    if last.is_some() {
        // The keyboard goes from "Stop" to what the exposure gave: not onto "Start", for the same reason as below.
        spawn_local(async { sheet::give(".given") });
    }
    if let Some(last) = last.filter(|_| asked.is_none()) {
        due = last.frame();
        next = Some(last.metered());
        if let Some(frame) = due {
            match room.once(Series::of).after(frame) {
                Some((frame, metered)) => (due, next) = (Some(frame), Some(metered.to_owned())),
                None => was_last = true,
            }
        }
    }
    let metered = Typed::new(asked.or(next).unwrap_or_else(|| room.once(timer::metered)));
    let plan = move || room.with(|state| Plan::new(state, &metered.get()));
    let frame = move |series: &Series| metered.text().with(|typed| series.frame_of(typed, due));
    // An empty field is no mistake yet.
    let refused = move || match plan() {
        Err(refusal) if !metered.get().trim().is_empty() => refusal.sentence,
        _ => String::new(),
    };
    let start = move || {
        if let Ok(plan) = plan() {
            watch.start(&plan, room.once(|state| frame(&Series::of(state))));
        }
    };
    let of_the_series = move || {
        let words = room.with(|state| {
            let series = Series::of(state);
            frame(&series).map(|frame| series.words(frame))
        });
        match words {
            Some(words) if was_last => format!("That was the last frame. {words}"),
            words => words.unwrap_or_default(),
        }
    };
    let hint = "15, 7.5, 1:30 or 4 min: a bare number is seconds.";
    let given = el("p").class("answer given").attr("tabindex", "-1");
    let reason = move || plan().map_or_else(|_| String::new(), |plan| plan.reason());
    let shown = parts![
        paragraph("reason", ABOUT),
        given.tells(move || watch.given.get()),
        el("div").class("form").all([
            checked("timer-metered", "Metered time", hint, metered, refused),
            choice("timer-lead", "The shutter is opened", leads, watch.lead),
        ]),
        el("p").class("reason").tells(of_the_series),
        el("p").class("reason").tells(reason),
    ];
    let count =
        move || plan().map_or_else(|_| String::new(), |plan| format!("Count {}", plan.count()));
    let label = "main count-press";
    foot(
        shown,
        [
            button_unless(move || plan().is_err(), label, "Start", start),
            el("p").class("answer").tells(count),
        ],
    )
}

/// What is scrolled, and under it two halves: "Start" is the left one and "Stop" the right one, so that a finger that taps
/// twice where one of them stood never meets the other.
fn foot(shown: Part, halves: [Element; 2]) -> Part {
    parts![
        el("div").class("scrolls").with(shown),
        el("div").class("offer count-foot").all(halves),
    ]
}

/// The count, in figures that are read at arm's length.
fn under_way(watch: Watch) -> Part {
    // Where the keyboard goes, for what had it is gone: not onto "Stop", which a key held too long would press.
    spawn_local(async { sheet::give(".count") });
    let shown = parts![
        follows(move || watch.shown.with(|shown| shown.as_ref().map(figures))),
        paragraph("notice", NOT_KEPT).hidden_when(move || watch.kept.get()),
    ];
    let reason = move || {
        let reason = watch.running.with(|it| it.as_ref().map(Running::reason));
        reason.unwrap_or_default()
    };
    foot(
        shown,
        [
            el("p").class("reason").tells(reason),
            button("main count-press", "Stop", move || watch.stop()),
        ],
    )
}

fn figures(shown: &Shown) -> Element {
    let phase = match shown.phase {
        Phase::Lost => "lost",
        Phase::Ready => "ready",
        Phase::Open => "open",
        Phase::Near => "near",
        Phase::Over => "over",
    };
    el("div")
        .class("count")
        .attr("role", "timer")
        .named("Exposure")
        .attr("tabindex", "-1")
        .attr("data-phase", phase)
        .style("--wide", shown.wide.to_string())
        .with(paragraph("count-large", shown.large.clone()))
        .with(paragraph("count-beside", shown.beside.clone()))
        .with(paragraph("count-since", shown.since.clone()))
}
