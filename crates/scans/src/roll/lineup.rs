//! How files lie along the film, told from the pictures: which show the same scene, and which way their light runs.
//!
//! A line-up is proposed and never made: a run that lies the other way round, a file too many, a frame without one. What could as
//! well be otherwise is not proposed. Negatives that were not turned positive look like a roll from its other end, so that nothing is
//! turned where they explain the pictures as well.

use crate::{
    Grid, pair,
    register::{Scene, Waves},
};

/// A file, as far as it is needed to lay it.
#[derive(Debug, Clone, Copy)]
pub struct Picture<'a> {
    /// Its small picture.
    pub grid: &'a Grid,
}

/// A way in which the files lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// For each logged frame in the order of the film the place of its file in the list as it was given; none where it has none.
    pub files: Vec<Option<usize>>,
    /// Frames without a file, as places in the order of the film.
    pub missing: Vec<usize>,
    /// Files without a frame.
    pub extra: Vec<usize>,
    /// Frames that may as well be the ones without a file: which of them it is cannot be told.
    pub doubtful: Vec<usize>,
    /// Files that lie the other way round, first and last place; the whole roll or a strip of it.
    pub reversed: Option<(usize, usize)>,
}

/// What the pictures say of the line-up.
#[derive(Debug, Clone, PartialEq)]
pub enum LineUp {
    /// They lie as logged. Whether the pictures say so, or only say nothing against it.
    AsLogged {
        /// The pictures tell the scenes and the way of the light.
        told: bool,
    },
    /// They lie otherwise.
    Proposed(Laid),
    /// Laid as logged, more light is the darker picture all along: negatives that were not turned positive, as far as pictures tell
    /// them from a roll that lies from its other end.
    Negatives,
    /// The files do not fit the log, and how they lie cannot be told.
    Unclear,
}

/// A frame or a file left out costs this.
const SKIP: f64 = 1.5;
/// The same at the ends of the film.
const SKIP_AT_END: f64 = 1.0;
/// A strip the other way round has to earn this.
const TURN: f64 = 1.0;
/// A line-up has to be better than the one logged by this.
const CLEARLY: f64 = 0.9;
/// One that is worse by less than this may as well be true.
const NEARLY: f64 = 0.75;
/// Files further apart in the list are not compared.
const BAND: usize = 7;
/// Stops that a negative that was not turned positive moves for each stop of light, the other way (common practice).
const OF_NEGATIVES: f64 = -0.6;
/// Negatives have to explain so much more than positives as logged: more than a single pair of frames does.
const NEGATIVES_FROM: f64 = 4.0;
/// Small pictures that differ by so many cells were cropped a little otherwise; where they differ by more, their scale may.
const CROPPED: usize = 2;
/// So many frames or files in a row may be left out.
const GAP: usize = 3;
/// More files than this are not looked at.
const MOST: usize = 120;

/// What is known of two pictures.
#[derive(Clone, Copy)]
struct Seen {
    scene: Scene,
    /// Stops by which the second is brighter.
    brighter: Option<f64>,
}

