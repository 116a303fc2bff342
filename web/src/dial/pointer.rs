//! A finger, pen or mouse on the ring of a dial.

use leptos::html;
use leptos::prelude::*;
use panel::{Control, DialView, Intent, dial};
use wasm_bindgen::JsCast;
use web_sys::{FocusOptions, HtmlElement, PointerEvent};

use crate::{browser::vibration, store::Dispatcher};

/// The pitch that holds where the stylesheet sets none, in degrees per stop.
const PITCH: f64 = 12.0;

/// A gesture under way.
struct Gesture {
    pointer: i32,
    turn: dial::Turn,
    /// The mark that it began on.
    began: usize,
    by_touch: bool,
}

/// Follows one pointer from down to up and turns its dial.
#[derive(Clone, Copy)]
pub(super) struct Grip {
    control: Control,
    dial: RwSignal<DialView>,
    tick: Signal<bool>,
    range: NodeRef<html::Input>,
    dispatcher: Dispatcher,
    gesture: StoredValue<Option<Gesture>>,
    /// Where the face stands under the finger, in stops; none while it rests on its mark.
    under_finger: RwSignal<Option<f64>>,
}

impl Grip {
    pub(super) fn new(
        control: Control,
        dial: RwSignal<DialView>,
        tick: Signal<bool>,
        range: NodeRef<html::Input>,
        dispatcher: Dispatcher,
    ) -> Self {
        Self {
            control,
            dial,
            tick,
            range,
            dispatcher,
            gesture: StoredValue::new(None),
            under_finger: RwSignal::new(None),
        }
    }

    /// Where the face stands under the finger, in stops; none while no finger turns it.
    pub(super) fn place(self) -> Option<f64> {
        self.under_finger.get()
    }

    pub(super) fn down(self, event: &PointerEvent) {
        let second_finger = self.gesture.with_value(Option::is_some) || !event.is_primary();
        let modified = event.ctrl_key() || event.alt_key() || event.meta_key() || event.shift_key();
        if second_finger || modified || event.button() != 0 {
            return;
        }
        let Some(ring) = event
            .current_target()
            .and_then(|target| target.dyn_into::<HtmlElement>().ok())
        else {
            return;
        };
        let bounds = ring.get_bounding_client_rect();
        let centre = dial::Point {
            x: bounds.left() + bounds.width() / 2.0,
            y: bounds.top() + bounds.height() / 2.0,
        };
        let turn = self.dial.with_untracked(|dial| {
            dial::Turn::start(&dial.face, dial.place, centre, point(event), pitch(&ring))
        });
        let Some(turn) = turn else { return };
        // OK to ignore: without capture the gesture ends at the ring's edge. Pointers made by a script have none.
        let _ = ring.set_pointer_capture(event.pointer_id());
        // Else the browser selects text, and takes the focus from the range again.
        event.prevent_default();
        self.focus();
        self.gesture.set_value(Some(Gesture {
            pointer: event.pointer_id(),
            began: turn.mark(),
            turn,
            by_touch: event.pointer_type() == "touch",
        }));
    }

    pub(super) fn moved(self, event: &PointerEvent) {
        if !self.is_mine(event) {
            return;
        }
        let moved = self
            .gesture
            .try_update_value(|gesture| {
                let gesture = gesture.as_mut()?;
                Some((gesture.turn.moved(point(event)), gesture.by_touch))
            })
            .flatten();
        let Some((moved, by_touch)) = moved else {
            return;
        };
        self.under_finger.set(Some(moved.place));
        if let Some(mark) = moved.mark {
            let outcome = self.dispatcher.send(&Intent::Turn(self.control, mark));
            if outcome.moved && by_touch && self.tick.get_untracked() {
                vibration::tick();
            }
        }
    }

    pub(super) fn up(self, event: &PointerEvent) {
        if !self.is_mine(event) {
            return;
        }
        if let Some(gesture) = self.end()
            && let Some(mark) = gesture.turn.tapped(point(event))
        {
            self.dispatcher.send(&Intent::Turn(self.control, mark));
        }
        self.dispatcher.send(&Intent::Settle);
    }

    pub(super) fn cancelled(self, event: &PointerEvent) {
        if self.is_mine(event) {
            self.give_back();
        }
    }

    pub(super) fn lost(self, event: &PointerEvent) {
        if self.is_mine(event) {
            self.end();
            self.dispatcher.send(&Intent::Settle);
        }
    }

    /// Ends the gesture and gives back the value from before it; whether there was one.
    pub(super) fn give_back(self) -> bool {
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

    fn end(self) -> Option<Gesture> {
        self.under_finger.set(None);
        self.gesture.try_update_value(Option::take).flatten()
    }

    fn is_mine(self, event: &PointerEvent) -> bool {
        self.gesture.with_value(|gesture| {
            gesture
                .as_ref()
                .is_some_and(|gesture| gesture.pointer == event.pointer_id())
        })
    }

    fn focus(self) {
        if let Some(range) = self.range.get_untracked() {
            let still = FocusOptions::new();
            still.set_prevent_scroll(true);
            // OK to ignore: the turn goes on without the keyboard.
            let _ = range.focus_with_options(&still);
        }
    }
}

fn point(event: &PointerEvent) -> dial::Point {
    dial::Point {
        x: f64::from(event.client_x()),
        y: f64::from(event.client_y()),
    }
}

/// Degrees per stop, as the layout sets them; read once in a gesture, for it makes the browser work out styles.
fn pitch(ring: &HtmlElement) -> f64 {
    web_sys::window()
        .and_then(|window| window.get_computed_style(ring).ok().flatten())
        .and_then(|style| style.get_property_value("--pitch").ok())
        // Read as a script would: the standard library's parser of such numbers is not on the page.
        .map(|text| js_sys::parse_float(&text))
        .filter(|pitch| pitch.is_finite())
        .unwrap_or(PITCH)
}
