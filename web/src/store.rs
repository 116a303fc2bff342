//! One source of truth and one way to change it.

use std::sync::Arc;

use leptos::prelude::*;
use panel::{
    BracketView, CameraView, DialView, Face, FilmView, Intent, LedgerView, Outcome, PairView,
    ReadingView, Refusal, Save, State, View, apply, apply_on_dial, derive, link, store, timer,
};

use crate::{
    browser::{page, part, storage, wake},
    piece::text,
};

const NOTHING_KEPT: &str = "This browser keeps nothing for this page: its storage is full or forbidden. The setting lives \
     until you close the page. Copy a link to this setting (under More) to keep it.";

/// The setting whose series was logged last, what it is called there, and where it is: a line each.
const LOGGED: &str = "stopkeeper.logged";

/// Stands in the status line until something has happened.
const FIRST_STEP: &str =
    "Type what the other device shows, then turn a dial: a free one makes up for it.";

/// Where a changed state goes: to storage, or to the program that it was borrowed from. Whether everything is kept.
type Keeper = Box<dyn Fn(&State, &Outcome) -> bool + Send + Sync>;

const FROM_ANOTHER_TAB: &str = "Another tab has changed the setting; it is the same here now.";

/// What makes the next state of a wish.
type Apply = fn(&State, &Intent) -> Result<(State, Outcome), Refusal>;

/// Takes what a person asks for.
///
/// Saves in the same breath: a page can be killed right after a tap, so nothing is left to an effect that runs later.
#[derive(Clone, Copy)]
pub(crate) struct Dispatcher {
    state: StoredValue<State>,
    parts: Parts,
    status: RwSignal<String>,
    notices: RwSignal<Vec<String>>,
    nothing_kept: RwSignal<bool>,
    keeper: StoredValue<Keeper>,
    /// How a wish changes the state.
    apply: Apply,
    /// The setting that was handed to the film book last.
    handed: StoredValue<String>,
}

/// What is shown, a signal for each part: set only where it differs, so that a turn wakes nothing else.
#[derive(Clone, Copy)]
pub(crate) struct Parts {
    pub(crate) reading: RwSignal<ReadingView>,
    pub(crate) film: RwSignal<FilmView>,
    pub(crate) camera: RwSignal<CameraView>,
    pub(crate) dials: [RwSignal<DialView>; 3],
    pub(crate) faces: [RwSignal<Arc<Face>>; 3],
    pub(crate) ledger: RwSignal<LedgerView>,
    pub(crate) bracket: RwSignal<BracketView>,
    /// The bracket without its frames.
    pub(crate) plan: RwSignal<BracketView>,
    pub(crate) pairs: RwSignal<Vec<PairView>>,
    pub(crate) theme: RwSignal<String>,
    pub(crate) tick: RwSignal<bool>,
    pub(crate) from_link: RwSignal<bool>,
    /// What the timer counts now; empty while it does not.
    pub(crate) counting: RwSignal<String>,
    /// The sentence on what happened last.
    pub(crate) status: Signal<String>,
    /// Sentences on what could not be read or kept, one to a line.
    pub(crate) notices: Signal<String>,
}

/// Opens what the browser has kept, and the link in the address if there is one.
pub(crate) fn open() -> (Dispatcher, Parts) {
    let (opened, readable) = open_storage();
    page::set_theme(opened.state.theme());
    let may_write_setting = opened.may_write_setting;
    let keeper = Box::new(move |state: &State, outcome: &Outcome| {
        keep(state, outcome.save, may_write_setting)
    });
    let status = RwSignal::new(FIRST_STEP.to_owned());
    let (dispatcher, parts) = connect(opened.state, status, keeper, apply_on_dial);
    dispatcher.notices.set(opened.notices);
    dispatcher.nothing_kept.set(!readable);
    if let Some(fragment) = page::take_fragment() {
        dispatcher.open_link(fragment);
    }
    page::on_fragment(move |fragment| dispatcher.open_link(fragment));
    storage::on_change_elsewhere(store::CAMERA_PREFIX, move || dispatcher.cameras_elsewhere());
    storage::on_change_elsewhere(store::SETTING, move || dispatcher.setting_elsewhere());
    // A page that was asleep has heard nothing.
    wake::on_shown_again(move || dispatcher.setting_elsewhere());
    storage::on_kept(move || dispatcher.nothing_kept.set(false));

    // What the light hands back, with the sentence on what happened.
    part::on_told("take", move |told| {
        let (setting, sentence) = told.split_once('\n').unwrap_or((&told, ""));
        dispatcher.send(&Intent::Take(setting.to_owned()));
        dispatcher.cameras_elsewhere();
        dispatcher.say(sentence);
    });
    part::on_told("count", move |count| parts.counting.set(count));
    part::on_told("logged", move |told| {
        let record = format!("{}\n{told}", dispatcher.handed.get_value());
        storage::hold(LOGGED, Some(record));
    });
    // A shutter may stand open since before a reload.
    if matches!(storage::read(timer::RECORD), Ok(Some(_))) {
        dispatcher.light("timer");
    }
    (dispatcher, parts)
}

