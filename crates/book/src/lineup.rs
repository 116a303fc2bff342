//! Lining scans up with the log: shifted, reversed, with gaps, without files that are no frame of it, or by one anchor. Files are
//! never renamed.

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
    /// Files between those of the log that are no frame of it, as places in the list: one frame scanned twice, a test.
    pub skipped: Vec<usize>,
    /// Strips that lie the other way round than the rest: places of the first and the last file of each. No two share a file.
    pub strips: Vec<(usize, usize)>,
}

/// The numbers behind the word that a line begins with; none where one is no number.
fn listed<T: std::str::FromStr>(line: &str) -> Option<Vec<T>> {
    line.split(' ')
        .skip(1)
        .map(|number| number.parse().ok())
        .collect()
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
    /// skipped 7             places of files that are no frame
    /// strip 5 9             places of the first and the last file of each strip the other way round; or none
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
        text.push_str("\nskipped");
        for file in &self.skipped {
            text.push_str(&format!(" {file}"));
        }
        text.push_str("\nstrip");
        if self.strips.is_empty() {
            text.push_str(" none");
        }
        for (first, last) in &self.strips {
            text.push_str(&format!(" {first} {last}"));
        }
        text.push('\n');
        text
    }

    /// Reads a record; none where it is that of other files, of a newer version, or damaged.
    #[must_use]
    pub fn read(text: &str, files: &[String]) -> Option<Self> {
        let mut lines = text.lines().skip(2);
        let (way, shift) = lines.next()?.split_once(' ')?;
        let how = Self {
            reversed: way == "reversed",
            shift: shift.parse().ok()?,
            gaps: listed(lines.next()?)?,
            skipped: listed(lines.next()?)?,
            strips: lines.next().and_then(listed).map_or_else(Vec::new, |ends| {
                ends.chunks_exact(2)
                    .map(|ends| (ends[0], ends[1]))
                    .collect()
            }),
        };
        // What is not written so was not written here, or not of these files.
        (how.text(files) == text).then_some(how)
    }

    /// So many files as they follow one another along the film, by their places in the list.
    fn order(&self, files: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..files).collect();
        for (first, last) in &self.strips {
            if let Some(strip) = order.get_mut(*first..=*last) {
                strip.reverse();
            }
        }
        if self.reversed {
            order.reverse();
        }
        order
    }

    /// The same without those that are no frame.
    fn kept(&self, files: usize) -> Vec<usize> {
        let mut order = self.order(files);
        order.retain(|file| !self.skipped.contains(file));
        order
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
    let beyond = |file| Place {
        number: None,
        frames: Vec::new(),
        file: Some(file),
    };
    let mut order = how.order(files).into_iter().peekable();
    let is_skipped = |file: &usize| how.skipped.contains(file);
    let mut out = Vec::new();
    // Files before the first frame.
    let mut before = how.shift.min(0).unsigned_abs();
    while before > 0 {
        let Some(file) = order.next() else {
            break;
        };
        before -= u32::from(!is_skipped(&file));
        out.push(beyond(file));
    }
    let mut wait = how.shift.max(0);
    for (number, frames) in film {
        let mut file = None;
        if !how.is_gap(&frames) {
            if wait > 0 {
                wait -= 1;
            } else {
                while let Some(other) = order.next_if(is_skipped) {
                    out.push(beyond(other));
                }
                file = order.next();
            }
        }
        out.push(Place {
            number: Some(number),
            frames,
            file,
        });
    }
    out.extend(order.map(beyond));
    out
}

