//! What can be drawn of sentences: where the things lie that they speak of, for a page that places them and no more.

use exposure::{Axis, Stops, words};

/// A value on a line, and its words under it.
pub type Tick = (f64, String);

/// What lies on a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// From one value to another.
    Bar(f64, f64),
    /// The same, behind what counts or of less worth.
    Hollow(f64, f64),
    /// The value itself.
    Dot(f64),
    /// What it is compared with: where the subject stands, or nothing on a line of stops.
    Against(f64),
}

/// Sentences with a line beside each, all on one axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    /// What is drawn.
    pub name: String,
    /// How to read it.
    pub legend: String,
    /// The axis.
    pub axis: Axis,
    /// What stands under it.
    pub ticks: Vec<Tick>,
    /// The sentence that the first line belongs to, among all; the next one to the next.
    pub first: usize,
    /// What lies on the line of each.
    pub rows: Vec<Vec<Piece>>,
    /// Which of them is set now.
    pub set: Option<usize>,
}

/// What a film needs at long times, as a curve. Times are logarithms to the base of two of seconds: metered ones across,
/// counted ones upwards.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Metered times.
    pub across: Axis,
    /// Times to count.
    pub up: Axis,
    /// What stands under the metered times.
    pub across_ticks: Vec<Tick>,
    /// What stands beside the counted times.
    pub up_ticks: Vec<Tick>,
    /// As far as the rule's source speaks.
    pub known: Vec<[f64; 2]>,
    /// Beyond it.
    pub guess: Vec<[f64; 2]>,
    /// A film that needs nothing more.
    pub as_metered: [[f64; 2]; 2],
    /// The frames that stand on the dial, those that lie on the axis.
    pub frames: Vec<[f64; 2]>,
    /// What it shows.
    pub says: String,
}

/// What can be drawn of what a form comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawn {
    /// Nothing that would say more.
    Nothing,
    /// Lines, one for each of some sentences.
    Rows(Rows),
    /// A curve.
    Curve(Box<Curve>),
}

/// Values of a series that lie on a logarithmic axis, at most so many, evenly left out: always those with `keep` among them.
pub(crate) fn log_ticks(
    axis: Axis,
    values: &[f64],
    keep: usize,
    most: usize,
    words: &dyn Fn(f64) -> String,
) -> Vec<Tick> {
    let on_axis = |every: usize| {
        let chosen = values.iter().enumerate();
        chosen
            .filter(move |(i, value)| {
                (i + every * keep - keep).is_multiple_of(every) && axis.holds(value.log2())
            })
            .map(|(_, value)| *value)
    };
    // OK to fall back on one value: there are no more than that.
    let every = (1..values.len()).find(|every| on_axis(*every).count() <= most);
    on_axis(every.unwrap_or(values.len().max(1)))
        .map(|value| (value.log2(), words(value)))
        .collect()
}

/// Stops on an axis, with the sign of what the film gets.
pub(crate) fn stop_ticks(axis: Axis) -> Vec<Tick> {
    let words = |stops: f64| {
        let sign = if stops > 0.0 { "+" } else { "" };
        format!("{sign}{}", words::decimal(stops, 2))
    };
    let ticks = axis.ticks(7).into_iter();
    ticks.map(|stops| (stops, words(stops))).collect()
}

/// An axis of whole stops around some, with nothing in it.
pub(crate) fn stops_around(values: impl IntoIterator<Item = Stops>, least: f64) -> Axis {
    let values = values.into_iter().map(Stops::get);
    Axis::around(values.chain([0.0]), least)
}
