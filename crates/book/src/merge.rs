//! Two copies of a roll that two devices changed, put together frame by frame.
//!
//! There is no common past to compare with, so only silence gives way: what one copy leaves as planned takes what the other
//! says, and where both say something else nothing is decided. Which copy is which makes no difference to the result.

use crate::{Date, Fate, Frame, Loading, Roll, Scene, Shot, State, pairs, text};

/// What two copies of a roll make together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Met {
    /// One roll that says what either copy says.
    Together(Box<Roll>),
    /// They say different things of this: frames by their numbers, and anything else in words.
    Apart {
        /// Numbers on the film, as the first copy counts them; of frames that were left out, none.
        frames: Vec<u16>,
        /// What else, in words: `its name`.
        other: Vec<String>,
    },
}

/// What is said on one side only, or the same on both; none where both say different things.
fn said<T: Clone + PartialEq>(a: &T, b: &T, silence: &T) -> Option<T> {
    if a == b || b == silence {
        Some(a.clone())
    } else if a == silence {
        Some(b.clone())
    } else {
        None
    }
}

/// The longer of two lists of numbers, where it has all of the other in the same order.
fn longer(a: &[u16], b: &[u16]) -> Option<Vec<u16>> {
    let holds = |all: &[u16], some: &[u16]| {
        let mut rest = all.iter();
        some.iter().all(|one| rest.any(|other| other == one))
    };
    if holds(a, b) {
        Some(a.to_vec())
    } else if holds(b, a) {
        Some(b.to_vec())
    } else {
        None
    }
}

/// A shot without what ticking it off says: what it was otherwise than planned. Nothing of that is silence.
fn otherwise(shot: &Shot) -> Shot {
    Shot {
        fate: match shot.fate {
            Fate::Taken => Fate::Waiting,
            fate => fate,
        },
        at: None,
        ..shot.clone()
    }
}

fn shots(a: &Shot, b: &Shot) -> Option<Shot> {
    let silence = Shot::default();
    let said_otherwise = said(&otherwise(a), &otherwise(b), &silence)?;
    let taken = a.fate == Fate::Taken || b.fate == Fate::Taken;
    Some(Shot {
        fate: if taken && said_otherwise.fate == Fate::Waiting {
            Fate::Taken
        } else {
            said_otherwise.fate
        },
        at: said(&a.at, &b.at, &None)?,
        ..said_otherwise
    })
}

fn frames(a: &Frame, b: &Frame) -> Option<Frame> {
    if a.plan != b.plan {
        return None;
    }
    Some(Frame {
        id: a.id,
        plan: a.plan.clone(),
        shot: shots(&a.shot, &b.shot)?,
        verdict: said(&a.verdict, &b.verdict, &None)?,
        scan: said(&a.scan, &b.scan, &String::new())?,
    })
}

fn scenes(a: &Scene, b: &Scene) -> Option<Scene> {
    let mut together = Scene {
        name: said(&a.name, &b.name, &String::new())?,
        note: said(&a.note, &b.note, &String::new())?,
        ..a.clone()
    };
    together.light.give_or_take_thousandths = said(
        &a.light.give_or_take_thousandths,
        &b.light.give_or_take_thousandths,
        &None,
    )?;
    // Both may have found it the same, one after the other: the reading holds up to the later moment.
    together.light.same_at = a.light.same_at.max(b.light.same_at);
    let mut as_b = Scene {
        name: b.name.clone(),
        note: b.note.clone(),
        ..together.clone()
    };
    as_b.light.same_at = b.light.same_at;
    as_b.light.give_or_take_thousandths = b.light.give_or_take_thousandths;
    (as_b == *b).then_some(together)
}

/// Whether the loadings go on from these others: the same ones, or more of them, the last of the others taken out or not.
fn goes_on(all: &[Loading], some: &[Loading]) -> bool {
    let Some(((last, before), at)) = some.split_last().zip(some.len().checked_sub(1)) else {
        return true;
    };
    let silent = |said: &Loading| Loading {
        until: last.until.and(said.until),
        why: if last.why.is_empty() {
            String::new()
        } else {
            said.why.clone()
        },
        ..said.clone()
    };
    all.starts_with(before) && all.get(at).is_some_and(|said| silent(said) == *last)
}

/// Whether a roll went through all that the other went through, and further.
fn is_further(a: &Roll, b: &Roll) -> bool {
    if !goes_on(&a.loadings, &b.loadings) {
        return false;
    }
    let ordered = b.development == crate::Development::Normal || b.development == a.development;
    let agrees = |there: Option<Date>, here: Option<Date>| there == here || there.is_none();
    if a.loadings.len() > b.loadings.len() {
        // Put in again: what it was finished on before is no longer said.
        return b.state <= State::Exposed && ordered;
    }
    a.state >= b.state
        && ordered
        && agrees(b.finished, a.finished)
        && agrees(b.sent, a.sent)
        && agrees(b.returned, a.returned)
}

