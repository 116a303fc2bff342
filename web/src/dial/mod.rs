//! A rotary dial: a native range input under a painted ring.
//!
//! The range is what keyboards and screen readers turn; the ring is what fingers turn; both send the same wishes.

mod face;
mod keys;
mod pointer;

use std::{
    cell::{Cell, RefCell},
    rc::Rc,
    sync::Arc,
};

use panel::{Control, DialView, Intent, Nudge, Part, View};

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
        Box "dial", Part "part", Range "range", Disc "disc", Type "type", Value "value", Field "field", Error "error",
        Note "note", Hold "hold", Less "less", More "more",
    }
}

/// What the ids of each dial begin with, in the order of the controls.
pub(crate) const IDS: [&str; 3] = ["time-", "aperture-", "sensitivity-"];

/// The three dials, and where what happens to them is heard.
pub(crate) struct Dials {
    dials: [Dial; 3],
    /// Whether the pointer was moved since the page was scrolled: then what is under it was meant.
    pointer_moved: Cell<bool>,
}

/// What happens to dials and comes up to where they stand.
pub(crate) const HAPPENS: [&str; 11] = [
    "change",
    "input",
    "keydown",
    "keyup",
    "focusin",
    "focusout",
    "pointerdown",
    "pointermove",
    "pointerup",
    "pointercancel",
    "lostpointercapture",
];

impl Dials {
    /// Finds them in the document; `before` stands before their ids.
    pub(crate) fn find(before: &str, dispatcher: Dispatcher) -> Self {
        Self {
            dials: Control::ALL.map(|control| Dial::find(before, control, dispatcher)),
            pointer_moved: Cell::new(false),
        }
    }

    /// Hears what does not come up by itself; all else is for [`happened`](Self::happened) and [`pressed`](Self::pressed).
    pub(crate) fn listen(&'static self, before: &str) {
        for ids in IDS {
            // These two would make the browser wait with each scroll of the page.
            events::listen(&format!("{before}{ids}dial"), &["wheel"], move |event| {
                if let Some(dial) = event.dial() {
                    self.dials[dial].wheel(event, self.pointer_moved.get());
                }
            });
            // Else some browsers take the lift for a fling, and swallow the next tap anywhere on the page.
            events::listen(
                &format!("{before}{ids}grip"),
                &["touchstart"],
                Happened::prevent,
            );
        }
        events::listen_to_window("scroll", move |_| self.pointer_moved.set(false));
    }

    /// Shows their parts of a view, where those differ.
    pub(crate) fn show(&self, view: &Rc<View>) {
        for dial in &self.dials {
            dial.show(view);
        }
    }

    /// Whether a button of a dial was pressed; then it is done.
    pub(crate) fn pressed(&self, event: &Happened, action: &str) -> bool {
        let Some(dial) = event.dial() else {
            return false;
        };
        self.dials[dial].pressed(action);
        true
    }

    /// Whether something happened to a dial, or was one of the many moves of a pointer; then it is done.
    pub(crate) fn happened(&self, before: &str, kind: &str, event: &Happened) -> bool {
        if let Some(pointer) = event.pointer() {
            // Many of them come while nothing is turned.
            let turned = self.dials.iter().find(|dial| dial.is_turning());
            match turned {
                Some(dial) => dial.pointed(kind, pointer),
                None if kind == "pointerdown" => {
                    let on = event.dial().zip(event.ring());
                    if let Some((dial, ring)) = on {
                        self.dials[dial].pointer_down(pointer, &ring);
                    }
                }
                // A page that is scrolled under a pointer sends moves as well, of no length.
                None if kind == "pointermove"
                    && (pointer.movement_x() != 0 || pointer.movement_y() != 0) =>
                {
                    self.pointer_moved.set(true);
                }
                None => {}
            }
            return true;
        }
        let id = event.id();
        let Some(id) = id.strip_prefix(before) else {
            return false;
        };
        for (dial, ids) in self.dials.iter().zip(IDS) {
            if let Some(part) = id.strip_prefix(ids) {
                dial.happened(part, kind, event);
                return true;
            }
        }
        false
    }
}

