//! Flash by guide number, alone or as fill.

use leptos::prelude::*;
use panel::correct::{self, FlashForm};

use super::{about, rows, start, worked_out};
use crate::{
    caution,
    form::{choice, entry, fixed},
    light::room::Room,
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let (number, unit, speed) = (start(""), start("metres"), start("ISO 100"));
    let (power, flashes, distance) = (start("1"), start("1"), start(""));
    let (job, below) = (start("alone"), start("1"));
    let (contact, sync, source) = (start("leaf_x"), start("1/60"), start("electronic"));
    let answer = Signal::derive(move || {
        let form = FlashForm {
            guide_number: number.get(),
            unit: unit.get(),
            speed: speed.get(),
            power: power.get(),
            flashes: flashes.get(),
            distance: distance.get(),
            job: job.get(),
            below: below.get(),
            contact: contact.get(),
            sync: sync.get(),
            source: source.get(),
        };
        room.with(|state| correct::flash(state, &form))
    });
    let alone = flag(move || job.with(|job| job != "fill"));
    let as_fill = flag(move || job.with(|job| job == "fill"));
    let leaf = flag(move || contact.with(|contact| contact != "focal_plane"));
    view! {
        {about(
            "A guide number holds near the camera in a room of ordinary size; outdoors the same flash gives less (common practice, no source). A test frame knows better.",
        )}
        <div class="form">
            {entry("flash-number", "Guide number", "As printed: 20", number)}
            {choice("flash-unit", "For distances in", fixed([("metres", "metres"), ("feet", "feet")]), unit)}
            {entry("flash-speed", "Printed for", "The speed that stands beside the number", speed)}
            {entry("flash-count", "Equal flashes", "At the same distance: 1, 2", flashes)}
            {choice(
                "flash-job",
                "The flash is",
                fixed([("alone", "the only light"), ("fill", "fill in daylight")]),
                job,
            )}
            <div hidden=as_fill>{choice("flash-power", "Set to", rows(correct::powers()), power)}</div>
            <div hidden=alone>
                {entry("flash-below", "Stops below the daylight", "1 is usual, 0 is as strong.", below)}
            </div>
            {entry("flash-distance", "From the flash to the subject", "3 m, 10 ft", distance)}
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
                {entry("flash-sync", "Its fastest time with flash", "1/60", sync)}
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
