//! A rotary dial: a native range input under a painted ring.
//!
//! The range is what keyboards and screen readers turn; the ring is what fingers turn; both send the same wishes.

mod face;
mod keys;
mod pointer;

use std::{
    cell::{Cell, RefCell},
    sync::Arc,
};

use panel::{Control, DialView, Face, Intent, Nudge, Part};

use self::pointer::Gesture;
use crate::{
    browser::{
        events::{self, Happened, Later},
        rows::Rows,
        slots::{Slots, What, places},
    },
    css,
    store::Dispatcher,
};

/// A wheel that has been still for so many milliseconds has finished its turn.
const WHEEL_RESTS: i32 = 250;
/// A fine wheel turns a mark for each so many pixels.
const WHEEL_PIXELS: f64 = 50.0;

places! {
    NAMES {
        Box "dial", Part "part", Range "range", Disc "disc", Value "value", Field "field", Error "error", Note "note",
        Hold "hold", Less "less", More "more",
    }
}

/// What the ids of each dial begin with, in the order of the controls.
pub(crate) const IDS: [&str; 3] = ["time-", "aperture-", "sensitivity-"];

/// One dial with its value, its hold latch and its step buttons.
pub(crate) struct Dial {
    control: Control,
    dispatcher: Dispatcher,
    slots: Slots,
    marks: Rows,
    /// What it shows of its view.
    shown: RefCell<Option<DialView>>,
    gesture: RefCell<Option<Gesture>>,
    /// Where the face stands under the finger, in stops; none while it rests on its mark.
    under_finger: Cell<Option<f64>>,
    focused: Cell<bool>,
    typing: Cell<bool>,
    /// What a fine wheel has turned short of a mark, in pixels.
    pixels: Cell<f64>,
    wheel_rests: Cell<Option<Later>>,
}

impl Dial {
    pub(crate) fn find(control: Control, dispatcher: Dispatcher) -> Self {
        let ids = IDS[control as usize];
        Self {
            control,
            dispatcher,
            slots: Slots::find(ids, NAMES),
            marks: Rows::find(&format!("{ids}disc"), "mark-row"),
            shown: RefCell::default(),
            gesture: RefCell::default(),
            under_finger: Cell::default(),
            focused: Cell::default(),
            typing: Cell::default(),
            pixels: Cell::default(),
            wheel_rests: Cell::default(),
        }
    }

    pub(crate) fn show(&self, dial: &DialView) {
        let before = self.shown.replace(Some(dial.clone()));
        let is_first = before.is_none();
        let put = |place, what, now: &str| self.slots.put(place, what, now);
        // The marks change only with another camera.
        let is_same_face = before.is_some_and(|before| Arc::ptr_eq(&before.face, &dial.face));
        if !is_same_face {
            let face = &dial.face;
            self.marks
                .show(face.notches.iter().map(face::mark).collect());
            let wide = if face.wide { "yes" } else { "no" };
            put(Place::Box, What::Attribute("data-wide"), wide);
            let last = face.notches.len().saturating_sub(1).to_string();
            put(Place::Range, What::Attribute("max"), &last);
        }
        let part = part_key(dial.part);
        put(Place::Box, What::Attribute("data-part"), part);
        put(Place::Part, What::Text, part);
        let held = dial.part == Part::Held;
        let pressed = if held { "true" } else { "false" };
        put(Place::Hold, What::Attribute("aria-pressed"), pressed);
        put(
            Place::Range,
            What::Value,
            &nearest_mark(dial.at).to_string(),
        );
        put(
            Place::Range,
            What::Attribute("aria-valuetext"),
            &dial.spoken,
        );
        put(Place::Value, What::Text, &dial.value);
        put(Place::Less, What::Text, &dial.less);
        put(Place::More, What::Text, &dial.more);
        put(
            Place::Note,
            What::Text,
            dial.note.as_deref().unwrap_or_default(),
        );
        self.stand_at(self.under_finger.get());
        if is_first {
            // It stands there from the beginning, and does not turn to it.
            put(Place::Disc, What::Attribute("data-turning"), "true");
        }
    }

    /// Turns the face to where the finger holds it, or to its mark.
    fn stand_at(&self, under_finger: Option<f64>) {
        self.under_finger.set(under_finger);
        let shown = self.shown.borrow();
        let place = under_finger.or(shown.as_ref().map(|dial| dial.place));
        let place = css::number(place.unwrap_or_default());
        let turning = if under_finger.is_some() {
            "true"
        } else {
            "false"
        };
        let put = |what, now: &str| self.slots.put(Place::Disc, what, now);
        put(What::Attribute("data-turning"), turning);
        put(What::Style("--place"), &place);
    }

    fn face_and_place(&self) -> (Arc<Face>, f64) {
        let shown = self.shown.borrow();
        let of = |dial: &DialView| (Arc::clone(&dial.face), dial.place);
        // OK to fall back on a face without marks: nothing can be turned before something was shown.
        let nothing = || {
            (
                Arc::new(Face {
                    notches: Vec::new(),
                    stepless: false,
                    wide: false,
                }),
                0.0,
            )
        };
        shown.as_ref().map_or_else(nothing, of)
    }

