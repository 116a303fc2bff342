//! Where the evidence for a rating lies on one axis of stops from box speed: a row for each scene in order of its light, a mark for
//! each frame that was judged.

use exposure::{Axis, Stops, words};

use crate::{
    Book, Evidence, Grade, Limits, Roll, Scans, Speed, Suggestion, as_shot, no_evidence, text,
};

/// A frame on the axis.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotMark {
    /// Id of the frame in its roll.
    pub frame: u16,
    /// Number on the film.
    pub number: Option<u16>,
    /// Stops from box speed; positive is more light.
    pub offset: Stops,
    /// The verdict, which the shape of the mark says.
    pub grade: Grade,
    /// The lane of its row, from 0: marks that lie close to one another lie above one another, so that a finger finds each.
    pub lane: usize,
}

/// A scene on the axis.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotRow {
    /// Id of the roll.
    pub roll: String,
    /// Number of the scene.
    pub scene: u16,
    /// Roll and scene in words.
    pub name: String,
    /// Light of the scene in words.
    pub light: String,
    /// Least and most light that was judged.
    pub tried: (Stops, Stops),
    /// The liked offset, and what it is worth; none where nothing was liked.
    pub liked: Option<(Stops, Limits)>,
    /// Frames with the least light first.
    pub marks: Vec<PlotMark>,
    /// The row in words, for those who do not see it.
    pub words: String,
}

/// The evidence of a group, ready to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct EvidencePlot {
    /// Stops from box speed.
    pub axis: Axis,
    /// The darkest scene first.
    pub rows: Vec<PlotRow>,
    /// The median of the liked offsets.
    pub median: Stops,
    /// What was usable in every scene.
    pub usable: Option<(Stops, Stops)>,
    /// The rating, and where it lies.
    pub rating: (Speed, Stops),
    /// What the rating is worth.
    pub limits: Limits,
    /// All of it in one sentence.
    pub words: String,
}

/// Lays the evidence of a suggestion out. Rolls whose scans were corrected frame by frame are not in it.
#[must_use]
pub fn evidence_plot(book: &Book, suggestion: &Suggestion) -> EvidencePlot {
    let mut rows: Vec<(f64, PlotRow)> = book
        .rolls_of(&suggestion.group)
        .filter(|roll| roll.scans != Some(Scans::Corrected))
        .flat_map(|roll| {
            roll.scenes.iter().filter_map(|scene| {
                let known = |evidence: &&Evidence| {
                    evidence.roll == roll.id && evidence.scene == scene.number
                };
                row(
                    roll,
                    scene.number,
                    suggestion.box_speed,
                    suggestion.evidence.iter().find(known),
                )
            })
        })
        .collect();
    text::order(&mut rows, |a, b| a.0 < b.0);
    let mut rows: Vec<PlotRow> = rows.into_iter().map(|(_, row)| row).collect();
    let offsets = rows
        .iter()
        .flat_map(|row| row.marks.iter().map(|mark| mark.offset.get()));
    let all = offsets.chain([0.0, suggestion.offset.get(), suggestion.median.get()]);
    // A little room at the ends, so that an open end is seen to go on.
    let axis = Axis::around(all.flat_map(|at| [at - 0.25, at + 0.25]), 4.0);
    for row in &mut rows {
        lanes(axis, &mut row.marks);
    }
    EvidencePlot {
        axis,
        words: whole(&rows, suggestion),
        rows,
        median: suggestion.median,
        usable: suggestion.usable,
        rating: (suggestion.rating, suggestion.offset),
        limits: suggestion.limits,
    }
}

/// Marks in one lane lie so far apart, as a share of the axis: the width of a finger's target on the smallest phone.
const APART: f64 = 0.11;

