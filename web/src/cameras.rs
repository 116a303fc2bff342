//! Cameras of the user's own, whose marks are typed as lists.

use leptos::html;
use leptos::prelude::*;
use panel::{CameraForm, CameraView, Intent};

use crate::{
    field::{entries, fixed},
    store::Dispatcher,
};

const STEPS: &[(&str, &str)] = &[
    ("full", "full stops"),
    ("half", "half stops"),
    ("third", "third stops"),
    ("engraved", "as engraved"),
];

/// The form that is open: for which camera (none for a new one), and what it starts from.
#[derive(Clone, PartialEq)]
struct Draft {
    id: Option<String>,
    form: CameraForm,
}

/// The chosen camera, and the ways to a new or changed one.
#[component]
pub(crate) fn Cameras(
    /// The chosen camera.
    camera: Memo<CameraView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let draft = RwSignal::new(None::<Draft>);
    let removed = RwSignal::new(None::<(String, CameraForm)>);
    let own = Memo::new(move |_| camera.with(|camera| camera.own));
    let name = Memo::new(move |_| camera.with(|camera| camera.form.name.clone()));
    let described = Memo::new(move |_| camera.with(|camera| camera.described.clone()));

    let add = move |_| {
        let form = CameraForm {
            steps: "full".to_owned(),
            ..CameraForm::default()
        };
        draft.set(Some(Draft { id: None, form }));
    };
    let change = move |_| {
        let chosen = camera.get_untracked();
        draft.set(Some(Draft {
            id: Some(chosen.chosen),
            form: chosen.form,
        }));
    };
    let copy = move |_| {
        let mut form = camera.get_untracked().form;
        form.name = format!("My {}", form.name);
        draft.set(Some(Draft { id: None, form }));
    };
    let remove = move |_| {
        let chosen = camera.get_untracked();
        dispatcher.send(&Intent::RemoveCamera(chosen.chosen.clone()));
        removed.set(Some((chosen.chosen, chosen.form)));
    };
    let put_back = move |_| {
        if let Some((id, form)) = removed.get_untracked() {
            dispatcher.send(&Intent::SaveCamera(Some(id), form));
        }
        removed.set(None);
    };

    let chosen = move || {
        view! {
            <p class="camera-name">{name}</p>
            <p class="reason">{described}</p>
            <div class="row">
                <button type="button" on:click=add>
                    "Add a camera"
                </button>
                <button type="button" disabled=move || !own.get() on:click=change>
                    "Change"
                </button>
                <button type="button" on:click=copy>
                    "Copy as my own"
                </button>
                <button type="button" disabled=move || !own.get() on:click=remove>
                    "Remove"
                </button>
            </div>
            {move || {
                removed
                    .get()
                    .map(|(_, form)| {
                        view! {
                            <p class="notice">
                                <span>{form.name} " is removed."</span>
                                <button type="button" on:click=put_back>
                                    "Put it back"
                                </button>
                            </p>
                        }
                    })
            }}
        }
    };
    view! {
        <div class="block" role="group" aria-labelledby="cameras-title">
            <h3 id="cameras-title">"Camera"</h3>
            {move || match draft.get() {
                Some(open) => view! { <Form open draft dispatcher /> }.into_any(),
                None => chosen().into_any(),
            }}
        </div>
    }
}

/// The form for a camera.
#[component]
fn Form(
    /// What it starts from.
    open: Draft,
    /// Where the open form is kept; emptied when it is done.
    draft: RwSignal<Option<Draft>>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let name = NodeRef::<html::Input>::new();
    let times = NodeRef::<html::Input>::new();
    let apertures = NodeRef::<html::Input>::new();
    let focal = NodeRef::<html::Input>::new();
    let steps = NodeRef::<html::Select>::new();
    let error = RwSignal::new(None::<String>);
    let Draft { id, form } = open;
    let first_steps = form.steps.clone();

    let save = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        let text = |field: NodeRef<html::Input>| {
            field
                .get_untracked()
                .map(|field| field.value())
                .unwrap_or_default()
        };
        let typed = CameraForm {
            name: text(name),
            times: text(times),
            apertures: text(apertures),
            steps: steps
                .get_untracked()
                .map(|field| field.value())
                .unwrap_or_default(),
            focal: text(focal),
        };
        match dispatcher.ask(&Intent::SaveCamera(id.clone(), typed)) {
            Ok(_) => draft.set(None),
            Err(sentence) => error.set(Some(sentence)),
        }
    };
    view! {
        <form class="camera-form" on:submit=save>
            <Entry id="camera-name" label="Camera name" value=form.name hint="" node=name />
            <Entry
                id="camera-times"
                label="Times"
                value=form.times
                hint="Such as B 1 1/2 1/5 1/10 1/25 1/50 1/100, or 1..1/1000. A measured one: 1/250=1/160."
                node=times
            />
            <Entry
                id="camera-apertures"
                label="Apertures"
                value=form.apertures
                hint="Such as 3.5 4..22, or 4.5-22 for a ring without clicks."
                node=apertures
            />
            <div class="field">
                <label for="camera-steps">"How its marks are read"</label>
                <select id="camera-steps" node_ref=steps>
                    {entries(fixed(STEPS), Signal::stored(first_steps))}
                </select>
            </div>
            <Entry
                id="camera-focal"
                label="Focal length"
                value=form.focal
                hint="In mm, for the hand-held limit; may stay empty."
                node=focal
            />
            {move || {
                error
                    .get()
                    .map(|sentence| {
                        view! {
                            <p class="field-error" role="alert">
                                {sentence}
                            </p>
                        }
                    })
            }}
            <div class="row">
                <button class="main" type="submit">
                    "Save this camera"
                </button>
                <button type="button" on:click=move |_| draft.set(None)>
                    "Never mind"
                </button>
            </div>
        </form>
    }
}

/// One text field of the form.
#[component]
fn Entry(
    /// Id of the input, unique on the page.
    id: &'static str,
    /// The visible label.
    label: &'static str,
    /// What it starts with.
    value: String,
    /// What to type, where the label does not say.
    hint: &'static str,
    /// The input itself, for its text.
    node: NodeRef<html::Input>,
) -> impl IntoView {
    let hint_id = format!("{id}-hint");
    let described = (!hint.is_empty()).then(|| hint_id.clone());
    let hint = (!hint.is_empty()).then(|| {
        view! {
            <p class="hint" id=hint_id>
                {hint}
            </p>
        }
    });
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <input
                id=id
                node_ref=node
                type="text"
                autocomplete="off"
                spellcheck="false"
                aria-describedby=described
                prop:value=value
            />
            {hint}
        </div>
    }
}