/// How the files lie along a film with these series: for each series, in the order of the film, the logged offsets of its frames
/// in stops, positive for more light, none where its light is not known.
#[must_use]
pub fn line_up(series: &[Vec<Option<f64>>], files: &[Picture<'_>]) -> LineUp {
    let frames: Vec<(usize, Option<f64>)> = series
        .iter()
        .enumerate()
        .flat_map(|(at, offsets)| offsets.iter().map(move |offset| (at, *offset)))
        .collect();
    let (count, of) = (files.len(), frames.len());
    if count == 0 || of == 0 || count > MOST || of > MOST {
        return LineUp::Unclear;
    }
    let waves: Vec<Waves> = files.iter().map(|file| Waves::of(file.grid)).collect();
    let seen: Vec<Vec<Seen>> = (0..count)
        .map(|first| {
            (first + 1..count.min(first + 1 + BAND))
                .map(|second| look(files, &waves, first, second))
                .collect()
        })
        .collect();
    let film = Film {
        frames: &frames,
        seen: &seen,
        each: 1.0,
    };
    let forward: Vec<usize> = (0..count).collect();
    let logged: Vec<Option<usize>> = (0..of).map(|at| (at < count).then_some(at)).collect();
    let as_logged = film.worth(&forward, &logged);
    let mut ways = vec![(forward.clone(), None)];
    ways.push((
        forward.iter().rev().copied().collect(),
        Some((0, count - 1)),
    ));
    for first in 0..count {
        for last in first + 2..count.min(first + BAND) {
            let mut order = forward.clone();
            order[first..=last].reverse();
            if last - first + 1 < count {
                ways.push((order, Some((first, last))));
            }
        }
    }
    // By what each is worth less the cost of turning; the place of the way, and the worth itself.
    let mut found: Vec<(f64, Vec<Option<usize>>, usize, f64)> = ways
        .iter()
        .enumerate()
        .map(|(way, (order, turned))| {
            let (worth, files) = film.best(order, None);
            let cost = if turned.is_some() { TURN } else { 0.0 };
            (worth - cost, files, way, worth)
        })
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    let (worth, best, way, _) = found[0].clone();
    let (order, turned) = &ways[way];
    let (negative, _) = Film {
        each: OF_NEGATIVES,
        ..film
    }
    .best(&forward, None);
    let as_good = turned.is_some() && negative >= worth;
    if as_good && negative >= as_logged + NEGATIVES_FROM || negative >= worth + NEGATIVES_FROM {
        return LineUp::Negatives;
    }
    if best == logged || worth < as_logged + CLEARLY {
        // Fewer files than frames, or more, fit the log nowhere in particular.
        return if count == of {
            let told = as_logged > film.plain(&forward)
                && found
                    .iter()
                    .all(|(_, files, _, other)| *files == logged || *other < as_logged - NEARLY);
            LineUp::AsLogged { told }
        } else if best == logged && count != of {
            LineUp::AsLogged { told: false }
        } else {
            LineUp::Unclear
        };
    }
    if as_good {
        return LineUp::Unclear;
    }
    let missing: Vec<usize> = (0..of).filter(|at| best[*at].is_none()).collect();
    let extra: Vec<usize> = (0..count).filter(|at| !best.contains(&Some(*at))).collect();
    // The same way round with another frame left out, or the same file at another frame.
    let mut doubtful = Vec::new();
    if !missing.is_empty() || !extra.is_empty() {
        for frame in (0..of).filter(|frame| !missing.contains(frame)) {
            let (other, laid) = film.best(order, Some(frame));
            let cost = if turned.is_some() { TURN } else { 0.0 };
            let same_count = laid.iter().flatten().count() == best.iter().flatten().count();
            if same_count && other - cost > worth - NEARLY {
                doubtful.push(frame);
            }
        }
    }
    // Another way round that is as good and lies elsewhere: which, cannot be told.
    let rival = found[1..].iter().any(|(other, files, of_way, _)| {
        *of_way != way && *files != best && *other > worth - NEARLY
    });
    if rival || doubtful.len() > 4 {
        return LineUp::Unclear;
    }
    LineUp::Proposed(Laid {
        files: best,
        missing,
        extra,
        doubtful,
        reversed: *turned,
    })
}

fn look(files: &[Picture<'_>], waves: &[Waves], first: usize, second: usize) -> Seen {
    let (a, b) = (files[first].grid, files[second].grid);
    if a.is_turned(b) {
        // Upright and lying pictures are different ones.
        return Seen {
            scene: Scene::Other,
            brighter: None,
        };
    }
    let ((aw, ah), (bw, bh)) = (a.size(), b.size());
    let cropped = aw.abs_diff(bw).max(ah.abs_diff(bh)) <= CROPPED;
    let shift = waves[first].shift_to(&waves[second]);
    let scene = match shift.map(|shift| shift.scene()) {
        // At another scale the same scene is not found again.
        Some(Scene::Other) if !cropped => Scene::Unclear,
        known => known.unwrap_or(Scene::Unclear),
    };
    Seen {
        scene,
        brighter: pair::relative(a, b, shift).map(|relative| relative.stops),
    }
}

/// What the best way to a file at a frame is worth, and which file and frame it came from.
type Reached = (f64, Option<(usize, usize)>);

#[derive(Clone, Copy)]
struct Film<'a> {
    /// Series and offset of each frame.
    frames: &'a [(usize, Option<f64>)],
    /// What is known of each file and those that follow it.
    seen: &'a [Vec<Seen>],
    /// Stops that pictures are taken to move for each stop of light.
    each: f64,
}

impl Film<'_> {
    fn seen(&self, first: usize, second: usize) -> Option<Seen> {
        let (low, high) = (first.min(second), first.max(second));
        let seen = *self.seen[low].get(high.checked_sub(low + 1)?)?;
        Some(if first < second {
            seen
        } else {
            Seen {
                brighter: seen.brighter.map(|stops| -stops),
                ..seen
            }
        })
    }

    /// What speaks for two files lying at two frames, one after the other.
    fn link(&self, files: (usize, usize), frames: (usize, usize)) -> f64 {
        let Some(seen) = self.seen(files.0, files.1) else {
            return 0.0;
        };
        let (from, to) = (self.frames[frames.0], self.frames[frames.1]);
        let together = from.0 == to.0;
        let scene = match (seen.scene, together) {
            (Scene::Same, true) | (Scene::Other, false) => 1.0,
            (Scene::Same, false) => -1.0,
            (Scene::Other, true) => -2.0,
            (Scene::Unclear, _) => 0.0,
        };
        // Where the light of a frame is not known, its picture says nothing of it.
        let logged = from.1.zip(to.1).map(|(from, to)| (to - from) * self.each);
        let light = match seen.brighter.zip(logged) {
            Some((brighter, logged)) if together && logged.abs() >= 0.3 * self.each.abs() => {
                let along = brighter * logged.signum();
                if (along - logged.abs()).abs() <= 0.35 + 0.25 * logged.abs() {
                    1.0
                } else if along.abs() <= 0.2 {
                    // Corrected frame by frame, or the light changed: it says nothing.
                    0.0
                } else if along < 0.0 {
                    -2.0
                } else {
                    -0.5
                }
            }
            _ => 0.0,
        };
        scene + light
    }

    /// What a line-up without any knowledge of the pictures is worth.
    fn plain(&self, order: &[usize]) -> f64 {
        let difference = order.len().abs_diff(self.frames.len());
        -SKIP_AT_END * f64::from(u32::try_from(difference).unwrap_or(u32::MAX))
    }

    /// What a given line-up is worth: for each frame the place of its file in the order.
    fn worth(&self, order: &[usize], laid: &[Option<usize>]) -> f64 {
        let mut worth = self.plain(order);
        let laid: Vec<(usize, usize)> = laid
            .iter()
            .enumerate()
            .filter_map(|(frame, file)| Some((frame, (*file)?)))
            .collect();
        for two in laid.windows(2) {
            worth += self.link((order[two[0].1], order[two[1].1]), (two[0].0, two[1].0));
        }
        worth
    }

    /// The best line-up of files in an order, without one of the frames where wanted: its worth, and the file of each frame.
    fn best(&self, order: &[usize], without: Option<usize>) -> (f64, Vec<Option<usize>>) {
        let (count, of) = (order.len(), self.frames.len());
        let ends = |left: usize| -SKIP_AT_END * f64::from(u32::try_from(left).unwrap_or(u32::MAX));
        let gaps = |left: usize| -SKIP * f64::from(u32::try_from(left).unwrap_or(u32::MAX));
        let mut best: Vec<Vec<Reached>> = vec![vec![(f64::NEG_INFINITY, None); of]; count];
        for file in 0..count {
            for frame in (0..of).filter(|frame| Some(*frame) != without) {
                let mut here = (ends(file) + ends(frame), None);
                for back in 1..=(GAP + 1).min(file) {
                    for up in 1..=(GAP + 1).min(frame) {
                        let from = (file - back, frame - up);
                        let before = best[from.0][from.1].0;
                        if before == f64::NEG_INFINITY {
                            continue;
                        }
                        let worth = before
                            + gaps(back - 1 + up - 1)
                            + self.link((order[from.0], order[file]), (from.1, frame));
                        if worth > here.0 + 1e-9 {
                            here = (worth, Some(from));
                        }
                    }
                }
                best[file][frame] = here;
            }
        }
        let mut end = (f64::NEG_INFINITY, (0, 0));
        for (file, row) in best.iter().enumerate() {
            for (frame, (worth, _)) in row.iter().enumerate() {
                let worth = worth + ends(count - 1 - file) + ends(of - 1 - frame);
                if worth > end.0 + 1e-9 {
                    end = (worth, (file, frame));
                }
            }
        }
        let mut laid = vec![None; of];
        let mut at = Some(end.1).filter(|_| end.0 > f64::NEG_INFINITY);
        while let Some((file, frame)) = at {
            laid[frame] = Some(order[file]);
            at = best[file][frame].1;
        }
        (end.0, laid)
    }
}

