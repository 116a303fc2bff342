//! Small pieces that the sheets are made of.

use crate::parts::{Element, Part, Words, el, follows, parts};

/// A plain button.
pub(crate) fn button(
    class: &'static str,
    label: impl Into<Words>,
    action: impl Fn() + 'static,
) -> Element {
    el("button")
        .class(class)
        .attr("type", "button")
        .says(label)
        .press(action)
}

/// A button that cannot be pressed while there is nothing to press it for.
pub(crate) fn button_unless(
    not: impl Fn() -> bool + 'static,
    class: &'static str,
    label: impl Into<Words>,
    action: impl Fn() + 'static,
) -> Element {
    button(class, label, action).when("disabled", not)
}

/// A paragraph.
pub(crate) fn paragraph(class: &'static str, words: impl Into<Words>) -> Element {
    el("p").class(class).says(words)
}

/// A paragraph that is out of sight while it has nothing to say.
pub(crate) fn said(class: &'static str, words: impl Into<Words>) -> Element {
    let words = words.into();
    let quiet = words.is_empty();
    paragraph(class, words).hidden(quiet)
}

/// A sentence under the field that caused it; spoken when it appears.
pub(crate) fn complaint(id: &'static str, sentence: impl Fn() -> String + 'static) -> Part {
    follows(move || said("field-error", sentence()).id(id).attr("role", "alert"))
}

/// A quiet line with something to press; out of sight while it has nothing to say.
pub(crate) fn notice(
    sentence: impl Into<Words>,
    label: impl Into<Words>,
    action: impl Fn() + 'static,
) -> Element {
    let sentence = sentence.into();
    el("p")
        .class("notice")
        .hidden(sentence.is_empty())
        .with(el("span").says(sentence))
        .with(button("", label, action))
}

/// A row of buttons.
pub(crate) fn row<T: Into<Part>>(buttons: impl IntoIterator<Item = T>) -> Element {
    el("div").class("row").all(buttons)
}

/// What unfolds under its title.
pub(crate) fn unfolds(title: impl Into<Words>, inside: impl Into<Part>) -> Element {
    el("details").with(parts![el("summary").says(title), inside.into()])
}