    fn settle(&self) {
        self.dispatcher.send(&Intent::Settle);
    }

    /// Does what a button of the dial is for.
    pub(crate) fn pressed(&self, action: &str) {
        let step = |by| {
            self.dispatcher
                .send(&Intent::Nudge(self.control, Nudge::Marks(by)));
            self.settle();
        };
        match action {
            "less" => step(-1),
            "more" => step(1),
            "hold" => {
                let shown = self.shown.borrow();
                let held = shown.as_ref().is_some_and(|dial| dial.part == Part::Held);
                drop(shown);
                self.dispatcher.send(&Intent::Hold(self.control, !held));
            }
            _ => self.begin_typing(),
        }
    }

    /// Something happened to the range, the ring or the field of this dial.
    pub(crate) fn happened(&self, kind: &str, event: &Happened) {
        if let Some((pointer, ring)) = event.pointer() {
            self.pointed(pointer, &ring);
        } else if kind == "wheel" {
            self.wheel(event);
        } else if event.id().ends_with("field") {
            match (kind, event) {
                ("keydown", event) => match event.key().name.as_str() {
                    "Enter" => {
                        // Else the button that gets the focus takes the rest of the key for a press.
                        event.prevent();
                        self.take_typed(true);
                    }
                    "Escape" => self.end_typing(true),
                    _ => {}
                },
                ("focusout", _) => self.take_typed(false),
                _ => {}
            }
        } else if event.id().ends_with("range") {
            match kind {
                "keydown" => self.key_down(event),
                "focusin" => self.focused.set(true),
                "input" => {
                    if let Ok(to) = event.value().parse() {
                        self.dispatcher.send(&Intent::Turn(self.control, to));
                    }
                    // What was refused is not where the range stands.
                    self.slots.value_again(Place::Range);
                }
                "focusout" => {
                    self.focused.set(false);
                    self.settle();
                }
                "keyup" | "change" => self.settle(),
                _ => {}
            }
        }
    }

    /// Turns by the wheel, but only while the dial has the keyboard: else the page has to scroll.
    fn wheel(&self, event: &Happened) {
        let Some((down, in_pixels)) = event.wheel().filter(|_| self.focused.get()) else {
            return;
        };
        event.prevent();
        // Away from the person is brighter, as with the arrow up. Wheels that count in lines send one notch at a time.
        let by = if in_pixels {
            self.pixels.get() - down
        } else {
            -down.signum() * WHEEL_PIXELS
        };
        if by.abs() < WHEEL_PIXELS {
            self.pixels.set(by);
            return;
        }
        self.pixels.set(0.0);
        let marks = if by > 0.0 { 1 } else { -1 };
        self.dispatcher
            .send(&Intent::Nudge(self.control, Nudge::Marks(marks)));
        if let Some(before) = self.wheel_rests.take() {
            events::not_after_all(before);
        }
        let dispatcher = self.dispatcher;
        let rests = move || {
            dispatcher.send(&Intent::Settle);
        };
        self.wheel_rests.set(events::after(WHEEL_RESTS, rests));
    }

    /// The large value turns into a field.
    fn begin_typing(&self) {
        self.type_or_not(true);
        let value = self.shown.borrow().as_ref().map(|dial| dial.value.clone());
        self.slots
            .begin_typing(Place::Field, &value.unwrap_or_default());
    }

    fn end_typing(&self, to_button: bool) {
        self.type_or_not(false);
        self.refuse("");
        if to_button {
            self.slots.focus(Place::Value);
        }
    }

    fn type_or_not(&self, typing: bool) {
        self.typing.set(typing);
        // What is hidden cannot take the focus.
        self.slots.flag(Place::Value, "hidden", typing);
        self.slots.flag(Place::Field, "hidden", !typing);
    }

    fn take_typed(&self, to_button: bool) {
        if !self.typing.get() {
            return;
        }
        let typed = self.slots.value(Place::Field);
        let is_same = |dial: &DialView| dial.value == typed;
        let is_same = self.shown.borrow().as_ref().is_some_and(is_same);
        if is_same {
            self.end_typing(to_button);
            return;
        }
        match self.dispatcher.ask(&Intent::Type(self.control, typed)) {
            Ok(_) => self.end_typing(to_button),
            Err(sentence) => self.refuse(&sentence),
        }
    }

    fn refuse(&self, sentence: &str) {
        let refused = !sentence.is_empty();
        self.slots.text(Place::Error, sentence);
        self.slots.flag(Place::Error, "hidden", !refused);
        let invalid = if refused { "true" } else { "false" };
        self.slots
            .put(Place::Field, What::Attribute("aria-invalid"), invalid);
    }
}

const fn part_key(part: Part) -> &'static str {
    match part {
        Part::Held => "held",
        Part::Follows => "follows",
        Part::Leads => "turned",
        Part::Free => "free",
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the index of a mark"
)]
fn nearest_mark(at: f64) -> usize {
    at.round() as usize
}
