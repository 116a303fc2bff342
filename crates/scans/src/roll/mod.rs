//! A roll of scans beside its log: was it scanned with one setting, which frames contradict the log, where clipping and casts begin,
//! and how the files lie along the film.
//!
//! Everything looks at frames within one scene, for each scene has a light of its own. Where a log or the pictures do not carry a
//! statement, none is made, and the reason is.

mod casts;
mod lineup;

pub use lineup::{Laid, LineUp, Picture, line_up};

use exposure::{Stops, words};

use crate::{
    Measured,
    frame::Tones,
    pair::{self, Relative},
    register::Waves,
    stats,
};

/// A frame with its log and its scan.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// Number as people say it.
    pub number: u16,
    /// Scene, unique within what is judged together.
    pub scene: u16,
    /// Stops as logged, from anything that the frames of a scene share; positive is more light on the film.
    pub offset: f64,
    /// Its scan.
    pub measured: &'a Measured,
}

/// Logged offsets of one scene have to lie this far apart, in stops.
pub const LEAST_SPAN: f64 = 2.0;
/// Under this slope of tones on logged offsets the scans were corrected frame by frame.
pub const CORRECTED_UNDER: f64 = 0.15;
/// Above this slope they were made with one setting; between the two it cannot be told.
pub const FIXED_OVER: f64 = 0.4;
/// Frames whose middle lies beyond these codes say nothing: the black floor of the scanner, and white.
pub const MIDDLES: core::ops::RangeInclusive<f64> = 35.0..=240.0;
/// Frames that are needed.
pub const LEAST_FRAMES: usize = 3;
/// Offsets nearer than this say nothing about a slope, in stops.
const LEAST_APART: f64 = 0.3;
/// Where tones lie further than this off the line, in stops, something else than the log made them.
const MOST_OFF: f64 = 0.7;

/// How a roll was scanned, as far as it can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scanning {
    /// With one fixed setting.
    Fixed,
    /// Corrected frame by frame: exposure cannot be read.
    Corrected,
    /// The pictures are alike: corrected frame by frame, or the frames got the same light.
    Alike,
    /// It cannot be told.
    Unclear,
    /// The pictures run against the log: the files lie at the wrong frames, or the scans are negatives that were not turned positive.
    Against,
    /// Nothing is said: no scene was bracketed widely enough.
    Withheld,
}

/// How a roll was scanned, and what that rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scanned {
    /// The conclusion.
    pub how: Scanning,
    /// Stops that the tones move for each logged stop, by least squares; none where nothing was fitted.
    pub slope: Option<f64>,
    /// The same as the median of all pairs' slopes (Theil and Sen).
    pub theil_sen: Option<f64>,
    /// Share of the differences that the line explains, 0 to 1.
    pub explained: Option<f64>,
    /// How far the tones lie off the line, a standard deviation in stops.
    pub off: Option<f64>,
    /// The widest span of logged offsets within a scene, in stops.
    pub span: f64,
    /// Frames that took part.
    pub frames: usize,
    /// Scenes that took part.
    pub scenes: usize,
}

/// What the person said of the scans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// One fixed setting.
    Fixed,
    /// Corrected frame by frame.
    Corrected,
    /// Nothing, or that it is not known.
    Unknown,
}

/// What of corrected scans can still be judged.
pub const STILL: &str = "What can still be judged in them: the black level and its cast, noise in the shadows, whites that are burnt \
                         out, and colours that lean one way in the shadows and another in the highlights.";

/// What is said where pictures look like negatives, for nothing in them means what it does in a positive.
pub const NEGATIVES: &str = "Laid as logged, more light is the darker picture all along: these scans look like negatives that were not \
                             turned positive. Turn them positive and choose them again; nothing is said of what is burnt out, black or \
                             how bright in them. If they are positives, they run the other way.";

