//! Drawings. Where something lies comes from an [`Axis`]; letters stay letters of the page, and only curves are stretched.
//!
//! A drawing says nothing by itself: it stands in a [`figure`] with its sentence, or beside words that say the same.

use std::fmt::Write as _;

use exposure::Axis;
use panel::drawn::{Curve, Piece, Rows, Tick};

use crate::parts::{Element, Part, Words, el, svg};

/// A share of a length as a style takes it: `37.5%` as `37.500%`.
pub(crate) fn percent(share: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share lies between nought and one"
    )]
    let thousandths = (share * 100_000.0).round() as u32;
    format!("{}.{:03}%", thousandths / 1000, thousandths % 1000)
}

/// A drawing with its name, and the sentence that says what it shows.
pub(crate) fn figure(
    name: impl Into<Words>,
    sentence: impl Into<Words>,
    drawing: impl Into<Part>,
) -> Element {
    figure_of(name.into(), sentence.into(), drawing.into())
}

fn figure_of(name: Words, sentence: Words, drawing: Part) -> Element {
    el("figure")
        .class("drawn")
        .named(name)
        .with(drawing)
        .with(el("figcaption").class("reason").says(sentence))
}

/// A line with marks at round values, and what lies on it.
pub(crate) fn track(axis: Axis, most: usize, pieces: Vec<Element>) -> Element {
    let ticks = axis.ticks(most).into_iter().map(|at| dot(axis, "tick", at));
    track_of(ticks.chain(pieces).collect())
}

fn track_of(pieces: Vec<Element>) -> Element {
    el("div")
        .class("track")
        .attr("aria-hidden", "true")
        .all(pieces)
}

/// The line of one of several rows on the same axis.
pub(crate) fn row_track(rows: &Rows, pieces: &[Piece]) -> Element {
    let axis = rows.axis;
    let ticks = rows.ticks.iter().map(|(at, _)| dot(axis, "tick", *at));
    let pieces = pieces.iter().map(|piece| match *piece {
        Piece::Bar(from, to) => band(axis, "band", from, to),
        Piece::Hollow(from, to) => band(axis, "faint", from, to),
        Piece::Dot(at) => dot(axis, "point", at),
        Piece::Against(at) => dot(axis, "against", at),
    });
    track_of(ticks.chain(pieces).collect())
}

/// What stands under such rows.
pub(crate) fn ticks_under(axis: Axis, ticks: &[Tick]) -> Element {
    let label = |(at, words): &Tick| dot(axis, "at", *at).says(words.clone());
    el("div")
        .class("line-scale")
        .attr("aria-hidden", "true")
        .all(ticks.iter().map(label))
}

/// What a film needs at long times.
pub(crate) fn curve(curve: &Curve) -> Element {
    let plot = Plot {
        x: curve.across,
        y: curve.up,
    };
    let values = |ticks: &[Tick]| -> Vec<f64> { ticks.iter().map(|(at, _)| *at).collect() };
    let heights = curve.up_ticks.iter();
    let mut pieces: Vec<Element> = heights
        .map(|(at, words)| plot.height(*at, words.clone()))
        .collect();
    pieces.push(plot.curve("plain", &curve.as_metered));
    pieces.push(plot.curve("known", &curve.known));
    pieces.push(plot.curve("guess", &curve.guess));
    pieces.extend(curve.frames.iter().map(|frame| plot.dot("dot", *frame)));
    let (across, up) = (values(&curve.across_ticks), values(&curve.up_ticks));
    let times = el("div")
        .class("times")
        .with(plot.field_at(&across, &up, pieces))
        .with(ticks_under(plot.x, &curve.across_ticks));
    figure("Metered and counted time", curve.says.clone(), times)
}

/// From one value to another.
pub(crate) fn band(axis: Axis, class: &'static str, from: f64, to: f64) -> Element {
    let [from, to] = [axis.share(from.min(to)), axis.share(from.max(to))];
    el("span")
        .class(class)
        .style("--at", percent(from))
        .style("--long", percent(to - from))
}

/// At a value.
pub(crate) fn dot(axis: Axis, class: &'static str, at: f64) -> Element {
    el("span")
        .class(class)
        .style("--at", percent(axis.share(at)))
}

/// Round values under a line or a plot, each in words.
pub(crate) fn line_scale(axis: Axis, most: usize, words: impl Fn(f64) -> String) -> Element {
    line_scale_of(axis, &axis.ticks(most), &words)
}

/// The same at values that are chosen.
pub(crate) fn line_scale_of(axis: Axis, ticks: &[f64], words: &dyn Fn(f64) -> String) -> Element {
    let ticks: Vec<Tick> = ticks.iter().map(|at| (*at, words(*at))).collect();
    ticks_under(axis, &ticks)
}

/// What is moved by hand over a drawing: a native slider as long as its line, whose knob is the mark that is drawn there.
/// It goes in whole steps, and says what it has come to.
pub(crate) fn hold(
    id: impl Into<Words>,
    name: impl Into<Words>,
    ends: [i32; 2],
    at: i32,
    says: impl Into<Words>,
    slide: impl Fn(i32) + 'static,
) -> Element {
    let (id, name, says) = (id.into(), name.into(), says.into());
    hold_boxed(id, name, [ends[0], ends[1], at], says, Box::new(slide))
}

