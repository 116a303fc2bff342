//! Small pieces that the sheets are made of.

use crate::parts::{Element, Part, Words, el, follows, parts};

/// A plain button.
pub(crate) fn button(
    class: &'static str,
    label: impl Into<Words>,
    action: impl Fn() + 'static,
) -> Element {
    button_boxed(class, label.into(), Box::new(action))
}

fn button_boxed(class: &'static str, label: Words, action: Box<dyn Fn()>) -> Element {
    el("button")
        .class(class)
        .attr("type", "button")
        .says(label)
        .press_boxed(action)
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
    paragraph_of(class, words.into())
}

fn paragraph_of(class: &'static str, words: Words) -> Element {
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
    row_of(buttons.into_iter().map(Into::into).collect())
}

fn row_of(buttons: Vec<Part>) -> Element {
    el("div").class("row").with(Part::Many(buttons))
}

/// Parts of a page, in the order in which they are read: under one another, or beside one another at a desk.
pub(crate) fn columns<const N: usize>(all: [Part; N]) -> Element {
    columns_of(all.into())
}

fn columns_of(all: Vec<Part>) -> Element {
    let columns = all
        .into_iter()
        .map(|part| el("div").class("column").with(part));
    el("div").class("columns").all(columns)
}

/// What unfolds under its title.
pub(crate) fn unfolds(title: impl Into<Words>, inside: impl Into<Part>) -> Element {
    unfolds_boxed(title.into(), inside.into())
}

fn unfolds_boxed(title: Words, inside: Part) -> Element {
    el("details").with(parts![el("summary").says(title), inside])
}
