//! A film's curve, and what can be read off it: each figure named, and each only where the points reach.
//!
//! ```
//! use scans::speed::{Curve, Step};
//! // Steps of half a stop through a curve that meets the standard exactly, ISO 100.
//! let density = |log: f64| 0.30 + 0.7005127341 / 2.0 * (1.0 + (10_f64.powf(log) / 0.0082966473).powi(2)).log10();
//! let steps = (0..22).map(|i| -3.15 + 0.15 * f64::from(i)).map(|log| Step { log, density: density(log) });
//! let curve = Curve::new(steps, Some(0.30))?;
//! let read = curve.read();
//! assert!((read.speed.unwrap() - 100.1).abs() < 0.5);
//! // Fog alone is no speed.
//! let fog = Curve::new([], Some(0.55))?;
//! assert!(fog.read().speed.unwrap_err().words().contains("never turned into a speed"));
//! # Ok::<(), scans::Error>(())
//! ```

use std::f64::consts::{LN_2, LN_10, LOG10_2};

use exposure::{
    BoxSpeed, Control, ExposureIndex, FilmKind, Mark, Prefer, Scale, Steps, Stops, words,
};

use crate::{Error, stats};

/// The speed point lies so far above base plus fog (ISO 6).
pub const SPEED_POINT: f64 = 0.10;
/// The contrast is looked at over this much log exposure from the speed point on (ISO 6).
pub const OVER: f64 = 1.30;
/// The standard wants this much density over [`OVER`].
pub const WANTED: f64 = 0.80;
/// The average gradient is taken over this much log exposure.
pub const GRADIENT_OVER: f64 = 1.50;
/// S = 0.8/Hm.
const SPEED: f64 = 0.8;
/// How far above the speed point a meter places an even grey surface, in log10 (common practice).
const MIDDLE_ABOVE: f64 = 1.0;
/// Delta-X at the density that the standard wants.
const DELTA_X_WANTED: f64 = 0.2956;
/// Radii of the arcs of the contrast index.
const ARCS: [f64; 2] = [0.2, 2.2];
/// Densities that fall by more than this while exposure rises are said; less is reading.
const FALLS: f64 = 0.05;
/// Steps are alike where what was read lies no further apart than this: a hundredth, as densities are read.
const ALIKE: f64 = 0.01;
/// They show base plus fog only over this much log exposure (0.83 stop): steps that lie closer are alike on any curve.
const ALIKE_OVER: f64 = 0.25;
/// Most steps that are taken.
const MOST: usize = 200;

/// One step: the logarithm of its exposure, and its density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// log10 of the exposure in lx·s, or from anything else that all steps share where the exposure is not known.
    pub log: f64,
    /// Density, base plus fog included.
    pub density: f64,
}

/// Why something cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// There are no steps: fog alone.
    OnlyFog,
    /// Nothing shows base plus fog.
    NoFog,
    /// The thinnest step is denser than the speed point.
    StartsAbove,
    /// No step reaches the speed point.
    EndsBelow,
    /// The steps end before the exposure that is wanted.
    EndsBefore(Reach),
    /// Only differences of exposure are known.
    NoExposure,
    /// The contrast is beyond what the formula was made for.
    BeyondFormula,
    /// The densities fall where exposure rises.
    Falls,
    /// The kind of film has another standard.
    OtherFilm,
}

/// What the steps do not reach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// 1.30 beyond the speed point.
    Over,
    /// 1.50 beyond the speed point.
    Gradient,
    /// The outer arc of the contrast index.
    Arc,
}

