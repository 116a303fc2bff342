use crate::{Mark, Reading, Stops};

/// The trade in stops: what each control adds to or takes from the reading, and what each correction between the reading
/// and the film does. The lines add up to the total.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledger {
    /// One difference per control, in the order of [`Control::ALL`](crate::Control::ALL), then one per correction.
    pub lines: Vec<Stops>,
    /// Their sum: how much more light than the reading asks for.
    pub total: Stops,
}

impl Ledger {
    /// Compares three settings with a reading, with the corrections that count: what each gives the film, so that what
    /// takes light is negative.
    ///
    /// A higher sensitivity counts as more light, for the film then makes more of what it gets.
    ///
    /// ```
    /// use exposure::{Control, Ledger, Mark, Reading, Steps, Stops};
    /// let mark = |control, text| Mark::parse(control, text, Steps::Third);
    /// let reading = Reading::new(mark(Control::Time, "1/125")?, mark(Control::Aperture, "11")?, mark(Control::Sensitivity, "100")?)?;
    /// // A filter of factor 8 takes three stops, the time gives them back.
    /// let set = [mark(Control::Time, "1/15")?, *reading.mark(Control::Aperture), *reading.mark(Control::Sensitivity)];
    /// let ledger = Ledger::new(&reading, &set, [Stops::constant(-3.0)]);
    /// assert!(ledger.total.is_even());
    /// # Ok::<(), exposure::Error>(())
    /// ```
    #[must_use]
    pub fn new(
        reading: &Reading,
        set: &[Mark; 3],
        corrections: impl IntoIterator<Item = Stops>,
    ) -> Self {
        let mut lines: Vec<Stops> = set
            .iter()
            .zip(reading.marks())
            .map(|(set, read)| set.place() - read.place())
            .collect();
        lines.extend(corrections);
        Self {
            total: lines.iter().copied().sum(),
            lines,
        }
    }

    /// The lines and the total in whole parts of a stop (6 for sixths, 100 for hundredths), rounded so that the rounded
    /// lines add up to the rounded total.
    ///
    /// Each line is rounded as the difference of rounded running sums; a line moves by at most one part.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "differences are within a few thousand stops and parts within 100"
    )]
    pub fn in_parts(&self, parts: u8) -> (Vec<i32>, i32) {
        let round = |stops: f64| (stops * f64::from(parts)).round() as i32;
        let mut sum = 0.0;
        let mut before = 0;
        let lines = self.lines.iter().map(|line| {
            sum += line.get();
            let now = round(sum);
            let part = now - before;
            before = now;
            part
        });
        (lines.collect(), before)
    }
}
