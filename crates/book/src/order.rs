//! Whether scans run the way the log says: more light on the film, a brighter picture.
//!
//! Within one scene and with one setting of the scanner, of two frames the one that got more light is the brighter picture,
//! on negatives that were turned positive and on slides alike. Where pictures say the opposite, they most often lie at the
//! wrong frames: the roll was scanned from its other end, or a frame is missing (common practice).

use exposure::{Stops, words};

use crate::{
    Lineup, Place, Roll, Scans, Tick, Verdict, as_shot, line_up, lineup::compared, no_evidence,
    text,
};

/// Two frames whose light differs by less than this many stops say nothing about the order (judgement, no source).
const LEAST_LIGHT: f64 = 0.3;
/// Two pictures whose brightness differs by less than this share of the darker one are as bright (judgement, no source):
/// scanner, grain and drifting light make about as much.
const LEAST_BRIGHT: f64 = 0.06;

/// What pictures say against the log.
#[derive(Debug, Clone, PartialEq)]
pub struct Against {
    /// What contradicts, and how else the scans may lie, in sentences.
    pub says: String,
    /// A line-up that pictures and log agree on, if there is one.
    pub instead: Option<Lineup>,
}

/// Two frames of a scene, and how their pictures compare.
struct Pair {
    scene: u16,
    /// Numbers on the film: the frame with less light first.
    frames: [u16; 2],
    /// How much more light the second one got.
    more: Stops,
    agrees: bool,
}

/// The pairs of frames that pictures say something about, in the order of the log.
fn pairs(roll: &Roll, places: &[Place], bright: &[Option<f64>]) -> Vec<Pair> {
    let known: Vec<(u16, u16, f64, f64)> = compared(roll, places)
        .into_iter()
        .filter_map(|frame| {
            let seen = bright.get(frame.file).copied().flatten()?;
            let sound = seen.is_finite() && seen >= 0.0;
            sound.then_some((frame.scene, frame.number, frame.from_base, seen))
        })
        .collect();
    let mut out = Vec::new();
    for (i, first) in known.iter().enumerate() {
        for second in known[i + 1..].iter().filter(|other| other.0 == first.0) {
            let (less, more) = if first.2 <= second.2 {
                (first, second)
            } else {
                (second, first)
            };
            let light = more.2 - less.2;
            let least = LEAST_BRIGHT * less.3.min(more.3);
            if light < LEAST_LIGHT || (more.3 - less.3).abs() <= least {
                continue;
            }
            // OK to leave one out: two offsets in range differ by less than any stops can hold.
            let Ok(light) = Stops::new(light) else {
                continue;
            };
            out.push(Pair {
                scene: first.0,
                frames: [less.1, more.1],
                more: light,
                agrees: more.3 > less.3,
            });
        }
    }
    out
}

/// How many pairs agree with the log, and how many do not.
fn count(pairs: &[Pair]) -> (usize, usize) {
    let right = pairs.iter().filter(|pair| pair.agrees).count();
    (right, pairs.len() - right)
}

/// Whether so many pairs speak against the log by themselves: a single one of many may be a cloud.
const fn is_against(right: usize, wrong: usize) -> bool {
    wrong > 0 && wrong * 3 >= right + wrong
}

/// Compares how bright the scans are with what the log says of the light on each frame.
///
/// `bright` has, for each file in the order of the files, the mean brightness of its picture on any scale that begins at 0
/// for black and rises with light; none where it is not known. Nothing is said where the pictures agree, where too little is
/// known, and of scans that were corrected frame by frame, which evens out just this. Frames that are no evidence (lost,
/// doubly exposed, in another light) are left aside.
///
/// An alternative is proposed where it leaves next to nothing that contradicts: run the other way, shifted by one or two.
#[must_use]
pub fn against_log(
    roll: &Roll,
    files: usize,
    how: &Lineup,
    bright: &[Option<f64>],
) -> Option<Against> {
    if roll.scans == Some(Scans::Corrected) {
        return None;
    }
    let of = |how: &Lineup| pairs(roll, &line_up(roll, files, how), bright);
    let now = of(how);
    let (right, wrong) = count(&now);
    let against = is_against(right, wrong);
    let better = |other: &Lineup| {
        let (then_right, then_wrong) = count(&of(other));
        // Where little contradicts, only what all pictures agree with, and no fewer of them.
        let as_many = then_right + then_wrong >= now.len() && then_wrong == 0;
        let nearly = then_right > right && then_wrong * 6 <= then_right;
        as_many || (against && nearly && (then_right + then_wrong) * 2 >= now.len())
    };
    let lay = |(turns, by): (bool, i32)| Lineup {
        reversed: how.reversed != turns,
        shift: how.shift.saturating_add(by),
        ..how.clone()
    };
    let instead = if wrong == 0 {
        None
    } else {
        WAYS.into_iter().map(lay).find(better)
    };
    if !against && instead.is_none() {
        return None;
    }
    let worst = now
        .iter()
        .filter(|pair| !pair.agrees)
        .reduce(|worst, pair| {
            if worst.more.get() >= pair.more.get() {
                worst
            } else {
                pair
            }
        })?;
    let mut says = format!(
        "The scans contradict the log. Frame {} got {} than frame {} of the same scene ({}), and its picture is the darker \
         one.",
        worst.frames[1],
        words::difference(worst.more),
        worst.frames[0],
        worst.scene
    );
    if now.len() > 1 {
        let all = now.len();
        says.push_str(&format!(" So it is with {wrong} of {all} pairs of frames."));
    }
    says.push_str(&match &instead {
        Some(other) => otherwise(how, other),
        None => " A frame may be missing in the log or among the scans, or the light was another than was read.".to_owned(),
    });
    Some(Against { says, instead })
}