impl Missing {
    /// Why, in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::OnlyFog => {
                "There are no steps. Base plus fog alone is never turned into a speed: the same fog may raise the speed point or lower it."
            }
            Self::NoFog => {
                "Nothing shows base plus fog: measure a piece that got no light, or give steps so little light that two of them, a stop apart, stay alike."
            }
            Self::StartsAbove => {
                "The thinnest step is denser than 0.10 above base plus fog: the speed point lies under it, and nothing is guessed. Give \
                 less light."
            }
            Self::EndsBelow => "No step reaches 0.10 above base plus fog. Give more light.",
            Self::EndsBefore(Reach::Over) => {
                "The steps end less than 1.30 above the speed point (4⅓ stops). Give more light."
            }
            Self::EndsBefore(Reach::Gradient) => {
                "The steps end less than 1.50 above the speed point (5 stops). Give more light."
            }
            Self::EndsBefore(Reach::Arc) => {
                "The steps end before the outer arc of the contrast index, 2.2 away. Give more light."
            }
            Self::NoExposure => {
                "Only the differences between the steps are known, not the exposure: contrast can be read, a speed cannot."
            }
            Self::BeyondFormula => {
                "Over 1.30 the density is outside of 0.5 to 1.0, for which the formula was made."
            }
            Self::Falls => {
                "The densities fall where the exposure rises. Look at the order of the steps."
            }
            Self::OtherFilm => "This is the rule for black-and-white film.",
        }
    }
}

/// A curve through steps: straight pieces between them, never beyond.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// By rising exposure; densities never fall.
    steps: Vec<Step>,
    fog: Option<f64>,
    /// What the steps with least light show of it by staying alike, and how many do.
    alike: Option<(f64, usize)>,
    falls: bool,
    exposure: bool,
}

impl Curve {
    /// A curve through steps in any order, with base plus fog where it was measured on its own. Steps at one exposure are one; where
    /// a density falls by no more than reading errors, neighbours share their mean.
    ///
    /// # Errors
    ///
    /// A sentence, if a figure is no number or out of range (densities of 0 to 6, exposures of 10⁻⁹ to 10⁹), or there are too many
    /// steps.
    pub fn new(steps: impl IntoIterator<Item = Step>, fog: Option<f64>) -> Result<Self, Error> {
        let mut steps: Vec<Step> = steps.into_iter().take(MOST + 1).collect();
        if steps.len() > MOST {
            return Err(Error::new("200 steps are the most that are taken."));
        }
        let dense = |density: f64| (0.0..=6.0).contains(&density);
        if !steps
            .iter()
            .all(|step| dense(step.density) && (-9.0..=9.0).contains(&step.log))
            || fog.is_some_and(|fog| !dense(fog))
        {
            return Err(Error::new(
                "Densities lie between 0 and 6, and exposures have to be numbers.",
            ));
        }
        // Of equal exposures the thinner first, so that the order in which they were typed is nothing.
        stats::order(&mut steps, |a, b| {
            a.log < b.log || (a.log <= b.log && a.density < b.density)
        });
        let read = joined(&steps);
        let (steps, falls) = rising(&read);
        Ok(Self {
            steps,
            fog,
            alike: alike(&read),
            falls,
            exposure: true,
        })
    }

    /// The same where only differences of exposure are known, so that no speed can be read.
    #[must_use]
    pub fn relative(self) -> Self {
        Self {
            exposure: false,
            ..self
        }
    }

    /// The steps that the curve goes through, by rising exposure.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Base plus fog: as measured, or what the steps with least light show of it, where they stay alike.
    ///
    /// # Errors
    ///
    /// Nothing shows it.
    pub fn fog(&self) -> Result<f64, Missing> {
        let shown = self.alike.map(|(fog, _)| fog);
        self.fog.or(shown).ok_or(Missing::NoFog)
    }

    /// The density at an exposure between the first and the last step.
    #[must_use]
    pub fn density(&self, log: f64) -> Option<f64> {
        let after = self.steps.iter().position(|step| step.log >= log)?;
        let high = self.steps[after];
        let low = match after.checked_sub(1) {
            Some(before) => self.steps[before],
            // At the first step itself, but for arithmetic noise.
            None if high.log - log < 1e-9 => return Some(high.density),
            None => return None,
        };
        Some(low.density + (high.density - low.density) * (log - low.log) / (high.log - low.log))
    }

    /// The least exposure at which a density is reached, between the steps.
    #[must_use]
    pub fn log_at(&self, density: f64) -> Option<f64> {
        let after = self.steps.iter().position(|step| step.density >= density)?;
        let high = self.steps[after];
        let Some(before) = after.checked_sub(1) else {
            return (high.density - density < 1e-9).then_some(high.log);
        };
        let low = self.steps[before];
        let share = (density - low.density) / (high.density - low.density);
        Some(low.log + (high.log - low.log) * share)
    }

