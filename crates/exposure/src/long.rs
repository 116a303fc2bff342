use crate::{Error, Stops, power, range};

/// No time needs more than so many stops beyond itself: two steep rows of a table would lead beyond any number.
const MOST: Stops = Stops::constant(40.0);

/// A metered time, and what it comes to on a film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counted {
    /// The metered time in seconds.
    pub metered: f64,
    /// The time in seconds that the film needs for it; never less.
    pub needed: f64,
    /// How many stops of time that is beyond the metered one; never negative.
    pub more: Stops,
    /// Whether it is a guess, beyond the last row of a film's table.
    pub guess: bool,
}

impl Counted {
    /// A time on a film that needs nothing more, or of which nothing is known.
    #[must_use]
    pub const fn as_metered(seconds: f64) -> Self {
        Self {
            metered: seconds,
            needed: seconds,
            more: Stops::ZERO,
            guess: false,
        }
    }

    /// Whether a hand can count it.
    #[must_use]
    pub const fn by_hand(&self) -> bool {
        self.needed >= range::BY_HAND.min
    }
}

/// How a film's need for time grows where light is weak: what makers and testers publish.
#[derive(Debug, Clone, PartialEq)]
pub enum LongRule {
    /// needed = metered^exponent, in seconds, exponent at least 1.
    ///
    /// Source: a film maker's technical note (exponent 1.31 from 1 s), a public copy; the form is Schwarzschild's with the
    /// reciprocal of his exponent (*Astrophysical Journal* 11, 1900, from memory).
    Power {
        /// At least 1, within [`range::LONG_EXPONENT`].
        exponent: f64,
    },
    /// needed = metered + share · metered^exponent, in seconds.
    ///
    /// Source: one tester's published measurements of five films, shares 0.046 to 0.169 and the exponent 1.62 for all.
    Added {
        /// What is added at one second, in seconds, within [`range::LONG_SHARE`].
        share: f64,
        /// How the addition grows, within [`range::LONG_ADDED_EXPONENT`]; 1.62 as published.
        exponent: f64,
    },
    /// Pairs of metered and needed seconds, as a film's sheet prints them, shortest first.
    ///
    /// Between two rows the stops grow evenly with the stops of metered time (a straight line on log-log paper), from
    /// where the correction begins to the first row as well. Beyond the last row the last piece of the line goes on, and
    /// [`LongTimes::beyond_table`] says so.
    Table(Vec<[f64; 2]>),
}

/// Reciprocity failure of one film: how long a weak light really has to act.
///
/// It is the last of all corrections and applies to the time alone, frame by frame: a frame with one stop more light needs
/// `needed(2 · metered)`, not twice the needed time.
///
/// Up to a threshold nothing is needed. Beyond it the rule holds, but never gives less than the metered time, as a bare
/// power would under one second. At the threshold the needed time may jump, upwards only, so that more light never needs
/// a shorter time; a table is joined to its threshold without a jump.
///
/// ```
/// use exposure::LongTimes;
/// // Worked case: metered 8 s, exponent 1.31, is 15.2 s; one stop more is 37.8 s and not 30.4 s.
/// let film = LongTimes::power(1.31, 1.0)?;
/// assert!((film.needed(8.0) - 15.24).abs() < 0.01);
/// assert!((film.needed(16.0) - 37.79).abs() < 0.01);
/// assert!((film.needed(0.5) - 0.5).abs() < 1e-12);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct LongTimes {
    rule: LongRule,
    threshold: f64,
}

impl LongTimes {
    /// Takes a rule that holds beyond `threshold` seconds, the longest metered time for which nothing is needed.
    ///
    /// # Errors
    ///
    /// Range error for a threshold beyond [`range::LONG_THRESHOLD`], for an exponent or a share out of its range, for times
    /// out of [`range::TIME`], and for a table of no rows or more than [`range::LONG_ROWS`]. Parse error for a table that
    /// contradicts itself: rows out of order, a needed time under its metered time or under that of the row before, or a
    /// row below the threshold.
    pub fn new(rule: LongRule, threshold: f64) -> Result<Self, Error> {
        range::LONG_THRESHOLD.check(threshold)?;
        match &rule {
            LongRule::Power { exponent } => {
                range::LONG_EXPONENT.check(*exponent)?;
            }
            LongRule::Added { share, exponent } => {
                range::LONG_SHARE.check(*share)?;
                range::LONG_ADDED_EXPONENT.check(*exponent)?;
            }
            LongRule::Table(rows) => check_table(rows, threshold)?,
        }
        Ok(Self { rule, threshold })
    }

