//! Fields of the forms of the other parts: what is typed lives in a signal until the form is sent.

use leptos::html;
use leptos::prelude::*;

use crate::{
    browser::session,
    choice::{self, Options},
    piece::{flag, press, text},
};

/// A field for text, with a line under it that says what may be typed.
pub(crate) fn entry(
    id: &'static str,
    label: &'static str,
    hint: &'static str,
    typed: RwSignal<String>,
) -> impl IntoView {
    checked(id, label, hint, typed, Signal::stored(String::new()))
}

/// The same where what is typed may be `wrong`, for a reason that is said under the field.
///
/// It is not said while the field is still being filled: only once it is left, or at Enter. From then on it stands until it is
/// mended, however long that takes to type.
pub(crate) fn checked(
    id: &'static str,
    label: &'static str,
    hint: &'static str,
    typed: RwSignal<String>,
    wrong: Signal<String>,
) -> impl IntoView {
    let is_right = move || wrong.with_untracked(String::is_empty);
    // Whether what is wrong may be said by now.
    let due = RwSignal::new(false);
    let sentence = text(move || {
        if due.get() {
            wrong.get()
        } else {
            String::new()
        }
    });
    let is_wrong = move || sentence.with(|sentence| !sentence.is_empty());
    let error_id = format!("{id}-error");
    let described_by = format!("{id}-hint {error_id}");
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <input
                id=id
                type="text"
                autocomplete="off"
                spellcheck="false"
                aria-invalid=text(move || is_wrong().to_string())
                aria-describedby=described_by
                prop:value=typed
                on:focus=move |_| due.set(!is_right())
                on:input=move |event| {
                    typed.set(event_target_value(&event));
                    if is_right() {
                        due.set(false);
                    }
                }
                on:blur=move |_| due.set(true)
                on:keydown=move |event| {
                    if event.key() == "Enter" {
                        due.set(true);
                    }
                }
            />
            <p class="hint" id=format!("{id}-hint")>
                {hint}
            </p>
            <p class="field-error" role="alert" id=error_id hidden=flag(move || !is_wrong())>
                {sentence}
            </p>
        </div>
    }
}

/// A drop-down field.
pub(crate) fn select(
    id: &'static str,
    label: &'static str,
    node: NodeRef<html::Select>,
    options: Signal<Options>,
    chosen: Signal<String>,
    choose: Box<dyn FnMut(leptos::ev::Event)>,
) -> impl IntoView {
    // As text, for a view of each entry would cost more of the program than all names of cameras.
    let entries = text(move || {
        options.with(|options| {
            let all = options.iter();
            let all = all.map(|(key, name)| (key.as_str(), name.as_str()));
            chosen.with(|chosen| choice::entries(all, Some(chosen)))
        })
    });
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <select id=id node_ref=node on:change=choose inner_html=entries></select>
        </div>
    }
}

/// Fields that keep what is half typed until their form is sent: when the page is turned, and over a reload of this tab.
///
/// The key is one for each form; a field begins with its start.
pub(crate) fn half_typed<const N: usize>(
    key: &'static str,
    starts: [&'static str; N],
) -> [RwSignal<String>; N] {
    let key = format!("stopkeeper.half-typed.{key}");
    let fields = starts.map(|start| RwSignal::new(start.to_owned()));
    // One field a line; another number of lines is that of another version of the form.
    if let Some(text) = session::read(&key).filter(|text| text.split('\n').count() == N) {
        for (field, line) in fields.iter().zip(text.split('\n')) {
            field.set(line.to_owned());
        }
    }
    Effect::new(move |_| {
        let lines = fields.map(|field| field.get().replace('\n', " "));
        let said = lines != starts;
        session::keep(&key, said.then(|| lines.join("\n")).as_deref());
    });
    fields
}

/// A choice from a list that may change.
pub(crate) fn choice(
    id: &'static str,
    label: &'static str,
    options: Signal<Options>,
    chosen: RwSignal<String>,
) -> impl IntoView {
    let choose = move |event| chosen.set(event_target_value(&event));
    select(
        id,
        label,
        NodeRef::new(),
        options,
        text(move || chosen.get()),
        Box::new(choose),
    )
}

/// A list of choices that stays as it is.
pub(crate) fn fixed<'a>(list: impl IntoIterator<Item = (&'a str, &'a str)>) -> Signal<Options> {
    let list: Options = list
        .into_iter()
        .map(|(key, name)| (key.to_owned(), name.to_owned()))
        .collect();
    Signal::stored(list)
}

/// A box to tick.
pub(crate) fn tick(label: &'static str, ticked: RwSignal<bool>) -> impl IntoView {
    view! {
        <label class="pick">
            <input
                type="checkbox"
                prop:checked=ticked
                on:change=move |event| ticked.set(event_target_checked(&event))
            />
            {label}
        </label>
    }
}

/// What was typed, without the white space around it.
pub(crate) fn typed(field: RwSignal<String>) -> String {
    field.with_untracked(|text| text.trim().to_owned())
}

/// A button whose words are made elsewhere.
pub(crate) fn entry_button(
    class: &'static str,
    words: String,
    action: impl Fn() + 'static,
) -> impl IntoView {
    view! {
        <button class=class type="button" on:click=press(action)>
            {words}
        </button>
    }
}

/// A row of words that does something when it is pressed.
pub(crate) fn shelf(words: String, action: impl Fn() + 'static) -> impl IntoView {
    view! { <li>{entry_button("shelf", words, action)}</li> }
}

/// A row of what is kept, with a way to take it out again.
pub(crate) fn kept(words: String, remove: impl Fn() + 'static) -> impl IntoView {
    let name = format!("Remove {words}");
    view! {
        <li class="kept">
            <span>{words}</span>
            <button type="button" aria-label=name on:click=press(remove)>
                "Remove"
            </button>
        </li>
    }
}