    /// log10 of the exposure at the speed point, 0.10 above base plus fog.
    ///
    /// # Errors
    ///
    /// Why it cannot be read.
    pub fn speed_point(&self) -> Result<f64, Missing> {
        if self.steps.is_empty() {
            return Err(Missing::OnlyFog);
        }
        if self.falls {
            return Err(Missing::Falls);
        }
        let wanted = self.fog()? + SPEED_POINT;
        self.log_at(wanted).ok_or_else(|| {
            if self.steps[0].density > wanted {
                Missing::StartsAbove
            } else {
                Missing::EndsBelow
            }
        })
    }

    /// Everything that can be read off.
    #[must_use]
    pub fn read(&self) -> Read {
        let point = self.speed_point();
        let fog = self.fog();
        let above = |by: f64, reach: Reach| -> Result<f64, Missing> {
            let density = self
                .density(point? + by)
                .ok_or(Missing::EndsBefore(reach))?;
            Ok(density - fog? - SPEED_POINT)
        };
        let known = if self.exposure {
            point
        } else {
            point.and(Err(Missing::NoExposure))
        };
        let contrast = above(OVER, Reach::Over);
        let speed = known.map(|log| SPEED * (-log * LN_10).exp());
        let delta_x = contrast.and_then(|over| {
            if (0.5..=1.0).contains(&over) {
                Ok(delta_x(over))
            } else {
                Err(Missing::BeyondFormula)
            }
        });
        Read {
            fog,
            alike: self.alike.filter(|_| self.fog.is_none()).map(|(_, of)| of),
            point,
            speed,
            contrast,
            gradient: above(GRADIENT_OVER, Reach::Gradient).map(|over| over / GRADIENT_OVER),
            index: self.contrast_index(),
            fractional: speed
                .and_then(|speed| delta_x.map(|x| speed * ((x - DELTA_X_WANTED) * LN_10).exp())),
        }
    }

    /// Slope of the line from (x, base plus fog) that meets the curve 0.2 and 2.2 away, and that x.
    fn contrast_index(&self) -> Result<[f64; 2], Missing> {
        // What keeps a speed point from being read keeps this from it, and says why better.
        let point = self.speed_point()?;
        let fog = self.fog()?;
        let slopes = |x: f64| -> Option<[f64; 2]> {
            let [near, far] = ARCS.map(|radius| self.on_arc(x, fog, radius));
            let slope = |[log, density]: [f64; 2]| (density - fog) / (log - x);
            Some([slope(near?), slope(far?)])
        };
        // Further to the left the near arc meets a flatter piece.
        let (mut low, mut high) = (point - 1.0, point + 0.2);
        let first = self.steps[0].log;
        low = low.max(first - 0.199);
        if slopes(low).is_none() {
            return Err(Missing::EndsBefore(Reach::Arc));
        }
        // As far to the right as the near arc still meets the curve: there it does so steeply.
        let mut reaches = low;
        for _ in 0..50 {
            let middle = f64::midpoint(reaches, high);
            if slopes(middle).is_some() {
                reaches = middle;
            } else {
                high = middle;
            }
        }
        high = reaches;
        let bends = |x: f64| slopes(x).map(|[near, far]| near - far);
        let (Some(from), Some(to)) = (bends(low), bends(high)) else {
            return Err(Missing::EndsBefore(Reach::Arc));
        };
        if from > 0.0 || to < 0.0 {
            return Err(Missing::EndsBefore(Reach::Arc));
        }
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            match bends(middle) {
                Some(bend) if bend < 0.0 => low = middle,
                _ => high = middle,
            }
        }
        let x = f64::midpoint(low, high);
        slopes(x)
            .map(|[_, far]| [far, x])
            .ok_or(Missing::EndsBefore(Reach::Arc))
    }

    /// Where the curve is so far away from a point on the line of base plus fog, to its right.
    fn on_arc(&self, x: f64, fog: f64, radius: f64) -> Option<[f64; 2]> {
        let away = |log: f64| -> Option<f64> {
            let density = self.density(log)?;
            Some((log - x).hypot(density - fog) - radius)
        };
        let first = self.steps.first()?.log;
        let last = self.steps.last()?.log;
        let (mut low, mut high) = (x.max(first), (x + radius).min(last));
        (low < high && away(low)? <= 0.0 && away(high)? >= 0.0).then_some(())?;
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if away(middle)? < 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some([high, self.density(high)?])
    }
}

