//! From judged frames to a rating for the rest of the group.

use exposure::{Stops, words};

use crate::{
    Batch, Book, Date, Evidence, Film, Finding, Frame, Grade, Group, Plan, Roll, Scans, Speed,
    Sureness, Tick, as_shot, no_evidence,
    start::{nearest_third, rating_for, third_towards_more},
    text,
};

/// Scenes have to lie this far apart to count as different light, in tenths of EV (judgement, no source).
const OTHER_LIGHT_TENTHS: i32 = 20;

/// What follows for the rest of a group.
#[derive(Debug, Clone, PartialEq)]
pub enum Conclusion {
    /// Nothing yet: why.
    Nothing(String),
    /// Frames were judged, but nothing can be concluded: why.
    Void(String),
    /// A suggestion.
    Found(Box<Suggestion>),
}

/// A rating for the rest of a group, with what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    /// The group, and no other.
    pub group: Group,
    /// Type of the film.
    pub film: Film,
    /// Box speed.
    pub box_speed: Speed,
    /// Scene by scene.
    pub evidence: Vec<Evidence>,
    /// Median of the liked offsets from box speed; positive is more light.
    pub median: Stops,
    /// Least and most light among the liked offsets.
    pub liked: (Stops, Stops),
    /// What was usable in every scene; none where no offset was.
    pub usable: Option<(Stops, Stops)>,
    /// The median to a third: on negatives towards more light, on slides the nearest.
    pub offset: Stops,
    /// The rating.
    pub rating: Speed,
    /// How sure it is.
    pub sure: Sureness,
    /// The suggestion, its evidence and its certainty in sentences.
    pub words: Vec<String>,
    /// What would make it surer, one sentence each.
    pub surer: Vec<String>,
}

impl Suggestion {
    /// The spread between the liked offsets.
    #[must_use]
    pub fn spread(&self) -> Stops {
        self.liked.1 - self.liked.0
    }

    /// As it is written to the group, on the day when the person settles on it.
    #[must_use]
    pub fn finding(&self, id: &str, on: Date) -> Finding {
        let range =
            |(least, most): (Stops, Stops)| (text::thousandths(least), text::thousandths(most));
        Finding {
            id: id.to_owned(),
            group: self.group.clone(),
            on,
            box_speed: self.box_speed,
            rating: self.rating,
            median_thousandths: text::thousandths(self.median),
            liked_thousandths: range(self.liked),
            usable_thousandths: self.usable.map(range),
            sure: self.sure,
            evidence: self.evidence.clone(),
            note: String::new(),
        }
    }
}

/// What can be concluded from scans made like this, in a sentence.
#[must_use]
pub const fn scans_words(how: Option<Scans>) -> &'static str {
    match how {
        Some(Scans::Fixed) => "Scanned with one fixed setting: frames can be compared.",
        Some(Scans::Corrected) => {
            "Corrected frame by frame: the scanner evened out what the bracket was to show, so no rating can be concluded. \
             Judge the negatives on a light table, or have them scanned again with one fixed setting."
        }
        Some(Scans::LightTable) => "Judged on a light table: the film itself is the evidence.",
        Some(Scans::Unknown) | None => {
            "How the scans were made is not known. If they were corrected frame by frame, the differences are evened out: \
             take the result as a guess."
        }
    }
}

fn median(sorted: &[f64]) -> Option<f64> {
    let middle = sorted.len() / 2;
    let upper = *sorted.get(middle)?;
    if sorted.len() % 2 == 1 {
        return Some(upper);
    }
    // OK because an even count above zero has one below the middle.
    Some(f64::midpoint(sorted[middle - 1], upper))
}

fn ends(values: impl Iterator<Item = i32> + Clone) -> Option<(i32, i32)> {
    Some((values.clone().min()?, values.max()?))
}

