//! Cameras of the user's own, whose marks are typed as lists.

use leptos::html;
use leptos::prelude::*;
use panel::{CameraForm, CameraView, Intent};

use super::borrowed::Borrowed;
use crate::{
    choice::fixed,
    form::select,
    piece::{button, complaint, flag, never, notice, of, paragraph, text},
};

const STEPS: &[(&str, &str)] = &[
    ("full", "full stops"),
    ("half", "half stops"),
    ("third", "third stops"),
    ("engraved", "as engraved"),
];
const TIMES_HINT: &str =
    "Such as B 1 1/2 1/5 1/10 1/25 1/50 1/100, or 1..1/1000. A measured one: 1/250=1/160.";
const STEPS_HINT: &str = "A figure of the full stops stands for its exact value on every camera: f/11 is f/11.3. “Full stops” and “as \
                          engraved” take all others as they stand.";
const APERTURES_HINT: &str = "Such as 3.5 4..22, or 4.5-22 for a ring without clicks.";
const FOCAL_HINT: &str = "In mm, for the hand-held limit; may stay empty.";

/// The chosen camera, and the ways to a new or changed one.
#[component]
pub(crate) fn Cameras(
    /// The chosen camera.
    camera: RwSignal<CameraView>,
    /// Where wishes go.
    dispatcher: Borrowed,
) -> impl IntoView {
    let form = Form::new();
    let removed = RwSignal::new(None::<(String, CameraForm)>);
    let described = of(camera, |camera| camera.described.clone());
    let not_own = of(camera, |camera| !camera.own);

    let add = move || {
        let empty = CameraForm {
            steps: "full".to_owned(),
            ..CameraForm::default()
        };
        form.open(None, &empty);
    };
    let change = move || {
        let chosen = camera.get_untracked();
        form.open(Some(chosen.chosen), &chosen.form);
    };
    let copy = move || {
        let mut copied = camera.get_untracked().form;
        copied.name.insert_str(0, "My ");
        form.open(None, &copied);
    };
    let remove = move || {
        let chosen = camera.get_untracked();
        dispatcher.send(&Intent::RemoveCamera(chosen.chosen.clone()));
        removed.set(Some((chosen.chosen, chosen.form)));
    };
    let put_back = move || {
        if let Some((id, form)) = removed.get_untracked() {
            dispatcher.send(&Intent::SaveCamera(Some(id), form));
        }
        removed.set(None);
    };
    let removed_sentence = text(move || {
        removed.with(|removed| {
            removed
                .as_ref()
                .map(|(_, form)| format!("{} is removed.", form.name))
                .unwrap_or_default()
        })
    });
    view! {
        <div class="block" role="group" aria-labelledby="cameras-title">
            <h3 id="cameras-title">"Camera"</h3>
            <div hidden=flag(move || form.is_open.get())>
                {paragraph("camera-name", of(camera, |camera| camera.form.name.clone()))}
                {paragraph("reason", described)} <div class="row">
                    {button("", "Add a camera", never(), add)}
                    {button("", "Change", not_own, change)}
                    {button("", "Copy as my own", never(), copy)}
                    {button("", "Remove", not_own, remove)}
                </div>
                {notice(removed_sentence, Signal::stored("Put it back".to_owned()), put_back)}
            </div>
            {fields(form, dispatcher)}
        </div>
    }
}

/// The form for a camera: what is typed lives in its fields until it is saved.
#[derive(Clone, Copy)]
struct Form {
    is_open: RwSignal<bool>,
    /// The camera that is changed; none for a new one.
    id: StoredValue<Option<String>>,
    steps: RwSignal<String>,
    error: RwSignal<String>,
    name_node: NodeRef<html::Input>,
    times_node: NodeRef<html::Input>,
    apertures_node: NodeRef<html::Input>,
    focal_node: NodeRef<html::Input>,
    steps_node: NodeRef<html::Select>,
}

impl Form {
    fn new() -> Self {
        Self {
            is_open: RwSignal::new(false),
            id: StoredValue::new(None),
            steps: RwSignal::new(String::new()),
            error: RwSignal::new(String::new()),
            name_node: NodeRef::new(),
            times_node: NodeRef::new(),
            apertures_node: NodeRef::new(),
            focal_node: NodeRef::new(),
            steps_node: NodeRef::new(),
        }
    }

    fn open(self, id: Option<String>, form: &CameraForm) {
        let fields = [
            (self.name_node, &form.name),
            (self.times_node, &form.times),
            (self.apertures_node, &form.apertures),
            (self.focal_node, &form.focal),
        ];
        for (node, text) in fields {
            if let Some(field) = node.get_untracked() {
                field.set_value(text);
            }
        }
        self.id.set_value(id);
        self.steps.set(form.steps.clone());
        self.error.set(String::new());
        self.is_open.set(true);
        // The form shows with the next frame; what is hidden cannot take the focus.
        request_animation_frame(move || {
            if let Some(name) = self.name_node.get_untracked() {
                // OK to ignore: then the person taps the field.
                let _ = name.focus();
            }
        });
    }

    fn typed(self) -> CameraForm {
        let [name, times, apertures, focal] = [
            self.name_node,
            self.times_node,
            self.apertures_node,
            self.focal_node,
        ]
        .map(|node| node.get_untracked().map(|field| field.value()));
        let steps = self.steps_node.get_untracked().map(|field| field.value());
        CameraForm {
            name: name.unwrap_or_default(),
            times: times.unwrap_or_default(),
            apertures: apertures.unwrap_or_default(),
            steps: steps.unwrap_or_default(),
            focal: focal.unwrap_or_default(),
        }
    }
}

fn fields(form: Form, dispatcher: Borrowed) -> impl IntoView {
    let save = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let intent = Intent::SaveCamera(form.id.get_value(), form.typed());
        match dispatcher.ask(&intent) {
            Ok(_) => form.is_open.set(false),
            Err(sentence) => form.error.set(sentence),
        }
    };
    // What is chosen stays in the field until the form is saved.
    let keep = Box::new(move |event| form.steps.set(event_target_value(&event)));
    view! {
        <form
            class="camera-form"
            hidden=flag(move || !form.is_open.get())
            autocomplete="off"
            on:submit=save
        >
            {entry("camera-name", "Camera name", "camera-name-hint", "", form.name_node)}
            {entry("camera-times", "Times", "camera-times-hint", TIMES_HINT, form.times_node)}
            {entry(
                "camera-apertures",
                "Apertures",
                "camera-apertures-hint",
                APERTURES_HINT,
                form.apertures_node,
            )}
            {select(
                "camera-steps",
                "How its marks are read",
                form.steps_node,
                Signal::stored(fixed(STEPS)),
                form.steps.into(),
                keep,
            )}
            <p class="hint">{STEPS_HINT}</p>
            {entry("camera-focal", "Focal length", "camera-focal-hint", FOCAL_HINT, form.focal_node)}
            {complaint("camera-error", form.error.into())}
            <div class="row">
                <button class="main" type="submit">
                    "Save this camera"
                </button>
                {button("", "Never mind", never(), move || form.is_open.set(false))}
            </div>
        </form>
    }
}

/// One text field of the form.
fn entry(
    id: &'static str,
    label: &'static str,
    hint_id: &'static str,
    hint: &'static str,
    node: NodeRef<html::Input>,
) -> impl IntoView {
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <input id=id node_ref=node type="text" spellcheck="false" aria-describedby=hint_id />
            <p class="hint" id=hint_id>
                {hint}
            </p>
        </div>
    }
}
