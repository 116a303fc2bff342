//! The evidence for a rating, drawn: a row for each scene in order of its light, every judged frame a mark whose shape says its
//! verdict, on one axis of stops from box speed.

use book::{
    Book, EvidencePlot, Grade, Group, Limits, PlotMark, PlotRow, Speed, Suggestion, as_set,
    as_shot, evidence_plot, frame_words, paired_offsets,
};
use exposure::{Axis, Stops, words};
use scans::{
    desk::Begin,
    sure::{Best, PRIOR, agreeing_words, between, rank},
};

use super::{
    measured, pairs,
    room::{Place, Room},
};
use crate::{
    browser::{
        files::{self, Picture},
        later::spawn_local,
        pictures,
    },
    drawn::{band, dot, figure, line_scale, percent},
    live::Live,
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row, said},
};

/// A frame that was tapped: roll, and id in it.
type Chosen = Live<Option<(String, u16)>>;

/// The small copy of a frame's scan, where one is kept under the name that the frame keeps.
fn picture_of(room: Room, roll: &str, frame: u16) -> Option<Part> {
    let (roll, name) = room.with(|book| {
        let name = book.roll(roll)?.frame(frame)?.scan.clone();
        (!name.is_empty()).then(|| (roll.to_owned(), name))
    })?;
    let picture: Live<Option<Picture>> = Live::new(None);
    spawn_local(async move {
        if let Some(found) = pictures::one(&roll, &name).await {
            picture.update(|picture| *picture = files::picture(&found));
        }
    });
    Some(follows(move || {
        let address = picture.with(|picture| Some(picture.as_ref()?.address().to_owned()));
        address.map_or(Part::Nothing, |address| {
            el("img")
                .class("tapped-picture")
                .attr("alt", "Its scan")
                .attr("src", address)
                .into()
        })
    }))
}

/// What was measured to begin somewhere in a row: where, to which side, whether it is clipping, and what it is.
#[derive(Clone, PartialEq)]
struct Begins {
    roll: String,
    scene: u16,
    at: Stops,
    to_more: bool,
    clips: bool,
    words: String,
}

/// Asks what was measured of the rolls in a figure, which takes a moment: what is drawn of it comes later.
fn begins(room: Room, plot: &EvidencePlot, box_speed: Speed) -> Live<Vec<Begins>> {
    let out = Live::new(Vec::new());
    let mut rolls: Vec<String> = Vec::new();
    for row in &plot.rows {
        if !rolls.contains(&row.roll) {
            rolls.push(row.roll.clone());
        }
    }
    spawn_local(async move {
        let found = measured::beginnings(room, rolls).await;
        let begins: Vec<Begins> = room.once(|book| {
            let of = |(id, begin): (String, Begin)| {
                let roll = book.roll(&id)?;
                let mut frames = roll.numbered().into_iter();
                let frame = frames.find(|(number, _)| *number == Some(begin.number))?.1;
                Some(Begins {
                    at: as_shot(roll, frame)?.from_box(box_speed),
                    roll: id,
                    scene: begin.scene,
                    to_more: begin.to_more,
                    clips: begin.clips,
                    words: begin.words,
                })
            };
            found.into_iter().filter_map(of).collect()
        });
        out.put(begins);
    });
    out
}

/// The figure, the frame that was tapped, and how sure it all is.
pub(super) fn shown(room: Room, book: &Book, suggestion: &Suggestion) -> Part {
    let plot = evidence_plot(book, suggestion);
    let chosen: Chosen = Live::new(None);
    let begins = begins(room, &plot, suggestion.box_speed);
    let sure = sure(suggestion).into_iter().map(|line| el("li").says(line));
    let words = plot.words.clone();
    parts![
        el("div")
            .class("evidence")
            .with(figure("Evidence", words, drawing(&plot, chosen, begins))),
        follows(move || frame(room, chosen.get())),
        el("h4").says("How sure"),
        el("ul").class("list").named("How sure").all(sure),
    ]
}

/// What frames that were compared blind, two at a time, say of offsets.
pub(super) fn paired(book: &Book, group: &Group) -> Part {
    let Some(found) = paired_offsets(book, group) else {
        return Part::Nothing;
    };
    let name = |offset: &Stops| {
        if offset.is_even() {
            "box speed".to_owned()
        } else {
            words::difference(*offset)
        }
    };
    let names: Vec<String> = found.offsets.iter().map(name).collect();
    let told = match rank(&found.wins, PRIOR) {
        Ok(ranking) => pairs::shown(&ranking, &names),
        Err(error) => paragraph("reason", error.to_string()).into(),
    };
    let from = match found.scenes {
        1 => "From 1 scene whose frames were compared two at a time, counted from box speed; offsets within a quarter of a stop count as one."
            .to_owned(),
        count => format!(
            "From {count} scenes whose frames were compared two at a time, counted from box speed; offsets within a quarter of a stop count as one."
        ),
    };
    parts![
        el("h4").says("Blind pairs"),
        paragraph("reason", from),
        told
    ]
}

