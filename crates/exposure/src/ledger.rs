use crate::{Mark, Reading, Stops};

/// The trade in stops: what each control adds to or takes from the reading. The lines add up to the total.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ledger {
    /// One difference per control, in the order of [`Control::ALL`](crate::Control::ALL).
    pub lines: [Stops; 3],
    /// Their sum: how much more light than the reading asks for.
    pub total: Stops,
}

impl Ledger {
    /// Compares three settings with a reading.
    ///
    /// A higher sensitivity counts as more light, for the film then makes more of what it gets.
    #[must_use]
    pub fn new(reading: &Reading, set: &[Mark; 3]) -> Self {
        let line = |i: usize| set[i].place() - reading.marks()[i].place();
        let lines = [line(0), line(1), line(2)];
        Self {
            lines,
            total: lines.into_iter().sum(),
        }
    }

    /// The lines and the total in whole parts of a stop (6 for sixths, 100 for hundredths), rounded so that the rounded
    /// lines add up to the rounded total.
    ///
    /// Each line is rounded as the difference of rounded running sums; a line moves by at most one part.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "differences are within 300 stops and parts within 100"
    )]
    pub fn in_parts(&self, parts: u8) -> ([i32; 3], i32) {
        let round = |stops: f64| (stops * f64::from(parts)).round() as i32;
        let mut sum = 0.0;
        let mut before = 0;
        let lines = self.lines.map(|line| {
            sum += line.get();
            let now = round(sum);
            let part = now - before;
            before = now;
            part
        });
        (lines, before)
    }
}
