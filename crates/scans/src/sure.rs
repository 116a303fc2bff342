//! How sure a few choices are: blind pairs, agreeing scenes, and the median of the liked offsets, each with its interval and in
//! plain words.

use exposure::{
    Stops,
    chance::{by_chance, exact_share, exactly, one_in, share},
    words,
};

use crate::{Error, stats};

/// The square root of [`exposure::chance`]'s two-sided 95 % point of the normal distribution.
const Z: f64 = 1.959_964;
/// Most variants that are compared with one another.
const MOST_VARIANTS: usize = 24;
/// Steps after which an estimate that has not settled has no finite value.
const MOST_STEPS: u32 = 20_000;

/// How often a pair is compared at most before it is said not to be worth it (judgement, no source).
const MOST_WORTH: f64 = 20.0;

/// Half a win each way for every pair of variants: what is assumed before anything was compared, so that a variant that never lost
/// has a finite strength. The usual choice of a symmetric prior worth one tied comparison.
pub const PRIOR: f64 = 0.5;

/// Strengths of variants that were compared in pairs.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranking {
    /// Natural logarithms of the strengths, with mean nought.
    pub strengths: Vec<f64>,
    /// Their standard errors.
    pub errors: Vec<f64>,
    /// Covariance of the logarithms, row by row.
    covariance: Vec<f64>,
    /// Comparisons that were made, without the prior.
    pub comparisons: f64,
}

/// Ranks variants by the model of Bradley and Terry: `P(i beats j) = p_i/(p_i + p_j)`. `wins[i][j]` is how often i was preferred to j;
/// a tie is half a win to each. `prior` is added to each cell: [`PRIOR`], or nought for the plain estimate.
///
/// The estimate is found by Hunter's steps (D. R. Hunter, *Annals of Statistics* 32(1), 384–406, 2004): `p_i ← W_i / Σ n_ij/(p_i + p_j)`;
/// standard errors come from the inverse of the information matrix with the mean of the logarithms held.
///
/// # Errors
///
/// A sentence, if fewer than two or too many variants are compared, a count is no number, or a strength has no finite value, which
/// without a prior is so for a variant that never lost.
///
/// ```
/// let ranking = scans::sure::rank(&[vec![0.0, 7.0], vec![3.0, 0.0]], 0.0)?;
/// assert!((ranking.beats(0, 1) - 0.7).abs() < 1e-9);
/// # Ok::<(), scans::Error>(())
/// ```
pub fn rank(wins: &[Vec<f64>], prior: f64) -> Result<Ranking, Error> {
    let count = wins.len();
    if !(2..=MOST_VARIANTS).contains(&count) {
        return Err(Error::new("Two to 24 variants can be compared."));
    }
    let sound = |value: &f64| (0.0..=1e6).contains(value);
    if !sound(&prior)
        || wins
            .iter()
            .any(|row| row.len() != count || !row.iter().all(sound))
    {
        return Err(Error::new("The comparisons are no table of counts."));
    }
    let won = |i: usize, j: usize| if i == j { 0.0 } else { wins[i][j] + prior };
    let met = |i: usize, j: usize| won(i, j) + won(j, i);
    let mut p = vec![1.0 / count_of(count); count];
    let mut settled = false;
    for _ in 0..MOST_STEPS {
        let next = step(&p, &won, &met);
        let Some(next) = next else { break };
        let moved = p
            .iter()
            .zip(&next)
            .map(|(a, b)| (b / a).ln().abs())
            .fold(0.0, f64::max);
        p = next;
        if moved < 1e-12 {
            settled = true;
            break;
        }
    }
    let far = |p: &f64| !p.is_finite() || *p < 1e-6;
    if !settled || p.iter().any(far) {
        return Err(Error::new(
            "Not everything was compared, or something never lost: no strength can be given.",
        ));
    }
    let logs: Vec<f64> = p.iter().map(|p| p.ln()).collect();
    let mean = logs.iter().sum::<f64>() / count_of(count);
    // Information of the logarithms, with ones added so that it can be inverted: what is added is taken off again.
    let ones = 1.0 / count_of(count);
    let mut information = vec![ones; count * count];
    for i in 0..count {
        for j in 0..count {
            if i != j {
                let chance = p[i] / (p[i] + p[j]);
                let weight = met(i, j) * chance * (1.0 - chance);
                information[i * count + j] -= weight;
                information[i * count + i] += weight;
            }
        }
    }
    let mut covariance = inverse(information, count)
        .ok_or_else(|| Error::new("Not everything was compared: no strength can be given."))?;
    for value in &mut covariance {
        *value -= ones;
    }
    let comparisons = wins.iter().enumerate().flat_map(|(i, row)| {
        row.iter()
            .enumerate()
            .filter(move |(j, _)| i != *j)
            .map(|(_, wins)| *wins)
    });
    Ok(Ranking {
        strengths: logs.iter().map(|log| log - mean).collect(),
        errors: (0..count)
            .map(|i| covariance[i * count + i].max(0.0).sqrt())
            .collect(),
        comparisons: comparisons.sum(),
        covariance,
    })
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a dozen variants, a few dozen scenes"
)]
const fn count_of(count: usize) -> f64 {
    count as f64
}