/// How a roll was scanned: the slope of the middle tones on the logged offsets, fitted within scenes (one slope, and for each
/// scene a level of its own).
///
/// The thresholds are of this project: [`LEAST_SPAN`], [`CORRECTED_UNDER`], [`FIXED_OVER`]. Pictures that are alike were corrected only
/// where their shadows move with the light all the same, or two scenes agree: a bracket whose setting was not changed, or light that
/// drifted, makes them alike as well.
#[must_use]
pub fn scanned(frames: &[Frame<'_>]) -> Scanned {
    let groups = by_scene(frames);
    let span = groups
        .iter()
        .map(|group| group.last().map_or(0.0, |last| last.0) - group[0].0)
        .fold(0.0, f64::max);
    let of = |tone: fn(&Tones) -> Option<f64>| -> Vec<Vec<[f64; 2]>> {
        let group = |group: &Vec<(f64, &Frame<'_>)>| -> Vec<[f64; 2]> {
            let counts = |frame: &Frame<'_>| MIDDLES.contains(&frame.measured.tones.median());
            let counting = group.iter().filter(|(_, frame)| counts(frame));
            counting
                .filter_map(|(offset, frame)| Some([*offset, tone(&frame.measured.tones)?]))
                .collect()
        };
        let groups = groups.iter().map(group);
        groups.filter(|points| points.len() > 1).collect()
    };
    let points = of(|tones| Tones::stops(tones.median()));
    let mut out = fit(&points, span);
    if out.how == Scanning::Corrected {
        let shadows = [
            of(|tones| Tones::stops(tones.codes[0].max(DEEPEST))),
            of(|tones| Tones::stops(tones.codes[1].max(DEEPEST))),
        ];
        let alike = points.iter().filter(|points| is_alike(points)).count();
        if alike < 2 && !shadows.iter().any(|shadows| move_with_light(shadows)) {
            out.how = Scanning::Alike;
        }
    }
    out
}

/// Codes under this are noise of the scanner.
const DEEPEST: f64 = 5.0;

/// Whether the tones of one scene stay where they are over so much light that a fixed setting would have moved them.
fn is_alike(points: &[[f64; 2]]) -> bool {
    let sums = stats::sums(&[points.to_vec()]);
    let along = stats::rising(points.iter().map(|point| point[0]));
    let span = along[along.len() - 1] - along[0];
    span >= LEAST_SPAN / 2.0 && (sums.both / sums.across).abs() < CORRECTED_UNDER
}

/// Whether tones follow the light, to either side, by more than they scatter.
fn move_with_light(points: &[Vec<[f64; 2]>]) -> bool {
    let sums = stats::sums(points);
    if sums.across <= 0.0 || sums.along <= 0.0 {
        return false;
    }
    let explained = sums.both * sums.both / (sums.across * sums.along);
    (sums.both / sums.across).abs() >= CORRECTED_UNDER && explained >= 0.5
}

/// The same from middle tones in stops against logged offsets, a group of points for each scene; `span` is the widest of a scene.
#[must_use]
pub fn fit(points: &[Vec<[f64; 2]>], span: f64) -> Scanned {
    let sums = stats::sums(points);
    let mut out = Scanned {
        how: Scanning::Withheld,
        slope: None,
        theil_sen: None,
        explained: None,
        off: None,
        span,
        frames: sums.points,
        scenes: sums.groups,
    };
    // What is left of the span once black and white frames are out of it.
    let left = points
        .iter()
        .map(|group| {
            let along = stats::rising(group.iter().map(|point| point[0]));
            along.last().copied().unwrap_or(0.0) - along.first().copied().unwrap_or(0.0)
        })
        .fold(0.0, f64::max);
    if left < LEAST_SPAN - 0.1 || sums.points < LEAST_FRAMES || sums.across <= 0.0 {
        return out;
    }
    let slope = sums.both / sums.across;
    let explained = if sums.along > 0.0 {
        (slope * sums.both / sums.along).clamp(0.0, 1.0)
    } else {
        0.0
    };
    #[expect(clippy::cast_precision_loss, reason = "a few dozen frames")]
    let free = sums.points.saturating_sub(sums.groups + 1).max(1) as f64;
    let off = ((sums.along - slope * sums.both).max(0.0) / free).sqrt();
    out.slope = Some(slope);
    out.explained = Some(explained);
    out.off = Some(off);
    out.theil_sen = stats::theil_sen(points, LEAST_APART);
    let class = |slope: f64| {
        if slope < -FIXED_OVER {
            Scanning::Against
        } else if slope.abs() < CORRECTED_UNDER {
            Scanning::Corrected
        } else if slope > FIXED_OVER {
            Scanning::Fixed
        } else {
            Scanning::Unclear
        }
    };
    let classes = [Some(class(slope)), out.theil_sen.map(class)];
    out.how = match classes {
        [Some(one), Some(other)] if one == other && off <= MOST_OFF => one,
        _ => Scanning::Unclear,
    };
    out
}

/// Frames by scene, each by rising offset.
fn by_scene<'a, 'b>(frames: &'b [Frame<'a>]) -> Vec<Vec<(f64, &'b Frame<'a>)>> {
    let mut sorted: Vec<&Frame<'_>> = frames
        .iter()
        .filter(|frame| frame.offset.is_finite())
        .collect();
    sorted.sort_by(|a, b| {
        (a.scene, a.number)
            .cmp(&(b.scene, b.number))
            .then(a.offset.total_cmp(&b.offset))
    });
    sorted.sort_by(|a, b| a.scene.cmp(&b.scene).then(a.offset.total_cmp(&b.offset)));
    let mut out: Vec<Vec<(f64, &Frame<'_>)>> = Vec::new();
    for frame in sorted {
        match out.last_mut() {
            Some(group) if group[0].1.scene == frame.scene => group.push((frame.offset, frame)),
            _ => out.push(vec![(frame.offset, frame)]),
        }
    }
    out
}

impl Scanned {
    /// Whether exposure may be concluded from the scans.
    #[must_use]
    pub fn tells_exposure(&self) -> bool {
        self.how == Scanning::Fixed
    }

    /// The conclusion with what it rests on, and what stands against what the person said, in sentences.
    #[must_use]
    pub fn words(&self, said: Said) -> Vec<String> {
        let mut out = self.conclusion();
        out.extend(self.against(said).map(str::to_owned));
        if self.tells_exposure() {
            out.push(
                if said == Said::Corrected {
                    "Nothing is concluded about exposure while the two contradict each other."
                } else {
                    "Frames of a scene can be compared."
                }
                .to_owned(),
            );
        }
        out
    }

    fn conclusion(&self) -> Vec<String> {
        let rests = match (self.slope, self.theil_sen) {
            (Some(slope), Some(guard)) => format!(
                "the tones {} for each logged stop (by pairs {}), in {} of {}, as if the scans were plain sRGB",
                moves(slope),
                amount(guard),
                counted(self.frames, "frame"),
                counted(self.scenes, "scene"),
            ),
            _ => String::new(),
        };
        match self.how {
            Scanning::Fixed => vec![format!(
                "These scans look as if made with one fixed setting: {rests}."
            )],
            Scanning::Corrected => vec![
                format!(
                    "These scans look corrected frame by frame: {rests}. Exposure cannot be read from them, and nothing is concluded \
                     about it."
                ),
                STILL.to_owned(),
            ],
            Scanning::Alike => vec![format!(
                "The pictures are alike though the log says otherwise: {rests}. Either the scanner evened them out frame by frame, or the \
                 frames got the same light. Nothing is concluded about exposure."
            )],
            Scanning::Unclear => vec![format!(
                "It cannot be told whether these scans were corrected frame by frame: {rests}. Nothing is concluded about exposure."
            )],
            Scanning::Against => vec![format!(
                "The pictures run against the log: {rests}. Either the files lie at the wrong frames, and the line-up comes first; or the \
                 scans are negatives that were not turned positive."
            )],
            Scanning::Withheld if self.span < LEAST_SPAN - 0.1 => vec![format!(
                "Whether these scans were corrected frame by frame cannot be told: no scene was bracketed over two stops or more{}.",
                if self.span > 0.05 {
                    format!(" (the widest is {})", pair::tenths(self.span))
                } else {
                    String::new()
                }
            )],
            Scanning::Withheld => vec![
                "Whether these scans were corrected frame by frame cannot be told: too many frames are nearly black or white."
                    .to_owned(),
            ],
        }
    }

    /// How the scans were made by the pictures, where that is clear and the person said something else, or nothing. Scans that were said
    /// to be corrected stay so: whoever knows that knows more than pictures that were evened out badly.
    #[must_use]
    pub const fn rather(&self, said: Said) -> Option<Said> {
        match (self.how, said) {
            (Scanning::Corrected, Said::Fixed | Said::Unknown) => Some(Said::Corrected),
            (Scanning::Fixed, Said::Unknown) => Some(Said::Fixed),
            _ => None,
        }
    }

    /// What stands against what the person said of the scans; none where nothing does.
    #[must_use]
    pub fn against(&self, said: Said) -> Option<&'static str> {
        match (self.how, said) {
            (Scanning::Corrected, Said::Fixed) => Some(
                "You said that they were scanned with one fixed setting; the pictures look corrected frame by frame.",
            ),
            (Scanning::Alike, Said::Fixed) => Some(
                "You said that they were scanned with one fixed setting: then these frames got the same light, and a setting may not have \
                 been changed.",
            ),
            (Scanning::Fixed, Said::Corrected) => Some(
                "You said that they were corrected frame by frame; the pictures look as if made with one fixed setting.",
            ),
            _ => None,
        }
    }
}