/// Where the median lies and how surely, and what agreeing scenes show.
fn sure(suggestion: &Suggestion) -> Vec<String> {
    let all: Vec<Best> = suggestion
        .evidence
        .iter()
        .map(|scene| {
            let limits = scene.limits();
            Best {
                least: limits.least.map(Stops::get),
                most: limits.most.map(Stops::get),
            }
        })
        .collect();
    let mut lines = between(&all).map_or_else(Vec::new, |found| found.words());
    let (agree, of) = suggestion.agreeing();
    if of > 1 {
        lines.push(agreeing_words(agree, of));
    }
    lines
}

fn drawing(plot: &EvidencePlot, chosen: Chosen, begins: Live<Vec<Begins>>) -> Part {
    let rows = plot.rows.iter().map(|row| scene(plot, row, chosen, begins));
    parts![
        legend(),
        follows(move || begins.with(|begins| begins_legend(begins))),
        el("ul").class("scenes").named("Scenes").all(rows),
        result(plot),
        line_scale(plot.axis, LABELS, tick),
    ]
}

/// As many labels as stand beside one another on the smallest phone.
const LABELS: usize = 4;

/// Under the axis: `box`, `1 less`, `2 more`.
fn tick(stops: f64) -> String {
    if stops.abs() < 1e-9 {
        return "box".to_owned();
    }
    let side = if stops < 0.0 { "less" } else { "more" };
    format!("{} {side}", words::decimal(stops.abs(), 1))
}

const GRADES: [Grade; 3] = [Grade::Rejected, Grade::Usable, Grade::Liked];

/// What the shapes mean, of which there are no other words on paper.
fn legend() -> Element {
    let shapes = GRADES.map(|grade| {
        el("span")
            .class("key")
            .with(el("span").class(shape(grade)))
            .with(el("span").says(grade.words()))
    });
    el("p")
        .class("legend")
        .attr("aria-hidden", "true")
        .all(shapes)
}

/// What was measured, where there is any.
fn begins_legend(begins: &[Begins]) -> Element {
    let shapes = [
        (true, "clipping, as measured"),
        (false, "a cast, as measured"),
    ];
    let shown = shapes
        .into_iter()
        .filter(|(clips, _)| begins.iter().any(|begin| begin.clips == *clips));
    let key = |(clips, words): (bool, &'static str)| {
        el("span")
            .class("key")
            .with(el("span").class(reach(clips)))
            .with(el("span").says(words))
    };
    el("p")
        .class("legend")
        .attr("aria-hidden", "true")
        .hidden(begins.is_empty())
        .all(shown.map(key))
}

const fn reach(clips: bool) -> &'static str {
    if clips { "reach clips" } else { "reach leans" }
}

/// From where it begins to the end of what was tried on its side.
fn reaches(axis: Axis, row: &PlotRow, begins: &[Begins]) -> Part {
    let (least, most) = row.tried;
    let of = |begin: &Begins| {
        let at = begin.at.get();
        let [from, to] = if begin.to_more {
            [at, most.get().max(at)]
        } else {
            [least.get().min(at), at]
        };
        let line = band(axis, reach(begin.clips), from, to);
        if begin.to_more {
            line
        } else {
            line.flag("data-less", true)
        }
    };
    let all: Vec<Element> = here(row, begins).map(of).collect();
    all.into()
}

fn here<'a>(row: &'a PlotRow, begins: &'a [Begins]) -> impl Iterator<Item = &'a Begins> {
    begins
        .iter()
        .filter(|begin| begin.roll == row.roll && begin.scene == row.scene)
}

/// The same in words, for everybody.
fn reach_words(row: &PlotRow, begins: &[Begins]) -> Element {
    let line = |begin: &Begins| {
        let at = if begin.at.is_even() {
            "At box speed".to_owned()
        } else {
            format!("At {} than box speed", words::difference(begin.at))
        };
        format!("{at}, {}.", begin.words)
    };
    let lines: Vec<String> = here(row, begins).map(line).collect();
    said("hint lines", lines.join("\n"))
}

const fn shape(grade: Grade) -> &'static str {
    match grade {
        Grade::Rejected => "judged rejected",
        Grade::Usable => "judged usable",
        Grade::Liked => "judged liked",
    }
}

fn scene(plot: &EvidencePlot, row: &PlotRow, chosen: Chosen, begins: Live<Vec<Begins>>) -> Element {
    let (drawn_of, said_of) = (row.clone(), row.clone());
    let axis = plot.axis;
    let (least, most) = row.tried;
    let ticks = axis.ticks(12).into_iter();
    let mut pieces: Vec<Element> = ticks.map(|at| dot(axis, "tick", at)).collect();
    pieces.push(dot(axis, "median", plot.median.get()));
    pieces.push(band(axis, "tried", least.get(), most.get()));
    if let Some((_, limits)) = &row.liked {
        pieces.extend(open_ends(axis, row.tried, limits));
    }
    let lanes = row.marks.iter().map(|mark| mark.lane).max().unwrap_or(0) + 1;
    let marks = row.marks.iter();
    pieces.extend(marks.map(|mark| {
        dot(axis, shape(mark.grade), mark.offset.get()).style("--lane", mark.lane.to_string())
    }));
    let track = el("div")
        .class("track lanes")
        .attr("aria-hidden", "true")
        .style("--lanes", lanes.to_string())
        .all(pieces)
        .with(follows(move || {
            begins.with(|begins| reaches(axis, &drawn_of, begins))
        }));
    let presses = row.marks.iter().map(|mark| press(axis, row, mark, chosen));
    el("li")
        .with(
            el("p")
                .class("scene-name")
                .says(format!("{}, {}", row.name, row.light)),
        )
        .with(el("span").class("sr").says(row.words.clone()))
        .with(
            el("div").class("marks").with(track).with(
                el("div")
                    .class("presses no-print")
                    .style("--lanes", lanes.to_string())
                    .all(presses),
            ),
        )
        .with(follows(move || {
            begins.with(|begins| reach_words(&said_of, begins))
        }))
}