/// One of Hunter's steps; none where a variant met nobody.
fn step(
    p: &[f64],
    won: &impl Fn(usize, usize) -> f64,
    met: &impl Fn(usize, usize) -> f64,
) -> Option<Vec<f64>> {
    let all = 0..p.len();
    let mut next = Vec::with_capacity(p.len());
    for i in all.clone() {
        let wins: f64 = all.clone().map(|j| won(i, j)).sum();
        let under: f64 = all
            .clone()
            .filter(|j| *j != i)
            .map(|j| met(i, j) / (p[i] + p[j]))
            .sum();
        (under > 0.0 && wins > 0.0).then_some(())?;
        next.push(wins / under);
    }
    let sum: f64 = next.iter().sum();
    Some(next.into_iter().map(|p| p / sum).collect())
}

/// The steps of the estimate from equal strengths, for whoever wants to see them settle.
#[must_use]
pub fn after_steps(wins: &[Vec<f64>], steps: u32) -> Option<Vec<f64>> {
    let count = wins.len();
    (count > 1 && wins.iter().all(|row| row.len() == count)).then_some(())?;
    let won = |i: usize, j: usize| if i == j { 0.0 } else { wins[i][j] };
    let met = |i: usize, j: usize| won(i, j) + won(j, i);
    (0..steps).try_fold(vec![1.0 / count_of(count); count], |p, _| {
        step(&p, &won, &met)
    })
}

/// The inverse of a small square matrix by elimination with pivots.
fn inverse(mut of: Vec<f64>, count: usize) -> Option<Vec<f64>> {
    let mut out = vec![0.0; count * count];
    for i in 0..count {
        out[i * count + i] = 1.0;
    }
    for column in 0..count {
        let pivot = (column..count).max_by(|a, b| {
            of[a * count + column]
                .abs()
                .total_cmp(&of[b * count + column].abs())
        })?;
        let value = of[pivot * count + column];
        (value.abs() > 1e-12).then_some(())?;
        for k in 0..count {
            of.swap(column * count + k, pivot * count + k);
            out.swap(column * count + k, pivot * count + k);
        }
        for k in 0..count {
            of[column * count + k] /= value;
            out[column * count + k] /= value;
        }
        for row in (0..count).filter(|row| *row != column) {
            let by = of[row * count + column];
            for k in 0..count {
                of[row * count + k] -= by * of[column * count + k];
                out[row * count + k] -= by * out[column * count + k];
            }
        }
    }
    Some(out)
}

impl Ranking {
    /// The chance that one is preferred to another.
    ///
    /// # Panics
    ///
    /// If there is no such variant.
    #[must_use]
    pub fn beats(&self, i: usize, j: usize) -> f64 {
        1.0 / (1.0 + (self.strengths[j] - self.strengths[i]).exp())
    }

    /// The standard error of the difference between two.
    ///
    /// # Panics
    ///
    /// If there is no such variant.
    #[must_use]
    pub fn difference_error(&self, i: usize, j: usize) -> f64 {
        let count = self.strengths.len();
        let at = |i: usize, j: usize| self.covariance[i * count + j];
        (at(i, i) + at(j, j) - 2.0 * at(i, j)).max(0.0).sqrt()
    }

    /// Whether a difference between two is shown: whether the 95 % interval of their difference leaves nought out.
    ///
    /// # Panics
    ///
    /// If there is no such variant.
    #[must_use]
    pub fn is_shown(&self, i: usize, j: usize) -> bool {
        let apart = (self.strengths[i] - self.strengths[j]).abs();
        i != j && apart > Z * self.difference_error(i, j)
    }