    /// A power of the metered time, exponent at least 1.
    ///
    /// # Errors
    ///
    /// Range error, as for [`LongTimes::new`].
    pub fn power(exponent: f64, threshold: f64) -> Result<Self, Error> {
        Self::new(LongRule::Power { exponent }, threshold)
    }

    /// The same by Schwarzschild's exponent p of I · t^p, at most 1: the reciprocal of the exponent above.
    ///
    /// ```
    /// use exposure::LongTimes;
    /// // Four times the time must become about five times (p 0.86).
    /// assert!((LongTimes::schwarzschild(0.86, 1.0)?.needed(4.0) - 5.0127).abs() < 1e-4);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::SCHWARZSCHILD`], or as for [`LongTimes::new`].
    pub fn schwarzschild(p: f64, threshold: f64) -> Result<Self, Error> {
        Self::power(1.0 / range::SCHWARZSCHILD.check(p)?, threshold)
    }

    /// The rule.
    #[must_use]
    pub const fn rule(&self) -> &LongRule {
        &self.rule
    }

    /// The longest metered time in seconds for which nothing is needed.
    #[must_use]
    pub const fn threshold(&self) -> f64 {
        self.threshold
    }

    /// The time in seconds that a metered time in seconds really needs; never less than metered.
    #[must_use]
    pub fn needed(&self, metered: f64) -> f64 {
        if metered > self.threshold {
            metered * power::of_two(self.stops(metered).get())
        } else {
            metered
        }
    }

    /// How many stops of time a metered time in seconds needs beyond itself: log2(needed / metered), never negative.
    #[must_use]
    pub fn stops(&self, metered: f64) -> Stops {
        // Written so that what is no number needs nothing either.
        if !(metered > self.threshold && metered.is_finite()) {
            return Stops::ZERO;
        }
        let at = metered.log2();
        let more = match &self.rule {
            LongRule::Power { exponent } => (exponent - 1.0) * at,
            LongRule::Added { share, exponent } => {
                (1.0 + share * power::of_two((exponent - 1.0) * at)).log2()
            }
            LongRule::Table(rows) => self.on_line(rows, metered, at) - at,
        };
        Stops::new_unchecked(more.clamp(0.0, MOST.get()))
    }

