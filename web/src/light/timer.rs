//! A watch for exposures on B: the end is a moment of the clock, kept in storage, so that a reload loses nothing.

use std::{ops::Deref, rc::Rc, time::Duration};

use panel::{
    kept::Kept,
    timer::{self, LEADS, Phase, Plan, RECORD, Running, Series, Shown},
};

use super::{pages, room::Room};
use crate::{
    browser::{
        clock,
        later::{Every, every, request_animation_frame, spawn_local},
        page as document, part, sheet, storage, vibration,
        wake::{self, Awake},
    },
    choice::Options,
    form::{Typed, checked, choice},
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, button_unless, notice, paragraph, row},
};

/// The word that the dial opens this page by.
pub(super) const KEY: &str = "timer";
/// What the dial listens for, to show a count on its own page: what is counted, and nothing when it ends.
const COUNT: &str = "count";
/// The title of the page while nothing is counted.
const TITLE: &str = "Stopkeeper";
/// How often the clock is looked at while the page is hidden and gets no animation frames: for its title.
const LOOK_EVERY: Duration = Duration::from_millis(500);

const NOT_KEPT: &str = "This browser keeps nothing for this page, so the count lives only as long as the page: do not reload it.";

/// The watch: counts on whichever page is open. It lives as long as the page.
#[derive(Clone, Copy)]
pub(crate) struct Watch(&'static Count);

impl Deref for Watch {
    type Target = Count;

    fn deref(&self) -> &Count {
        self.0
    }
}

/// What is counted, and what is shown of it.
pub(crate) struct Count {
    running: Live<Option<Running>>,
    shown: Live<Option<Shown>>,
    /// What the last exposure gave.
    given: Live<String>,
    /// What was counted, until the form takes it up: for the next frame, or the same once more.
    last: Live<Option<Running>>,
    /// The time from the press to the opening, as it was chosen last.
    lead: Live<String>,
    kept: Live<bool>,
    /// Not where a newer version of the page keeps a count of its own.
    may_write: Live<bool>,
    said: Live<String>,
    awake: Live<Option<Awake>>,
    hidden_look: Live<Option<Every>>,
    at_end: Live<Option<Rc<dyn Fn()>>>,
}

impl Watch {
    /// Takes up the count that an earlier page left.
    pub(super) fn take_up(said: Live<String>) -> Self {
        let watch = Self(Box::leak(Box::new(Count {
            running: Live::new(None),
            shown: Live::new(None),
            given: Live::new(String::new()),
            last: Live::new(None),
            lead: Live::new(LEADS[0].to_string()),
            kept: Live::new(true),
            may_write: Live::new(true),
            said,
            awake: Live::new(None),
            hidden_look: Live::new(None),
            at_end: Live::new(None),
        })));
        watch.read(storage::read(RECORD).ok().flatten().as_deref());
        storage::on_record_elsewhere(RECORD, move |_, text| watch.read(text.as_deref()));
        wake::on_shown_again(move || {
            if watch.counts() {
                watch.stay_awake();
            }
        });
        watch
    }

    /// Does something when a time is up.
    pub(super) fn at_end(self, call: impl Fn() + 'static) {
        self.at_end.put(Some(Rc::new(call)));
    }

    /// Takes over what is stored, here at the start or by another tab.
    fn read(self, text: Option<&str>) {
        self.may_write.set(true);
        match text.map(Running::decode) {
            None => self.end(),
            Some(Kept::Good(running)) => self.begin(running),
            Some(Kept::Damaged(aside)) => {
                // OK to ignore: then the damaged text stays, and is written over by the next count alone.
                let _ = storage::move_record(RECORD, &aside);
            }
            Some(Kept::Newer) => self.may_write.set(false),
        }
    }

    fn counts(self) -> bool {
        self.running.once(Option::is_some)
    }

    fn start(self, plan: &Plan, frame: Option<usize>) {
        // OK to fall back on none: the list holds nothing but counts of seconds.
        let lead = self.lead.once(|lead| lead.parse().unwrap_or(0));
        let running = Running::start(plan, clock::moment(), lead).of_frame(frame);
        if self.may_write.now() {
            storage::hold(RECORD, Some(running.encode()));
        }
        self.see_whether_kept();
        self.given.set(String::new());
        self.begin(running);
    }

    /// Says whether a reload would find the count again; what had no room is tried on.
    pub(super) fn see_whether_kept(self) {
        self.kept
            .set(self.may_write.now() && !storage::waits(RECORD));
    }

    fn stop(self) {
        let given = self
            .running
            .once(|running| running.as_ref().map(|it| it.closed(clock::moment())));
        self.last.put(self.running.now());
        if self.may_write.now() {
            storage::hold(RECORD, None);
        }
        self.end();
        if let Some(given) = given {
            self.said.set(given.clone());
            self.given.set(given);
        }
    }

    fn begin(self, running: Running) {
        let looks = self.counts();
        // The next one is opened in the same way, also after a reload.
        self.lead.set(running.lead().to_string());
        self.running.put(Some(running));
        self.stay_awake();
        if self.hidden_look.once(Option::is_none) {
            let look = move || {
                self.look();
            };
            self.hidden_look.put(every(LOOK_EVERY, look));
        }
        if !looks {
            self.go_on();
        }
    }

    fn end(self) {
        if self.counts() {
            document::set_title(TITLE);
            part::tell(COUNT, "");
        }
        self.running.put(None);
        self.shown.put(None);
        self.awake.put(None);
        self.hidden_look.put(None);
    }

    fn stay_awake(self) {
        spawn_local(async move {
            let lock = wake::keep_awake().await;
            // It may have been stopped while the browser made up its mind.
            if self.counts() {
                self.awake.put(lock);
            }
        });
    }

    /// At each picture of the screen.
    fn go_on(self) {
        if self.look() {
            request_animation_frame(move || self.go_on());
        }
    }

    /// Shows what the clock says; whether there is anything to count.
    fn look(self) -> bool {
        let now = clock::moment();
        let shown = self
            .running
            .once(|running| running.as_ref().map(|it| it.at(now)));
        let Some(shown) = shown else {
            return false;
        };
        let (same, before, beat) = self.shown.once(|before| {
            let before = before.as_ref();
            (
                before == Some(&shown),
                before.map(|before| before.phase),
                before.map_or(0, |before| before.beat),
            )
        });
        if same {
            return true;
        }
        document::set_title(&shown.title);
        part::tell(COUNT, &shown.title);
        if before != Some(shown.phase) {
            self.said.set(shown.said.clone());
            match shown.phase {
                Phase::Open => vibration::buzz(200),
                Phase::Over => vibration::buzz(1000),
                Phase::Lost | Phase::Ready | Phase::Near => {}
            }
            if shown.phase == Phase::Over
                && let Some(call) = self.at_end.now()
            {
                call();
            }
        } else if beat != shown.beat {
            vibration::buzz(60);
        }
        self.shown.put(Some(shown));
        true
    }
}

/// A line on the count over every other page, while there is one.
pub(super) fn beside(room: Room) -> Part {
    let timer = pages::of(KEY);
    follows(move || {
        let is_elsewhere = room.place.get() != timer;
        let words = room.watch.shown.with(|shown| match shown {
            Some(shown) if is_elsewhere => format!("{}: {}", shown.title, shown.since),
            _ => String::new(),
        });
        notice(words, "To the timer", move || room.go(timer))
    })
}

const ABOUT: &str = "For a shutter on B or T, that a hand opens and closes. Once it is open there is no pause: the film goes on seeing.";

pub(super) fn page(room: Room) -> Part {
    let watch = room.watch;
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
    let watch = room.watch;
    let asked = room.asked.quietly(std::mem::take);
    let asked = asked.filter(|asked| !asked.is_empty());
    // After a frame of the series comes the next one, ready to be started; after anything else the same again.
    let last = watch.last.quietly(Option::take).flatten();
    let (mut due, mut next, mut was_last) = (None, None, false);
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
    parts![
        paragraph("reason", ABOUT),
        el("p").class("answer").tells(move || watch.given.get()),
        el("div").class("form").all([
            checked("timer-metered", "Metered time", hint, metered, refused),
            choice("timer-lead", "The shutter is opened", leads, watch.lead),
        ]),
        el("p").class("reason").tells(of_the_series),
        follows(move || {
            let (count, reason) = match plan() {
                Ok(plan) => (format!("Count {}", plan.count()), plan.reason()),
                Err(_) => (String::new(), String::new()),
            };
            parts![paragraph("answer", count), paragraph("reason", reason)]
        }),
        row([button_unless(
            move || plan().is_err(),
            "main count-stop",
            "Start",
            start
        )]),
    ]
}

/// The count, in figures that are read at arm's length.
fn under_way(watch: Watch) -> Part {
    // Where the keyboard goes, for what had it is gone: not onto "Stop", which a key held too long would press.
    spawn_local(async { sheet::give(".count") });
    let stop = button("main count-stop", "Stop", move || watch.stop());
    parts![
        follows(move || watch.shown.with(|shown| shown.as_ref().map(figures))),
        follows(move || {
            let reason = watch.running.with(|it| it.as_ref().map(Running::reason));
            paragraph("reason", reason.unwrap_or_default())
        }),
        paragraph("notice", NOT_KEPT).hidden_when(move || watch.kept.get()),
        row([stop]),
    ]
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