/// `move by 1.01 stops`, `move by 0.2 stop the other way`.
fn moves(slope: f64) -> String {
    format!("move by {} stop", amount(slope))
}

fn amount(slope: f64) -> String {
    let size = words::decimal(slope.abs(), 2);
    if slope <= -0.005 {
        format!("{size} the other way")
    } else {
        size
    }
}

/// `1 frame`, `3 frames`.
fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
}

/// Pictures have to differ by this much from what the log says before it is asked about, in stops.
pub const ODD_BY: f64 = 0.5;

/// Two frames of a scene next to each other in light whose pictures differ by another amount than the log says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odd {
    /// Number of the frame with less light by the log.
    pub less: u16,
    /// Number of the one with more.
    pub more: u16,
    /// Their scene.
    pub scene: u16,
    /// Stops between them by the log.
    pub logged: f64,
    /// Stops between their pictures, as if the scans were plain sRGB.
    pub measured: Relative,
}

impl Odd {
    /// As a question: `Frames 5 and 6 differ by 0.1 stop, as if the scans were plain sRGB, logged as 1 stop: did the light change,
    /// or a setting?`
    #[must_use]
    pub fn words(&self) -> String {
        let way = if self.measured.stops < -0.05 {
            format!(", frame {} darker though it got more light", self.more)
        } else {
            String::new()
        };
        format!(
            "Frames {} and {} differ by {}{way}, as if the scans were plain sRGB, logged as {}: did the light change, or a setting?",
            self.less.min(self.more),
            self.less.max(self.more),
            pair::tenths(self.measured.stops),
            pair::tenths(self.logged)
        )
    }
}