/// An end that was liked goes on: an open arrow to that side, beyond what was tried.
fn open_ends(axis: Axis, (least, most): (Stops, Stops), limits: &Limits) -> Vec<Element> {
    let mut out = Vec::new();
    if limits.least.is_none() {
        out.push(dot(axis, "open less", least.get()));
    }
    if limits.most.is_none() {
        out.push(dot(axis, "open more", most.get()));
    }
    out
}

/// What is pressed over a mark; the mark itself is drawn.
fn press(axis: Axis, row: &PlotRow, mark: &PlotMark, chosen: Chosen) -> Element {
    let number = mark
        .number
        .map_or_else(|| "Frame".to_owned(), |number| format!("Frame {number}"));
    let offset = if mark.offset.is_even() {
        "at box speed".to_owned()
    } else {
        format!("{} than box speed", words::difference(mark.offset))
    };
    let name = format!("{}: {number}, {}, {offset}", row.name, mark.grade.words());
    let frame = (row.roll.clone(), mark.frame);
    let this = frame.clone();
    button("press", "", move || chosen.set(Some(frame.clone())))
        .named(name)
        .style("--at", percent(axis.share(mark.offset.get())))
        .style("--lane", mark.lane.to_string())
        .when("data-chosen", move || {
            chosen.with(|chosen| chosen.as_ref() == Some(&this))
        })
}

/// What was usable in all of them, the median, and the rating on its mark.
fn result(plot: &EvidencePlot) -> Element {
    let axis = plot.axis;
    let (rating, at) = plot.rating;
    let ticks = axis.ticks(12).into_iter();
    let mut pieces: Vec<Element> = ticks.map(|at| dot(axis, "tick", at)).collect();
    if let Some((least, most)) = plot.usable {
        pieces.push(band(axis, "usable-all", least.get(), most.get()));
    }
    pieces.push(dot(axis, "median", plot.median.get()));
    pieces.extend(open_ends(axis, (at, at), &plot.limits));
    pieces.push(dot(axis, "rated", at.get()));
    let track = el("div")
        .class("track")
        .attr("aria-hidden", "true")
        .all(pieces);
    el("div")
        .class("result")
        .with(paragraph(
            "scene-name",
            format!(
                "All: usable in each scene (bar), median (line), rated {} (square)",
                plot.limits.rating_words(rating)
            ),
        ))
        .with(track)
}

/// The log line of the frame that was tapped, and its picture.
fn frame(room: Room, chosen: Option<(String, u16)>) -> Part {
    let Some((roll, frame)) = chosen else {
        return paragraph("reason no-print", "Tap a mark to read its line of the log.").into();
    };
    let words = room.with(|book| line(book, &roll, frame));
    let open = {
        let roll = roll.clone();
        move || room.go(Place::Roll(roll.clone()))
    };
    el("section")
        .class("tapped")
        .named("The tapped frame")
        .with(
            el("p")
                .class("lines")
                .attr("role", "status")
                .says(words.unwrap_or_default()),
        )
        .with(picture_of(room, &roll, frame))
        .with(row([button("", "Open its log", open)]))
        .into()
}

/// `Harbour 1, frame 2: 1/125, f/8, liked. EI 200, …`.
fn line(book: &Book, roll: &str, id: u16) -> Option<String> {
    let roll = book.roll(roll)?;
    let (number, frame) = roll
        .numbered()
        .into_iter()
        .find(|(_, frame)| frame.id == id)?;
    let number = number.map_or_else(String::new, |number| format!(" {number}"));
    let set = as_set(frame).map_or_else(String::new, |set| {
        format!(" {}, {},", set.time.shown(), set.aperture.shown())
    });
    let grade = frame
        .verdict
        .as_ref()
        .map_or("not judged", |verdict| verdict.grade.words());
    let speed = book.stock_of(roll).map(|stock| stock.box_speed);
    let amounts = as_shot(roll, frame).map_or_else(String::new, |shot| {
        format!(" {}.", frame_words(&shot, speed))
    });
    let note = match frame.shot.note.as_str() {
        "" => String::new(),
        note => format!(" {note}"),
    };
    Some(format!(
        "{}, frame{number}:{set} {grade}.{amounts}{note}",
        roll.name
    ))
}
