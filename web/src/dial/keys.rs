//! Keys on a dial: Up and Right are brighter on all three.

use panel::{Intent, Nudge};

use super::Dial;
use crate::browser::events::Happened;

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

impl Dial {
    /// A key went down while the dial had the keyboard.
    pub(super) fn key_down(&self, event: &Happened) {
        let key = event.key();
        if key.modified {
            return;
        }
        if key.name == "Escape" {
            event.prevent();
            if !self.give_back() {
                self.dispatcher.send(&Intent::GiveBack(self.control));
            }
        } else if let Some(nudge) = nudge(&key.name, key.shift) {
            // Also where the dial is at its end: else the page would scroll away under it.
            event.prevent();
            self.dispatcher.send(&Intent::Nudge(self.control, nudge));
        }
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
