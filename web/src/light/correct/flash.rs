//! Flash by guide number, alone, as fill or in series.

use leptos::prelude::*;
use panel::correct::{self, FlashForm};

use super::{about, field, rows, start, worked_out};
use crate::{
    caution,
    choice::Options,
    form::{choice, fixed},
    light::room::Room,
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let (number, unit, speed) = (start(""), start("metres"), start("ISO 100"));
    let (powers, own_powers) = (start("whole"), start(""));
    let (power, flashes, distance) = (start("full power"), start("1"), start(""));
    let (job, below) = (start("alone"), start("1"));
    let (contact, sync, source) = (start("leaf_x"), start("1/60"), start("electronic"));
    let (bracket, step) = (start("none"), start("one"));
    let (less, more) = (start("1"), start("1"));
    let answer = Signal::derive(move || {
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
    let steps = Signal::derive(move || correct::powers(&powers.get(), &own_powers.get()));
    let listed = flag(move || powers.with(|powers| powers != "own"));
    let alone = flag(move || job.with(|job| job != "fill"));
    let as_fill = flag(move || job.with(|job| job == "fill"));
    let leaf = flag(move || contact.with(|contact| contact != "focal_plane"));
    let one_frame = flag(move || bracket.with(|bracket| bracket == "none"));
    let counts: Options = (0..=6).map(|n| (n.to_string(), n.to_string())).collect();
    view! {
        {about(
            "A guide number holds near the camera in a room of ordinary size; outdoors the same flash gives less (common practice, no source). A test frame knows better.",
        )}
        <div class="form">
            {field(answer, "flash-number", "Guide number", "As printed: 20", number)}
            {choice("flash-unit", "For distances in", fixed([("metres", "metres"), ("feet", "feet")]), unit)}
            {field(answer, "flash-speed", "Printed for", "The speed that stands beside the number", speed)}
            {field(answer, "flash-count", "Equal flashes", "At the same distance: 1, 2", flashes)}
            {choice("flash-steps", "Powers that it has", fixed(correct::POWERS), powers)}
            <div hidden=listed>
                {field(
                    answer,
                    "flash-powers",
                    "Its own powers",
                    "full 1/2 1/4 1/16; only full, if it cannot be turned down.",
                    own_powers,
                )}
            </div>
            {choice(
                "flash-job",
                "The flash is",
                fixed([("alone", "the only light"), ("fill", "fill in daylight")]),
                job,
            )}
            <div hidden=as_fill>{choice("flash-power", "Set to", steps, power)}</div>
            <div hidden=alone>
                {field(answer, "flash-below", "Stops below the daylight", "1 is usual, 0 is as strong.", below)}
            </div>
            {field(answer, "flash-distance", "From the flash to the subject", "3 m, 10 ft", distance)}
            {choice("flash-bracket", "Frames", fixed(correct::BRACKETS), bracket)}
            <div hidden=one_frame>
                {choice("flash-step", "Step of the series", fixed(correct::STEPS), step)}
            </div>
            <div hidden=one_frame>
                {choice("flash-less", "Frames with less flash", rows(counts.clone()), less)}
            </div>
            <div hidden=one_frame>
                {choice("flash-more", "Frames with more flash", rows(counts), more)}
            </div>
            {choice(
                "flash-contact",
                "Shutter",
                fixed([
                    ("leaf_x", "Leaf shutter, X contact"),
                    ("leaf_m", "Leaf shutter, M contact"),
                    ("focal_plane", "Focal-plane shutter"),
                ]),
                contact,
            )}
            <div hidden=leaf>
                {field(answer, "flash-sync", "Its fastest time with flash", "1/60", sync)}
            </div>
            {choice(
                "flash-source",
                "Kind of flash",
                fixed([("electronic", "Electronic"), ("bulb", "Flash bulb")]),
                source,
            )}
        </div>
        {worked_out(answer)}
        {about(caution::FLASH)}
    }
    .into_any()
}
