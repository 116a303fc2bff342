//! Lining scans up with the log: shifted, reversed, with gaps, or by one anchor. Files are never renamed.

use crate::{Fate, Roll, as_shot, no_evidence, text::hash};

/// How the scans lie along the film.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lineup {
    /// Whether the last file is the first frame.
    pub reversed: bool,
    /// By how many places the first file lies further along the film than the first frame; negative for files before it.
    pub shift: i32,
    /// Ids of frames that have no scan: what is put in before them leaves them as they are.
    pub gaps: Vec<u16>,
}

impl Lineup {
    /// Whether the piece of film with these frames has no scan.
    #[must_use]
    pub fn is_gap(&self, frames: &[u16]) -> bool {
        self.gaps.iter().any(|gap| frames.contains(gap))
    }

    /// The record of how these files lie, by their names in order: plain lines.
    ///
    /// ```text
    /// stopkeeper line-up 1
    /// files 15 9f2c…        how many there are, and a hash of their names
    /// reversed -1           or forward; the shift
    /// without 3 5           ids of frames that have no scan
    /// ```
    #[must_use]
    pub fn text(&self, files: &[String]) -> String {
        let way = if self.reversed { "reversed" } else { "forward" };
        let mut text = format!(
            "stopkeeper line-up 1\nfiles {} {:016x}\n{way} {}\nwithout",
            files.len(),
            hash(&files.join("\n")),
            self.shift
        );
        for gap in &self.gaps {
            text.push_str(&format!(" {gap}"));
        }
        text.push('\n');
        text
    }

    /// Reads a record; none where it is that of other files, of a newer version, or damaged.
    #[must_use]
    pub fn read(text: &str, files: &[String]) -> Option<Self> {
        let mut lines = text.lines().skip(2);
        let (way, shift) = lines.next()?.split_once(' ')?;
        let mut gaps = lines.next()?.split(' ').skip(1);
        let how = Self {
            reversed: way == "reversed",
            shift: shift.parse().ok()?,
            gaps: gaps.try_fold(Vec::new(), |mut gaps, gap| {
                gaps.push(gap.parse().ok()?);
                Some(gaps)
            })?,
        };
        // What is not written so was not written here, or not of these files.
        (how.text(files) == text).then_some(how)
    }
}

/// One place of the line: a piece of film, a file, or both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Number on the film; none for a file beyond the log.
    pub number: Option<u16>,
    /// Ids of the frames there: none beyond the log, two for a double exposure.
    pub frames: Vec<u16>,
    /// Place of the file in the list as it was given.
    pub file: Option<usize>,
}

/// The pieces of film of a roll with the frames on them.
fn film(roll: &Roll) -> Vec<(u16, Vec<u16>)> {
    let mut out: Vec<(u16, Vec<u16>)> = Vec::new();
    for (number, frame) in roll.numbered() {
        match (number, out.last_mut()) {
            (None, _) => {}
            (Some(number), Some((last, frames))) if *last == number => frames.push(frame.id),
            (Some(number), _) => out.push((number, vec![frame.id])),
        }
    }
    out
}

/// Lays so many files along the film of a roll.
///
/// Every piece of film and every file appears once, in the order of the film.
#[must_use]
pub fn line_up(roll: &Roll, files: usize, how: &Lineup) -> Vec<Place> {
    let film = film(roll);
    let file_at = |nth: usize| if how.reversed { files - 1 - nth } else { nth };
    let mut out = Vec::new();
    let mut next = 0;
    // Files before the first frame.
    while next < files && i64::try_from(next).is_ok_and(|n| n + i64::from(how.shift) < 0) {
        out.push(Place {
            number: None,
            frames: Vec::new(),
            file: Some(file_at(next)),
        });
        next += 1;
    }
    let mut skip = how.shift.max(0);
    for (number, frames) in film {
        let file = if how.is_gap(&frames) || next >= files {
            None
        } else if skip > 0 {
            skip -= 1;
            None
        } else {
            next += 1;
            Some(file_at(next - 1))
        };
        out.push(Place {
            number: Some(number),
            frames,
            file,
        });
    }
    out.extend((next..files).map(|nth| Place {
        number: None,
        frames: Vec::new(),
        file: Some(file_at(nth)),
    }));
    out
}