/// Frames next to each other in light whose pictures differ from the log by half a stop and more. Nothing where the scans were
/// corrected or it cannot be told, where the same scene is not found in both, or where too few tones are in both.
#[must_use]
pub fn odd(frames: &[Frame<'_>], scanned: &Scanned) -> Vec<Odd> {
    if !scanned.tells_exposure() {
        return Vec::new();
    }
    let mut pairs = Vec::new();
    for group in by_scene(frames) {
        let waves: Vec<Waves> = group
            .iter()
            .map(|(_, frame)| Waves::of(&frame.measured.grid))
            .collect();
        for at in 1..group.len() {
            let (less, more) = (group[at - 1].1, group[at].1);
            let shift = waves[at - 1].shift_to(&waves[at]);
            let grids = (&less.measured.grid, &more.measured.grid);
            if let Some(measured) = pair::relative(grids.0, grids.1, shift) {
                pairs.push(Odd {
                    less: less.number,
                    more: more.number,
                    scene: less.scene,
                    logged: more.offset - less.offset,
                    measured,
                });
            }
        }
    }
    let ratio =
        |pair: &Odd| (pair.logged >= LEAST_APART).then(|| pair.measured.stops / pair.logged);
    let is_odd = |at: usize| {
        // What a logged stop measures by the other pairs, so that an odd pair does not excuse itself; one to one where they do not
        // tell.
        let others = pairs
            .iter()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .filter_map(|(_, pair)| ratio(pair));
        let each = stats::median(others)
            .filter(|each| (0.6..=1.6).contains(each))
            .unwrap_or(1.0);
        let pair: &Odd = &pairs[at];
        // Pictures with few tones in common measure mostly noise.
        (pair.measured.stops / each - pair.logged).abs() >= ODD_BY && pair.measured.share >= 0.05
    };
    (0..pairs.len())
        .filter(|at| is_odd(*at))
        .map(|at| pairs[at])
        .collect()
}

/// What begins somewhere along the light of a scene.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Begins {
    /// Highlights burn out, in one colour at least, from here to more light.
    Burnt,
    /// Shadows are black from here to less light.
    Black,
    /// What lies in a third of the scale (0 dark, 1 middle, 2 light) leans elsewhere than the same places in the middle of the
    /// bracket, from here to more light.
    LeansWithMore(u8),
    /// The same from here to less light.
    LeansWithLess(u8),
}