/// What the judged frames of one scene say; none if no frame that counts was liked.
fn evidence(roll: &Roll, scene: u16, box_speed: Speed) -> Option<Evidence> {
    let kept = roll.scene(scene)?;
    let judged: Vec<(Grade, i32)> = roll
        .frames
        .iter()
        .enumerate()
        .filter(|(_, frame)| matches!(frame.plan, Plan::Picture { scene: of, .. } if of == scene))
        .filter(|(place, _)| no_evidence(roll, *place).is_none())
        .filter_map(|(_, frame)| {
            let grade = frame.verdict.as_ref()?.grade;
            Some((
                grade,
                text::thousandths(as_shot(roll, frame)?.from_box(box_speed)),
            ))
        })
        .collect();
    let of = |least: Grade| {
        judged
            .iter()
            .filter(move |(grade, _)| *grade >= least)
            .map(|(_, offset)| *offset)
    };
    let mut liked: Vec<f64> = of(Grade::Liked).map(f64::from).collect();
    text::rising(&mut liked);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "thousandths of at most 300 stops"
    )]
    let liked_thousandths = median(&liked)?.round() as i32;
    #[expect(clippy::cast_possible_truncation, reason = "light is within 100 EV")]
    let light_tenths = (kept.light.reading().light().get() * 10.0).round() as i32;
    Some(Evidence {
        roll: roll.id.clone(),
        scene,
        name: kept.name.clone(),
        camera: roll
            .loading()
            .map(|loading| loading.camera.clone())
            .unwrap_or_default(),
        light_tenths,
        liked_thousandths,
        usable_thousandths: ends(of(Grade::Usable))?,
        tried_thousandths: ends(of(Grade::Rejected))?,
    })
}

/// Concludes a rating for a group from the judged frames of its rolls.
///
/// Per scene the median of the liked offsets; over scenes their median, to a third: on negatives towards more light, on
/// slides the nearest. Rolls whose scans were corrected frame by frame do not count, and if there are no others the
/// conclusion is void. Rolls of other groups are not looked at.
#[must_use]
pub fn conclude(book: &Book, group: &Group) -> Conclusion {
    let Some(stock) = book.stock(&group.stock) else {
        return Conclusion::Nothing("The stock of this group is not in the book.".to_owned());
    };
    let mut found = Vec::new();
    let (mut corrected, mut unknown) = (Vec::new(), Vec::new());
    let mut known_scenes = 0;
    for roll in book.rolls_of(group) {
        let of_roll: Vec<Evidence> = roll
            .scenes
            .iter()
            .filter_map(|scene| evidence(roll, scene.number, stock.box_speed))
            .collect();
        if of_roll.is_empty() {
            continue;
        }
        match roll.scans {
            Some(Scans::Corrected) => {
                corrected.push(format!("“{}”", roll.name));
                continue;
            }
            Some(Scans::Unknown) | None => unknown.push(format!("“{}”", roll.name)),
            Some(Scans::Fixed | Scans::LightTable) => known_scenes += of_roll.len(),
        }
        found.extend(of_roll);
    }
    if found.is_empty() {
        return if corrected.is_empty() {
            Conclusion::Nothing(
                "No frame of this group that counts is liked yet. Judge the frames of a bracket first.".to_owned(),
            )
        } else {
            Conclusion::Void(format!(
                "{}: {}",
                text::list(&corrected),
                scans_words(Some(Scans::Corrected))
            ))
        };
    }
    let mut liked: Vec<f64> = found.iter().map(|scene| scene.liked().get()).collect();
    text::rising(&mut liked);
    // OK to fall back on zero: there is at least one scene.
    let middle = median(&liked).unwrap_or(0.0);
    let stops = |value: f64| Stops::new(value).unwrap_or(Stops::ZERO);
    let offset = if stock.film.is_negative() {
        third_towards_more(middle)
    } else {
        nearest_third(middle)
    };
    let low = found
        .iter()
        .map(|scene| scene.usable_thousandths.0)
        .max()
        .unwrap_or(0);
    let high = found
        .iter()
        .map(|scene| scene.usable_thousandths.1)
        .min()
        .unwrap_or(0);
    let mut suggestion = Suggestion {
        group: group.clone(),
        film: stock.film,
        box_speed: stock.box_speed,
        median: stops(middle),
        liked: (stops(liked[0]), stops(liked[liked.len() - 1])),
        usable: (low <= high).then(|| (text::from_thousandths(low), text::from_thousandths(high))),
        offset,
        rating: rating_for(stock.box_speed, offset),
        sure: Sureness::Hint,
        evidence: found,
        words: Vec::new(),
        surer: Vec::new(),
    };
    suggestion.sure = sureness(&suggestion, known_scenes);
    suggestion.words = say(&suggestion, &corrected, &unknown);
    suggestion.surer = surer(&suggestion, &unknown);
    Conclusion::Found(Box::new(suggestion))
}