    /// How often one would be preferred to the average of all, as a share, and between which shares that lies (95 %).
    ///
    /// # Panics
    ///
    /// If there is no such variant.
    ///
    /// ```
    /// let ranking = scans::sure::rank(&[vec![0.0, 8.0], vec![2.0, 0.0]], 0.0)?;
    /// // Four times as strong as the other is twice as strong as the mean of both.
    /// assert!((ranking.against_average(0)[1] - 2.0 / 3.0).abs() < 1e-9);
    /// # Ok::<(), scans::Error>(())
    /// ```
    #[must_use]
    pub fn against_average(&self, i: usize) -> [f64; 3] {
        [-1.0, 0.0, 1.0].map(|side| {
            let strength = self.strengths[i] + side * Z * self.errors[i];
            1.0 / (1.0 + (-strength).exp())
        })
    }

    /// How often each pair would have to be compared until a difference between two is shown, if choices go on as they do; none where
    /// they are equal. At least as often as they were.
    #[must_use]
    pub fn times_until_shown(&self, i: usize, j: usize) -> Option<f64> {
        let count = count_of(self.strengths.len());
        let times = self.comparisons / (count * (count - 1.0) / 2.0);
        let apart = (self.strengths[i] - self.strengths[j]).abs();
        // Errors shrink by the root of how often.
        let more = (Z * self.difference_error(i, j) / apart).powi(2);
        let until = (times * more.max(1.0)).ceil();
        until.is_finite().then_some(until)
    }

    /// Places of the variants, the strongest first; equal ones in the order in which they were given.
    #[must_use]
    pub fn order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.strengths.len()).collect();
        stats::order(&mut order, |a, b| self.strengths[*a] > self.strengths[*b]);
        order
    }

    /// What the comparisons show, in sentences. A winner is named only where the difference to each other one is shown.
    #[must_use]
    pub fn words(&self, names: &[String]) -> Vec<String> {
        let order = self.order();
        let name = |at: usize| names.get(at).map_or("one", String::as_str);
        let best = order[0];
        let with: Vec<usize> = order[1..]
            .iter()
            .copied()
            .filter(|other| !self.is_shown(best, *other))
            .collect();
        let made = words::decimal(self.comparisons, 1);
        let mut out = Vec::new();
        if with.is_empty() {
            out.push(format!(
                "Of {made} blind comparisons, {} is preferred to each of the others, and the difference is shown.",
                name(best)
            ));
        } else {
            let others: Vec<&str> = with.iter().map(|other| name(*other)).collect();
            out.push(format!(
                "Of {made} blind comparisons, {} comes first, but between it and {} no difference is shown.",
                name(best),
                listed(&others)
            ));
            let until = with
                .iter()
                .map(|other| self.times_until_shown(best, *other))
                .try_fold(0.0, |most: f64, times| Some(most.max(times?)));
            out.push(match until.filter(|times| *times <= MOST_WORTH) {
                Some(times) => format!(
                    "If choices go on like this, comparing each pair about {} times would show one.",
                    words::decimal(times, 0)
                ),
                None => "If choices go on like this, more comparisons would hardly show one: take what suits the subject.".to_owned(),
            });
        }
        for at in &order[1..] {
            let chance = self.beats(best, *at);
            let error = self.difference_error(best, *at);
            let apart = self.strengths[best] - self.strengths[*at];
            let end = |by: f64| 1.0 / (1.0 + (-(apart + by * Z * error)).exp());
            out.push(format!(
                "{} would be preferred to {} about {} times in 100, between {} and {} (95 %).",
                name(best),
                name(*at),
                percent(chance),
                percent(end(-1.0)),
                percent(end(1.0))
            ));
        }
        out.push(
            "Before anything was compared, half a win each way is assumed for every pair, so that what never lost is not taken for \
             perfect."
                .to_owned(),
        );
        out
    }
}

/// `one`, `one and two`, `one, two and three`.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}

/// A share in whole hundredths.
fn percent(share: f64) -> String {
    words::decimal(share * 100.0, 0)
}

