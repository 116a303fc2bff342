//! The shutter: what the camera's times really are, and leaf shutters at small stops.

use panel::{Intent, State, correct, light::LineKind};

use super::{about, chosen, field, form, outcome, seen, start, there};
use crate::{
    bench::Room,
    form::{Typed, choice, fixed, when},
    live::{Live, Worked},
    parts::{Part, el, follows, parts},
    piece::{button_unless, complaint, paragraph, row},
};

const LEAF: &str = "The blades of a leaf shutter uncover a small stop at once and cover it last: short times give more light than they say.";

const WAYS: [(&str, &str); 2] = [("times", "As a time"), (VIDEO, "In a slow-motion video")];
const VIDEO: &str = "video";

/// The fields of a time that was measured.
#[derive(Clone, Copy)]
struct Measured {
    mark: Typed,
    /// One of [`WAYS`].
    how: Live<String>,
    times: Typed,
    pictures: Typed,
    per_second: Typed,
}

impl Measured {
    fn new() -> Self {
        Self {
            mark: start(""),
            how: chosen(WAYS[0].0),
            times: start(""),
            pictures: start(""),
            per_second: start("240"),
        }
    }

    /// Mark, way, figures and pictures per second.
    fn typed(self) -> [String; 4] {
        let how = self.how.get();
        let figures = if how == VIDEO {
            self.pictures
        } else {
            self.times
        };
        [self.mark.get(), how, figures.get(), self.per_second.get()]
    }

    /// What puts it into the camera; none until the fields are right.
    fn into_camera(self, state: &State) -> Option<Intent> {
        let [mark, how, figures, per_second] = self.typed();
        correct::into_camera(state, &mark, &how, &figures, &per_second).ok()
    }
}

pub(super) fn page(room: Room) -> Part {
    let measured = Measured::new();
    let answer = Worked::new(move || {
        let [mark, how, figures, per_second] = measured.typed();
        room.with(|state| correct::measured(state, &mark, &how, &figures, &per_second))
    });
    let leaf = Worked::new(move || room.with(correct::leaf));
    let refused = Live::new(String::new());
    let into_camera = move || {
        if let Some(intent) = room.once(|state| measured.into_camera(state)) {
            refused.set(room.set_up(&intent).err().unwrap_or_default());
        }
    };
    let not_measured = move || answer.with(Result::is_err);
    let into_camera = button_unless(not_measured, "", "Put it into the camera", into_camera);
    let label = "Put the leaf shutter on the ledger";
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    parts![
        there(room, LineKind::Shutter),
        el("h3").says("Measured times"),
        follows(move || room.with(of_the_camera)),
        form([
            field(
                "shutter-mark",
                "Mark on the shutter",
                "As engraved: 1/250",
                measured.mark,
            ),
            choice("shutter-how", "Measured", fixed(WAYS), measured.how),
            when(
                measured.how,
                &[WAYS[0].0],
                field(
                    "shutter-times",
                    "Measured times",
                    "One or several: 1/160 1/155 1/170",
                    measured.times,
                ),
            ),
            when(
                measured.how,
                &[VIDEO],
                field(
                    "shutter-pictures",
                    "Pictures that show it open",
                    "A half-lit one is a half: 2.5",
                    measured.pictures,
                ),
            ),
            when(
                measured.how,
                &[VIDEO],
                field(
                    "shutter-rate",
                    "Pictures per second, as recorded",
                    "Not as played: slow motion is often 120 or 240.",
                    measured.per_second,
                ),
            ),
        ]),
        outcome(room, "shutter-error", "Put it on the ledger", answer, None),
        complaint("into-camera-error", move || refused.get()),
        row([into_camera]),
        el("h3").says("Leaf shutter at a small stop"),
        about(LEAF),
        outcome(room, "leaf-error", label, leaf, None),
    ]
}

/// The times of the camera that were measured.
fn of_the_camera(state: &State) -> Part {
    let (times, drawn) = correct::measured_times(state);
    let name = state.camera_name();
    let says = if times.is_empty() {
        format!("No time of {name} was measured yet.")
    } else {
        format!("{name}, as the dials count it:")
    };
    let list = seen("Measured times of the camera", &times, &drawn);
    parts![paragraph("reason", says), list]
}