/// The same line-up shifted so that a file (its place in the list) lies at a number on the film, which makes it a frame if it was
/// none; none if there is no such file or number, or the number is a gap.
#[must_use]
pub fn anchored(
    roll: &Roll,
    files: usize,
    how: &Lineup,
    file: usize,
    number: u16,
) -> Option<Lineup> {
    let mut how = how.clone();
    how.skipped.retain(|skipped| *skipped != file);
    let place = film(roll)
        .iter()
        .filter(|(_, frames)| !how.is_gap(frames))
        .position(|(known, _)| *known == number)?;
    let nth = how.kept(files).iter().position(|kept| *kept == file)?;
    how.shift = i32::try_from(place).ok()? - i32::try_from(nth).ok()?;
    Some(how)
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

/// The line-up that lays exactly these files at these numbers on the film; none where no shift, turn of the whole or of a strip,
/// gaps and skipped files do.
#[must_use]
pub fn lying(roll: &Roll, files: usize, file_of: impl Fn(u16) -> Option<usize>) -> Option<Lineup> {
    let film = film(roll);
    let laid: Vec<(u16, usize)> = film
        .iter()
        .filter_map(|(number, _)| Some((*number, file_of(*number)?)))
        .collect();
    let (first, file) = *laid.first()?;
    let gaps: Vec<u16> = film
        .iter()
        .filter(|(number, _)| file_of(*number).is_none())
        .filter_map(|(_, frames)| frames.first().copied())
        .collect();
    let mut rising: Vec<usize> = laid.iter().map(|(_, file)| *file).collect();
    rising.sort_unstable();
    // What lies between the files of the log and is at no frame.
    let skipped: Vec<usize> = (rising[0]..rising[rising.len() - 1])
        .filter(|file| rising.binary_search(file).is_err())
        .collect();
    let ways = [false, true].into_iter().filter_map(|reversed| {
        let mut along = rising.clone();
        if reversed {
            along.reverse();
        }
        let how = Lineup {
            reversed,
            shift: 0,
            gaps: gaps.clone(),
            skipped: skipped.clone(),
            strips: strips(&along, &laid)?,
        };
        let how = anchored(roll, files, &how, file, first)?;
        line_up(roll, files, &how)
            .iter()
            .all(|place| {
                place
                    .number
                    .is_none_or(|number| place.file == file_of(number))
            })
            .then_some(how)
    });
    // The plainer one: what runs the other way as a whole is no strip.
    ways.min_by_key(|how| how.strips.len())
}

/// The strips that lie the other way round where files lie so and would lie so, one after the other; none where that is not all.
fn strips(along: &[usize], laid: &[(u16, usize)]) -> Option<Vec<(usize, usize)>> {
    let mut strips = Vec::new();
    let mut from = 0;
    while from < along.len() {
        // It ends at the file that lies where it begins.
        let length = along[from..]
            .iter()
            .position(|file| *file == laid[from].1)?
            + 1;
        let strip = &along[from..from + length];
        let turned = strip.iter().rev();
        if !turned.eq(laid[from..from + length].iter().map(|(_, file)| file)) {
            return None;
        }
        let (one, other) = (strip[0], strip[length - 1]);
        if length > 1 {
            strips.push((one.min(other), one.max(other)));
        }
        from += length;
    }
    strips.sort_unstable();
    Some(strips)
}

/// The same line-up with the files at these numbers on the film, and all between them, the other way round; none where no two files
/// lie there. Strips that share a file with these lie as the rest again; turned once more, a strip lies as it did.
#[must_use]
pub fn turned(roll: &Roll, files: usize, how: &Lineup, ends: (u16, u16)) -> Option<Lineup> {
    let places = line_up(roll, files, how);
    let between = ends.0.min(ends.1)..=ends.0.max(ends.1);
    let is_between = |place: &&Place| place.number.is_some_and(|number| between.contains(&number));
    let there = places.iter().filter(is_between);
    let there: Vec<usize> = there.filter_map(|place| place.file).collect();
    let (first, last) = (*there.iter().min()?, *there.iter().max()?);
    if first == last {
        return None;
    }
    let mut how = how.clone();
    if how.strips.contains(&(first, last)) {
        how.strips.retain(|strip| *strip != (first, last));
    } else {
        how.strips.retain(|strip| strip.1 < first || last < strip.0);
        how.strips.push((first, last));
        how.strips.sort_unstable();
    }
    Some(how)
}

/// How files lie when others come beside them: those that lay at a number lie there still, those that were no frame are none, and the
/// others lie at the numbers that are free where they come in the list, or nowhere. None where none lay at one.
///
/// Both lists are in the order in which files are laid.
#[must_use]
pub fn carried(roll: &Roll, how: &Lineup, before: &[String], now: &[String]) -> Option<Lineup> {
    let film = film(roll);
    let mut fixed: Vec<Option<usize>> = vec![None; film.len()];
    for place in line_up(roll, before.len(), how) {
        if let (Some(number), Some(file)) = (place.number, place.file) {
            let nth = film.iter().position(|(known, _)| *known == number)?;
            fixed[nth] = now.iter().position(|name| *name == before[file]);
        }
    }
    let new: Vec<usize> = (0..now.len())
        .filter(|file| !before.contains(&now[*file]))
        .collect();
    // What comes within a strip that lies the other way round may fit nowhere.
    let is_gap = |frames: &[u16]| how.is_gap(frames);
    let skipped: Vec<usize> = how
        .skipped
        .iter()
        .filter_map(|file| now.iter().position(|name| Some(name) == before.get(*file)))
        .collect();
    let lay = |at: &[Option<usize>]| laid_at(roll, &film, now.len(), at, &is_gap, &skipped);
    lay(&filled(&fixed, &new, how.reversed, Room::Everywhere)).or_else(|| lay(&fixed))
}

/// The line-up that gives these files the names that are kept with the frames; none if nothing is kept or they lie another way.
///
/// Other files lie at no frame, or, where they may go `on`, before and after those that are named. A frame between them that has no
/// name was left without, and one whose name none of the files has waits for it.
#[must_use]
pub fn by_names(roll: &Roll, files: &[String], on: bool) -> Option<Lineup> {
    let film = film(roll);
    let name_of = |frames: &[u16]| {
        let mut names = frames.iter().filter_map(|id| Some(&roll.frame(*id)?.scan));
        names.find(|name| !name.is_empty())
    };
    let fixed: Vec<Option<usize>> = film
        .iter()
        .map(|(_, frames)| {
            let name = name_of(frames)?;
            files.iter().position(|file| file == name)
        })
        .collect();
    let new: Vec<usize> = (0..files.len())
        .filter(|file| !fixed.contains(&Some(*file)))
        .collect();
    let number_at = |number: u16| fixed[film.iter().position(|(known, _)| *known == number)?];
    let named = lying(roll, files.len(), number_at)?;
    let waits = |frames: &[u16]| name_of(frames).is_some_and(|name| !files.contains(name));
    let waiting: Vec<bool> = film.iter().map(|(_, frames)| waits(frames)).collect();
    let at = filled(&fixed, &new, named.reversed, Room::Around(&waiting));
    on.then(|| laid_at(roll, &film, files.len(), &at, &waits, &[]))
        .flatten()
        .or(Some(named))
}

/// The line-up that lays these files at the pieces of film. Frames between those that have a scan are without one, and others that are
/// said to be; files that are said to be no frame are none.
fn laid_at(
    roll: &Roll,
    film: &[(u16, Vec<u16>)],
    files: usize,
    at: &[Option<usize>],
    is_gap: &dyn Fn(&[u16]) -> bool,
    skipped: &[usize],
) -> Option<Lineup> {
    let number_at = |number: u16| at[film.iter().position(|(known, _)| *known == number)?];
    let found = lying(roll, files, number_at)?;
    let begin = at.iter().position(Option::is_some)?;
    let end = at.iter().rposition(Option::is_some)?;
    let is_gap = |nth: usize, frames: &[u16]| {
        at[nth].is_none() && ((begin..end).contains(&nth) || is_gap(frames))
    };
    let gaps = (0..)
        .zip(film)
        .filter(|(nth, (_, frames))| is_gap(*nth, frames))
        .filter_map(|(_, (_, frames))| frames.first().copied())
        .collect();
    let mut found = Lineup { gaps, ..found };
    found.skipped.extend(skipped);
    found.skipped.sort_unstable();
    found.skipped.dedup();
    anchored(roll, files, &found, at[begin]?, film[begin].0)
}

/// Where files may lie beside those that lie fast.
#[derive(Clone, Copy)]
enum Room<'a> {
    /// At any piece of film that has none.
    Everywhere,
    /// Before the first and after the last that has one, where it does not wait for another.
    Around(&'a [bool]),
}

/// The files at each piece of film, and new ones where there was none: before the first, after the last, and perhaps between two that
/// lie next to one another, as they come in the list.
fn filled(
    fixed: &[Option<usize>],
    new: &[usize],
    reversed: bool,
    room: Room<'_>,
) -> Vec<Option<usize>> {
    let mut at = fixed.to_vec();
    let lies: Vec<(usize, usize)> = (0..)
        .zip(fixed)
        .filter_map(|(nth, file)| Some((nth, (*file)?)))
        .collect();
    let (Some(first), Some(last)) = (lies.first(), lies.last()) else {
        return at;
    };
    let along = |backward: bool, is_there: &dyn Fn(usize) -> bool| {
        let mut files: Vec<usize> = new.iter().copied().filter(|file| is_there(*file)).collect();
        if backward {
            files.reverse();
        }
        files
    };
    let is_lower = |file: usize| lies.iter().all(|(_, other)| file < *other);
    let is_higher = |file: usize| lies.iter().all(|(_, other)| file > *other);
    let (before, after) = if reversed {
        (along(true, &is_higher), along(true, &is_lower))
    } else {
        (along(false, &is_lower), along(false, &is_higher))
    };
    let is_free = |nth: &usize| match room {
        Room::Everywhere => true,
        Room::Around(waits) => !waits[*nth],
    };
    let front = (0..first.0).rev().filter(is_free);
    for (nth, file) in front.zip(before.into_iter().rev()) {
        at[nth] = Some(file);
    }
    for (nth, file) in (last.0 + 1..at.len()).filter(is_free).zip(after) {
        at[nth] = Some(file);
    }
    let between = matches!(room, Room::Everywhere);
    for ends in lies.windows(2).filter(|_| between) {
        let ((from, one), (to, other)) = (ends[0], ends[1]);
        let is_between = |file: usize| (one.min(other)..one.max(other)).contains(&file);
        for (nth, file) in (from + 1..to).zip(along(one > other, &is_between)) {
            at[nth] = Some(file);
        }
    }
    at
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
/// base, where its light is known: not of two exposures on one piece of film, nor of a frame without a setting. What is no picture of a
/// scene is a run of its own.
#[must_use]
pub fn runs(roll: &Roll) -> Vec<(u16, u16, Option<f64>)> {
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
        let stops = match frames.as_slice() {
            [_] => as_shot(roll, frame).map(|shot| shot.from_base.get()),
            _ => None,
        };
        out.push((number, run, stops));
    }
    out
}