/// The same for another program, which borrows the state and hands it back changed, with the sentence on what happened.
pub(crate) fn elsewhere(
    state: State,
    status: RwSignal<String>,
    hand_back: impl Fn(&State, &str) + Send + Sync + 'static,
) -> (Dispatcher, Parts) {
    let keeper = Box::new(move |state: &State, outcome: &Outcome| {
        // Cameras go to storage from here; where that is forbidden, the one in use still goes with the setting.
        let kept = keep(state, outcome.save, false);
        hand_back(state, outcome.sentence.as_deref().unwrap_or_default());
        kept
    });
    connect(with_cameras(state), status, keeper, apply)
}

/// A setting that came without the user's other cameras, with them.
fn with_cameras(state: State) -> State {
    match storage::read_all(store::CAMERA_PREFIX) {
        Ok(cameras) => {
            apply(&state, &Intent::CamerasElsewhere(cameras)).map_or(state, |(next, _)| next)
        }
        Err(_) => state,
    }
}

const CAMERA_NOT_KEPT: &str = "It is not kept: this browser's storage is full or forbidden.";

/// Keeps a changed camera from another program, and gives back the state with it and the sentence on what happened.
pub(crate) fn camera_elsewhere(state: State, intent: &Intent) -> Result<(State, String), String> {
    let state = with_cameras(state);
    let (next, outcome) = apply(&state, intent).map_err(|refusal| refusal.sentence)?;
    let mut sentence = outcome.sentence.unwrap_or_default();
    if !keep(&next, outcome.save, false) {
        sentence = format!("{sentence} {CAMERA_NOT_KEPT}");
    }
    Ok((next, sentence))
}

/// Puts a state on the screen, and a dispatcher beside it.
fn connect(
    state: State,
    status: RwSignal<String>,
    keeper: Keeper,
    apply: Apply,
) -> (Dispatcher, Parts) {
    let (notices, nothing_kept) = (RwSignal::new(Vec::new()), RwSignal::new(false));
    let view = derive(&state);
    let [time, aperture, sensitivity] = view.dials;
    let face = |dial: &DialView| RwSignal::new(Arc::clone(&dial.face));
    let parts = Parts {
        plan: RwSignal::new(plan_of(&view.bracket)),
        reading: RwSignal::new(view.reading),
        film: RwSignal::new(view.film),
        camera: RwSignal::new(view.camera),
        faces: [face(&time), face(&aperture), face(&sensitivity)],
        dials: [
            RwSignal::new(time),
            RwSignal::new(aperture),
            RwSignal::new(sensitivity),
        ],
        ledger: RwSignal::new(view.ledger),
        bracket: RwSignal::new(view.bracket),
        pairs: RwSignal::new(view.pairs),
        theme: RwSignal::new(state.theme().to_owned()),
        tick: RwSignal::new(state.tick()),
        from_link: RwSignal::new(state.from_link()),
        counting: RwSignal::new(String::new()),
        status: status.into(),
        notices: text(move || {
            let mut all = notices.with(|all| all.join("\n"));
            if nothing_kept.get() {
                all.push('\n');
                all.push_str(NOTHING_KEPT);
            }
            all
        }),
    };
    let dispatcher = Dispatcher {
        state: StoredValue::new(state),
        parts,
        status,
        notices,
        nothing_kept,
        keeper: StoredValue::new(keeper),
        apply,
        handed: StoredValue::new(String::new()),
    };
    (dispatcher, parts)
}

/// What the choices of the bracket hang on, which no turn of a dial changes.
fn plan_of(bracket: &BracketView) -> BracketView {
    BracketView {
        frames: Vec::new(),
        summary: String::new(),
        set_back: String::new(),
        ..bracket.clone()
    }
}

/// Shows a part where it differs from what is shown.
fn show<T: PartialEq + Send + Sync + 'static>(shown: RwSignal<T>, now: T) {
    if shown.with_untracked(|before| *before != now) {
        shown.set(now);
    }
}

impl Parts {
    fn show(self, state: &State) {
        let view: View = derive(state);
        show(self.plan, plan_of(&view.bracket));
        show(self.reading, view.reading);
        show(self.film, view.film);
        show(self.camera, view.camera);
        for (shown, now) in self.faces.into_iter().zip(&view.dials) {
            show(shown, Arc::clone(&now.face));
        }
        for (shown, now) in self.dials.into_iter().zip(view.dials) {
            show(shown, now);
        }
        show(self.ledger, view.ledger);
        show(self.bracket, view.bracket);
        show(self.pairs, view.pairs);
        if self.theme.with_untracked(|theme| theme != state.theme()) {
            page::set_theme(state.theme());
            self.theme.set(state.theme().to_owned());
        }
        show(self.tick, state.tick());
        show(self.from_link, state.from_link());
    }
}