/// Base plus fog by the steps with least light, as they were read: where those over [`ALIKE_OVER`] stay alike, their mean, and how
/// many they are.
fn alike(read: &[Step]) -> Option<(f64, usize)> {
    let first = read.first()?;
    let of = 1 + read
        .iter()
        .position(|step| step.log - first.log >= ALIKE_OVER - 1e-9)?;
    let densities = stats::rising(read[..of].iter().map(|step| step.density));
    #[expect(clippy::cast_precision_loss, reason = "a few steps")]
    let mean = densities.iter().sum::<f64>() / of as f64;
    (densities[of - 1] - densities[0] <= ALIKE + 1e-9).then_some((mean, of))
}

/// Each exposure once, with the mean of what was read there.
fn joined(steps: &[Step]) -> Vec<Step> {
    let mut joined: Vec<(Step, f64)> = Vec::new();
    for step in steps {
        match joined.last_mut() {
            Some((last, count)) if (step.log - last.log).abs() < 1e-9 => {
                last.density = (last.density * *count + step.density) / (*count + 1.0);
                *count += 1.0;
            }
            _ => joined.push((*step, 1.0)),
        }
    }
    joined.into_iter().map(|(step, _)| step).collect()
}

/// Steps whose densities never fall; and whether one fell by more than reading errors. Neighbours that fall share their mean (pool
/// adjacent violators).
fn rising(joined: &[Step]) -> (Vec<Step>, bool) {
    let mut falls = false;
    let mut highest = f64::NEG_INFINITY;
    // Blocks: sum of densities, how many, and where they begin.
    let mut blocks: Vec<(f64, f64, usize)> = Vec::new();
    for (at, step) in joined.iter().enumerate() {
        falls |= step.density < highest - FALLS;
        highest = highest.max(step.density);
        let mut block = (step.density, 1.0, at);
        while let Some(last) = blocks.last() {
            if last.0 / last.1 <= block.0 / block.1 {
                break;
            }
            block = (last.0 + block.0, last.1 + block.1, last.2);
            blocks.pop();
        }
        blocks.push(block);
    }
    let mut out = Vec::with_capacity(joined.len());
    for (nth, block) in blocks.iter().enumerate() {
        let end = blocks.get(nth + 1).map_or(joined.len(), |next| next.2);
        for step in &joined[block.2..end] {
            out.push(Step {
                log: step.log,
                density: block.0 / block.1,
            });
        }
    }
    (out, falls)
}

/// How far under the speed point the slope is 0.3 of the average, in log10, from the density over 1.30.
///
/// Source: C. N. Nelson and J. L. Simonds, *J. Opt. Soc. Am.* 46(5), 1956 (citation read); coefficients from memory. A fit to real films:
/// no better than 0.06.
///
/// ```
/// assert!((scans::speed::delta_x(0.8) - 0.2956).abs() < 1e-9);
/// ```
#[must_use]
pub fn delta_x(over: f64) -> f64 {
    0.83 - 0.86 * over + 0.24 * over * over
}

/// What was read off a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// Base plus fog.
    pub fog: Result<f64, Missing>,
    /// How many steps show it by staying alike; none where it was measured on its own, or nothing shows it.
    pub alike: Option<usize>,
    /// log10 of the exposure at the speed point.
    pub point: Result<f64, Missing>,
    /// Speed by the rule of ISO 6, S = 0.8/Hm, not rounded.
    pub speed: Result<f64, Missing>,
    /// Density over the 1.30 that follow the speed point; the standard wants 0.80.
    pub contrast: Result<f64, Missing>,
    /// Average gradient over the 1.50 that follow.
    pub gradient: Result<f64, Missing>,
    /// Contrast index, and where its line leaves base plus fog.
    pub index: Result<[f64; 2], Missing>,
    /// Fractional-gradient speed by Delta-X, not rounded.
    pub fractional: Result<f64, Missing>,
}

/// A speed on the standard series, the nearest third.
///
/// # Errors
///
/// A sentence, if it is beyond what films have.
pub fn rounded(speed: f64) -> Result<Mark, Error> {
    let wanted = Mark::new(Control::Sensitivity, speed, Steps::Engraved)?;
    Ok(Scale::sensitivities()
        .choose(wanted.place(), Prefer::Nearest)
        .mark)
}

