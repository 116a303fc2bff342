//! The bracket strip: the frames of the series, planned as a whole.

pub(crate) mod shoot;

use panel::{AxisView, BracketView, FrameView};

use crate::{
    browser::{
        rows::{Row, Rows},
        slots::{Slots, What, places},
    },
    css,
    field::Choice,
};

const BY: &[(&str, &str)] = &[("time", "Time"), ("aperture", "Aperture")];

places! { NAMES { Summary "bracket-summary", Axis "axis", Series "bar-series" } }

/// The strip with its settings.
pub(crate) struct Strip {
    slots: Slots,
    ticks: Rows,
    points: Rows,
    frames: Rows,
}

impl Strip {
    pub(crate) fn find() -> Self {
        Self {
            slots: Slots::find("", NAMES),
            ticks: Rows::find("axis-ticks", "tick-row"),
            points: Rows::find("axis-frames", "point-row"),
            frames: Rows::find("strip", "frame-row"),
        }
    }

    pub(crate) fn show(&self, bracket: &BracketView) {
        let AxisView { from, to } = bracket.axis;
        let ends = [("--from", from), ("--to", to)];
        for (name, end) in ends {
            self.slots
                .put(Place::Axis, What::Style(name), &css::number(f64::from(end)));
        }
        self.ticks.show((from..=to).map(tick).collect());
        self.points.show(bracket.frames.iter().map(point).collect());
        self.frames.show(bracket.frames.iter().map(cell).collect());
        self.slots.text(Place::Summary, &bracket.summary);
        let all: Vec<&str> = bracket
            .frames
            .iter()
            .map(|frame| frame.set.as_str())
            .collect();
        self.slots.text(Place::Series, &all.join(", "));
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

/// A whole stop of the axis.
fn tick(at: i32) -> Row {
    Row {
        attributes: vec![("class", if at == 0 { "box" } else { "" }.to_owned())],
        texts: vec![AxisView::figure(at)],
        bar: css::number(f64::from(at)),
        switch: None,
    }
}

/// A frame on the axis.
fn point(frame: &FrameView) -> Row {
    Row {
        attributes: vec![("class", if frame.base { "base" } else { "" }.to_owned())],
        texts: vec![frame.number.to_string()],
        bar: css::number(frame.box_bar),
        switch: None,
    }
}

/// One frame of the strip.
fn cell(frame: &FrameView) -> Row {
    let class = if frame.base { "cell base" } else { "cell" };
    Row {
        attributes: vec![
            ("class", class.to_owned()),
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
        ..Row::default()
    }
}
