//! Frames of one scene that were compared two at a time, without being told which is which.
//!
//! A roll keeps how often each was liked better, not when: two devices that compared the same roll are put together by the larger
//! count of each, whichever copy is which, and nothing is counted twice.

use exposure::Stops;
use serde::Serialize;

use crate::{
    Book, Error, Group, Roll, Scans, as_shot, no_evidence,
    text::{self, hash},
};

/// How often two frames of a scene were compared, and what came of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Pair {
    /// Id of one frame, the smaller of the two.
    pub one: u16,
    /// Id of the other frame.
    pub other: u16,
    /// How often the one was liked better.
    pub one_better: u16,
    /// How often the other was liked better.
    pub other_better: u16,
    /// How often no difference was seen.
    pub even: u16,
}

impl Pair {
    /// Two frames that were not compared yet; none of a frame with itself.
    const fn new(a: u16, b: u16) -> Option<Self> {
        let (one, other) = if a < b { (a, b) } else { (b, a) };
        if one == other {
            return None;
        }
        Some(Self {
            one,
            other,
            one_better: 0,
            other_better: 0,
            even: 0,
        })
    }

    /// How often they were compared.
    #[must_use]
    pub const fn times(self) -> u32 {
        self.one_better as u32 + self.other_better as u32 + self.even as u32
    }

    const fn key(self) -> (u16, u16) {
        (self.one, self.other)
    }
}

/// Whether pairs are kept as they are written: in order, each once, none without a comparison.
pub(crate) fn are_sound(pairs: &[Pair]) -> bool {
    pairs
        .iter()
        .all(|pair| pair.one < pair.other && pair.times() > 0)
        && pairs.windows(2).all(|two| two[0].key() < two[1].key())
}

/// Both lists together: of each pair the larger counts.
pub(crate) fn together(a: &[Pair], b: &[Pair]) -> Vec<Pair> {
    let mut out = a.to_vec();
    for pair in b {
        match out.binary_search_by_key(&pair.key(), |known| known.key()) {
            Ok(at) => {
                let known = &mut out[at];
                known.one_better = known.one_better.max(pair.one_better);
                known.other_better = known.other_better.max(pair.other_better);
                known.even = known.even.max(pair.even);
            }
            Err(at) => out.insert(at, *pair),
        }
    }
    out
}

/// Counts one more comparison, or takes one back. `better` is the frame that was liked better; none where no difference was seen.
pub(crate) fn compare(
    roll: &mut Roll,
    [a, b]: [u16; 2],
    better: Option<u16>,
    taken_back: bool,
) -> Result<String, Error> {
    let scene = |id: u16| roll.frame(id).and_then(|frame| frame.plan.scene());
    let is_one_of_them = better.is_none_or(|better| better == a || better == b);
    let new = Pair::new(a, b)
        .filter(|_| is_one_of_them && scene(a).is_some() && scene(a) == scene(b))
        .ok_or_else(|| Error::new("two frames of one scene are compared"))?;
    let found = roll
        .pairs
        .binary_search_by_key(&new.key(), |known| known.key());
    let at = match found {
        Ok(at) => at,
        Err(at) => {
            roll.pairs.insert(at, new);
            at
        }
    };
    let pair = &mut roll.pairs[at];
    let count = match better {
        None => &mut pair.even,
        Some(better) if better == pair.one => &mut pair.one_better,
        Some(_) => &mut pair.other_better,
    };
    // What is said is not which: it may be said while nobody is to know.
    if !taken_back {
        *count = count.saturating_add(1);
        return Ok("Comparison kept.".to_owned());
    }
    *count = count
        .checked_sub(1)
        .ok_or_else(|| Error::new("this comparison is taken back already"))?;
    roll.pairs.retain(|pair| pair.times() > 0);
    Ok("Comparison taken back.".to_owned())
}

/// Takes the comparisons of a scene away.
pub(crate) fn forget(roll: &mut Roll, scene: u16) -> String {
    let frames: Vec<u16> = roll
        .frames
        .iter()
        .filter(|frame| frame.plan.scene() == Some(scene))
        .map(|frame| frame.id)
        .collect();
    roll.pairs
        .retain(|pair| !frames.contains(&pair.one) && !frames.contains(&pair.other));
    format!("The comparisons of scene {scene} are taken away.")
}

/// How far comparing some frames of a roll, two at a time, has got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Round {
    /// Pairs that there are.
    pub pairs: u32,
    /// How often every pair was compared, at least.
    pub rounds: u32,
    /// Pairs that were compared more often than that: how far the next round has got.
    pub done: u32,
    /// The two that are compared next, in the order in which they are laid down.
    pub next: [u16; 2],
}

/// Which two of some frames are compared next: of the pairs that were compared least often one that the number chooses. The number
/// also says which of the two lies first, so that the order tells nothing. None of fewer than two.
#[must_use]
pub fn next_pair(roll: &Roll, frames: &[u16], number: u32) -> Option<Round> {
    let times = |a: u16, b: u16| {
        let key = Pair::new(a, b)?.key();
        let at = roll.pairs.binary_search_by_key(&key, |known| known.key());
        Some(at.map_or(0, |at| roll.pairs[at].times()))
    };
    let mut all: Vec<(u32, u64, [u16; 2])> = Vec::new();
    for (place, &a) in frames.iter().enumerate() {
        for &b in &frames[place + 1..] {
            let times = times(a, b)?;
            // Another draw in each round: who has seen a pair knows how it lay.
            let drawn = hash(&format!(
                "{} {} {} {times} {number}",
                roll.id,
                a.min(b),
                a.max(b)
            ));
            let two = if drawn.is_multiple_of(2) {
                [a, b]
            } else {
                [b, a]
            };
            all.push((times, drawn, two));
        }
    }
    let (rounds, _, next) = *all.iter().min()?;
    let count = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
    Some(Round {
        pairs: count(all.len()),
        rounds,
        done: count(all.iter().filter(|(times, ..)| *times > rounds).count()),
        next,
    })
}

