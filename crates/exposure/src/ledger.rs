use crate::{Mark, Reading, Stops, words};

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

    /// The lines and the total as they are printed, so that the printed lines add up to the printed total: a sixth where it
    /// is exact, else hundredths.
    ///
    /// What the hundredths leave over goes to a control, where rounding was nearest to a tie: what a correction takes is also
    /// said elsewhere, and a sixth is exact. Without such a control the total takes a hundredth, unless it is printed as nothing,
    /// and a correction the rest.
    #[must_use]
    pub fn printed(&self) -> (Vec<Stops>, Stops) {
        let to = |parts: f64, exact: &Stops| words::whole(exact.get() * parts) / parts;
        let is_sixth = |exact: &Stops| (exact.get() - to(6.0, exact)).abs() < EXACT;
        let nearest = |exact: &Stops| to(if is_sixth(exact) { 6.0 } else { 100.0 }, exact);
        let mut lines: Vec<f64> = self.lines.iter().map(nearest).collect();
        let sixths = self.lines.iter().all(is_sixth);
        let mut total = to(if sixths { 6.0 } else { 100.0 }, &self.total);
        let mut may_move = total.abs() > EXACT;
        loop {
            let left = total - lines.iter().sum::<f64>();
            if left.abs() < 0.005 + EXACT {
                let lines = lines.into_iter().map(Stops::new_unchecked).collect();
                return (lines, Stops::new_unchecked(total));
            }
            let step = 0.01_f64.copysign(left);
            // What a line is short of, in the direction that is missing; no line moves twice.
            let short = |i: &usize| (self.lines[*i].get() - lines[*i]) * step;
            let takes = |from: usize, to: usize| {
                (from..to.min(self.lines.len()))
                    .filter(|i| !is_sixth(&self.lines[*i]) && short(i) > -0.000_05)
                    .max_by(|a, b| short(a).total_cmp(&short(b)))
            };
            let control = takes(0, 3);
            if let Some(i) = control.or_else(|| takes(3, lines.len()).filter(|_| !may_move)) {
                lines[i] += step;
            } else {
                total -= step;
                may_move = false;
            }
        }
    }
}

/// What a sixth may be off by arithmetic, stops.
const EXACT: f64 = 1e-4;
