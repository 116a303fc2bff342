//! What luck alone would bring, what a few cases stand for, and how many comparisons a difference needs.

use crate::words;

/// Chance of each number of successes, from none to all of `of` tries, each with `each`.
fn each_count(of: u32, each: f64) -> Vec<f64> {
    if each <= 0.0 || each >= 1.0 {
        let sure = if each <= 0.0 { 0 } else { of };
        return (0..=of).map(|k| f64::from(u8::from(k == sure))).collect();
    }
    // Logarithms, for the counts of ways and the powers alone would leave the range of numbers.
    let (with, without) = (each.ln(), (1.0 - each).ln());
    let mut ways = 0.0;
    (0..=of)
        .map(|k| {
            if k > 0 {
                ways += (f64::from(of - k + 1) / f64::from(k)).ln();
            }
            (ways + f64::from(k) * with + f64::from(of - k) * without).exp()
        })
        .collect()
}

/// Chance that exactly `right` of `of` tries succeed, each with `each`.
#[must_use]
pub fn exactly(right: u32, of: u32, each: f64) -> f64 {
    each_count(of, each)
        .get(right as usize)
        .copied()
        .unwrap_or(0.0)
}

/// Chance that at least `right` of `of` tries succeed, each with `each`.
///
/// ```
/// // A class of 30 guesses between two pictures: 21 right ones would be luck in one case of 50.
/// assert!((exposure::chance::at_least(21, 30, 0.5) - 0.0214).abs() < 1e-4);
/// ```
#[must_use]
pub fn at_least(right: u32, of: u32, each: f64) -> f64 {
    each_count(of, each).iter().skip(right as usize).sum()
}

/// Chance that of draws with chances of their own at least so many succeed.
fn at_least_of(chances: impl Iterator<Item = f64>, right: u32) -> f64 {
    let mut counts = vec![1.0];
    for chance in chances {
        counts.push(0.0);
        for k in (0..counts.len()).rev() {
            let one_less = if k > 0 { counts[k - 1] } else { 0.0 };
            counts[k] = counts[k] * (1.0 - chance) + one_less * chance;
        }
    }
    counts.iter().skip(right as usize).sum()
}

/// How likely draws agree by luck: the chance that at least `agree` of them lie within `window` of one another, where each is drawn from
/// places of its own, all of them equally likely. Exact where all are to agree, else at most so much.
///
/// ```
/// // Three scenes, liked at random at one of three places a stop apart: that all lie within a stop happens in 15 of 27 cases.
/// let places = [vec![0, 1000, 2000], vec![0, 1000, 2000], vec![0, 1000, 2000]];
/// assert!((exposure::chance::within(&places, 1000, 3) - 15.0 / 27.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn within(places: &[Vec<i32>], window: i32, agree: u32) -> f64 {
    if agree == 0 {
        return 1.0;
    }
    let share = |places: &Vec<i32>, from: i32, to: i32| {
        let there = places.iter().filter(|at| (from..=to).contains(*at)).count();
        #[expect(clippy::cast_precision_loss, reason = "frames of a bracket")]
        let share = there as f64 / places.len().max(1) as f64;
        share
    };
    let mut least: Vec<i32> = Vec::new();
    for at in places.iter().flatten() {
        if !least.contains(at) {
            least.push(*at);
        }
    }
    // The least of those that agree lies at one of the places: of all within the window from there, less those without it.
    let chance: f64 = least
        .iter()
        .map(|from| {
            let to = from.saturating_add(window);
            let tail =
                |from: i32| at_least_of(places.iter().map(|all| share(all, from, to)), agree);
            tail(*from) - tail(from.saturating_add(1))
        })
        .sum();
    chance.clamp(0.0, 1.0)
}

/// Chance of so many successes in a row within so many tries.
///
/// ```
/// assert!((exposure::chance::in_a_row(3, 10, 0.5) - 0.50781).abs() < 1e-5);
/// ```
#[must_use]
pub fn in_a_row(row: usize, tries: u32, each: f64) -> f64 {
    if row == 0 {
        return 1.0;
    }
    // What the chances of each length of the present row are.
    let mut at = vec![0.0; row];
    at[0] = 1.0;
    let mut there = 0.0;
    for _ in 0..tries {
        there += at[row - 1] * each;
        let again = (1.0 - each) * at.iter().sum::<f64>();
        for i in (1..row).rev() {
            at[i] = at[i - 1] * each;
        }
        at[0] = again;
    }
    there
}