/// The copy that says where the roll has got to; none where they differ and neither goes on from the other.
fn further<'a>(a: &'a Roll, b: &'a Roll) -> Option<&'a Roll> {
    let way = |roll: &Roll| {
        (
            roll.loadings.clone(),
            (roll.state, roll.finished, roll.sent, roll.returned),
            roll.development,
        )
    };
    if way(a) == way(b) || is_further(a, b) {
        Some(a)
    } else if is_further(b, a) {
        Some(b)
    } else {
        None
    }
}

/// Puts two copies of a roll together.
pub(crate) fn meet(a: &Roll, b: &Roll) -> Met {
    let mut other: Vec<String> = Vec::new();
    let mut apart = |what: &str| other.push(what.to_owned());
    let words = |a: &String, b: &String| said(a, b, &String::new());
    if a.name != b.name {
        apart("its name");
    }
    if a.batch != b.batch || a.storage.zip(b.storage).is_some_and(|(a, b)| a != b) {
        apart("what film it is and how it was kept");
    }
    if a.exposures != b.exposures {
        apart("how many frames it gives");
    }
    let purpose = words(&a.purpose, &b.purpose);
    if purpose.is_none() {
        apart("what it is for");
    }
    let note = words(&a.note, &b.note);
    if note.is_none() {
        apart("its note");
    }
    let scans = said(&a.scans, &b.scans, &None);
    if scans.is_none() {
        apart("how its scans were made");
    }
    let way = further(a, b);
    if way.is_none() {
        apart("what it went through");
    }

    let numbers = |roll: &Roll| -> Vec<u16> { roll.scenes.iter().map(|s| s.number).collect() };
    let order = longer(&numbers(a), &numbers(b));
    if order.is_none() {
        apart("which scenes it has");
    }
    let mut all_scenes = Vec::new();
    for number in order.unwrap_or_default() {
        match (a.scene(number), b.scene(number)) {
            (Some(a), Some(b)) => match scenes(a, b) {
                Some(scene) => all_scenes.push(scene),
                None => apart(&format!("scene {number}")),
            },
            (one, two) => all_scenes.extend(one.or(two).cloned()),
        }
    }

    let ids = |roll: &Roll| -> Vec<u16> { roll.frames.iter().map(|f| f.id).collect() };
    let order = longer(&ids(a), &ids(b));
    if order.is_none() {
        apart("the order of its frames");
    }
    let mut all_frames = Vec::new();
    let mut frames_apart = Vec::new();
    for id in order.unwrap_or_else(|| ids(a)) {
        match (a.frame(id), b.frame(id)) {
            (Some(one), Some(two)) => match frames(one, two) {
                Some(frame) => all_frames.push(frame),
                None => match a.number_of(id) {
                    Some(number) if frames_apart.last() == Some(&number) => {}
                    Some(number) => frames_apart.push(number),
                    None => apart("a frame that was left out"),
                },
            },
            (one, two) => all_frames.extend(one.or(two).cloned()),
        }
    }

    let together =
        purpose
            .zip(note)
            .zip(scans)
            .zip(way)
            .and_then(|(((purpose, note), scans), way)| {
                let roll = Roll {
                    storage: a.storage.or(b.storage),
                    purpose,
                    note,
                    scans,
                    scenes: all_scenes,
                    frames: all_frames,
                    pairs: pairs::together(&a.pairs, &b.pairs),
                    ..way.clone()
                };
                (other.is_empty() && frames_apart.is_empty() && roll.check().is_ok())
                    .then_some(roll)
            });
    match together {
        Some(roll) => Met::Together(Box::new(roll)),
        None => {
            if other.is_empty() && frames_apart.is_empty() {
                other.push("how its parts fit together".to_owned());
            }
            Met::Apart {
                frames: frames_apart,
                other,
            }
        }
    }
}

/// What the copies say different things of, in words: `frames 3 and 7, and its name`.
pub(crate) fn apart_words(frames: &[u16], other: &[String]) -> String {
    let mut parts = Vec::new();
    match frames {
        [] => {}
        [one] => parts.push(format!("frame {one}")),
        many => parts.push(format!("frames {}", text::runs(many))),
    }
    parts.extend(other.iter().cloned());
    text::list(&parts)
}

/// What a copy brings to the roll that is here, in words; none where it brings nothing.
pub(crate) fn brings(here: &Roll, together: &Roll) -> Option<String> {
    let (mut noted, mut new) = (Vec::new(), Vec::new());
    for (number, frame) in together.numbered() {
        let list = match here.frame(frame.id) {
            Some(known) if known == frame => continue,
            Some(_) => &mut noted,
            None => &mut new,
        };
        // A frame that was left out has no number of its own; the roll page shows it.
        list.extend(number);
    }
    let mut parts = Vec::new();
    let mut name = |numbers: &[u16], what: &str| match numbers {
        [] => {}
        [one] => parts.push(format!("{what} frame {one}")),
        many => parts.push(format!("{what} frames {}", text::runs(many))),
    };
    name(&noted, "what it says of");
    name(&new, "the new");
    if parts.is_empty() && here != together {
        parts.push("what it says of the roll as a whole".to_owned());
    }
    (!parts.is_empty()).then(|| text::list(&parts))
}