impl Begins {
    /// Whether it goes on to more light; else to less.
    #[must_use]
    pub const fn is_to_more(self) -> bool {
        matches!(self, Self::Burnt | Self::LeansWithMore(_))
    }

    /// Whether it is clipping; else it is a cast.
    #[must_use]
    pub const fn is_clipping(self) -> bool {
        matches!(self, Self::Burnt | Self::Black)
    }
}

/// Where clipping or a cast begins in a scene.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beginning {
    /// Scene.
    pub scene: u16,
    /// Number of the first frame that shows it.
    pub number: u16,
    /// Its logged offset.
    pub offset: f64,
    /// What begins.
    pub what: Begins,
}

/// From this share of the picture on clipping is marked (judgement, no source).
pub const CLIPS_FROM: f64 = 0.02;
/// From this distance in a*, b* on places lean, at the lightness that they have (judgement, no source).
pub const LEANS_BY: f64 = 6.0;

/// Where clipping and casts begin along the light of each scene, both only where they go on to the end of the bracket. A cast is one
/// where places that are nearly grey in the frame in its middle lean to a colour; that these are grey in the scene is taken from
/// there. Records without colours say nothing of casts.
#[must_use]
pub fn beginnings(frames: &[Frame<'_>]) -> Vec<Beginning> {
    let mut out = Vec::new();
    for group in by_scene(frames).iter().filter(|group| group.len() > 1) {
        let mut mark = |at: Option<usize>, what: Begins| {
            // What all frames show begins nowhere.
            if let Some((offset, frame)) = at.map(|at| &group[at]) {
                out.push(Beginning {
                    scene: frame.scene,
                    number: frame.number,
                    offset: *offset,
                    what,
                });
            }
        };
        let last = group.len() - 1;
        let upwards = |shows: &dyn Fn(usize) -> bool| {
            let first = (0..=last).rev().take_while(|at| shows(*at)).last();
            first.filter(|first| *first > 0)
        };
        let downwards = |shows: &dyn Fn(usize) -> bool| {
            let first = (0..=last).take_while(|at| shows(*at)).last();
            first.filter(|first| *first < last)
        };
        let measured = |at: usize| group[at].1.measured;
        mark(
            upwards(&|at| measured(at).bright.any >= CLIPS_FROM),
            Begins::Burnt,
        );
        mark(
            downwards(&|at| measured(at).black() >= CLIPS_FROM),
            Begins::Black,
        );
        let waves = |at: usize| Waves::of(&measured(at).grid);
        let coloured = |at: usize| measured(at).colours.is_some();
        let middle = last / 2;
        if !coloured(middle) {
            continue;
        }
        let from = waves(middle);
        let thirds: Vec<[bool; 3]> = (0..=last)
            .map(|at| {
                if at == middle || !coloured(at) {
                    return [false; 3];
                }
                casts::leans((measured(middle), &from), (measured(at), &waves(at)))
            })
            .collect();
        for third in 0..3_u8 {
            let leans = |at: usize| thirds[at][usize::from(third)];
            mark(upwards(&leans), Begins::LeansWithMore(third));
            mark(downwards(&leans), Begins::LeansWithLess(third));
        }
    }
    out
}

impl Beginning {
    /// In words, without where: `highlights burn out, in one colour at least, from here to more light`.
    #[must_use]
    pub fn words(&self) -> String {
        let side = if self.what.is_to_more() {
            "more"
        } else {
            "less"
        };
        match self.what {
            Begins::Burnt => {
                "highlights burn out, in one colour at least, from here to more light".to_owned()
            }
            Begins::Black => "shadows are black from here to less light".to_owned(),
            Begins::LeansWithMore(third) | Begins::LeansWithLess(third) => format!(
                "{} take a cast from here to {side} light, by places that look grey in the middle of the bracket",
                ["shadows", "middle tones", "highlights"][usize::from(third.min(2))]
            ),
        }
    }
}

/// A logged offset as a difference, for words; nought where it is none.
#[must_use]
pub fn stops(offset: f64) -> Stops {
    Stops::new(offset).unwrap_or(Stops::ZERO)
}