/// One dial with its value, its hold latch and its step buttons.
pub(crate) struct Dial {
    control: Control,
    dispatcher: Dispatcher,
    slots: Slots,
    marks: Rows,
    /// The view that it shows its part of.
    shown: RefCell<Option<Rc<View>>>,
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
    /// Finds a dial in the document; `before` stands before its ids.
    fn find(before: &str, control: Control, dispatcher: Dispatcher) -> Self {
        let ids = &format!("{before}{}", IDS[control as usize]);
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

    /// Shows its part of a view, where that differs.
    pub(crate) fn show(&self, view: &Rc<View>) {
        let before = self.shown.replace(Some(Rc::clone(view)));
        let before = before.as_deref().map(|before| self.part_of(before));
        let dial = self.part_of(view);
        if before == Some(dial) {
            return;
        }
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

    fn part_of<'a>(&self, view: &'a View) -> &'a DialView {
        &view.dials[self.control as usize]
    }

    /// What it shows, as far as something is shown.
    fn view(&self) -> Option<Rc<View>> {
        self.shown.borrow().clone()
    }

    /// Turns the face to where the finger holds it, or to its mark.
    fn stand_at(&self, under_finger: Option<f64>) {
        self.under_finger.set(under_finger);
        let place = under_finger.or_else(|| Some(self.part_of(&*self.view()?).place));
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
                let view = self.view();
                let held = view.is_some_and(|view| self.part_of(&view).part == Part::Held);
                self.dispatcher.send(&Intent::Hold(self.control, !held));
            }
            _ => self.begin_typing(),
        }
    }

    /// Something happened to a part of this dial: its range or its field.
    pub(crate) fn happened(&self, part: &str, kind: &str, event: &Happened) {
        match (part, kind) {
            ("field", "keydown") => match event.key().name.as_str() {
                "Enter" => {
                    // Else the button that gets the focus takes the rest of the key for a press.
                    event.prevent();
                    self.take_typed(true);
                }
                "Escape" => self.end_typing(true),
                _ => {}
            },
            ("field", "focusout") => self.take_typed(false),
            ("range", "keydown") => self.key_down(event),
            ("range", "focusin") => self.focused.set(true),
            ("range", "input") => {
                if let Ok(to) = event.value().parse() {
                    self.dispatcher.send(&Intent::Turn(self.control, to));
                }
                // What was refused is not where the range stands.
                self.slots.value_again(Place::Range);
            }
            ("range", "focusout") => {
                self.focused.set(false);
                self.settle();
            }
            ("range", "keyup" | "change") => self.settle(),
            _ => {}
        }
    }

    /// Turns by the wheel where the dial was meant: it has the keyboard, or the pointer was moved to it. Where the page was
    /// scrolled until the dial came under the pointer, the page goes on scrolling.
    pub(crate) fn wheel(&self, event: &Happened, was_pointed_at: bool) {
        let is_meant = was_pointed_at || self.focused.get();
        let Some((down, in_pixels)) = event.wheel().filter(|_| is_meant) else {
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
        let value = self.view().map(|view| self.part_of(&view).value.clone());
        self.slots
            .begin_typing(Place::Field, &value.unwrap_or_default());
    }

    fn end_typing(&self, to_button: bool) {
        self.type_or_not(false);
        self.refuse("");
        if to_button {
            self.slots.focus(Place::Type);
        }
    }

    fn type_or_not(&self, typing: bool) {
        self.typing.set(typing);
        // What is hidden cannot take the focus.
        self.slots.flag(Place::Type, "hidden", typing);
        self.slots.flag(Place::Field, "hidden", !typing);
    }

    fn take_typed(&self, to_button: bool) {
        if !self.typing.get() {
            return;
        }
        let typed = self.slots.value(Place::Field);
        let shown = self.view();
        if shown.is_some_and(|view| self.part_of(&view).value == typed) {
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
        Part::Reads => "of the reading",
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