fn hold_boxed(
    id: Words,
    name: Words,
    [least, most, at]: [i32; 3],
    says: Words,
    slide: Box<dyn Fn(i32)>,
) -> Element {
    el("input")
        .id(id)
        .class("over")
        .named(name)
        .attr("type", "range")
        .attr("min", least.to_string())
        .attr("max", most.to_string())
        .attr("aria-valuetext", says)
        .value(at.to_string())
        .on("input", move |event| {
            if let Ok(to) = event.value().parse() {
                slide(to);
            }
        })
}

/// Two axes: across, and upwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Plot {
    pub(crate) x: Axis,
    pub(crate) y: Axis,
}

/// Points of a curve across and upwards, in units that are stretched to the size of the plot.
const UNITS: f64 = 10_000.0;

impl Plot {
    /// The field with marks at round values, and what lies in it.
    pub(crate) fn field(self, most: [usize; 2], pieces: Vec<Element>) -> Element {
        self.field_at(&self.x.ticks(most[0]), &self.y.ticks(most[1]), pieces)
    }

    /// The same with marks at values that are chosen.
    pub(crate) fn field_at(self, across: &[f64], up: &[f64], pieces: Vec<Element>) -> Element {
        let upright = across.iter().map(|x| dot(self.x, "upright", *x));
        let level = up.iter().map(|y| self.level(*y));
        el("div")
            .class("plot")
            .attr("aria-hidden", "true")
            .all(upright.chain(level).chain(pieces))
    }

    /// A line across at a height.
    pub(crate) fn level(self, y: f64) -> Element {
        el("span")
            .class("level")
            .style("--up", percent(self.y.share(y)))
    }

    /// What lies between two heights, hatched by lines so many pixels apart.
    pub(crate) fn hatched(self, id: &'static str, [from, to]: [f64; 2], apart: i32) -> Element {
        let [from, to] = [self.y.share(from), self.y.share(to)];
        let gap = apart.to_string();
        let line = svg("path").attr("d", format!("M1 0V{gap}"));
        let pattern = svg("pattern")
            .attr("id", id)
            .attr("width", gap.clone())
            .attr("height", gap)
            .attr("patternUnits", "userSpaceOnUse")
            .attr("patternTransform", "rotate(45)")
            .with(line);
        let whole = svg("rect")
            .attr("width", "100%")
            .attr("height", "100%")
            .attr("fill", format!("url(#{id})"));
        el("span")
            .class("hatched")
            .style("--up", percent(from))
            .style("--tall", percent(to - from))
            .with(svg("svg").with(pattern).with(whole))
    }

    /// Words at a height beside the field.
    pub(crate) fn height(self, y: f64, words: impl Into<Words>) -> Element {
        el("span")
            .class("height")
            .style("--up", percent(self.y.share(y)))
            .says(words)
    }

    /// A column from the ground up to a height.
    pub(crate) fn column(self, [from, to]: [f64; 2], y: f64) -> Element {
        band(self.x, "column", from, to).style("--up", percent(self.y.share(y)))
    }

    /// A point.
    pub(crate) fn dot(self, class: &'static str, [x, y]: [f64; 2]) -> Element {
        dot(self.x, class, x).style("--up", percent(self.y.share(y)))
    }

    /// A curve through points.
    pub(crate) fn curve(self, class: &'static str, points: &[[f64; 2]]) -> Element {
        self.shape(class, &self.path(points, 'M'))
    }

    /// A curve through points, as far as it lies on the field.
    pub(crate) fn curve_within(self, class: &'static str, points: &[[f64; 2]]) -> Element {
        let stretches = self.y.within(points);
        let paths: String = stretches.iter().map(|at| self.path(at, 'M')).collect();
        self.shape(class, &paths)
    }

    /// What lies between a curve and a height.
    pub(crate) fn area(self, class: &'static str, points: &[[f64; 2]], down_to: f64) -> Element {
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return self.shape(class, "");
        };
        let mut path = self.path(&[[first[0], down_to]], 'M');
        path += &self.path(points, 'L');
        path += &self.path(&[[last[0], down_to]], 'L');
        path.push('Z');
        self.shape(class, &path)
    }

    fn path(self, points: &[[f64; 2]], first: char) -> String {
        let mut path = String::new();
        for (i, [x, y]) in points.iter().enumerate() {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "a share lies between nought and one"
            )]
            let [x, y] =
                [self.x.share(*x), 1.0 - self.y.share(*y)].map(|at| (at * UNITS).round() as i32);
            let to = if i == 0 { first } else { 'L' };
            // OK to ignore: writing to a text does not fail.
            let _ = write!(path, "{to}{x} {y}");
        }
        path
    }

    fn shape(self, class: &'static str, path: &str) -> Element {
        svg("svg")
            .attr("class", class)
            .attr("viewBox", "0 0 10000 10000")
            .attr("preserveAspectRatio", "none")
            .with(svg("path").attr("d", path.to_owned()))
    }
}