fn other_light(found: &[Evidence]) -> bool {
    ends(found.iter().map(|scene| scene.light_tenths))
        .is_some_and(|(least, most)| most - least >= OTHER_LIGHT_TENTHS)
}

/// `known` is how many of the scenes are known not to be corrected frame by frame.
fn sureness(suggestion: &Suggestion, known: usize) -> Sureness {
    let scenes = suggestion.evidence.len();
    let agreed = !(suggestion.spread() - Stops::constant(1.0) - Stops::SMALL).is_more();
    match scenes {
        0 | 1 => Sureness::Hint,
        _ if !agreed => Sureness::Split,
        _ if known == 0 => Sureness::Hint,
        2 => Sureness::Fair,
        _ if known < scenes || !other_light(&suggestion.evidence) => Sureness::Fair,
        _ => Sureness::Good,
    }
}

fn from_to((least, most): (Stops, Stops)) -> String {
    let (least, most) = (
        text::lean(least, "box speed"),
        text::lean(most, "box speed"),
    );
    if least == most {
        format!("at {least}")
    } else {
        format!("from {least} to {most}")
    }
}

fn say(suggestion: &Suggestion, corrected: &[String], unknown: &[String]) -> Vec<String> {
    let scenes = suggestion.evidence.len();
    let mut out = vec![format!(
        "Rate the rest of this group {}: {}.",
        suggestion.rating.rating_words(),
        if suggestion.offset.is_even() {
            "box speed".to_owned()
        } else {
            format!("{} than box speed", words::difference(suggestion.offset))
        }
    )];
    out.push(format!(
        "The liked frames of {} lie {}, counted from box speed.",
        text::counted(scenes, "scene"),
        from_to(suggestion.liked)
    ));
    if (suggestion.offset - suggestion.median).size().get() > 0.005 {
        out.push(format!(
            "Their median is {}; to a third of a stop{} that is {}.",
            in_decimals(suggestion.median),
            if suggestion.film.is_negative() {
                " towards more light"
            } else {
                ""
            },
            text::lean(suggestion.offset, "box speed")
        ));
    }
    out.push(suggestion.usable.map_or_else(
        || "No offset was usable in every scene.".to_owned(),
        |range| format!("Usable in every scene {}.", from_to(range)),
    ));
    let spread = words::of_a_stop(suggestion.spread());
    out.push(match suggestion.sure {
        Sureness::Hint if scenes == 1 => {
            "One scene in one light is a hint, not a result.".to_owned()
        }
        Sureness::Hint => {
            "Since it is not known how the scans were made, this is a hint, not a result."
                .to_owned()
        }
        Sureness::Split => format!("The scenes disagree by {spread}: not sure."),
        Sureness::Fair => format!(
            "{} agree within a stop: fairly sure.",
            text::counted(scenes, "scene")
        ),
        Sureness::Good => format!(
            "{scenes} scenes in different light agree within a stop: as sure as a roll can make it."
        ),
    });
    let mut cameras: Vec<&str> = Vec::new();
    for scene in &suggestion.evidence {
        let camera = scene.camera.as_str();
        if !camera.is_empty() && !cameras.contains(&camera) {
            cameras.push(camera);
        }
    }
    if let [camera] = cameras.as_slice() {
        out.push(format!("This holds as set on one camera: {camera}."));
    }
    if !corrected.is_empty() {
        out.push(format!(
            "Does not count: {}. {}",
            text::list(corrected),
            scans_words(Some(Scans::Corrected))
        ));
    }
    if !unknown.is_empty() {
        out.push(format!("{}: {}", text::list(unknown), scans_words(None)));
    }
    out
}

/// A difference in hundredths, where sixths would hide what is being rounded.
fn in_decimals(stops: Stops) -> String {
    if stops.is_even() {
        "box speed".to_owned()
    } else {
        words::part(stops)
    }
}