/// How many tries it takes on the average until so many succeed in a row: (1 − p^n) / ((1 − p) · p^n).
///
/// ```
/// assert!((exposure::chance::tries_to_row(3, 0.5) - 14.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn tries_to_row(row: i32, each: f64) -> f64 {
    let all = each.powi(row);
    (1.0 - all) / ((1.0 - each) * all)
}

/// How many blind comparisons between two show a difference: exact binomial, both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blind {
    /// Comparisons.
    pub comparisons: u32,
    /// How often the better one has to be preferred.
    pub wins: u32,
    /// Chance to find the difference with that many.
    pub power: f64,
}

/// The fewest wins of `of` comparisons that luck brings with at most `level`, both sides counted; none if not even all of them would do.
#[must_use]
pub fn wins_needed(of: u32, level: f64) -> Option<u32> {
    let mut tail = 0.0;
    let enough = each_count(of, 0.5)
        .iter()
        .rev()
        .take_while(|count| {
            tail += *count;
            2.0 * tail <= level
        })
        .count();
    let enough = u32::try_from(enough).ok().filter(|enough| *enough > 0)?;
    Some(of + 1 - enough)
}

/// The chance to find the difference with `of` comparisons where a share `prefers` the better one.
///
/// ```
/// assert!((exposure::chance::power(20, 0.75, 0.05).unwrap().power - 0.6172).abs() < 1e-4);
/// ```
#[must_use]
pub fn power(of: u32, prefers: f64, level: f64) -> Option<Blind> {
    let wins = wins_needed(of, level)?;
    // The wrong one may win so often as well.
    let power = at_least(wins, of, prefers) + at_least(wins, of, 1.0 - prefers);
    Some(Blind {
        comparisons: of,
        wins,
        power,
    })
}

/// The first number of comparisons that finds the difference with a chance of at least `wanted`; none up to 500.
///
/// ```
/// let three_in_four = exposure::chance::comparisons(0.75, 0.05, 0.8).unwrap();
/// assert_eq!((three_in_four.comparisons, three_in_four.wins), (30, 21));
/// ```
#[must_use]
pub fn comparisons(prefers: f64, level: f64, wanted: f64) -> Option<Blind> {
    (1..=500)
        .filter_map(|of| power(of, prefers, level))
        .find(|blind| blind.power >= wanted)
}

/// The first number of comparisons from which on the chance stays at least `wanted`, looked at up to 500.
#[must_use]
pub fn comparisons_for_good(prefers: f64, level: f64, wanted: f64) -> Option<u32> {
    let short = (1..=500)
        .rev()
        .find(|of| power(*of, prefers, level).is_none_or(|blind| blind.power < wanted))?;
    (short < 500).then_some(short + 1)
}

