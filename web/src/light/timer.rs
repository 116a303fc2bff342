//! A watch for exposures on B: the end is a moment of the clock, kept in storage, so that a reload loses nothing.

use std::time::Duration;

use leptos::html;
use leptos::leptos_dom::helpers::{IntervalHandle, set_interval_with_handle};
use leptos::prelude::*;
use leptos::task::spawn_local;
use panel::{
    kept::Kept,
    timer::{self, LEADS, Phase, Plan, RECORD, Running, Shown},
};

use super::{pages, room::Room};
use crate::{
    browser::{
        clock, page as document, part, storage, vibration,
        wake::{self, Awake},
    },
    form::{checked, choice},
    piece::{button, flag, never, notice, paragraph, text},
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

/// The watch: counts on whichever page is open.
#[derive(Clone, Copy)]
pub(crate) struct Watch {
    running: RwSignal<Option<Running>>,
    shown: RwSignal<Option<Shown>>,
    /// What the last exposure gave.
    given: RwSignal<String>,
    kept: RwSignal<bool>,
    /// Not where a newer version of the page keeps a count of its own.
    may_write: StoredValue<bool>,
    said: RwSignal<String>,
    awake: StoredValue<Option<Awake>, LocalStorage>,
    hidden_look: StoredValue<Option<IntervalHandle>, LocalStorage>,
    at_end: StoredValue<Option<Box<dyn Fn()>>, LocalStorage>,
}

impl Watch {
    /// Takes up the count that an earlier page left.
    pub(super) fn take_up(said: RwSignal<String>) -> Self {
        let watch = Self {
            running: RwSignal::new(None),
            shown: RwSignal::new(None),
            given: RwSignal::new(String::new()),
            kept: RwSignal::new(true),
            may_write: StoredValue::new(true),
            said,
            awake: StoredValue::new_local(None),
            hidden_look: StoredValue::new_local(None),
            at_end: StoredValue::new_local(None),
        };
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
        self.at_end.set_value(Some(Box::new(call)));
    }

    /// Takes over what is stored, here at the start or by another tab.
    fn read(self, text: Option<&str>) {
        self.may_write.set_value(true);
        match text.map(Running::decode) {
            None => self.end(),
            Some(Kept::Good(running)) => self.begin(running),
            Some(Kept::Damaged(aside)) => {
                // OK to ignore: then the damaged text stays, and is written over by the next count alone.
                let _ = storage::move_record(RECORD, &aside);
            }
            Some(Kept::Newer) => self.may_write.set_value(false),
        }
    }

    fn counts(self) -> bool {
        self.running.with_untracked(Option::is_some)
    }

    fn start(self, plan: &Plan, lead: u8) {
        let running = Running::start(plan, clock::moment(), lead);
        if self.may_write.get_value() {
            storage::hold(RECORD, Some(running.encode()));
        }
        self.see_whether_kept();
        self.given.set(String::new());
        self.begin(running);
    }

    /// Says whether a reload would find the count again; what had no room is tried on.
    pub(super) fn see_whether_kept(self) {
        self.kept
            .set(self.may_write.get_value() && !storage::waits(RECORD));
    }

    fn stop(self) {
        let given = self
            .running
            .with_untracked(|running| running.as_ref().map(|it| it.closed(clock::moment())));
        if self.may_write.get_value() {
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
        self.running.set(Some(running));
        self.stay_awake();
        if self.hidden_look.with_value(Option::is_none) {
            let look = set_interval_with_handle(
                move || {
                    self.look();
                },
                LOOK_EVERY,
            );
            self.hidden_look.set_value(look.ok());
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
        self.running.set(None);
        self.shown.set(None);
        self.awake.set_value(None);
        if let Some(look) = self.hidden_look.try_update_value(Option::take).flatten() {
            look.clear();
        }
    }

    fn stay_awake(self) {
        spawn_local(async move {
            let lock = wake::keep_awake().await;
            // It may have been stopped while the browser made up its mind.
            if self.counts() {
                self.awake.set_value(lock);
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
            .with_untracked(|running| running.as_ref().map(|it| it.at(now)));
        let Some(shown) = shown else {
            return false;
        };
        let (same, before) = self.shown.with_untracked(|before| {
            let before = before.as_ref();
            (before == Some(&shown), before.map(|before| before.phase))
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
            if shown.phase == Phase::Over {
                self.at_end
                    .with_value(|call| call.as_ref().map_or((), |call| call()));
            }
        }
        self.shown.set(Some(shown));
        true
    }
}

/// A line on the count over every other page, while there is one.
pub(super) fn beside(room: Room) -> impl IntoView {
    let timer = pages::of(KEY);
    let words = text(move || {
        if room.place.get() == timer {
            return String::new();
        }
        room.watch.shown.with(|shown| {
            shown.as_ref().map_or_else(String::new, |shown| {
                format!("{}: {}", shown.title, shown.since)
            })
        })
    });
    let label = Signal::stored("To the timer".to_owned());
    notice(words, label, move || room.go(timer))
}

pub(super) fn page(room: Room) -> AnyView {
    let watch = room.watch;
    let counts = Memo::new(move |_| watch.running.with(Option::is_some));
    view! {
        <p class="reason">
            "For a shutter on B or T, that a hand opens and closes. Once it is open there is no pause: the film goes on seeing."
        </p>
        {move || if counts.get() { under_way(watch).into_any() } else { form(room).into_any() }}
    }
    .into_any()
}

/// What to count, and the start.
fn form(room: Room) -> impl IntoView {
    let watch = room.watch;
    let asked = room.asked.try_update_value(std::mem::take);
    let asked = asked.filter(|asked| !asked.is_empty());
    let metered = RwSignal::new(asked.unwrap_or_else(|| room.once(timer::metered)));
    let lead = RwSignal::new(LEADS[0].to_string());
    let plan = move || room.with(|state| metered.with(|typed| Plan::new(state, typed)));
    let count = text(move || {
        plan().map_or_else(|_| String::new(), |plan| format!("Count {}", plan.count()))
    });
    let reason = text(move || plan().map_or_else(|_| String::new(), |plan| plan.reason()));
    let cannot = flag(move || plan().is_err());
    // An empty field is no mistake yet.
    let refused = text(move || match plan() {
        Err(refusal) if metered.with(|typed| !typed.trim().is_empty()) => refusal.sentence,
        _ => String::new(),
    });
    let start = move || {
        // OK to fall back on none: the list holds nothing but counts of seconds.
        let lead = lead.with_untracked(|lead| lead.parse().unwrap_or(0));
        if let Ok(plan) = untrack(plan) {
            watch.start(&plan, lead);
        }
    };
    let leads = LEADS
        .into_iter()
        .map(|seconds| {
            let words = match seconds {
                0 => "at the press".to_owned(),
                _ => format!("{seconds} seconds after it"),
            };
            (seconds.to_string(), words)
        })
        .collect();
    view! {
        <div class="form">
            {checked(
                "timer-metered",
                "Metered time",
                "15, 7.5, 1:30 or 4 min: a bare number is seconds.",
                metered,
                refused,
            )}
            {choice("timer-lead", "The shutter is opened", Signal::stored(leads), lead)}
        </div>
        {paragraph("answer", count)}
        {paragraph("reason", reason)}
        <div class="row">
            {button("main", "Start", cannot, start)}
        </div>
        {paragraph("answer", watch.given.into())}
    }
}

/// The count, in figures that are read at arm's length.
fn under_way(watch: Watch) -> impl IntoView {
    let part = move |words: fn(&Shown) -> &str| {
        text(move || {
            watch.shown.with(|shown| {
                shown
                    .as_ref()
                    .map_or_else(String::new, |it| words(it).to_owned())
            })
        })
    };
    let reason = text(move || {
        watch
            .running
            .with(|running| running.as_ref().map_or_else(String::new, Running::reason))
    });
    let phase = part(|shown| match shown.phase {
        Phase::Lost => "lost",
        Phase::Ready => "ready",
        Phase::Open => "open",
        Phase::Near => "near",
        Phase::Over => "over",
    });
    // Where the keyboard goes, for what had it is gone: not onto "Stop", which a key held too long would press.
    let figure = NodeRef::<html::Div>::new();
    Effect::new(move || {
        if let Some(figure) = figure.get() {
            // OK to ignore: without the keyboard it reads the same.
            let _ = figure.focus();
        }
    });
    view! {
        <div
            class="count"
            role="timer"
            aria-label="Exposure"
            tabindex="-1"
            node_ref=figure
            data-phase=phase
        >
            {paragraph("count-large", part(|shown| &shown.large))}
            {paragraph("count-beside", part(|shown| &shown.beside))}
            {paragraph("count-since", part(|shown| &shown.since))}
        </div>
        {paragraph("reason", reason)}
        <p class="notice" hidden=watch.kept>
            {NOT_KEPT}
        </p>
        <div class="row">{button("main count-stop", "Stop", never(), move || watch.stop())}</div>
    }
}
