//! Where values lie on a line that is drawn.

/// A line that is drawn, from its least to its largest value: stops, EV, hours, the logarithm of a distance.
///
/// What is drawn takes its places from here, so that a picture and the sentence beside it have one source.
///
/// ```
/// use exposure::Axis;
/// let axis = Axis::around([11.6, 14.0], 4.0);
/// assert_eq!([axis.from(), axis.to()], [11.0, 15.0]);
/// assert!((axis.share(14.0) - 0.75).abs() < 1e-12);
/// assert_eq!(axis.ticks(5), [11.0, 12.0, 13.0, 14.0, 15.0]);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    from: f64,
    to: f64,
}

impl Axis {
    /// A line between two values; as long as nothing is one long.
    #[must_use]
    pub const fn new(from: f64, to: f64) -> Self {
        if to > from && (to - from).is_finite() {
            Self { from, to }
        } else {
            let from = if from.is_finite() { from } else { 0.0 };
            Self {
                from,
                to: from + 1.0,
            }
        }
    }

    /// The whole numbers around all of these values, at least so long; what is no number is left out.
    #[must_use]
    pub fn around(values: impl IntoIterator<Item = f64>, least: f64) -> Self {
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.into_iter().filter(|value| value.is_finite()) {
            from = from.min(value);
            to = to.max(value);
        }
        if from > to {
            return Self::new(0.0, least);
        }
        // A value on a whole number but for arithmetic noise lies on it.
        let (mut from, mut to) = ((from + 1e-9).floor(), (to - 1e-9).ceil());
        let missing = least - (to - from);
        if missing > 0.0 {
            from -= (missing / 2.0).floor();
            to = to.max(from + least.ceil());
        }
        Self::new(from, to)
    }

    /// Where it begins.
    #[must_use]
    pub const fn from(self) -> f64 {
        self.from
    }

    /// Where it ends.
    #[must_use]
    pub const fn to(self) -> f64 {
        self.to
    }

    /// Where a value lies, from nought at the beginning to one at the end; what lies beyond is at the end that is nearer, and
    /// what is no number at the beginning.
    #[must_use]
    pub fn share(self, value: f64) -> f64 {
        let share = (value - self.from) / (self.to - self.from);
        // Not `clamp`, which hands on what is no number.
        if share > 0.0 { share.min(1.0) } else { 0.0 }
    }

    /// Whether a value lies on it.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        (self.from..=self.to).contains(&value)
    }

    /// The value at a share of its length.
    #[must_use]
    pub fn at(self, share: f64) -> f64 {
        self.from + (self.to - self.from) * share
    }

    /// What of a line through points has its second figure on this axis: stretches, cut where the line comes and goes.
    ///
    /// ```
    /// use exposure::Axis;
    /// let axis = Axis::new(0.0, 10.0);
    /// let line = [[0.0, -5.0], [1.0, 5.0], [2.0, 15.0], [3.0, 5.0]];
    /// assert_eq!(axis.within(&line), [vec![[0.5, 0.0], [1.0, 5.0], [1.5, 10.0]], vec![[2.5, 10.0], [3.0, 5.0]]]);
    /// ```
    #[must_use]
    pub fn within(self, points: &[[f64; 2]]) -> Vec<Vec<[f64; 2]>> {
        let (mut all, mut open) = (Vec::new(), Vec::new());
        for (i, to) in points.iter().enumerate() {
            if let Some(from) = i.checked_sub(1).map(|i| points[i]) {
                // Where it passes the ends of the axis, in the order in which it comes to them.
                let mut ends = [self.from, self.to];
                if to[1] < from[1] {
                    ends.reverse();
                }
                for end in ends {
                    let share = (end - from[1]) / (to[1] - from[1]);
                    if share > 0.0 && share < 1.0 {
                        open.push([from[0] + (to[0] - from[0]) * share, end]);
                        if open.len() > 1 {
                            all.push(core::mem::take(&mut open));
                        }
                    }
                }
            }
            if self.holds(to[1]) {
                open.push(*to);
            } else if !open.is_empty() {
                // It left without a way that can be followed: a point that is no number, or the end itself.
                all.push(core::mem::take(&mut open));
            }
        }
        all.push(open);
        all.retain(|stretch| stretch.len() > 1);
        all
    }

    /// Round values on it, at most so many (and at least two asked for): every 1, 2, 5, 10, 20 … or a tenth of that.
    #[must_use]
    pub fn ticks(self, most: usize) -> Vec<f64> {
        let most = most.clamp(2, 200);
        let mut step = 1e-3;
        for factor in [2.0, 2.5, 2.0].into_iter().cycle().take(60) {
            let [first, last] = [
                (self.from / step - 1e-9).ceil(),
                (self.to / step + 1e-9).floor(),
            ];
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                clippy::cast_precision_loss,
                reason = "a few dozen, and not below nought"
            )]
            if last - first < most as f64 {
                let count = (last - first + 1.0).max(0.0) as usize;
                return (0..count).map(|i| (first + i as f64) * step).collect();
            }
            step *= factor;
        }
        Vec::new()
    }
}
