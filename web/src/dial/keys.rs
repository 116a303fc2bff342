//! Keys on a dial: Up and Right are brighter on all three.

use leptos::ev::KeyboardEvent;
use panel::{Control, Intent, Nudge};

use super::pointer::Grip;
use crate::store::Dispatcher;

/// What a key means; with Shift, arrows turn a full stop.
fn nudge(key: &str, shift: bool) -> Option<Nudge> {
    let arrow = |by| {
        if shift {
            Nudge::Stops(by)
        } else {
            Nudge::Marks(by)
        }
    };
    Some(match key {
        "ArrowUp" | "ArrowRight" => arrow(1),
        "ArrowDown" | "ArrowLeft" => arrow(-1),
        "PageUp" => Nudge::Stops(1),
        "PageDown" => Nudge::Stops(-1),
        "Home" => Nudge::End(false),
        "End" => Nudge::End(true),
        _ => return None,
    })
}

/// A key went down while the dial had the keyboard.
pub(super) fn down(event: &KeyboardEvent, control: Control, grip: Grip, dispatcher: Dispatcher) {
    if event.ctrl_key() || event.alt_key() || event.meta_key() {
        return;
    }
    let key = event.key();
    if key == "Escape" {
        event.prevent_default();
        if !grip.give_back() {
            dispatcher.send(&Intent::GiveBack(control));
        }
    } else if let Some(nudge) = nudge(&key, event.shift_key()) {
        // Also where the dial is at its end: else the page would scroll away under it.
        event.prevent_default();
        dispatcher.send(&Intent::Nudge(control, nudge));
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test]
    fn up_and_right_are_brighter_and_shift_is_a_full_stop() {
        assert_eq!(nudge("ArrowUp", false), Some(Nudge::Marks(1)), "up");
        assert_eq!(nudge("ArrowRight", false), Some(Nudge::Marks(1)), "right");
        assert_eq!(
            nudge("ArrowLeft", true),
            Some(Nudge::Stops(-1)),
            "shift left"
        );
        assert_eq!(nudge("PageUp", false), Some(Nudge::Stops(1)), "page up");
        assert_eq!(nudge("Home", false), Some(Nudge::End(false)), "home");
        assert_eq!(nudge("Tab", false), None, "other keys are left alone");
    }
}
