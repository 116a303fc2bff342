//! A finger, pen or mouse on the ring of a dial.

use panel::{Intent, dial};
use web_sys::{Element, FocusOptions, PointerEvent};

use super::{Dial, Place};
use crate::browser::vibration;

/// The pitch that holds where the stylesheet sets none, in degrees per stop.
const PITCH: f64 = 12.0;

/// A gesture under way: one pointer, from down to up.
pub(super) struct Gesture {
    pointer: i32,
    turn: dial::Turn,
    /// The mark that it began on.
    began: usize,
    by_touch: bool,
}

impl Dial {
    /// Whether a pointer turns this dial.
    pub(crate) fn is_turning(&self) -> bool {
        self.gesture.borrow().is_some()
    }

    /// Follows the pointer that turns this dial.
    pub(crate) fn pointed(&self, kind: &str, event: &PointerEvent) {
        match kind {
            _ if !self.is_turned_by(event) => {}
            "pointermove" => self.pointer_moved(event),
            "pointerup" => self.pointer_up(event),
            "pointercancel" => {
                self.give_back();
            }
            "lostpointercapture" => {
                self.end();
                self.settle();
            }
            // Pressed once more, with another button.
            _ => {}
        }
    }

    /// A pointer takes hold of this dial's ring, while none turns any.
    pub(crate) fn pointer_down(&self, event: &PointerEvent, ring: &Element) {
        let modified = event.ctrl_key() || event.alt_key() || event.meta_key() || event.shift_key();
        if !event.is_primary() || modified || event.button() != 0 {
            return;
        }
        let bounds = ring.get_bounding_client_rect();
        let centre = dial::Point {
            x: bounds.left() + bounds.width() / 2.0,
            y: bounds.top() + bounds.height() / 2.0,
        };
        let turn = self.view().and_then(|view| {
            let dial = self.part_of(&view);
            dial::Turn::start(&dial.face, dial.place, centre, point(event), pitch(ring))
        });
        let Some(turn) = turn else { return };
        // OK to ignore: without capture the gesture ends at the ring's edge. Pointers made by a script have none.
        let _ = ring.set_pointer_capture(event.pointer_id());
        // Else the browser selects text, and takes the focus from the range again.
        event.prevent_default();
        if let Some(range) = self.slots.element(Place::Range) {
            let still = FocusOptions::new();
            still.set_prevent_scroll(true);
            // OK to ignore: the turn goes on without the keyboard.
            let _ = range.focus_with_options(&still);
        }
        self.gesture.replace(Some(Gesture {
            pointer: event.pointer_id(),
            began: turn.mark(),
            turn,
            by_touch: event.pointer_type() == "touch",
        }));
    }

    fn pointer_moved(&self, event: &PointerEvent) {
        let moved = self.gesture.borrow_mut().as_mut().map(|gesture| {
            let moved = gesture.turn.moved(point(event));
            (moved, gesture.by_touch)
        });
        let Some((moved, by_touch)) = moved else {
            return;
        };
        self.stand_at(Some(moved.place));
        if let Some(mark) = moved.mark {
            let outcome = self.dispatcher.send(&Intent::Turn(self.control, mark));
            if outcome.moved && by_touch && self.dispatcher.ticks() {
                vibration::tick();
            }
        }
    }

    fn pointer_up(&self, event: &PointerEvent) {
        if let Some(gesture) = self.end()
            && let Some(mark) = gesture.turn.tapped(point(event))
        {
            self.dispatcher.send(&Intent::Turn(self.control, mark));
        }
        self.settle();
    }

    /// Ends the gesture and gives back the value from before it; whether there was one.
    pub(super) fn give_back(&self) -> bool {
        let Some(gesture) = self.end() else {
            return false;
        };
        // A gesture that stands where it began has nothing to give back; asking would undo an earlier turn.
        let intent = if gesture.turn.mark() == gesture.began {
            Intent::Settle
        } else {
            Intent::GiveBack(self.control)
        };
        self.dispatcher.send(&intent);
        true
    }

    fn end(&self) -> Option<Gesture> {
        let gesture = self.gesture.take();
        self.stand_at(None);
        gesture
    }

    fn is_turned_by(&self, event: &PointerEvent) -> bool {
        let gesture = self.gesture.borrow();
        gesture
            .as_ref()
            .is_some_and(|gesture| gesture.pointer == event.pointer_id())
    }
}

fn point(event: &PointerEvent) -> dial::Point {
    dial::Point {
        x: f64::from(event.client_x()),
        y: f64::from(event.client_y()),
    }
}

/// Degrees per stop, as the layout sets them; read once in a gesture, for it makes the browser work out styles.
fn pitch(ring: &Element) -> f64 {
    web_sys::window()
        .and_then(|window| window.get_computed_style(ring).ok().flatten())
        .and_then(|style| style.get_property_value("--pitch").ok())
        // Read as a script would: the standard library's parser of such numbers is not on the page.
        .map(|text| js_sys::parse_float(&text))
        .filter(|pitch| pitch.is_finite())
        .unwrap_or(PITCH)
}