/// How else scans may lie, the most common first: from the other end or not, and shifted by so many places.
const WAYS: [(bool, i32); 7] = [
    (true, 0),
    (false, 1),
    (false, -1),
    (true, 1),
    (true, -1),
    (false, 2),
    (false, -2),
];

/// The line-up that pictures and log agree on, in words.
fn otherwise(how: &Lineup, other: &Lineup) -> String {
    let by = match other.shift.abs_diff(how.shift) {
        1 => "one".to_owned(),
        by => by.to_string(),
    };
    let way = if other.shift > how.shift {
        "forward"
    } else {
        "back"
    };
    if other.reversed == how.reversed {
        return format!(" They agree if the scans are shifted by {by} {way}.");
    }
    let shifted = if other.shift == how.shift {
        String::new()
    } else {
        format!(" and are shifted by {by} {way}")
    };
    format!(
        " They agree if the scans run the other way{shifted}. If they are negatives that were not turned positive, they lie \
         right."
    )
}

/// A judged frame of a scene: number on the film, offset from the base in stops, and the verdict.
type Judged<'a> = (u16, f64, &'a Verdict);

/// Where the verdicts on a scene contradict its log: a frame that was judged worse than frames with both less and more light
/// than it got, or texture in the shadows that goes as the light grows (in the highlights: that comes).
///
/// One sentence each; none where nothing contradicts. Only frames that count are looked at.
#[must_use]
pub fn verdicts_against_log(roll: &Roll, scene: u16) -> Vec<String> {
    let mut judged: Vec<Judged<'_>> = roll
        .numbered()
        .into_iter()
        .enumerate()
        .filter(|(nth, (_, frame))| {
            frame.plan.scene() == Some(scene) && no_evidence(roll, *nth).is_none()
        })
        .filter_map(|(_, (number, frame))| {
            let light = as_shot(roll, frame)?.from_base.get();
            Some((number?, light, frame.verdict.as_ref()?))
        })
        .collect();
    text::order(&mut judged, |a, b| a.1 < b.1);
    let mut out = Vec::new();
    let dip = judged.iter().find_map(|middle| {
        let better = |other: &&Judged<'_>| other.2.grade > middle.2.grade;
        let less = judged
            .iter()
            .filter(|other| middle.1 - other.1 >= LEAST_LIGHT)
            .rfind(better)?;
        let more = judged
            .iter()
            .filter(|other| other.1 - middle.1 >= LEAST_LIGHT)
            .find(better)?;
        Some([middle.0, less.0, more.0])
    });
    if let Some([middle, less, more]) = dip {
        out.push(format!(
            "Frame {middle} was judged worse than frame {less}, which got less light, and than frame {more}, which got more. \
             {CHECK}"
        ));
    }
    for (tick, comes_with_light) in [(Tick::ShadowTexture, true), (Tick::HighlightTexture, false)] {
        let Some([has, lacks]) = texture_against_log(&judged, tick, comes_with_light) else {
            continue;
        };
        let lean = if comes_with_light { "more" } else { "less" };
        out.push(format!(
            "Frame {has} has {}, and frame {lacks}, which got {lean} light, was judged without it. {CHECK}",
            tick.words()
        ));
    }
    out
}

const CHECK: &str = "Check whether the scans lie at the right frames.";

/// Two frames of which the wrong one has the texture, where more pairs say so than the opposite. A frame without any tick says
/// nothing: nobody may have looked.
fn texture_against_log(
    judged: &[Judged<'_>],
    tick: Tick,
    comes_with_light: bool,
) -> Option<[u16; 2]> {
    let (mut right, mut wrong, mut first) = (0, 0, None);
    let has = |frame: &Judged<'_>| frame.2.ticks.contains(&tick);
    for (nth, less) in judged.iter().enumerate() {
        for more in judged[nth + 1..].iter() {
            let (ticked, other) = if has(less) {
                (less, more)
            } else {
                (more, less)
            };
            let says = has(ticked) && !has(other) && !other.2.ticks.is_empty();
            if !says || more.1 - less.1 < LEAST_LIGHT {
                continue;
            }
            if (ticked.1 > other.1) == comes_with_light {
                right += 1;
            } else {
                wrong += 1;
                first = first.or(Some([ticked.0, other.0]));
            }
        }
    }
    first.filter(|_| wrong > right)
}