/// How often each of some variants was liked better than each other; half for each where no difference was seen. `variant` says
/// which one a frame is.
fn wins(
    pairs: &[Pair],
    variants: usize,
    variant: impl Fn(u16) -> Option<usize>,
    count: impl Fn(&Pair) -> [f64; 2],
    into: Option<Vec<Vec<f64>>>,
) -> Vec<Vec<f64>> {
    let mut wins = into.unwrap_or_else(|| vec![vec![0.0; variants]; variants]);
    for pair in pairs {
        let (Some(one), Some(other)) = (variant(pair.one), variant(pair.other)) else {
            continue;
        };
        if one != other {
            let [for_one, for_other] = count(pair);
            wins[one][other] += for_one;
            wins[other][one] += for_other;
        }
    }
    wins
}

/// How often each of some frames of a roll was liked better than each other: `wins[i][j]` is how often the i-th was liked better than
/// the j-th, and no difference is half for each.
#[must_use]
pub fn pair_wins(roll: &Roll, frames: &[u16]) -> Vec<Vec<f64>> {
    let place = |id: u16| frames.iter().position(|known| *known == id);
    let each = |pair: &Pair| {
        let even = f64::from(pair.even) / 2.0;
        [pair.one_better, pair.other_better].map(|better| f64::from(better) + even)
    };
    wins(&roll.pairs, frames.len(), place, each, None)
}

/// What blind comparisons of a group's frames say of offsets from box speed.
#[derive(Debug, Clone, PartialEq)]
pub struct PairedOffsets {
    /// Offsets that were compared, least light first.
    pub offsets: Vec<Stops>,
    /// As in [`pair_wins`].
    pub wins: Vec<Vec<f64>>,
    /// How many scenes were compared so.
    pub scenes: usize,
}

/// Offsets within so many stops count as one: marks of two cameras differ by less.
const ONE: f64 = 0.25;

/// Puts the blind comparisons of all scenes of a group together, by offset from box speed. Rolls whose scans were corrected frame by
/// frame, and frames that are no evidence, are left out; a pair that was compared several times counts once, as most of its comparisons
/// say. None where nothing was compared.
#[must_use]
pub fn paired_offsets(book: &Book, group: &Group) -> Option<PairedOffsets> {
    let box_speed = book.stock(&group.stock)?.box_speed;
    let rolls: Vec<&Roll> = book
        .rolls_of(group)
        .filter(|roll| roll.scans != Some(Scans::Corrected) && !roll.pairs.is_empty())
        .collect();
    // Each compared frame with its offset, in the order of rolls and frames.
    let mut frames: Vec<(usize, u16, u16, Stops)> = Vec::new();
    for (nth, roll) in rolls.iter().enumerate() {
        for (place, frame) in roll.frames.iter().enumerate() {
            let was_compared = |pair: &Pair| pair.one == frame.id || pair.other == frame.id;
            let counts = no_evidence(roll, place).is_none() && roll.pairs.iter().any(was_compared);
            if let Some(scene) = frame.plan.scene().filter(|_| counts)
                && let Some(shot) = as_shot(roll, frame)
            {
                frames.push((nth, frame.id, scene, shot.from_box(box_speed)));
            }
        }
    }
    let mut sorted: Vec<f64> = frames.iter().map(|(.., offset)| offset.get()).collect();
    text::rising(&mut sorted);
    let mut offsets: Vec<f64> = Vec::new();
    for offset in sorted {
        if offsets.last().is_none_or(|last| offset - last > ONE) {
            offsets.push(offset);
        }
    }
    let variant_of = |offset: Stops| offsets.iter().rposition(|from| offset.get() >= *from);
    let mut table = None;
    for (nth, roll) in rolls.iter().enumerate() {
        let variant = |id: u16| {
            let mut known = frames.iter();
            let found = known.find(|(roll, frame, ..)| *roll == nth && *frame == id)?;
            variant_of(found.3)
        };
        // Whoever compares the same two pictures again shows how constant a taste is, and nothing more of the film: a pair counts once.
        let once = |pair: &Pair| {
            if pair.one_better == pair.other_better {
                [0.5, 0.5]
            } else {
                [
                    pair.one_better > pair.other_better,
                    pair.other_better > pair.one_better,
                ]
                .map(|better| f64::from(u8::from(better)))
            }
        };
        table = Some(wins(&roll.pairs, offsets.len(), variant, once, table));
    }
    let wins = table.filter(|wins| wins.iter().flatten().any(|count| *count > 0.0))?;
    let mut scenes: Vec<(usize, u16)> = frames
        .iter()
        .map(|(nth, _, scene, _)| (*nth, *scene))
        .collect();
    text::order(&mut scenes, |a, b| a < b);
    scenes.dedup();
    Some(PairedOffsets {
        offsets: offsets
            .into_iter()
            .filter_map(|at| Stops::new(at).ok())
            .collect(),
        wins,
        scenes: scenes.len(),
    })
}
