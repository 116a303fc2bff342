//! Flash by guide number, alone, as fill or in series.

use panel::correct::{self, FlashForm};

use super::{about, chosen, field, form, rows, start, worked_out};
use crate::{
    bench::Room,
    caution,
    choice::Options,
    form::{choice, fixed, only, when},
    live::Worked,
    parts::{Part, parts},
};

const ABOUT: &str = "A guide number holds near the camera in a room of ordinary size; outdoors the same flash gives less (common practice, no source). A test frame knows better.";

const UNITS: [(&str, &str); 2] = [("metres", "metres"), ("feet", "feet")];
const JOBS: [(&str, &str); 2] = [("alone", "the only light"), ("fill", "fill in daylight")];
const SHUTTERS: [(&str, &str); 3] = [
    ("leaf_x", "Leaf shutter, X contact"),
    ("leaf_m", "Leaf shutter, M contact"),
    ("focal_plane", "Focal-plane shutter"),
];
const SOURCES: [(&str, &str); 2] = [("electronic", "Electronic"), ("bulb", "Flash bulb")];

pub(super) fn page(room: Room) -> Part {
    let (number, unit, speed) = (start(""), chosen("metres"), start("ISO 100"));
    let (powers, own_powers) = (chosen("whole"), start(""));
    let (power, flashes, distance) = (chosen("full power"), start("1"), start(""));
    let (job, below) = (chosen("alone"), start("1"));
    let (contact, sync, source) = (chosen("leaf_x"), start("1/60"), chosen("electronic"));
    let (bracket, step) = (chosen("none"), chosen("one"));
    let (less, more) = (chosen("1"), chosen("1"));
    let answer = Worked::new(move || {
        let form = FlashForm {
            guide_number: number.get(),
            unit: unit.get(),
            speed: speed.get(),
            powers: powers.get(),
            own_powers: own_powers.get(),
            power: power.get(),
            flashes: flashes.get(),
            distance: distance.get(),
            job: job.get(),
            below: below.get(),
            contact: contact.get(),
            sync: sync.get(),
            source: source.get(),
            bracket: bracket.get(),
            less: less.get(),
            more: more.get(),
            step: step.get(),
        };
        room.with(|state| correct::flash(state, &form))
    });
    let steps = move || correct::powers(&powers.get(), &own_powers.get());
    let in_series = move |part| only(move || bracket.with(|bracket| bracket != "none"), part);
    let counts: Options = (0..=6).map(|n| (n.to_string(), n.to_string())).collect();
    let field = |id, label, hint, typed| field(answer, id, label, hint, typed);
    parts![
        about(ABOUT),
        form([
            field("flash-number", "Guide number", "As printed: 20", number),
            choice("flash-unit", "For distances in", fixed(UNITS), unit),
            field(
                "flash-speed",
                "Printed for",
                "The speed that stands beside the number",
                speed,
            ),
            field(
                "flash-count",
                "Equal flashes",
                "At the same distance: 1, 2",
                flashes,
            ),
            choice(
                "flash-steps",
                "Powers that it has",
                fixed(correct::POWERS),
                powers,
            ),
            when(
                powers,
                &["own"],
                field(
                    "flash-powers",
                    "Its own powers",
                    "full 1/2 1/4 1/16; only full, if it cannot be turned down.",
                    own_powers,
                ),
            ),
            choice("flash-job", "The flash is", fixed(JOBS), job),
            when(
                job,
                &["alone"],
                choice("flash-power", "Set to", steps, power),
            ),
            when(
                job,
                &["fill"],
                field(
                    "flash-below",
                    "Stops below the daylight",
                    "1 is usual, 0 is as strong.",
                    below,
                ),
            ),
            field(
                "flash-distance",
                "From the flash to the subject",
                "3 m, 10 ft",
                distance,
            ),
            choice("flash-bracket", "Frames", fixed(correct::BRACKETS), bracket,),
            in_series(choice(
                "flash-step",
                "Step of the series",
                fixed(correct::STEPS),
                step,
            )),
            in_series(choice(
                "flash-less",
                "Frames with less flash",
                rows(counts.clone()),
                less,
            )),
            in_series(choice(
                "flash-more",
                "Frames with more flash",
                rows(counts),
                more,
            )),
            choice("flash-contact", "Shutter", fixed(SHUTTERS), contact),
            when(
                contact,
                &["focal_plane"],
                field("flash-sync", "Its fastest time with flash", "1/60", sync),
            ),
            choice("flash-source", "Kind of flash", fixed(SOURCES), source),
        ]),
        worked_out(answer),
        about(caution::FLASH),
    ]
}
