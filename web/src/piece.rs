//! Small pieces that all parts of the page are made of.
//!
//! Each view, closure and signal of its own type costs its own copy of the framework's code. So that the page stays small
//! on the wire, what is live is nearly always a `Signal<String>` or a `Signal<bool>`, and what is pressed is a boxed
//! closure: one copy for all.

use leptos::ev::MouseEvent;
use leptos::prelude::*;

/// What follows from a part of the view.
pub(crate) fn of<T, U>(part: RwSignal<T>, derive: fn(&T) -> U) -> Signal<U>
where
    T: Send + Sync + 'static,
    U: Send + Sync + 'static,
{
    Signal::derive(move || part.with(derive))
}

/// Live text out of any closure.
pub(crate) fn text(derive: impl Fn() -> String + Send + Sync + 'static) -> Signal<String> {
    Signal::derive(derive)
}

/// A live condition out of any closure.
pub(crate) fn flag(derive: impl Fn() -> bool + Send + Sync + 'static) -> Signal<bool> {
    Signal::derive(derive)
}

/// What happens on a press.
pub(crate) fn press(action: impl Fn() + 'static) -> Box<dyn FnMut(MouseEvent)> {
    Box::new(move |_| action())
}

/// A plain button.
pub(crate) fn button(
    class: &'static str,
    label: &'static str,
    disabled: Signal<bool>,
    action: impl Fn() + 'static,
) -> impl IntoView {
    pressable(class, label, disabled, press(action))
}

fn pressable(
    class: &'static str,
    label: &'static str,
    disabled: Signal<bool>,
    action: Box<dyn FnMut(MouseEvent)>,
) -> impl IntoView {
    view! {
        <button class=class type="button" disabled=disabled on:click=action>
            {label}
        </button>
    }
}

/// A condition that never holds: for buttons that can always be pressed.
pub(crate) fn never() -> Signal<bool> {
    Signal::stored(false)
}

/// A paragraph of live text.
pub(crate) fn paragraph(class: &'static str, live: Signal<String>) -> impl IntoView {
    view! { <p class=class>{live}</p> }
}

/// A sentence under the field that caused it; spoken when it appears.
pub(crate) fn complaint(id: &'static str, sentence: Signal<String>) -> impl IntoView {
    let quiet = flag(move || sentence.with(String::is_empty));
    view! {
        <p class="field-error" role="alert" id=id hidden=quiet>
            {sentence}
        </p>
    }
}

/// A quiet line with something to press.
pub(crate) fn notice(
    sentence: Signal<String>,
    label: Signal<String>,
    action: impl Fn() + 'static,
) -> impl IntoView {
    noticed(sentence, label, press(action))
}

fn noticed(
    sentence: Signal<String>,
    label: Signal<String>,
    action: Box<dyn FnMut(MouseEvent)>,
) -> impl IntoView {
    let quiet = flag(move || sentence.with(String::is_empty));
    view! {
        <p class="notice" hidden=quiet>
            <span>{sentence}</span>
            <button type="button" on:click=action>
                {label}
            </button>
        </p>
    }
}
