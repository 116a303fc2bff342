//! One source of truth and one way to change it.

use leptos::prelude::*;
use panel::{
    BracketView, CameraView, DialView, FilmView, Intent, LedgerView, Outcome, PairView,
    ReadingView, Save, State, View, apply, derive, link, store,
};

use crate::{
    browser::{page, storage},
    piece::{flag, text},
};

const NOTHING_KEPT: &str = "This browser keeps nothing for this page: its storage is full or forbidden. The setting lives \
     until you close the page. Copy a link to this setting (under More) to keep it.";

/// Stands in the status line until something has happened.
const FIRST_STEP: &str =
    "Type what the other device shows, then turn a dial: a free one makes up for it.";

/// Takes what a person asks for.
///
/// Saves in the same breath: a page can be killed right after a tap, so nothing is left to an effect that runs later.
#[derive(Clone, Copy)]
pub(crate) struct Dispatcher {
    state: RwSignal<State>,
    status: RwSignal<String>,
    notices: RwSignal<Vec<String>>,
    nothing_kept: RwSignal<bool>,
    may_write_setting: StoredValue<bool>,
}

/// What is shown, a memo for each part.
#[derive(Clone, Copy)]
pub(crate) struct Parts {
    pub(crate) reading: Memo<ReadingView>,
    pub(crate) film: Memo<FilmView>,
    pub(crate) camera: Memo<CameraView>,
    pub(crate) dials: [Memo<DialView>; 3],
    pub(crate) ledger: Memo<LedgerView>,
    pub(crate) bracket: Memo<BracketView>,
    pub(crate) pairs: Memo<Vec<PairView>>,
    pub(crate) theme: Signal<String>,
    pub(crate) tick: Signal<bool>,
    pub(crate) from_link: Signal<bool>,
    /// The sentence on what happened last.
    pub(crate) status: Signal<String>,
    /// Sentences on what could not be read or kept, one to a line.
    pub(crate) notices: Signal<String>,
}

/// Opens what the browser has kept, and the link in the address if there is one.
pub(crate) fn open() -> (Dispatcher, Parts) {
    let (opened, readable) = open_storage();
    page::set_theme(opened.state.theme());
    let state = RwSignal::new(opened.state);
    let status = RwSignal::new(FIRST_STEP.to_owned());
    let notices = RwSignal::new(opened.notices);
    let nothing_kept = RwSignal::new(!readable);
    let dispatcher = Dispatcher {
        state,
        status,
        notices,
        nothing_kept,
        may_write_setting: StoredValue::new(opened.may_write_setting),
    };

    if let Some(fragment) = page::take_fragment() {
        dispatcher.open_link(fragment);
    }
    page::on_fragment(move |fragment| dispatcher.open_link(fragment));
    storage::on_change_elsewhere(store::CAMERA_PREFIX, move || {
        if let Ok(cameras) = storage::read_all(store::CAMERA_PREFIX) {
            dispatcher.send(&Intent::CamerasElsewhere(cameras));
        }
    });

    let view = Memo::new(move |_| state.with(derive));
    let parts = Parts {
        reading: part(view, |view| view.reading.clone()),
        film: part(view, |view| view.film.clone()),
        camera: part(view, |view| view.camera.clone()),
        dials: [
            part(view, |view| view.dials[0].clone()),
            part(view, |view| view.dials[1].clone()),
            part(view, |view| view.dials[2].clone()),
        ],
        ledger: part(view, |view| view.ledger.clone()),
        bracket: part(view, |view| view.bracket.clone()),
        pairs: part(view, |view| view.pairs.clone()),
        theme: text(move || state.with(|state| state.theme().to_owned())),
        tick: flag(move || state.with(State::tick)),
        from_link: flag(move || state.with(State::from_link)),
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
    (dispatcher, parts)
}

fn part<T: PartialEq + Send + Sync + 'static>(view: Memo<View>, of: fn(&View) -> T) -> Memo<T> {
    Memo::new(move |_| view.with(of))
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

impl Dispatcher {
    /// Does what is asked for; a refusal changes nothing, and its sentence goes to whoever asked.
    pub(crate) fn ask(self, intent: &Intent) -> Result<Outcome, String> {
        let (next, outcome) = self
            .state
            .with_untracked(|state| apply(state, intent))
            .map_err(|refusal| refusal.sentence)?;
        let kept = self.keep(&next, outcome.save);
        if let Intent::RemoveCamera(id) = intent {
            // OK to ignore: without storage there is no record of it either.
            let _ = storage::remove(&store::camera_key(id));
        }
        page::set_theme(next.theme());
        self.state.set(next);
        if outcome.save != Save::Nothing {
            self.nothing_kept.set(kept.is_err());
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

    /// The address that carries the whole setting to someone else.
    pub(crate) fn link(self) -> String {
        page::address(&self.state.with_untracked(link::fragment))
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

    fn keep(self, state: &State, save: Save) -> Result<(), storage::Unavailable> {
        if save == Save::Cameras {
            for (key, text) in store::encode_cameras(state) {
                storage::write(&key, &text)?;
            }
        }
        if save != Save::Nothing && self.may_write_setting.get_value() {
            storage::write(store::SETTING, &store::encode_setting(state))?;
        }
        Ok(())
    }

    /// Speaks when a turn has settled, not at every mark on the way; at once about everything else.
    fn speak(self, intent: &Intent, outcome: &Outcome) {
        let on_the_way = matches!(intent, Intent::Turn(..) | Intent::Nudge(..)) && outcome.moved;
        if let Some(sentence) = outcome.sentence.as_ref().filter(|_| !on_the_way) {
            self.status.set(sentence.clone());
        }
    }
}