/// Puts each mark in the first lane where it lies clear of the one before.
fn lanes(axis: Axis, marks: &mut [PlotMark]) {
    let mut ends: Vec<f64> = Vec::new();
    for mark in marks {
        let at = axis.share(mark.offset.get());
        let free = ends.iter().position(|end| at - end >= APART);
        mark.lane = free.unwrap_or(ends.len());
        match free {
            Some(lane) => ends[lane] = at,
            None => ends.push(at),
        }
    }
}

/// A scene with its light, in EV; none where none of its frames counts.
fn row(
    roll: &Roll,
    scene: u16,
    box_speed: Speed,
    evidence: Option<&Evidence>,
) -> Option<(f64, PlotRow)> {
    let kept = roll.scene(scene)?;
    let mut light = Vec::new();
    let mut marks: Vec<PlotMark> = roll
        .numbered()
        .into_iter()
        .enumerate()
        .filter(|(place, (_, frame))| {
            frame.plan.scene() == Some(scene) && no_evidence(roll, *place).is_none()
        })
        .filter_map(|(_, (number, frame))| {
            let grade = frame.verdict.as_ref()?.grade;
            let shot = as_shot(roll, frame)?;
            light.push(shot.light.get());
            Some(PlotMark {
                frame: frame.id,
                number,
                offset: shot.from_box(box_speed),
                grade,
                lane: 0,
            })
        })
        .collect();
    text::order(&mut marks, |a, b| a.offset.get() < b.offset.get());
    text::rising(&mut light);
    let light = text::median(&light)?;
    let tried = (marks.first()?.offset, marks.last()?.offset);
    let liked = evidence.map(|evidence| (evidence.liked(), evidence.limits()));
    let name = match kept.name.as_str() {
        "" => format!("{}, scene {scene}", roll.name),
        name => format!("{}, scene {scene} ({name})", roll.name),
    };
    let light_words = format!("EV {} at ISO 100", words::decimal(light, 1));
    let words = row_words(&name, &light_words, &marks, liked.as_ref());
    Some((
        light,
        PlotRow {
            roll: roll.id.clone(),
            scene,
            name,
            light: light_words,
            tried,
            liked,
            marks,
            words,
        },
    ))
}

/// `liked at 1 stop more light and 2 stops more light`.
fn offsets_words(marks: &[PlotMark], grade: Grade) -> Option<String> {
    let offsets: Vec<String> = marks
        .iter()
        .filter(|mark| mark.grade == grade)
        .map(|mark| text::lean(mark.offset, "box speed"))
        .collect();
    (!offsets.is_empty()).then(|| format!("{} at {}", grade.words(), text::list(&offsets)))
}

fn row_words(
    name: &str,
    light: &str,
    marks: &[PlotMark],
    liked: Option<&(Stops, Limits)>,
) -> String {
    let grades = [Grade::Rejected, Grade::Usable, Grade::Liked];
    let parts: Vec<String> = grades
        .into_iter()
        .filter_map(|grade| offsets_words(marks, grade))
        .collect();
    let best = match liked {
        Some((offset, limits)) => format!("best {}", limits.words(*offset)),
        None => "nothing liked".to_owned(),
    };
    format!("{name}, light {light}: {}; {best}.", parts.join("; "))
}

fn whole(rows: &[PlotRow], suggestion: &Suggestion) -> String {
    let usable = match suggestion.usable {
        Some((least, most)) if least == most => {
            format!(
                "usable in all of them at {}",
                text::lean(least, "box speed")
            )
        }
        Some((least, most)) => format!(
            "usable in all of them from {} to {}",
            text::lean(least, "box speed"),
            text::lean(most, "box speed")
        ),
        None => "no offset usable in all of them".to_owned(),
    };
    format!(
        "{} in order of light, stops from box speed across, more light on the right: the median of the liked offsets lies at {}, {usable}; \
         rated {}.",
        text::counted(rows.len(), "scene"),
        text::lean(suggestion.median, "box speed"),
        suggestion.limits.rating_words(suggestion.rating)
    )
}
