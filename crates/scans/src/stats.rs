//! Medians, quartiles and lines through points.

/// Values in rising order, without what is no number.
#[must_use]
pub fn rising(values: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values
        .into_iter()
        .filter(|value| value.is_finite())
        .collect();
    values.sort_by(f64::total_cmp);
    values
}

/// The value below which a share of rising values lies, by linear interpolation between neighbours; none of none.
///
/// ```
/// let ten: Vec<f64> = (1..=10).map(f64::from).collect();
/// let at = |share| scans::stats::percentile(&ten, share).unwrap();
/// assert!((at(0.05) - 1.45).abs() < 1e-12 && (at(0.5) - 5.5).abs() < 1e-12 && (at(0.95) - 9.55).abs() < 1e-12);
/// ```
#[must_use]
pub fn percentile(rising: &[f64], share: f64) -> Option<f64> {
    let last = rising.len().checked_sub(1)?;
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a place within the list"
    )]
    let (at, under) = {
        let at = share.clamp(0.0, 1.0) * last as f64;
        (at - at.floor(), at as usize)
    };
    let low = rising[under];
    let high = rising[last.min(under + 1)];
    Some(low + (high - low) * at)
}

/// The value in the middle; of an even number the mean of the two there. None of none.
#[must_use]
pub fn median(values: impl IntoIterator<Item = f64>) -> Option<f64> {
    percentile(&rising(values), 0.5)
}

/// Spread that a few odd values do not change: 1.4826 times the median distance from the median, which is the standard
/// deviation of a normal distribution.
///
/// ```
/// let patch = [118.0, 120.0, 116.0, 119.0, 117.0, 121.0, 118.0, 90.0];
/// assert!((scans::stats::robust_spread(&patch).unwrap() - 2.2239).abs() < 1e-9);
/// ```
#[must_use]
pub fn robust_spread(values: &[f64]) -> Option<f64> {
    let middle = median(values.iter().copied())?;
    median(values.iter().map(|value| (value - middle).abs())).map(|mad| 1.4826 * mad)
}

/// Puts a few dozen items in order, equal ones as they came. The library's own sorting is written for millions, and each use of it is
/// a copy of several kilobytes on the page.
pub(crate) fn order<T>(items: &mut [T], comes_before: impl Fn(&T, &T) -> bool) {
    for end in 1..items.len() {
        let mut at = end;
        while at > 0 && comes_before(&items[at], &items[at - 1]) {
            items.swap(at, at - 1);
            at -= 1;
        }
    }
}

/// Sum over groups of points, each about its own middle: of squares across, of products, of squares along, and how many points
/// and groups took part. A group of one says nothing.
pub(crate) struct Sums {
    pub(crate) across: f64,
    pub(crate) both: f64,
    pub(crate) along: f64,
    pub(crate) points: usize,
    pub(crate) groups: usize,
}

pub(crate) fn sums(groups: &[Vec<[f64; 2]>]) -> Sums {
    let mut out = Sums {
        across: 0.0,
        both: 0.0,
        along: 0.0,
        points: 0,
        groups: 0,
    };
    for group in groups.iter().filter(|group| group.len() > 1) {
        #[expect(clippy::cast_precision_loss, reason = "a few dozen frames")]
        let count = group.len() as f64;
        let mean = |at: usize| group.iter().map(|point| point[at]).sum::<f64>() / count;
        let (x, y) = (mean(0), mean(1));
        for [a, b] in group {
            out.across += (a - x) * (a - x);
            out.both += (a - x) * (b - y);
            out.along += (b - y) * (b - y);
        }
        out.points += group.len();
        out.groups += 1;
    }
    out
}

/// The median of the slopes between all pairs of points within each group (Theil and Sen): a few odd points do not change it.
/// Pairs less than `least` apart across say nothing. None where no pair is left.
#[must_use]
pub fn theil_sen(groups: &[Vec<[f64; 2]>], least: f64) -> Option<f64> {
    let slopes = groups.iter().flat_map(|group| {
        group.iter().enumerate().flat_map(move |(i, a)| {
            group[i + 1..].iter().filter_map(move |b| {
                let across = b[0] - a[0];
                (across.abs() >= least).then(|| (b[1] - a[1]) / across)
            })
        })
    });
    median(slopes)
}