/// What scenes that agree show: `3 of 3 scenes agreeing happens by chance one time in four; by so few, between 44 and 100 % of
/// all scenes may agree (95 %; 29 to 100 % counted exactly).`
#[must_use]
pub fn agreeing_words(agree: u32, of: u32) -> String {
    if of == 0 {
        return "No scene says anything yet.".to_owned();
    }
    let agree = agree.min(of);
    let (least, most) = share(agree, of);
    let exact = exact_share(agree, of);
    let scenes = if of == 1 { "scene" } else { "scenes" };
    format!(
        "{agree} of {of} {scenes} agreeing happens by chance {}; by so few, between {} and {} % of all scenes may agree (95 %; {} to {} \
         % counted exactly).",
        one_in(by_chance(agree, of)),
        percent(least),
        percent(most),
        percent(exact.0),
        percent(exact.1)
    )
}

/// How surely the interval from the `rank`-th smallest to the `rank`-th largest of so many values covers their median:
/// 1 − 2·P(Bin(n, ½) < r). Nought where there is no such interval.
///
/// ```
/// assert!((scans::sure::covers(5, 1) - 0.9375).abs() < 1e-12);
/// ```
#[must_use]
pub fn covers(count: u32, rank: u32) -> f64 {
    if rank == 0 || 2 * rank > count + 1 || count == 0 {
        return 0.0;
    }
    let below: f64 = (0..rank).map(|k| exactly(k, count, 0.5)).sum();
    (1.0 - 2.0 * below).max(0.0)
}

/// One scene's liked offset, or the limits of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Best {
    /// It is at least so much, in stops; none where nothing is known to that side.
    pub least: Option<f64>,
    /// It is at most so much; none where nothing is known to that side.
    pub most: Option<f64>,
}

impl Best {
    /// A liked offset with better and worse ones to both sides.
    #[must_use]
    pub const fn found(stops: f64) -> Self {
        Self {
            least: Some(stops),
            most: Some(stops),
        }
    }
}

/// Between which limits the median of all scenes' liked offsets lies, and how surely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// At least so much, in stops; none where that end is open.
    pub least: Option<f64>,
    /// At most so much; none where that end is open.
    pub most: Option<f64>,
    /// How surely, 0 to 1.
    pub sure: f64,
    /// Scenes.
    pub scenes: u32,
}

/// How surely an interval should cover, where there are scenes enough for it.
pub const LEVEL: f64 = 0.95;

/// Where the median of the liked offsets lies: between order statistics, the narrowest that are sure to 95 %, or with few scenes the
/// smallest and the largest with as much as those are worth. An end that rests on a limit is open. None of no scene.
///
/// ```
/// use scans::sure::{Best, between};
/// let found = between(&[1.0, 2.0, 2.0, 7.0 / 3.0].map(Best::found)).unwrap();
/// assert_eq!((found.least, found.most), (Some(1.0), Some(7.0 / 3.0)));
/// assert!((found.sure - 0.875).abs() < 1e-12);
/// ```
#[must_use]
pub fn between(all: &[Best]) -> Option<Between> {
    let scenes = u32::try_from(all.len()).ok().filter(|count| *count > 0)?;
    let rank = (1..=scenes)
        .rev()
        .find(|rank| covers(scenes, *rank) >= LEVEL)
        .unwrap_or(1);
    let mut least: Vec<f64> = all
        .iter()
        .map(|best| best.least.unwrap_or(f64::NEG_INFINITY))
        .collect();
    let mut most: Vec<f64> = all
        .iter()
        .map(|best| best.most.unwrap_or(f64::INFINITY))
        .collect();
    for ends in [&mut least, &mut most] {
        stats::order(ends, |a, b| a < b);
    }
    let at = usize::try_from(rank - 1).ok()?;
    let finite = |value: f64| value.is_finite().then_some(value);
    Some(Between {
        least: finite(least[at]),
        most: finite(most[all.len() - 1 - at]),
        sure: covers(scenes, rank),
        scenes,
    })
}

/// The fewest scenes whose smallest and largest offset cover the median that surely.
///
/// ```
/// assert_eq!(scans::sure::scenes_for(0.95), 6);
/// ```
#[must_use]
pub fn scenes_for(level: f64) -> u32 {
    (1..=60)
        .find(|count| covers(*count, 1) >= level)
        .unwrap_or(60)
}

