//! The bracket strip: the frames of the series, planned as a whole.

pub(crate) mod shoot;

use panel::{BracketView, FrameView};

use crate::{
    browser::{
        rows::{Row, Rows},
        slots::{Slots, places},
    },
    css,
    field::Choice,
    ledger::lean_key,
};

const BY: &[(&str, &str)] = &[("time", "Time"), ("aperture", "Aperture")];

places! { NAMES { Summary "summary" } }
/// What the ids of the strip begin with.
pub(crate) const IDS: &str = "bracket-";

/// The strip with its settings.
pub(crate) struct Strip {
    slots: Slots,
    frames: Rows,
}

impl Strip {
    pub(crate) fn find() -> Self {
        Self {
            slots: Slots::find(IDS, NAMES),
            frames: Rows::find("strip", "frame-row"),
        }
    }

    pub(crate) fn show(&self, bracket: &BracketView) {
        self.frames.show(bracket.frames.iter().map(cell).collect());
        self.slots.text(Place::Summary, &bracket.summary);
    }

    /// What is chosen for the series, which no turn of a dial changes.
    pub(crate) fn show_plan([by, step, under, over, order]: [&Choice; 5], bracket: &BracketView) {
        by.show(BY.iter().copied(), bracket.by);
        step.show(bracket.steps.iter().copied(), bracket.step);
        let counts: Vec<String> = (0..=bracket.most).map(|count| count.to_string()).collect();
        for (choice, count) in [(under, bracket.under), (over, bracket.over)] {
            let counts = counts.iter().map(|count| (count.as_str(), count.as_str()));
            choice.show(counts, &count.to_string());
        }
        order.show(bracket.orders.iter().copied(), bracket.order);
    }
}

/// What the choices hang on.
pub(crate) fn plan(bracket: &BracketView) -> (&str, &str, u8, u8, u8, &str) {
    (
        bracket.by,
        bracket.step,
        bracket.under,
        bracket.over,
        bracket.most,
        bracket.order,
    )
}

/// One frame of the strip.
fn cell(frame: &FrameView) -> Row {
    let class = if frame.base { "cell base" } else { "cell" };
    Row {
        attributes: vec![
            ("class", class.to_owned()),
            ("data-lean", lean_key(frame.lean).to_owned()),
            ("data-tripod", frame.tripod.to_string()),
        ],
        texts: vec![
            frame.number.to_string(),
            frame.set.clone(),
            frame.from_box.clone(),
            frame.from_base.clone(),
            format!("leave {}", frame.leave),
            frame.amounts_to.clone(),
            frame.support.to_owned(),
            frame.count.clone(),
            frame.sharp.clone(),
            frame.flags.join("\n"),
        ],
        bar: css::number(frame.box_bar.abs()),
        switch: None,
    }
}
