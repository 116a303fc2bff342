//! How this counts: conventions, sources and cautions.

use super::Room;
use crate::{
    caution,
    parts::{Part, el, parts},
    piece::paragraph,
};

const SECTIONS: &[(&str, &[&str])] = &[
    (
        "From a reading to the dials",
        &[
            "A reading is a time, an aperture and a sensitivity that another device shows. Together they mean one amount of \
             light, written as an exposure value (EV) at ISO 100.",
            "The three dials stand for your camera: its own times, its own apertures, and the exposure index (EI) that you \
             rate the film at. Turn one, and a dial that is free turns the same number of stops the other way, so that the \
             exposure stays what the reading asks for.",
            "A held dial stays. With two held, turning the third changes the exposure, and the ledger says by how much and \
             which way.",
            "More light is always on the right of a face: a longer time, a wider aperture, a higher sensitivity.",
        ],
    ),
    (
        "Stops and marks",
        &[
            "One stop is twice or half the light. Every difference is written with its direction, more light or less light, \
             because a bare sign means opposite things to different people.",
            "The figures of the usual series stand for exact steps: 1/125 is a 128th of a second, f/11 is eleven point three. \
             That holds on every camera, an old one too. Any other figure, such as 1/300, 1/25 or f/3.5, is taken as it is \
             written, or as you measured it.",
            "A label that belongs to two series, such as 1/20 or f/13, is read as a third stop unless you say that the device \
             steps in halves.",
            "Where the camera has no mark at the exact value, negative film takes the mark that gives more light, slide film \
             the nearest one. What is left over is always shown, in words, to a sixth of a stop.",
            "Words are exact to a fiftieth of a stop, or “about” stands before them. Where parts have to add up, they are given in \
             hundredths. What is worked out and to be set has three figures; what only says how much it is has two, and “about”.",
        ],
    ),
    (
        "Three speeds, kept apart",
        &[
            "Box speed is what the maker printed. The rating, or EI, is what you expose for. The sensitivity of the reading is \
             only a setting of the other device. Box 400 rated EI 100 gives two stops more light than box.",
            "Each frame of a bracket says both its offset from the base frame and its offset from box speed, with the EI that it \
             amounts to.",
        ],
    ),
    (
        "Between the reading and the film",
        &[
            "Each correction is a line of the ledger that can be left out: what belongs to the reading alone, the reading device, \
             filters, a lens moved out for a near subject, light lost in the lens, the shutter. In stops they add up; the dials \
             make up for the sum.",
            "Film answers less to faint light (reciprocity failure), by an amount that differs from film to film. Its figures \
             are entered under Long times. They count last, on the time alone, and for each frame of a bracket by itself: \
             twice the metered time needs more than twice the counted one.",
            "What counts as sharp is a convention. The circle of confusion is named wherever a depth of field stands.",
        ],
    ),
    (
        "How far a reading may be off",
        &[
            "“Give or take ½ stop” has no direction: the light may be so much brighter or dimmer. It goes with the reading to \
             the ledger, into links and into the log.",
            "Reasons of their own add up by their squares: ½ stop and ⅓ stop together are about ⅔ stop, not ⅚ (Guide to the \
             expression of uncertainty in measurement, JCGM 100). Most single figures are common practice or estimates, and \
             are called so where they stand.",
            "Two readings that agree do not become surer than the way they were found by. Two that are further apart than \
             both allow are less sure: what is used reaches to both.",
        ],
    ),
    (
        "Constants and sources",
        &[
            "The equation is the one of ISO 2720 and the APEX notation: aperture value and time value add up to the exposure \
             value. Reflected light is counted with K = 12.5 cd/m², incident light with C = 250 lx, both at ISO 100.",
            "Published values differ: K 11.4, 12.5 and 14 cd/m², C 224, 250 and 322 lx. K = 12.5 is ANSI PH3.49-1971 as GNU units \
             records it; C = 250 is the value in common use for a flat receptor. They change what the light is called, not \
             what the dials are set to.",
            "The full-stop times are those of the Exif 2.2 specification. The half- and third-stop series, the older series \
             and the list of film speeds are common practice, no source.",
        ],
    ),
    (
        "Cautions",
        &[
            "The hand-held limit is a rule of thumb, one over the focal length. Put your own in its place.",
            "A light found in a table, a photo or the sky is an estimate, and says how far off it may be. A bracket is better \
             evidence.",
            "An old shutter is rarely exact. A time that you measured can be written beside its mark: 1/250=1/160.",
            readings::sky::CAUTION,
            caution::MERCURY,
            caution::FLASH,
        ],
    ),
    (
        "What stays with you",
        &[
            "Everything is worked out on this device, and nothing is sent anywhere. After the first visit the page needs no \
             network. A link carries a setting in the part of the address that browsers keep to themselves.",
        ],
    ),
];

pub(super) fn page(_: Room) -> Part {
    // One paragraph of text for each line; the stylesheet keeps the lines apart.
    let section = |(title, paragraphs): &(&'static str, &[&str])| {
        parts![
            el("h3").says(*title),
            paragraph("lines", paragraphs.join("\n")),
        ]
    };
    Part::Many(SECTIONS.iter().map(section).collect())
}