fn surer(suggestion: &Suggestion, unknown: &[String]) -> Vec<String> {
    let mut out = Vec::new();
    for scene in &suggestion.evidence {
        match scene.at_end() {
            Some(true) => out.push(format!(
                "In “{}” the liked frame was the one with most light. A better one may lie beyond: reach further towards \
                 more light.",
                scene.name
            )),
            Some(false) => out.push(format!(
                "In “{}” the liked frame was the one with least light. A better one may lie beyond: reach further towards \
                 less light.",
                scene.name
            )),
            None => {}
        }
    }
    if !unknown.is_empty() {
        out.push(
            "Ask how the scans were made, or judge the negatives on a light table.".to_owned(),
        );
    }
    if suggestion.evidence.len() > 1 && !other_light(&suggestion.evidence) {
        out.push("Shoot a scene in other light, at least two stops brighter or darker.".to_owned());
    }
    if suggestion.evidence.len() == 1 {
        out.push("Judge two more scenes, in other light.".to_owned());
    }
    out.push(format!(
        "One check bracket of 3 frames on the next roll, around {}.",
        suggestion.rating.rating_words()
    ));
    out
}

/// The findings of a group, oldest first: the only ones that hold for it.
#[must_use]
pub fn findings_of<'a>(book: &'a Book, group: &Group) -> Vec<&'a Finding> {
    let mut out: Vec<&Finding> = book
        .findings()
        .filter(|finding| finding.group == *group)
        .collect();
    // Findings come in the order of their ids, and stay so where they are of one day.
    text::order(&mut out, |a, b| a.on < b.on);
    out
}

/// Findings of other groups of the same stock, each with the sentence that says why it does not hold here.
#[must_use]
pub fn findings_elsewhere<'a>(book: &'a Book, group: &Group) -> Vec<(&'a Finding, String)> {
    book.findings()
        .filter(|finding| finding.group.stock == group.stock)
        .filter_map(|finding| Some((finding, book.barrier(&finding.group, group)?)))
        .collect()
}

/// How old the film was when a rating was found and how old it will be, in a sentence: stated, and nothing is added for it.
#[must_use]
pub fn age_words(finding: &Finding, batch: &Batch, next: Date) -> String {
    let Some(expiry) = batch.expiry else {
        return format!(
            "The rating is of {}; the expiry is not known. Nothing is added for the time since.",
            finding.on.text()
        );
    };
    format!(
        "When the rating was found, on {}, the film was {}. On {} it will be {}. Nothing is added for the time between.",
        finding.on.text(),
        expiry.age_words(finding.on),
        next.text(),
        expiry.age_words(next)
    )
}

/// The frame of a scene that tells most: on negatives the one with least light that still has shadow texture, on slides the
/// one with most light that still has highlight texture. None if no frame that counts is ticked so.
#[must_use]
pub fn telling_frame(roll: &Roll, scene: u16, film: Film) -> Option<u16> {
    let wanted = if film.is_negative() {
        Tick::ShadowTexture
    } else {
        Tick::HighlightTexture
    };
    let mut ticked: Vec<(f64, u16)> = counting(roll, scene)
        .into_iter()
        .filter(|(_, frame)| {
            frame
                .verdict
                .as_ref()
                .is_some_and(|verdict| verdict.ticks.contains(&wanted))
        })
        .map(|(offset, frame)| (offset, frame.id))
        .collect();
    text::order(&mut ticked, |a, b| a.0 < b.0);
    let one = if film.is_negative() {
        ticked.first()
    } else {
        ticked.last()
    };
    one.map(|(_, id)| *id)
}

/// Frames of a scene that count, with their offset from the base.
fn counting(roll: &Roll, scene: u16) -> Vec<(f64, &Frame)> {
    roll.frames
        .iter()
        .enumerate()
        .filter(|(_, frame)| matches!(frame.plan, Plan::Picture { scene: of, .. } if of == scene))
        .filter(|(place, _)| no_evidence(roll, *place).is_none())
        .filter_map(|(_, frame)| Some((as_shot(roll, frame)?.from_base.get(), frame)))
        .collect()
}

/// Ids of the frames of a scene that count, to be compared: least light first, or blind in an order that the number gives
/// and that does not show which is which.
#[must_use]
pub fn comparing_order(roll: &Roll, scene: u16, blind: Option<u32>) -> Vec<u16> {
    let mut frames = counting(roll, scene);
    text::order(&mut frames, |a, b| a.0 < b.0);
    let mut ids: Vec<u16> = frames.into_iter().map(|(_, frame)| frame.id).collect();
    if let Some(number) = blind {
        let mark = |id: &u16| text::hash(&format!("{} {scene} {id} {number}", roll.id));
        text::order(&mut ids, |a, b| mark(a) < mark(b));
    }
    ids
}
