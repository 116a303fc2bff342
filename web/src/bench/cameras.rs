//! Cameras of the user's own, whose marks are typed as lists.

use panel::{
    CameraForm, Intent,
    set_up::{self, Chosen},
};

use super::Room;
use crate::{
    browser::{later::request_animation_frame, sheet},
    form::{Typed, choice, fixed},
    live::Live,
    parts::{Element, Part, el, follows},
    piece::{button, complaint, notice, paragraph, row},
};

const STEPS: [(&str, &str); 4] = [
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
pub(super) fn cameras(room: Room) -> Element {
    let form = Form::new();
    let removed = Live::new(None);
    el("div")
        .class("block")
        .attr("role", "group")
        .attr("aria-labelledby", "cameras-title")
        .with(el("h3").id("cameras-title").says("Camera"))
        .with(follows(move || {
            let chosen = room.with(set_up::camera);
            of_the_chosen(room, form, &chosen, removed).hidden(form.is_open.get())
        }))
        .with(fields(room, form))
}

/// What is chosen, and what can be done with it; `removed` is the camera that was removed last.
fn of_the_chosen(
    room: Room,
    form: Form,
    chosen: &Chosen,
    removed: Live<Option<(String, CameraForm)>>,
) -> Element {
    let add = move || {
        let empty = CameraForm {
            steps: STEPS[0].0.to_owned(),
            ..CameraForm::default()
        };
        form.open(None, empty);
    };
    let change = move || {
        let chosen = room.once(set_up::camera);
        form.open(Some(chosen.id), chosen.form);
    };
    let copy = move || {
        let mut copied = room.once(set_up::camera).form;
        copied.name.insert_str(0, "My ");
        form.open(None, copied);
    };
    let remove = move || {
        let chosen = room.once(set_up::camera);
        room.send(&Intent::RemoveCamera(chosen.id.clone()));
        removed.put(Some((chosen.id, chosen.form)));
    };
    let put_back = move || {
        if let Some((id, form)) = removed.now() {
            room.send(&Intent::SaveCamera(Some(id), form));
        }
        removed.put(None);
    };
    let is_removed = removed.with(|removed| match removed {
        Some((_, form)) => format!("{} is removed.", form.name),
        None => String::new(),
    });
    el("div")
        .with(paragraph("camera-name", chosen.form.name.clone()))
        .with(paragraph("reason", chosen.described.clone()))
        .with(row([
            button("", "Add a camera", add),
            button("", "Change", change).flag("disabled", !chosen.own),
            button("", "Copy as my own", copy),
            button("", "Remove", remove).flag("disabled", !chosen.own),
        ]))
        .with(notice(is_removed, "Put it back", put_back))
}

/// The form for a camera: what is typed lives in its fields until it is saved.
#[derive(Clone, Copy)]
struct Form {
    is_open: Live<bool>,
    /// The camera that is changed; none for a new one.
    id: Live<Option<String>>,
    name: Typed,
    times: Typed,
    apertures: Typed,
    steps: Live<String>,
    focal: Typed,
    error: Live<String>,
}

impl Form {
    fn new() -> Self {
        Self {
            is_open: Live::new(false),
            id: Live::new(None),
            name: Typed::new(""),
            times: Typed::new(""),
            apertures: Typed::new(""),
            steps: Live::new(String::new()),
            focal: Typed::new(""),
            error: Live::new(String::new()),
        }
    }

    fn open(self, id: Option<String>, form: CameraForm) {
        self.id.put(id);
        self.name.set(form.name);
        self.times.set(form.times);
        self.apertures.set(form.apertures);
        self.steps.set(form.steps);
        self.focal.set(form.focal);
        self.error.set(String::new());
        self.is_open.set(true);
        // The form shows with the next frame; what is hidden cannot take the focus.
        request_animation_frame(|| sheet::give("#camera-name"));
    }

    fn save(self, room: Room) {
        let form = CameraForm {
            name: self.name.now(),
            times: self.times.now(),
            apertures: self.apertures.now(),
            steps: self.steps.now(),
            focal: self.focal.now(),
        };
        match room.set_up(&Intent::SaveCamera(self.id.now(), form)) {
            Ok(()) => self.is_open.set(false),
            Err(sentence) => self.error.set(sentence),
        }
    }
}

fn fields(room: Room, form: Form) -> Element {
    let inside: Vec<Part> = vec![
        entry("camera-name", "Camera name", "", form.name),
        entry("camera-times", "Times", TIMES_HINT, form.times),
        entry(
            "camera-apertures",
            "Apertures",
            APERTURES_HINT,
            form.apertures,
        ),
        choice(
            "camera-steps",
            "How its marks are read",
            fixed(STEPS),
            form.steps,
        ),
        paragraph("hint", STEPS_HINT).into(),
        entry("camera-focal", "Focal length", FOCAL_HINT, form.focal),
        complaint("camera-error", move || form.error.get()),
        row([
            el("button")
                .class("main")
                .attr("type", "submit")
                .says("Save this camera"),
            button("", "Never mind", move || form.is_open.set(false)),
        ])
        .into(),
    ];
    el("form")
        .class("camera-form")
        .attr("autocomplete", "off")
        .hidden_when(move || !form.is_open.get())
        .on("submit", move |event| {
            event.prevent();
            form.save(room);
        })
        .all(inside)
}

/// One text field of the form: what is wrong with it is said when it is sent.
fn entry(id: &'static str, label: &'static str, hint: &'static str, typed: Typed) -> Part {
    let text = typed.text();
    follows(move || {
        let hint_id = format!("{id}-hint");
        let input = el("input")
            .id(id)
            .attr("type", "text")
            .attr("spellcheck", "false")
            .attr("aria-describedby", hint_id.clone())
            .value(text.get())
            .on("input", move |event| text.set(event.value()));
        el("div")
            .class("field")
            .with(el("label").attr("for", id).says(label))
            .with(input)
            .with(paragraph("hint", hint).id(hint_id))
    })
}
