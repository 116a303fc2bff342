//! A watch for exposures on B: the end is a moment of the clock, kept in storage, so that a reload loses nothing.

use std::{ops::Deref, rc::Rc, time::Duration};

use panel::{
    kept::Kept,
    message::ToDial,
    timer::{LEADS, Phase, Plan, RECORD, Running, Shown},
};

use crate::{
    browser::{
        clock,
        later::{Every, every, request_animation_frame},
        page, part, storage, vibration,
        wake::{self, Awake},
    },
    live::Live,
};

/// The title of the page while nothing is counted.
const TITLE: &str = "Stopkeeper";
/// How often the clock is looked at while the page is hidden and gets no animation frames: for its title.
const LOOK_EVERY: Duration = Duration::from_millis(500);

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
    /// What is counted.
    pub(super) running: Live<Option<Running>>,
    /// What the clock says of it.
    pub(super) shown: Live<Option<Shown>>,
    /// What the last exposure gave.
    pub(super) given: Live<String>,
    /// What was counted, until the form takes it up: for the next frame, or the same once more.
    pub(super) last: Live<Option<Running>>,
    /// The time from the press to the opening, as it was chosen last.
    pub(super) lead: Live<String>,
    /// Whether a reload would find it again.
    pub(super) kept: Live<bool>,
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

    /// Starts to count.
    pub(super) fn start(self, plan: &Plan, frame: Option<usize>) {
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

    /// Ends the count, and says what it gave.
    pub(super) fn stop(self) {
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
            page::set_title(TITLE);
            part::tell_dial(&ToDial::Count(String::new()));
        }
        self.running.put(None);
        self.shown.put(None);
        self.awake.put(None);
        self.hidden_look.put(None);
    }

    fn stay_awake(self) {
        wake::stay_awake(move |lock| {
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
        page::set_title(&shown.title);
        part::tell_dial(&ToDial::Count(shown.title.clone()));
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
