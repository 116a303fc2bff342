//! What of the page's document changes: elements found by their ids, and what they show.
//!
//! The document stands in `index.html`. What shows a part of the view is one plain function that puts texts and attributes
//! into these elements; what an element shows already is not written again.

use std::cell::RefCell;

use wasm_bindgen::JsCast;
use web_sys::{HtmlElement, HtmlInputElement};

/// What of an element is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    /// Its text.
    Text,
    /// The value of a field.
    Value,
    /// The choices of a list, as a document has them.
    Options,
    /// An attribute with a value.
    Attribute(&'static str),
    /// An attribute that is there or not: any text but an empty one sets it.
    Flag(&'static str),
    /// A property of its style.
    Style(&'static str),
}

/// The elements that a part of the page fills.
pub(crate) struct Slots(Vec<Slot>);

struct Slot {
    /// None only where the document has no such id, which a test looks for.
    element: Option<HtmlElement>,
    shown: RefCell<Vec<(What, String)>>,
}

/// Names the elements that a part of the page fills, by the ends of their ids.
macro_rules! places {
    ($names:ident { $($place:ident $name:literal),+ $(,)? }) => {
        #[derive(Clone, Copy)]
        enum Place { $($place),+ }

        impl From<Place> for usize {
            fn from(place: Place) -> usize {
                place as usize
            }
        }

        pub(crate) const $names: &[&str] = &[$($name),+];
    };
}
pub(crate) use places;

/// The element with this id.
pub(super) fn element(id: &str) -> Option<HtmlElement> {
    let found = web_sys::window()?.document()?.get_element_by_id(id)?;
    Some(found.unchecked_into())
}

impl Slots {
    /// The elements whose ids begin with `before` and go on with these names.
    pub(crate) fn find(before: &str, names: &[&str]) -> Self {
        let slot = |name: &&str| Slot {
            element: element(&format!("{before}{name}")),
            shown: RefCell::new(Vec::new()),
        };
        Self(names.iter().map(slot).collect())
    }

    /// Shows something where it differs from what is shown.
    pub(crate) fn put(&self, at: impl Into<usize>, what: What, now: &str) {
        self.put_there(at.into(), what, now);
    }

    /// Shows a text.
    pub(crate) fn text(&self, at: impl Into<usize>, now: &str) {
        self.put_there(at.into(), What::Text, now);
    }

    /// Sets or removes an attribute that has no value.
    pub(crate) fn flag(&self, at: impl Into<usize>, name: &'static str, on: bool) {
        self.put_there(at.into(), What::Flag(name), if on { "on" } else { "" });
    }

    fn put_there(&self, at: usize, what: What, now: &str) {
        let slot = &self.0[at];
        {
            let mut shown = slot.shown.borrow_mut();
            match shown.iter_mut().find(|(of, _)| *of == what) {
                Some((_, before)) if before == now => return,
                Some((_, before)) => now.clone_into(before),
                None => shown.push((what, now.to_owned())),
            }
        }
        if let Some(element) = &slot.element {
            write(element, what, now);
        }
    }

    /// Shows a value again that a person has changed in the page.
    pub(crate) fn value_again(&self, at: impl Into<usize>) {
        let slot = &self.0[at.into()];
        let shown = slot.shown.borrow();
        let value = shown.iter().find(|(of, _)| *of == What::Value);
        if let (Some(element), Some((_, value))) = (&slot.element, value) {
            write(element, What::Value, value);
        }
    }

    /// What stands in a field.
    pub(crate) fn value(&self, at: impl Into<usize>) -> String {
        self.field(at.into())
            .map(HtmlInputElement::value)
            .unwrap_or_default()
    }

    /// Puts something into a field, selects it and gives it the keyboard.
    pub(crate) fn begin_typing(&self, at: impl Into<usize>, text: &str) {
        if let Some(field) = self.field(at.into()) {
            field.set_value(text);
            // OK to ignore: then the person taps once more.
            let _ = field.focus();
            field.select();
        }
    }

    /// Gives an element the keyboard.
    pub(crate) fn focus(&self, at: impl Into<usize>) {
        if let Some(element) = self.element(at) {
            // OK to ignore: the next Tab starts from where the keyboard was.
            let _ = element.focus();
        }
    }

    /// The element itself.
    pub(crate) fn element(&self, at: impl Into<usize>) -> Option<&HtmlElement> {
        self.0[at.into()].element.as_ref()
    }

    fn field(&self, at: usize) -> Option<&HtmlInputElement> {
        self.element(at).map(HtmlElement::unchecked_ref)
    }
}

fn write(element: &HtmlElement, what: What, now: &str) {
    // OK to ignore all of these: names and properties are literals that every browser takes.
    let _ = match what {
        What::Text => {
            element.set_text_content(Some(now));
            Ok(())
        }
        What::Value => {
            // A list of choices has a value as well, under the same name.
            element.unchecked_ref::<HtmlInputElement>().set_value(now);
            Ok(())
        }
        What::Options => {
            element.set_inner_html(now);
            Ok(())
        }
        What::Attribute(name) => element.set_attribute(name, now),
        What::Flag(name) if now.is_empty() => element.remove_attribute(name),
        What::Flag(name) => element.set_attribute(name, ""),
        What::Style(name) => element.style().set_property(name, now),
    };
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::{Slots, What};

    #[wasm_bindgen_test]
    fn what_is_shown_already_is_not_written_again() {
        let document = web_sys::window()
            .and_then(|window| window.document())
            .expect("a page");
        let body = document.body().expect("a body");
        body.insert_adjacent_html("beforeend", r#"<p id="slots-test-one"></p>"#)
            .expect("a paragraph");
        let slots = Slots::find("slots-test-", &["one", "none"]);
        slots.text(0_usize, "f/8");
        let one = document.get_element_by_id("slots-test-one").expect("there");
        assert_eq!(one.text_content().as_deref(), Some("f/8"), "shown");
        one.set_text_content(Some("changed by somebody else"));
        slots.text(0_usize, "f/8");
        assert_eq!(
            one.text_content().as_deref(),
            Some("changed by somebody else"),
            "the same text is not written twice"
        );
        slots.text(0_usize, "f/11");
        assert_eq!(
            one.text_content().as_deref(),
            Some("f/11"),
            "another one is"
        );
        slots.flag(0_usize, "hidden", true);
        assert!(one.has_attribute("hidden"), "a flag is set");
        slots.flag(0_usize, "hidden", false);
        assert!(!one.has_attribute("hidden"), "and removed");
        slots.put(0_usize, What::Attribute("aria-label"), "x");
        assert_eq!(
            one.get_attribute("aria-label").as_deref(),
            Some("x"),
            "attribute"
        );
        // An element that the document does not have is no reason to stop.
        slots.text(1_usize, "nothing");
        one.remove();
    }
}