fn offset(stops: f64) -> String {
    match Stops::new(stops) {
        Ok(stops) if stops.is_even() => "box speed".to_owned(),
        Ok(stops) => words::difference(stops),
        Err(_) => "nothing that can be said".to_owned(),
    }
}

impl Between {
    /// In plain words, with what more frames would make it.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let scenes = if self.scenes == 1 {
            "1 scene".to_owned()
        } else {
            format!("{} scenes", self.scenes)
        };
        let middle = "the middle of all scenes' best offsets (half lie below it, half above)";
        let place = match (self.least, self.most) {
            (Some(least), Some(most)) if (most - least).abs() < 1e-6 => {
                Some(format!("at {}", offset(least)))
            }
            (Some(least), Some(most)) => {
                Some(format!("between {} and {}", offset(least), offset(most)))
            }
            (Some(least), None) => {
                Some(format!("at least at {}, with no upper end", offset(least)))
            }
            (None, Some(most)) => Some(format!("at most at {}, with no lower end", offset(most))),
            (None, None) => None,
        };
        let mut out = Vec::new();
        out.push(match place {
            _ if self.scenes < 2 => format!("By {scenes} nothing can be said of {middle}."),
            // Where it may be anywhere, there is nothing to be sure of.
            None => format!("By {scenes}, {middle} may be anywhere: both ends are open."),
            Some(place) => format!(
                "By {scenes}, {middle} is {place}, counted from box speed: sure to {} %.",
                percent(self.sure)
            ),
        });
        let wanted = scenes_for(LEVEL);
        if self.scenes < wanted {
            out.push(format!(
                "The smallest and the largest of {wanted} scenes would enclose it with {} %.",
                percent(covers(wanted, 1))
            ));
        }
        if self.least.is_none() || self.most.is_none() {
            let side = match (self.least, self.most) {
                (Some(_), None) => "more",
                (None, Some(_)) => "less",
                _ => "more and with less",
            };
            out.push(format!(
                "A frame with {side} light than was tried in each scene may close the open end."
            ));
        }
        out
    }
}

/// The chance of each value to be the median of scenes drawn anew from these (the bootstrap, exactly and without random numbers), in
/// rising order; of an even number the median is the mean of the two in the middle. Nothing of none, or of more than 40.
///
/// ```
/// let chances = scans::sure::bootstrap(&[1.0, 2.0, 3.0]);
/// assert!((chances[0].1 - 0.25926).abs() < 1e-5 && (chances[1].1 - 0.48148).abs() < 1e-5);
/// ```
#[must_use]
pub fn bootstrap(values: &[f64]) -> Vec<(f64, f64)> {
    let values = stats::rising(values.iter().copied());
    let count = values.len();
    let Some(tries) = u32::try_from(count).ok().filter(|n| (1..=40).contains(n)) else {
        return Vec::new();
    };
    let n = count_of(count);
    // Chance that the r-th smallest of the drawn ones is among the first i.
    let within = |r: u32, i: usize| -> f64 {
        (r..=tries)
            .map(|k| exactly(k, tries, count_of(i) / n))
            .sum()
    };
    if count % 2 == 1 {
        let middle = tries.div_ceil(2);
        return (0..count)
            .map(|i| (values[i], within(middle, i + 1) - within(middle, i)))
            .collect();
    }
    let half = tries / 2;
    // C(n, n/2): as many ways to part the drawn ones into a lower and an upper half.
    let ways = exactly(half, tries, 0.5) / exactly(0, tries, 0.5);
    let share = |places: usize| (count_of(places) / n).powi(i32::try_from(half).unwrap_or(0));
    let mut out = Vec::new();
    for i in 0..count {
        let mut above = 0.0;
        for j in i + 1..count {
            let lower = share(i + 1) - share(i);
            let upper = share(count - j) - share(count - 1 - j);
            let chance = ways * lower * upper;
            above += chance;
            out.push((f64::midpoint(values[i], values[j]), chance));
        }
        let both = within(half, i + 1) - within(half, i) - above;
        out.push((values[i], both.max(0.0)));
    }
    stats::order(&mut out, |a, b| a.0 < b.0);
    // The same value by several ways is one.
    let mut joined: Vec<(f64, f64)> = Vec::new();
    for (value, chance) in out {
        match joined.last_mut() {
            Some(last) if (last.0 - value).abs() < 1e-9 => last.1 += chance,
            _ => joined.push((value, chance)),
        }
    }
    joined
}
