//! The dial's state, borrowed for the forms that set what is set once, and handed back changed.

use leptos::prelude::*;
use panel::{
    CameraView, FilmView, Intent, Outcome, ReadingView, Save, State, View, apply, derive, link,
    store as records,
};

use crate::{
    browser::{page, storage},
    store,
};

/// Takes what a person asks for, and hands the changed state back to the dial.
#[derive(Clone, Copy)]
pub(super) struct Borrowed {
    state: StoredValue<State>,
    pub(super) parts: Parts,
    said: RwSignal<String>,
    hand_back: StoredValue<HandBack>,
}

type HandBack = Box<dyn Fn(&State, &str) + Send + Sync>;

/// What the forms show: set only where it differs, so that what is half typed stays.
#[derive(Clone, Copy)]
pub(super) struct Parts {
    pub(super) reading: RwSignal<ReadingView>,
    pub(super) film: RwSignal<FilmView>,
    pub(super) camera: RwSignal<CameraView>,
    pub(super) theme: RwSignal<String>,
    pub(super) tick: RwSignal<bool>,
}

/// Shows a part where it differs from what is shown.
fn show<T: PartialEq + Send + Sync + 'static>(shown: RwSignal<T>, now: T) {
    if shown.with_untracked(|before| *before != now) {
        shown.set(now);
    }
}

impl Borrowed {
    /// Borrows the state; what happens is said through `said`, and goes back with the changed state.
    pub(super) fn new(
        state: State,
        said: RwSignal<String>,
        hand_back: impl Fn(&State, &str) + Send + Sync + 'static,
    ) -> Self {
        let state = store::with_cameras(state);
        let view = derive(&state);
        let parts = Parts {
            reading: RwSignal::new(view.reading),
            film: RwSignal::new(view.film),
            camera: RwSignal::new(view.camera),
            theme: RwSignal::new(state.theme().to_owned()),
            tick: RwSignal::new(state.tick()),
        };
        Self {
            state: StoredValue::new(state),
            parts,
            said,
            hand_back: StoredValue::new(Box::new(hand_back)),
        }
    }

    /// Does what is asked for; a refusal changes nothing, and its sentence goes to whoever asked.
    pub(super) fn ask(self, intent: &Intent) -> Result<Outcome, String> {
        let (next, outcome) = self
            .state
            .with_value(|state| apply(state, intent))
            .map_err(|refusal| refusal.sentence)?;
        if let Intent::RemoveCamera(id) = intent {
            storage::hold(&records::camera_key(id), None);
        }
        // Cameras go to storage from here; where that is forbidden, the one in use still goes with the setting.
        let kept = store::keep(&next, outcome.save, false);
        let mut sentence = outcome.sentence.clone().unwrap_or_default();
        if outcome.save == Save::Cameras && !kept {
            sentence = format!("{sentence} {}", store::CAMERA_NOT_KEPT);
        }
        self.hand_back.with_value(|back| back(&next, &sentence));
        self.show(&next);
        self.state.set_value(next);
        if !sentence.is_empty() {
            self.said.set(sentence);
        }
        Ok(outcome)
    }

    /// Asks for something that has no field of its own to show a refusal under.
    pub(super) fn send(self, intent: &Intent) {
        if let Err(sentence) = self.ask(intent) {
            self.said.set(sentence);
        }
    }

    /// The address that carries the whole setting to someone else.
    pub(super) fn link(self) -> String {
        page::address(&self.state.with_value(link::fragment))
    }

    fn show(self, state: &State) {
        let View {
            reading,
            film,
            camera,
            ..
        } = derive(state);
        let parts = self.parts;
        show(parts.reading, reading);
        show(parts.film, film);
        show(parts.camera, camera);
        if parts.theme.with_untracked(|theme| theme != state.theme()) {
            page::set_theme(state.theme());
            parts.theme.set(state.theme().to_owned());
        }
        show(parts.tick, state.tick());
    }
}