/// How far apart two things are to somebody who tells them right in a share of choices between the two: d′ = √2 · z(share).
///
/// ```
/// assert!((exposure::chance::d_prime(0.75) - 0.954).abs() < 5e-4);
/// ```
#[must_use]
pub fn d_prime(share: f64) -> f64 {
    // Halving on the normal curve, whose area is added up by Simpson's rule.
    let area = |z: f64| {
        let (steps, mut sum) = (200, 0.0);
        for i in 0..=steps {
            let x = z * f64::from(i) / f64::from(steps);
            let weight = if i == 0 || i == steps {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            sum += weight * (-x * x / 2.0).exp();
        }
        0.5 + sum * z / f64::from(steps) / 3.0 / std::f64::consts::TAU.sqrt()
    };
    let (mut low, mut high) = (-8.0, 8.0);
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if area(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    std::f64::consts::SQRT_2 * high
}

/// The square of the two-sided 95 % point of the normal distribution, 1.959964².
const Z2: f64 = 3.841_459;

/// The share of all scenes that a few stand for, between its 95 % limits, 0 to 1. Nothing is known of none.
///
/// Wilson's interval (E. B. Wilson, 1927): ((k + z²/2) ± z·√(k·(n − k)/n + z²/4)) / (n + z²).
///
/// ```
/// let (least, most) = exposure::chance::share(3, 3);
/// assert!((least - 0.4385).abs() < 0.0001 && (most - 1.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn share(agree: u32, of: u32) -> (f64, f64) {
    if of == 0 {
        return (0.0, 1.0);
    }
    let (k, n) = (f64::from(agree.min(of)), f64::from(of));
    let middle = k + Z2 / 2.0;
    let reach = (Z2 * (k * (n - k) / n + Z2 / 4.0)).sqrt();
    let within = |share: f64| share.clamp(0.0, 1.0);
    (
        within((middle - reach) / (n + Z2)),
        within((middle + reach) / (n + Z2)),
    )
}

/// How likely chance alone is to be as one-sided as this, if each scene agrees or not with equal chance: the sign test, two-sided.
///
/// ```
/// assert!((exposure::chance::by_chance(6, 6) - 0.03125).abs() < 1e-12);
/// ```
#[must_use]
pub fn by_chance(agree: u32, of: u32) -> f64 {
    let rare = agree.min(of).max(of - agree.min(of));
    // The chance of exactly k of n, from k = n downwards: each is the one before by k / (n − k + 1).
    let mut one = 0.5_f64.powi(i32::try_from(of).unwrap_or(i32::MAX));
    let mut tail = 0.0;
    let mut k = of;
    while k >= rare && k > 0 {
        tail += one;
        one *= f64::from(k) / f64::from(of - k + 1);
        k -= 1;
    }
    if of == 0 { 1.0 } else { (2.0 * tail).min(1.0) }
}

/// Whether so many of these agree that chance alone is ruled out at 5 %; never of fewer than six.
#[must_use]
pub fn is_shown(agree: u32, of: u32) -> bool {
    2 * agree > of && by_chance(agree, of) <= 0.05
}

/// The share of all cases that a few stand for, between its exact 95 % limits, 0 to 1. Nothing is known of none.
///
/// Clopper and Pearson's interval (1934): the shares at which so many, or so few, would come about in 2.5 % of cases. Never
/// narrower than it says, and wider than [`share`], which is right on the average.
///
/// ```
/// let (least, most) = exposure::chance::exact_share(3, 3);
/// assert!((least - 0.2924).abs() < 0.0001 && (most - 1.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn exact_share(agree: u32, of: u32) -> (f64, f64) {
    let agree = agree.min(of);
    // Where a chance that grows with the share passes 2.5 %.
    let passes = |tail: &dyn Fn(f64) -> f64| {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if tail(middle) < 0.025 {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::midpoint(low, high)
    };
    let least = if agree == 0 {
        0.0
    } else {
        passes(&|each| at_least(agree, of, each))
    };
    let most = if agree == of {
        1.0
    } else {
        1.0 - passes(&|each| at_least(of - agree, of, each))
    };
    (least, most)
}

/// A chance as people say it: `one time in four`, `one time in 32`, `almost always`.
///
/// ```
/// use exposure::chance::one_in;
/// assert_eq!(one_in(0.25), "one time in four");
/// assert_eq!(one_in(0.03125), "one time in 32");
/// assert_eq!(one_in(0.6875), "about two times in three");
/// ```
#[must_use]
pub fn one_in(chance: f64) -> String {
    if chance.is_nan() || chance <= 1e-4 {
        return "less than one time in 10 000".to_owned();
    }
    if chance >= 0.875 {
        return "almost always".to_owned();
    }
    if chance > 0.58 {
        return if chance > 0.71 {
            "about three times in four".to_owned()
        } else {
            "about two times in three".to_owned()
        };
    }
    let times = 1.0 / chance;
    let whole = times.round();
    let about = if (times - whole).abs() > 0.02 * times {
        "about "
    } else {
        ""
    };
    let name = match words::number(whole) {
        Some(name) if whole <= 12.0 => name.to_owned(),
        _ => words::rough(whole),
    };
    format!("{about}one time in {name}")
}