    /// What a metered time in seconds comes to, with all that has to be said of it. **The one way from a metered time to what
    /// is counted**, whoever asks.
    ///
    /// ```
    /// use exposure::LongTimes;
    /// let counted = LongTimes::power(1.31, 1.0)?.count(16.0);
    /// assert!((counted.needed - 37.79).abs() < 0.01 && (counted.more.get() - 1.24).abs() < 1e-9);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn count(&self, metered: f64) -> Counted {
        let more = self.stops(metered);
        Counted {
            needed: self.needed(metered),
            more,
            guess: more.is_more() && self.beyond_table(metered),
            ..Counted::as_metered(metered)
        }
    }

    /// What a counted time in seconds amounts to: the metered time that needs it. The inverse of [`LongTimes::needed`].
    ///
    /// A counted time inside the jump at a threshold amounts to the threshold.
    ///
    /// ```
    /// use exposure::LongTimes;
    /// // Doubling the 15.2 s of a metered 8 s amounts to 13.6 s, three quarters of a stop.
    /// let film = LongTimes::power(1.31, 1.0)?;
    /// assert!((film.amounts_to(2.0 * film.needed(8.0)) - 13.58).abs() < 0.01);
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn amounts_to(&self, counted: f64) -> f64 {
        if !(counted > self.threshold && counted.is_finite()) {
            return counted;
        }
        // Halving on the stops of the metered time: it lies between the threshold and the counted time, for no time needs less
        // than itself, and longer times need more.
        let (mut low, mut high) = (self.threshold.log2(), counted.log2());
        for _ in 0..64 {
            let middle = f64::midpoint(low, high);
            if self.needed(power::of_two(middle)) > counted {
                high = middle;
            } else {
                low = middle;
            }
        }
        power::of_two(low)
    }

    /// Whether a metered time in seconds lies beyond the last row of a table, so that its needed time is a guess along the
    /// last piece of the line.
    #[must_use]
    pub fn beyond_table(&self, metered: f64) -> bool {
        self.last_row().is_some_and(|last| metered > last)
    }

    /// The longest metered time in seconds of which a table speaks; none where the rule is none, and sets no end.
    #[must_use]
    pub fn last_row(&self) -> Option<f64> {
        match &self.rule {
            LongRule::Table(rows) => rows.last().map(|row| row[0]),
            LongRule::Power { .. } | LongRule::Added { .. } => None,
        }
    }

    /// Metered and needed seconds between two metered times, as points that straight lines on logarithmic paper may join: as far
    /// as the rule's source speaks, and, beyond the last row of a table, what is a guess. A rule without rows sets no end.
    ///
    /// ```
    /// use exposure::{LongRule, LongTimes};
    /// let film = LongTimes::new(LongRule::Table(vec![[1.0, 2.0], [10.0, 50.0]]), 0.2)?;
    /// let [known, guess] = film.curve(0.5, 100.0);
    /// assert!(known.last().is_some_and(|[metered, needed]| *metered == 10.0 && (needed - 50.0).abs() < 1e-9));
    /// assert_eq!(known.last(), guess.first());
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn curve(&self, from: f64, to: f64) -> [Vec<[f64; 2]>; 2] {
        let rows: &[[f64; 2]] = match &self.rule {
            LongRule::Table(rows) => rows,
            LongRule::Power { .. } | LongRule::Added { .. } => &[],
        };
        // Half stops, and each place where the curve bends or jumps.
        let mut at = vec![to, self.threshold, self.threshold * (1.0 + 1e-9)];
        at.extend(rows.iter().map(|row| row[0]));
        let mut next = from;
        while next < to && at.len() < 200 {
            at.push(next);
            next *= std::f64::consts::SQRT_2;
        }
        at.retain(|metered| (from..=to).contains(metered));
        at.sort_by(f64::total_cmp);
        let last = self.last_row().unwrap_or(to);
        let mut curve = [Vec::new(), Vec::new()];
        for metered in at {
            let point = [metered, self.needed(metered)];
            if metered <= last {
                curve[0].push(point);
            }
            if metered >= last && last < to {
                curve[1].push(point);
            }
        }
        curve
    }

    /// log2 of the needed time on the line through the threshold and the rows, at log2 of the metered time.
    fn on_line(&self, rows: &[[f64; 2]], metered: f64, at: f64) -> f64 {
        let mut from = [self.threshold; 2];
        let mut to = from;
        for row in rows {
            if row[0] > to[0] {
                (from, to) = (to, *row);
            } else {
                to = *row;
            }
            if metered <= to[0] {
                break;
            }
        }
        let [from_metered, from_needed, to_metered, to_needed] =
            [from[0], from[1], to[0], to[1]].map(f64::log2);
        // A table of one row at the threshold is a point: nothing is needed there, and nothing is known beyond.
        let slope = if to_metered > from_metered {
            (to_needed - from_needed) / (to_metered - from_metered)
        } else {
            1.0
        };
        to_needed + (at - to_metered) * slope
    }
}

/// Refuses a table that contradicts itself.
fn check_table(rows: &[[f64; 2]], threshold: f64) -> Result<(), Error> {
    #[expect(
        clippy::cast_precision_loss,
        reason = "more rows than a float counts are too many rows all the same"
    )]
    range::LONG_ROWS.check(rows.len() as f64)?;
    let mut before = [threshold; 2];
    for (i, row) in rows.iter().enumerate() {
        range::TIME.check(row[0])?;
        range::TIME.check(row[1])?;
        if i == 0 && row[0] < threshold {
            return Err(Error::parse(
                "the table begins below the time up to which nothing is needed; begin it later, or lower that time",
            ));
        }
        if i == 0 && row[0] <= threshold && row[1] > row[0] {
            return Err(Error::parse(
                "the first row corrects a time for which nothing is said to be needed; lower that time",
            ));
        }
        if i > 0 && row[0] <= before[0] {
            return Err(Error::parse(
                "the metered times of the table have to grow from row to row",
            ));
        }
        if row[1] < row[0] {
            return Err(Error::parse(
                "a needed time of the table is shorter than its metered time",
            ));
        }
        if i > 0 && row[1] <= before[1] {
            return Err(Error::parse(
                "the needed times of the table have to grow from row to row",
            ));
        }
        before = *row;
    }
    Ok(())
}

/// A rule that was published for a film or a kind of film.
///
/// They differ by two stops at ten seconds, so each is a choice of its own, and the sheet of one's own film goes before any of
/// them. Films are not named.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PublishedLong {
    /// Stable id.
    pub id: &'static str,
    /// Plain name.
    pub name: &'static str,
    /// The rule.
    pub rule: Law,
    /// The longest time for which nothing is needed, in seconds.
    pub threshold: f64,
    /// What else the source says; empty if nothing.
    pub note: &'static str,
    /// Who says so.
    pub source: &'static str,
}

