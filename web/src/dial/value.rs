//! The value of a dial, set large: a button that turns into a field.

use leptos::html;
use leptos::prelude::*;
use panel::{Control, DialView, Intent};

use super::Words;
use crate::{
    field::{invalid, on_keys},
    piece::{complaint, flag, of, press},
    store::Dispatcher,
};

/// The large value, and the field to type another one.
#[component]
pub(super) fn Value(
    /// Which control it is of.
    control: Control,
    /// What it is called.
    words: Words,
    /// What it shows.
    dial: RwSignal<DialView>,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let typing = RwSignal::new(false);
    let error = RwSignal::new(String::new());
    let button = NodeRef::<html::Button>::new();
    let input = NodeRef::<html::Input>::new();
    let shown = of(dial, |dial| dial.value.clone());

    let open = press(move || {
        typing.set(true);
        if let Some(input) = input.get_untracked() {
            input.set_value(&shown.get_untracked());
            // Shown first: what is hidden cannot take the focus.
            input.set_hidden(false);
            // OK to ignore: then the person taps once more.
            let _ = input.focus();
            input.select();
        }
    });
    let leave = move |to_button: bool| {
        typing.set(false);
        error.set(String::new());
        if let Some(button) = button.get_untracked().filter(|_| to_button) {
            button.set_hidden(false);
            // OK to ignore: the next Tab starts from the field's place.
            let _ = button.focus();
        }
    };
    let commit = move |to_button: bool| {
        if !typing.get_untracked() {
            return;
        }
        let typed = input.get_untracked().map(|input| input.value());
        let Some(typed) = typed.filter(|typed| *typed != shown.get_untracked()) else {
            leave(to_button);
            return;
        };
        match dispatcher.ask(&Intent::Type(control, typed)) {
            Ok(_) => leave(to_button),
            Err(sentence) => error.set(sentence),
        }
    };

    view! {
        <div class="dial-value">
            <button
                class="value"
                type="button"
                node_ref=button
                aria-label=words.type_name
                prop:hidden=typing
                on:click=open
            >
                {shown}
            </button>
            <input
                class="value-field"
                type="text"
                node_ref=input
                inputmode=words.keyboard
                autocomplete="off"
                autocapitalize="off"
                spellcheck="false"
                enterkeyhint="done"
                aria-label=words.field_name
                aria-invalid=invalid(error)
                aria-describedby=words.error_id
                prop:hidden=flag(move || !typing.get())
                on:keydown=on_keys(move || commit(true), move || leave(true))
                on:blur=move |_| commit(false)
            />
            {complaint(words.error_id, error.into())}
        </div>
    }
}