impl Laid {
    /// What is proposed, in sentences; `numbers` are those of the frames in the order of the film, `files` the names of the files in
    /// the order of their list.
    #[must_use]
    pub fn words(&self, numbers: &[u16], files: &[String]) -> Vec<String> {
        let number = |at: &usize| numbers.get(*at).map_or_else(String::new, u16::to_string);
        let list = |places: &[usize]| {
            let all: Vec<String> = places.iter().map(number).collect();
            all.join(", ")
        };
        // A file without a name is told by its place.
        let file = |at: usize| match files.get(at) {
            Some(name) => name.clone(),
            None => format!("file {}", at + 1),
        };
        let mut out = Vec::new();
        if let Some((first, last)) = self.reversed {
            out.push(format!(
                "By the pictures, {} to {} lie the other way round.",
                file(first),
                file(last)
            ));
        }
        if !self.missing.is_empty() {
            let many = if self.missing.len() > 1 {
                "s have"
            } else {
                " has"
            };
            let doubt = if self.doubtful.is_empty() {
                String::new()
            } else {
                format!(
                    " It may as well be one of {}: which, cannot be told.",
                    list(&self.doubtful)
                )
            };
            out.push(format!(
                "By the pictures, frame{many} no file: {}.{doubt}",
                list(&self.missing)
            ));
        }
        if !self.extra.is_empty() {
            let names: Vec<String> = self.extra.iter().map(|at| file(*at)).collect();
            let many = if names.len() > 1 {
                "these files belong"
            } else {
                "this file belongs"
            };
            out.push(format!(
                "By the pictures, {many} to no frame of the log: {}.",
                names.join(", ")
            ));
        }
        if out.is_empty() {
            out.push("By the pictures, the files lie otherwise along the film.".to_owned());
        }
        out
    }
}
