//! Fields: text that may be refused, and choices from a list.

use leptos::html;
use leptos::prelude::*;
use panel::Intent;

use crate::{
    piece::{complaint, text},
    store::Dispatcher,
};

/// A text field that sets something when it is left or at Enter.
///
/// Text that is refused stays in the field with a sentence under it; nothing else changes.
#[component]
pub(crate) fn TextField(
    /// Id of the input, unique on the page.
    id: &'static str,
    /// Id of the sentence under it.
    error_id: &'static str,
    /// The visible label.
    label: &'static str,
    /// The full name where the visible label is short, else the label again.
    name: &'static str,
    /// What the field shows: the text derived from the state.
    text: Signal<String>,
    /// Which wish the typed text becomes.
    make: fn(String) -> Intent,
    /// Which keyboard a phone offers: `text` or `decimal`.
    keyboard: &'static str,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let input = NodeRef::<html::Input>::new();
    // Why the typed text was refused; empty while it was not.
    let refused = RwSignal::new(String::new());
    let typed = RwSignal::new(String::new());
    let shown = crate::piece::text(move || {
        if refused.with(String::is_empty) {
            text.get()
        } else {
            typed.get()
        }
    });
    let accept = move || {
        refused.set(String::new());
        // The field shows the text as the page writes it, even where the value is the same ("8" and "f/8").
        if let Some(input) = input.get_untracked() {
            input.set_value(&text.get_untracked());
        }
    };
    let commit = move || {
        let Some(input) = input.get_untracked() else {
            return;
        };
        let now = input.value();
        if text.with_untracked(|text| *text == now) {
            accept();
            return;
        }
        match dispatcher.ask(&make(now.clone())) {
            Ok(_) => accept(),
            Err(sentence) => {
                typed.set(now);
                refused.set(sentence);
            }
        }
    };
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <input
                id=id
                node_ref=input
                type="text"
                inputmode=keyboard
                autocomplete="off"
                autocapitalize="off"
                spellcheck="false"
                enterkeyhint="done"
                aria-label=name
                aria-invalid=invalid(refused)
                aria-describedby=error_id
                prop:value=shown
                on:change=move |_| commit()
                on:keydown=on_keys(commit, accept)
            />
            {complaint(error_id, refused.into())}
        </div>
    }
}

/// For `aria-invalid`: whether there is a sentence that says what is wrong.
pub(crate) fn invalid(sentence: RwSignal<String>) -> Signal<String> {
    text(move || (!sentence.with(String::is_empty)).to_string())
}

/// What Enter and Escape do in a field.
pub(crate) fn on_keys(
    enter: impl Fn() + 'static,
    escape: impl Fn() + 'static,
) -> Box<dyn FnMut(leptos::ev::KeyboardEvent)> {
    Box::new(move |event| match event.key().as_str() {
        "Enter" => {
            // Else what the focus goes to gets the rest of the key, and a button takes it for a press.
            event.prevent_default();
            enter();
        }
        "Escape" => escape(),
        _ => {}
    })
}

/// Keys and names to choose from.
pub(crate) type Options = Vec<(String, String)>;

/// A drop-down field.
#[component]
pub(crate) fn Choice(
    /// Id of the field, unique on the page.
    id: &'static str,
    /// The visible label.
    label: &'static str,
    /// Keys and names to choose from.
    options: Signal<Options>,
    /// The chosen key.
    chosen: Signal<String>,
    /// What to do with the key that is chosen.
    make: fn(String) -> Intent,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let node = NodeRef::<html::Select>::new();
    let choose = move |event| {
        dispatcher.send(&make(event_target_value(&event)));
    };
    select(id, label, node, options, chosen, Box::new(choose))
}

/// The field itself.
pub(crate) fn select(
    id: &'static str,
    label: &'static str,
    node: NodeRef<html::Select>,
    options: Signal<Options>,
    chosen: Signal<String>,
    choose: Box<dyn FnMut(leptos::ev::Event)>,
) -> impl IntoView {
    // As text, for a view of each entry would cost more of the dial's program than all names of cameras.
    let entries = text(move || {
        let mut all = String::new();
        options.with(|options| {
            chosen.with(|chosen| {
                for (key, name) in options {
                    let selected = if key == chosen { " selected" } else { "" };
                    let (key, name) = (escaped(key), escaped(name));
                    all.push_str(&format!(
                        "<option value=\"{key}\"{selected}>{name}</option>"
                    ));
                }
            });
        });
        all
    });
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <select id=id node_ref=node on:change=choose inner_html=entries></select>
        </div>
    }
}

/// A text as it stands in a document, between tags or in quotes.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '"' => out.push_str("&quot;"),
            _ => out.push(c),
        }
    }
    out
}

/// A list of keys and names that never changes.
pub(crate) fn fixed(list: &[(&str, &str)]) -> Options {
    list.iter()
        .map(|(key, name)| ((*key).to_owned(), (*name).to_owned()))
        .collect()
}