/// The same line-up shifted so that a file (its place in the list) lies at a number on the film; none if there is no such
/// file or number, or the number is a gap.
#[must_use]
pub fn anchored(
    roll: &Roll,
    files: usize,
    how: &Lineup,
    file: usize,
    number: u16,
) -> Option<Lineup> {
    if file >= files {
        return None;
    }
    let place = film(roll)
        .iter()
        .filter(|(_, frames)| !how.is_gap(frames))
        .position(|(known, _)| *known == number)?;
    let nth = if how.reversed { files - 1 - file } else { file };
    let shift = i32::try_from(place).ok()? - i32::try_from(nth).ok()?;
    Some(Lineup {
        shift,
        ..how.clone()
    })
}

/// The names that a line-up gives to frames, for [`Edit::Name`](crate::Edit::Name): frames without a scan lose theirs.
#[must_use]
pub fn names(places: &[Place], files: &[String]) -> Vec<(u16, String)> {
    places
        .iter()
        .flat_map(|place| {
            let name = place
                .file
                .and_then(|file| files.get(file))
                .cloned()
                .unwrap_or_default();
            place.frames.iter().map(move |id| (*id, name.clone()))
        })
        .collect()
}

/// The line-up that lays exactly these files at these numbers on the film; none where no shift, turn and gaps do.
#[must_use]
pub fn lying(roll: &Roll, files: usize, file_of: impl Fn(u16) -> Option<usize>) -> Option<Lineup> {
    let film = film(roll);
    let first = film
        .iter()
        .map(|(number, _)| *number)
        .find(|number| file_of(*number).is_some())?;
    let gaps: Vec<u16> = film
        .iter()
        .filter(|(number, _)| file_of(*number).is_none())
        .filter_map(|(_, frames)| frames.first().copied())
        .collect();
    [false, true].into_iter().find_map(|reversed| {
        let how = Lineup {
            reversed,
            shift: 0,
            gaps: gaps.clone(),
        };
        let how = anchored(roll, files, &how, file_of(first)?, first)?;
        line_up(roll, files, &how)
            .iter()
            .all(|place| {
                place
                    .number
                    .is_none_or(|number| place.file == file_of(number))
            })
            .then_some(how)
    })
}

/// A frame that can be compared, with the file that lies at it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// Place of the file in the list.
    pub file: usize,
    /// Number on the film.
    pub number: u16,
    /// Its scene.
    pub scene: u16,
    /// Stops from the base of its scene, as shot; positive is more light.
    pub from_base: f64,
}

/// The frames whose scans can be compared with one another: one frame on its piece of film, in the light of its scene, with a setting
/// that is known.
#[must_use]
pub fn compared(roll: &Roll, places: &[Place]) -> Vec<Compared> {
    places
        .iter()
        .filter_map(|place| {
            let [frame] = *place.frames.as_slice() else {
                return None;
            };
            let nth = roll.frames.iter().position(|known| known.id == frame)?;
            if no_evidence(roll, nth).is_some() {
                return None;
            }
            Some(Compared {
                file: place.file?,
                number: place.number?,
                scene: roll.frames[nth].plan.scene()?,
                from_base: as_shot(roll, &roll.frames[nth])?.from_base.get(),
            })
        })
        .collect()
}

/// The film that was exposed, in its order: for each number the run of frames of one scene that it belongs to, and its stops from the
/// base. What is no picture of a scene is a run of its own.
#[must_use]
pub fn runs(roll: &Roll) -> Vec<(u16, u16, f64)> {
    let mut out = Vec::new();
    let (mut run, mut last) = (0_u16, None);
    for (number, frames) in film(roll) {
        let Some(frame) = frames.first().and_then(|id| roll.frame(*id)) else {
            continue;
        };
        if frame.shot.fate == Fate::Waiting {
            continue;
        }
        let scene = frame.plan.scene();
        if out.is_empty() || scene.is_none() || scene != last {
            run = run.saturating_add(1);
        }
        last = scene;
        let stops = as_shot(roll, frame).map_or(0.0, |shot| shot.from_base.get());
        out.push((number, run, stops));
    }
    out
}