/// `EI 100 (worked out 97.9)`.
fn speed_words(speed: f64) -> String {
    match rounded(speed) {
        Ok(mark) => format!(
            "{} (worked out {})",
            words::ei(&mark),
            words::figures(speed)
        ),
        Err(error) => error.to_string(),
    }
}

impl Read {
    /// How much more light the speed asks for than box speed; positive is more light. None where no speed was read.
    #[must_use]
    pub fn from_box(&self, box_speed: BoxSpeed) -> Option<Stops> {
        let mark = rounded(self.speed.ok()?).ok()?;
        Some(box_speed.offset(ExposureIndex::new(mark).ok()?))
    }

    /// The results as names and what they are, for a list; what could not be read says why.
    #[must_use]
    pub fn rows(&self) -> Vec<(&'static str, String)> {
        let said = |value: Result<f64, Missing>, say: &dyn Fn(f64) -> String| match value {
            Ok(value) => say(value),
            Err(missing) => missing.words().to_owned(),
        };
        let plain = |value: f64| words::decimal(value, 2);
        vec![
            (
                "Base plus fog",
                said(self.fog, &|fog| match self.alike {
                    None => plain(fog),
                    Some(2) => format!("{}, taken from the two steps that stay alike", plain(fog)),
                    Some(of) => {
                        format!("{}, taken from the {of} steps that stay alike", plain(fog))
                    }
                }),
            ),
            (
                "Speed point",
                said(self.point, &|_| {
                    "0.10 above base plus fog is reached".to_owned()
                }),
            ),
            ("Speed by ISO 6's rule", said(self.speed, &speed_words)),
            (
                "Density over the following 1.30",
                said(self.contrast, &|over| {
                    let meets = if (over - WANTED).abs() <= 0.05 {
                        "as the standard wants it".to_owned()
                    } else {
                        format!(
                            "the standard wants 0.80: this film has {} contrast than its speed is defined with",
                            if over < WANTED { "less" } else { "more" }
                        )
                    };
                    format!("{}, {meets}", plain(over))
                }),
            ),
            ("Average gradient over 1.50", said(self.gradient, &plain)),
            (
                "Contrast index",
                said(self.index.map(|[slope, _]| slope), &plain),
            ),
            (
                "Fractional-gradient speed",
                said(self.fractional, &|speed| {
                    format!("{}, by Delta-X", speed_words(speed))
                }),
            ),
        ]
    }
}

/// What a test of this kind is worth for a kind of film, in a sentence.
#[must_use]
pub const fn limits(film: FilmKind) -> &'static str {
    match film {
        FilmKind::BlackAndWhite => {
            "ISO 6 is for fresh film in a given developer; this is this film in your developer. On fogged film the 0.10 rule flatters: look \
             at the contrast with it, and prefer the bracket."
        }
        FilmKind::ColourNegative => {
            "The rule is that of black-and-white film. A colour film's speed is read from its three layers (ISO 5800), each 0.15 above its \
             own base plus fog: one density through all of them is a hint at best, and says nothing of casts."
        }
        FilmKind::Reversal => {
            "The rule is that of negatives. A slide grows thinner with light, its speed is defined on that curve (ISO 2240), and half a stop \
             is seen: judge a bracket instead."
        }
    }
}

/// Speed of colour negative film: √2/Hm, Hm = √(H of green · H of the slowest layer), each 0.15 above its base plus fog, in lx·s.
/// Source: ISO 5800, from memory.
#[must_use]
pub fn colour_negative(green: f64, slowest: f64) -> f64 {
    std::f64::consts::SQRT_2 / (green * slowest).sqrt()
}

/// Speed of slide film: 10/Hm, Hm = √(H of the shoulder · H of the toe), in lx·s. Source: ISO 2240, from memory.
#[must_use]
pub fn reversal(shoulder: f64, toe: f64) -> f64 {
    10.0 / (shoulder * toe).sqrt()
}

/// log10 of the exposure on the film of an even grey surface, metered at a speed and given so much more light: a meter places it
/// 1.0 above the speed point (common practice), so that film of that speed has 8/S lx·s there.
#[must_use]
pub fn metered(speed: f64, more: Stops) -> f64 {
    (SPEED / speed).ln() / LN_10 + MIDDLE_ABOVE + more.get() * LOG10_2
}

