//! What of the page's document changes: elements found by their ids, and what they show.
//!
//! The document stands in `index.html`. What shows a part of the view is one plain function that puts texts and attributes
//! into these elements; what an element shows already is not written again. What differs is written by one call to the
//! start script for all that is shown [together], for each call costs as much as a few writes.

use std::cell::{Cell, RefCell};

use js_sys::{Array, Function};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{HtmlElement, HtmlInputElement};

/// What of an element is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum What {
    /// Its text.
    Text,
    /// The value of a field.
    Value,
    /// The choices of a list: key and name in turn, a line each.
    Options,
    /// An attribute with a value.
    Attribute(&'static str),
    /// An attribute that is there or not: any text but an empty one sets it.
    Flag(&'static str),
    /// A property of its style.
    Style(&'static str),
    /// Whether a box is ticked: any text but an empty one ticks it.
    Ticked,
}

/// The elements that a part of the page fills.
pub(crate) struct Slots(Vec<Slot>);

/// An element that is filled, and what it shows.
pub(super) struct Slot {
    /// Its number among all that are filled; none only where the document has no such id, which a test looks for.
    number: Option<char>,
    shown: RefCell<Vec<(What, String)>>,
}

/// What is filled, and what is still to be written there.
struct Paper {
    elements: Array,
    /// The start script's function that writes.
    write: Option<Function>,
    waiting: RefCell<String>,
    /// Numbers of elements that are filled no more: of what is written by now, and of what may still wait to be.
    free: RefCell<Vec<u32>>,
    freed: RefCell<Vec<u32>>,
    together: Cell<u32>,
}

/// Between writes, and between an element's number with what is written there and the text.
const NEXT: char = '\u{1e}';
const THEN: char = '\u{1f}';
/// What the number of the first element is written as.
const FIRST: u32 = 0x20;

thread_local! {
    static PAPER: Paper = Paper {
        elements: Array::new(),
        write: super::function("stopkeeperWrite"),
        waiting: RefCell::default(),
        free: RefCell::default(),
        freed: RefCell::default(),
        together: Cell::new(0),
    };
}

/// Writes all that is shown meanwhile in one call.
pub(crate) fn together<T>(show: impl FnOnce() -> T) -> T {
    PAPER.with(|paper| paper.together.set(paper.together.get() + 1));
    let done = show();
    PAPER.with(|paper| paper.together.set(paper.together.get() - 1));
    write_what_waits();
    done
}

fn write_what_waits() {
    PAPER.with(|paper| {
        if paper.together.get() > 0 {
            return;
        }
        // Taken out, for what is written may call back.
        let lines = paper.waiting.take();
        if let Some(write) = paper.write.as_ref().filter(|_| !lines.is_empty()) {
            // OK to ignore: names and properties are literals that every browser takes.
            let _ = write.call2(&JsValue::NULL, &paper.elements, &JsValue::from_str(&lines));
        }
        let freed = paper.freed.take();
        paper.free.borrow_mut().extend(freed);
    });
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

impl Slot {
    /// An element, numbered.
    pub(super) fn of(element: Option<&JsValue>) -> Self {
        let number = element.and_then(|element| {
            let number = PAPER.with(|paper| {
                // Faces come and go with cameras for as long as the page is open.
                let Some(number) = paper.free.borrow_mut().pop() else {
                    return paper.elements.push(element) - 1;
                };
                paper.elements.set(number, element.clone());
                number
            });
            char::from_u32(FIRST + number)
        });
        Self {
            number,
            shown: RefCell::new(Vec::new()),
        }
    }

    fn element(&self) -> Option<HtmlElement> {
        let number = u32::from(self.number?) - FIRST;
        let element = PAPER.with(|paper| paper.elements.get(number));
        Some(element.unchecked_into())
    }

    /// Shows something where it differs from what is shown.
    pub(super) fn put(&self, what: What, now: &str) {
        {
            let mut shown = self.shown.borrow_mut();
            match shown.iter_mut().find(|(of, _)| *of == what) {
                Some((_, before)) if before == now => return,
                Some((_, before)) => now.clone_into(before),
                None => shown.push((what, now.to_owned())),
            }
        }
        self.write(what, now);
    }

    fn write(&self, what: What, now: &str) {
        let Some(number) = self.number else { return };
        let (kind, name) = match what {
            What::Text => ('t', ""),
            What::Value => ('v', ""),
            What::Options => ('o', ""),
            What::Attribute(name) => ('a', name),
            What::Flag(name) => ('f', name),
            What::Style(name) => ('s', name),
            What::Ticked => ('c', ""),
        };
        PAPER.with(|paper| {
            let mut lines = paper.waiting.borrow_mut();
            if !lines.is_empty() {
                lines.push(NEXT);
            }
            lines.push(number);
            lines.push(kind);
            lines.push_str(name);
            lines.push(THEN);
            // What a person has typed may hold anything.
            lines.extend(now.chars().filter(|&c| c != NEXT && c != THEN));
        });
        write_what_waits();
    }
}

impl Drop for Slot {
    fn drop(&mut self) {
        if let Some(number) = self.number {
            PAPER.with(|paper| paper.freed.borrow_mut().push(u32::from(number) - FIRST));
        }
    }
}

impl Slots {
    /// The elements whose ids begin with `before` and go on with these names.
    pub(crate) fn find(before: &str, names: &[&str]) -> Self {
        let slot = |name: &&str| {
            let found = element(&format!("{before}{name}"));
            Slot::of(found.as_deref().map(AsRef::as_ref))
        };
        Self(names.iter().map(slot).collect())
    }

    /// Shows something where it differs from what is shown.
    pub(crate) fn put(&self, at: impl Into<usize>, what: What, now: &str) {
        self.0[at.into()].put(what, now);
    }

    /// Shows a text.
    pub(crate) fn text(&self, at: impl Into<usize>, now: &str) {
        self.put(at, What::Text, now);
    }

    /// Sets or removes an attribute that has no value.
    pub(crate) fn flag(&self, at: impl Into<usize>, name: &'static str, on: bool) {
        self.put(at, What::Flag(name), if on { "on" } else { "" });
    }

    /// Shows a value again that a person has changed in the page.
    pub(crate) fn value_again(&self, at: impl Into<usize>) {
        let slot = &self.0[at.into()];
        let shown = slot.shown.borrow();
        if let Some((what, value)) = shown.iter().find(|(of, _)| *of == What::Value) {
            slot.write(*what, value);
        }
    }

    /// What stands in a field.
    pub(crate) fn value(&self, at: impl Into<usize>) -> String {
        self.field(at)
            .map(|field| field.value())
            .unwrap_or_default()
    }

    /// Puts something into a field, selects it and gives it the keyboard.
    pub(crate) fn begin_typing(&self, at: impl Into<usize>, text: &str) {
        if let Some(field) = self.field(at) {
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
    pub(crate) fn element(&self, at: impl Into<usize>) -> Option<HtmlElement> {
        self.0[at.into()].element()
    }

    fn field(&self, at: impl Into<usize>) -> Option<HtmlInputElement> {
        self.element(at).map(JsCast::unchecked_into)
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::{PAPER, Slots, What, together};

    /// Leaves the function that writes as the start script does.
    fn with_start_script() {
        let script = include_str!("../../site/boot.js");
        let from = script
            .find("window.stopkeeperWrite =")
            .expect("in the start script");
        let whole = &script[from..];
        let to = whole.find("\n};\n").expect("its end") + 3;
        let run = js_sys::Function::new_no_args(&whole[..to]);
        run.call0(&wasm_bindgen::JsValue::NULL).expect("it is left");
    }

    #[wasm_bindgen_test]
    fn what_is_shown_already_is_not_written_again() {
        let document = web_sys::window()
            .and_then(|window| window.document())
            .expect("a page");
        let body = document.body().expect("a body");
        body.insert_adjacent_html("beforeend", r#"<p id="slots-test-one"></p>"#)
            .expect("a paragraph");
        with_start_script();
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
        slots.text(0_usize, "");
        assert_eq!(
            one.child_nodes().length(),
            0,
            "an empty text leaves nothing"
        );
        together(|| {
            slots.text(0_usize, "a\u{1e}b\u{1f}c");
            assert_eq!(
                one.text_content().as_deref(),
                Some(""),
                "not before the others"
            );
        });
        assert_eq!(
            one.text_content().as_deref(),
            Some("abc"),
            "all together, and what separates them is not written"
        );
        // What is shown no more gives its number to another, but not while something may still be written there.
        let count = || PAPER.with(|paper| paper.elements.length());
        let before = count();
        for _ in 0..50 {
            let gone = Slots::find("slots-test-", &["one"]);
            gone.text(0_usize, "gone");
        }
        assert!(count() <= before + 2, "numbers are used again");
        slots.text(0_usize, "its own");
        assert_eq!(
            one.text_content().as_deref(),
            Some("its own"),
            "not another's"
        );
        // An element that the document does not have is no reason to stop.
        slots.text(1_usize, "nothing");
        one.remove();
    }
}
