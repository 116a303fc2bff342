//! Fields: text that may be refused, and choices from a list.

use leptos::html;
use leptos::prelude::*;
use panel::Intent;

use crate::store::Dispatcher;

/// A text field that sets something when it is left or at Enter.
///
/// Text that is refused stays in the field with a sentence under it; nothing else changes.
#[component]
pub(crate) fn TextField(
    /// Id of the input, unique on the page.
    id: &'static str,
    /// The visible label.
    label: &'static str,
    /// The full name where the visible label is short; contains the label.
    #[prop(default = "")]
    name: &'static str,
    /// What the field shows: the text derived from the state.
    #[prop(into)]
    text: Signal<String>,
    /// Which wish the typed text becomes.
    make: fn(String) -> Intent,
    /// Which keyboard a phone offers: `text` or `decimal`.
    #[prop(default = "text")]
    keyboard: &'static str,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let input = NodeRef::<html::Input>::new();
    // What was typed and refused, with the sentence that says why.
    let refused = RwSignal::new(None::<(String, String)>);
    let error_id = format!("{id}-error");
    let shown = move || {
        refused.with(|refused| {
            refused
                .as_ref()
                .map_or_else(|| text.get(), |(typed, _)| typed.clone())
        })
    };
    let show = move || {
        if let Some(input) = input.get_untracked() {
            input.set_value(&text.get_untracked());
        }
    };
    let commit = move || {
        let Some(input) = input.get_untracked() else {
            return;
        };
        let typed = input.value();
        let unchanged = text.with_untracked(|text| *text == typed);
        let result = if unchanged {
            Ok(())
        } else {
            dispatcher.ask(&make(typed.clone())).map(|_| ())
        };
        match result {
            Ok(()) => {
                refused.set(None);
                // The field shows the text as the page writes it, even where the value is the same ("8" and "f/8").
                show();
            }
            Err(sentence) => refused.set(Some((typed, sentence))),
        }
    };
    let key = move |event: leptos::ev::KeyboardEvent| match event.key().as_str() {
        "Enter" => commit(),
        "Escape" => {
            refused.set(None);
            show();
        }
        _ => {}
    };
    let described = error_id.clone();
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
                aria-label=(!name.is_empty()).then_some(name)
                aria-invalid=move || refused.with(Option::is_some).then_some("true")
                aria-describedby=move || refused.with(Option::is_some).then(|| described.clone())
                prop:value=shown
                on:change=move |_| commit()
                on:keydown=key
            />
            {move || {
                refused
                    .get()
                    .map(|(_, sentence)| {
                        view! {
                            <p class="field-error" role="alert" id=error_id.clone()>
                                {sentence}
                            </p>
                        }
                    })
            }}
        </div>
    }
}

/// A drop-down field.
#[component]
pub(crate) fn Choice(
    /// Id of the field, unique on the page.
    id: &'static str,
    /// The visible label.
    label: &'static str,
    /// Keys and names to choose from.
    #[prop(into)]
    options: Signal<Vec<(String, String)>>,
    /// The chosen key.
    #[prop(into)]
    chosen: Signal<String>,
    /// Which wish the chosen key becomes.
    make: fn(String) -> Intent,
    /// Where wishes go.
    dispatcher: Dispatcher,
) -> impl IntoView {
    let choose = move |event| {
        dispatcher.send(&make(event_target_value(&event)));
    };
    view! {
        <div class="field">
            <label for=id>{label}</label>
            <select id=id on:change=choose>
                {move || entries(options.get(), chosen)}
            </select>
        </div>
    }
}

/// The entries of a drop-down field; the chosen one follows the signal.
pub(crate) fn entries(options: Vec<(String, String)>, chosen: Signal<String>) -> impl IntoView {
    options
        .into_iter()
        .map(|(key, name)| {
            let mine = key.clone();
            let selected = move || chosen.with(|chosen| *chosen == mine);
            view! {
                <option value=key prop:selected=selected>
                    {name}
                </option>
            }
        })
        .collect_view()
}

/// A list of keys and names that never changes.
pub(crate) fn fixed(list: &'static [(&'static str, &'static str)]) -> Vec<(String, String)> {
    list.iter()
        .map(|(key, name)| ((*key).to_owned(), (*name).to_owned()))
        .collect()
}