/// Steps of a tablet: the exposure without it less its density. The density of step n is `first` and a `step` more for each;
/// usual tablets have 21 steps of 0.15 from 0.05.
///
/// ```
/// let tablet = scans::speed::tablet(0.05, 0.15, 21);
/// assert!((tablet[10] - 1.55).abs() < 1e-9 && (tablet[20] - 3.05).abs() < 1e-9);
/// ```
#[must_use]
pub fn tablet(first: f64, step: f64, count: u8) -> Vec<f64> {
    (0..count).map(|at| first + step * f64::from(at)).collect()
}

/// A difference of density in stops: 0.30 is 0.9966.
#[must_use]
pub fn density_in_stops(density: f64) -> f64 {
    density * LN_10 / LN_2
}

/// The density that a scan shows: −log10 of its linear light; of code 0 none.
#[must_use]
pub fn scan_density(code: f64) -> Option<f64> {
    let light = exposure::tone::light(code);
    (light > 0.0).then(|| -light.log10())
}

/// Density of film against the empty holder beside it, in one scan with a fixed setting: log10(holder/film) of their linear light.
/// None where either code is black.
#[must_use]
pub fn against_holder(holder: f64, film: f64) -> Option<f64> {
    Some(scan_density(film)? - scan_density(holder)?)
}

/// The greatest density that a linear scan of so many bits tells from none: log10(2ⁿ − 1).
#[must_use]
pub fn deepest(bits: u8) -> f64 {
    (exposure::of_two(f64::from(bits.clamp(1, 32))) - 1.0).log10()
}

/// The density that is read where a share of the light strays: −log10((1 − f)·10⁻ᴰ + f).
#[must_use]
pub fn with_stray_light(density: f64, share: f64) -> f64 {
    -((1.0 - share) * (-density * LN_10).exp() + share).log10()
}

/// What codes of a scanner mean, by steps of known density that were scanned with the same fixed setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// Code and density, by rising density.
    pairs: Vec<[f64; 2]>,
}

impl Calibration {
    /// Takes pairs of a code (0 to 255) and the density known for it, in any order.
    ///
    /// # Errors
    ///
    /// A sentence, if there are fewer than two, a figure is out of range, or a denser step has a brighter code (or, scanned as a
    /// negative, a darker one) than a thinner one.
    pub fn new(pairs: impl IntoIterator<Item = [f64; 2]>) -> Result<Self, Error> {
        let mut pairs: Vec<[f64; 2]> = pairs.into_iter().take(MOST).collect();
        let sound =
            |pair: &[f64; 2]| (0.0..=255.0).contains(&pair[0]) && (0.0..=6.0).contains(&pair[1]);
        if pairs.len() < 2 || !pairs.iter().all(sound) {
            return Err(Error::new(
                "A calibration needs two steps at least, each a code from 0 to 255 and a density from 0 to 6.",
            ));
        }
        stats::order(&mut pairs, |a, b| a[1] < b[1]);
        let way = pairs[pairs.len() - 1][0] - pairs[0][0];
        let one_way = pairs
            .windows(2)
            .all(|two| (two[1][0] - two[0][0]) * way > 0.0 && two[1][1] > two[0][1]);
        if !one_way {
            return Err(Error::new(
                "The codes of a calibration have to go one way as the densities rise.",
            ));
        }
        Ok(Self { pairs })
    }

    /// The density of a code, between the steps that are known; none beyond them.
    #[must_use]
    pub fn density(&self, code: f64) -> Option<f64> {
        self.pairs.windows(2).find_map(|two| {
            let [from, to] = [two[0], two[1]];
            let share = (code - from[0]) / (to[0] - from[0]);
            (0.0..=1.0)
                .contains(&share)
                .then(|| from[1] + (to[1] - from[1]) * share)
        })
    }

    /// From which to which code it knows.
    #[must_use]
    pub fn codes(&self) -> [f64; 2] {
        let (first, last) = (self.pairs[0][0], self.pairs[self.pairs.len() - 1][0]);
        [first.min(last), first.max(last)]
    }
}