/// A published rule, as [`LongRule`] holds one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// Exponent of the metered time.
    Power(f64),
    /// Schwarzschild's exponent.
    Schwarzschild(f64),
    /// Share, with the exponent 1.62.
    Added(f64),
    /// Rows of metered and needed seconds.
    Table(&'static [[f64; 2]]),
}

impl PublishedLong {
    /// The rule, to work with.
    ///
    /// # Errors
    ///
    /// None for the rows of [`PUBLISHED_LONG`]; as for [`LongTimes::new`] for others.
    pub fn long_times(&self) -> Result<LongTimes, Error> {
        match self.rule {
            Law::Power(exponent) => LongTimes::power(exponent, self.threshold),
            Law::Schwarzschild(p) => LongTimes::schwarzschild(p, self.threshold),
            Law::Added(share) => {
                let exponent = 1.62;
                LongTimes::new(LongRule::Added { share, exponent }, self.threshold)
            }
            Law::Table(rows) => LongTimes::new(LongRule::Table(rows.to_vec()), self.threshold),
        }
    }
}

/// Where tables begin that say nothing of it: 1/5 s, the end of the normal range in a film maker's publication of 2002.
const NORMAL_RANGE: f64 = 0.2;

const fn law(
    id: &'static str,
    name: &'static str,
    rule: Law,
    threshold: f64,
    note: &'static str,
    source: &'static str,
) -> PublishedLong {
    PublishedLong {
        id,
        name,
        rule,
        threshold,
        note,
        source,
    }
}

/// Published rules, conflicting ones side by side.
pub const PUBLISHED_LONG: &[PublishedLong] = &[
    law(
        "power-1.31",
        "Black-and-white, exponent 1.31",
        Law::Power(1.31),
        1.0,
        "",
        "a film maker's technical note, for one film",
    ),
    law(
        "added-0.046",
        "Newer black-and-white, share 0.046",
        Law::Added(0.046),
        0.001,
        "",
        "one tester's published measurements, the least of five films",
    ),
    law(
        "added-0.061",
        "Newer black-and-white, share 0.061",
        Law::Added(0.061),
        0.001,
        "",
        "one tester's published measurements of five films",
    ),
    law(
        "added-0.069",
        "Newer black-and-white, share 0.069",
        Law::Added(0.069),
        0.001,
        "",
        "one tester's published measurements of five films",
    ),
    law(
        "added-0.101",
        "Newer black-and-white, share 0.101",
        Law::Added(0.101),
        0.001,
        "",
        "one tester's published measurements of five films",
    ),
    law(
        "added-0.169",
        "Newer black-and-white, share 0.169",
        Law::Added(0.169),
        0.001,
        "",
        "one tester's published measurements, the most of five films",
    ),
    law(
        "older-50",
        "Older black-and-white, 10 s becomes 50 s",
        Law::Table(&[[1.0, 2.0], [10.0, 50.0], [100.0, 1200.0]]),
        NORMAL_RANGE,
        "Develop 10 % less from 1 s, 20 % less from 10 s, 30 % less from 100 s.",
        "the usual general table; its row of 10 s was seen, the others are from memory",
    ),
    law(
        "older-60",
        "Older black-and-white, 10 s becomes 60 s",
        Law::Table(&[[1.0, 2.0], [10.0, 60.0], [100.0, 1200.0]]),
        NORMAL_RANGE,
        "Develop 10 % less from 1 s, 20 % less from 10 s, 30 % less from 100 s.",
        "a trade table",
    ),
    // One, two and two and a half stops.
    law(
        "colour-negative",
        "Colour negative in general",
        Law::Table(&[[1.0, 2.0], [10.0, 40.0], [100.0, 565.7]]),
        NORMAL_RANGE,
        "",
        "a trade table",
    ),
    // A half, one and a half and two and a half stops.
    law(
        "slide",
        "Slide in general",
        Law::Table(&[[1.0, 1.414], [10.0, 28.28], [100.0, 565.7]]),
        NORMAL_RANGE,
        "",
        "a trade table",
    ),
    law(
        "schwarzschild-0.86",
        "Plates of 1900, Schwarzschild's 0.86",
        Law::Schwarzschild(0.86),
        1.0,
        "",
        "K. Schwarzschild, 1900, from memory",
    ),
    law(
        "abney",
        "Lantern plates, half the effect at 1/64 of the light",
        Law::Schwarzschild(5.0 / 6.0),
        1.0,
        "",
        "Abney's plate in an encyclopaedia of 1911, as an exponent",
    ),
];