/// What storage held, made a state; and whether storage could be read at all.
fn open_storage() -> (store::Opened, bool) {
    let (setting, cameras) = (
        storage::read(store::SETTING),
        storage::read_all(store::CAMERA_PREFIX),
    );
    let readable = setting.is_ok() && cameras.is_ok();
    let mut opened = store::open(&store::Found {
        setting: setting.ok().flatten(),
        cameras: cameras.unwrap_or_default(),
    });
    for (from, to) in &opened.set_aside {
        // A damaged setting that cannot be set aside stays where it is, so nothing may be written over it.
        if storage::move_record(from, to).is_err() && from == store::SETTING {
            opened.may_write_setting = false;
        }
    }
    (opened, readable)
}

/// Keeps what was changed, and what could not be kept before; whether everything is.
fn keep(state: &State, save: Save, may_write_setting: bool) -> bool {
    if save == Save::Cameras {
        for (key, text) in store::encode_cameras(state) {
            storage::hold(&key, Some(text));
        }
    }
    if save != Save::Nothing && may_write_setting {
        storage::hold(store::SETTING, Some(store::encode_setting(state)));
    }
    storage::try_again()
}

impl Dispatcher {
    /// Does what is asked for; a refusal changes nothing, and its sentence goes to whoever asked.
    pub(crate) fn ask(self, intent: &Intent) -> Result<Outcome, String> {
        let (next, outcome) = self
            .state
            .with_value(|state| (self.apply)(state, intent))
            .map_err(|refusal| refusal.sentence)?;
        if let Intent::RemoveCamera(id) = intent {
            storage::hold(&store::camera_key(id), None);
        }
        let kept = self.keeper.with_value(|keep| keep(&next, &outcome));
        self.parts.show(&next);
        self.state.set_value(next);
        if outcome.save != Save::Nothing {
            self.nothing_kept.set(!kept);
        }
        self.speak(intent, &outcome);
        Ok(outcome)
    }

    /// Asks for something that has no field of its own to show a refusal under: the sentence goes to the status line.
    pub(crate) fn send(self, intent: &Intent) -> Outcome {
        self.ask(intent).unwrap_or_else(|sentence| {
            self.status.set(sentence);
            Outcome::default()
        })
    }

    /// What is wrong, or what was done outside of the state.
    pub(crate) fn say(self, sentence: &str) {
        self.status.set(sentence.to_owned());
    }

    /// Hands the planned series over to the film book.
    pub(crate) fn log_series(self) {
        let setting = self.state.with_value(link::fragment);
        part::open(part::BOOK, &setting);
        self.handed.set_value(setting);
    }

    /// What the planned series is called in the film book's log, and on the next line where it is there; empty where it is
    /// not in it.
    pub(crate) fn logged_as(self) -> String {
        let record = storage::read(LOGGED).ok().flatten().unwrap_or_default();
        let (setting, logged) = record.split_once('\n').unwrap_or_default();
        if self.state.with_value(link::fragment) == setting {
            logged.to_owned()
        } else {
            String::new()
        }
    }

    /// What the timer counts now; empty while it does not.
    pub(crate) fn counting(self) -> Signal<String> {
        self.parts.counting.into()
    }

    /// Opens a page of the light, which gets the whole setting.
    pub(crate) fn light(self, page: &str) {
        let setting = self.state.with_value(link::fragment);
        part::open(part::LIGHT, &format!("{page}\n{setting}"));
    }

    /// The address that carries the whole setting to someone else.
    pub(crate) fn link(self) -> String {
        page::address(&self.state.with_value(link::fragment))
    }

    /// Takes over what another tab or program did to the cameras.
    fn cameras_elsewhere(self) {
        if let Ok(cameras) = storage::read_all(store::CAMERA_PREFIX) {
            self.send(&Intent::CamerasElsewhere(cameras));
        }
    }

    /// Takes over the setting that another tab has kept: there is one, and the last change of it counts in all tabs.
    fn setting_elsewhere(self) {
        // What is kept nowhere yet is not given up for it: it takes its place as soon as it can.
        if storage::waits(store::SETTING) {
            return;
        }
        let Ok(Some(there)) = storage::read(store::SETTING) else {
            return;
        };
        if self.state.with_value(store::encode_setting) == there {
            return;
        }
        let (opened, _) = open_storage();
        if opened.notices.is_empty() {
            self.parts.show(&opened.state);
            self.state.set_value(opened.state);
            self.status.set(FROM_ANOTHER_TAB.to_owned());
        }
    }

    fn open_link(self, fragment: String) {
        if let Err(sentence) = self.ask(&Intent::OpenLink(fragment)) {
            self.notices.update(|all| {
                if !all.contains(&sentence) {
                    all.push(sentence);
                }
            });
        }
    }

    /// Speaks when a turn has settled, not at every mark on the way; at once about everything else.
    fn speak(self, intent: &Intent, outcome: &Outcome) {
        let on_the_way = matches!(intent, Intent::Turn(..) | Intent::Nudge(..)) && outcome.moved;
        if let Some(sentence) = outcome.sentence.as_ref().filter(|_| !on_the_way) {
            self.status.set(sentence.clone());
        }
    }
}
