use crate::{Control, Error, Mark, Place, Stops, range, series, words};

/// What kind of film is loaded; decides which side to err on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FilmKind {
    /// Colour negative.
    ColourNegative,
    /// Black-and-white negative.
    BlackAndWhite,
    /// Reversal (slide).
    Reversal,
}

/// Which mark to take when the exact value is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Prefer {
    /// The nearest mark that gives at least what is wanted (a twelfth of a stop less still counts).
    MoreLight,
    /// The nearest mark; of two equally near ones, the one that gives more light.
    Nearest,
}

impl Prefer {
    /// Negative film forgives more light rather than less; reversal film forgives neither (common practice, no source).
    #[must_use]
    pub const fn for_film(kind: FilmKind) -> Self {
        match kind {
            FilmKind::ColourNegative | FilmKind::BlackAndWhite => Self::MoreLight,
            FilmKind::Reversal => Self::Nearest,
        }
    }
}

/// An end of a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    /// The mark that gives least light: fastest time, smallest aperture, lowest sensitivity.
    Darkest,
    /// The mark that gives most light: slowest time, widest aperture, highest sensitivity.
    Brightest,
}

/// A mark chosen for a wanted place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The mark (on a stepless ring, a position between marks).
    pub mark: Mark,
    /// What it gives minus what was wanted.
    pub residual: Stops,
    /// The end that stopped it, if what was wanted lies beyond the scale.
    pub end: Option<End>,
}

/// The marks that a control really has, darkest first.
///
/// Never empty, strictly rising in [`Mark::place`], all of one control.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    control: Control,
    marks: Vec<Mark>,
    stepless: bool,
}

impl Scale {
    /// Makes a scale of marks in any order; of marks at the same place the first is kept.
    ///
    /// `stepless` means that positions between the marks can be set as well.
    ///
    /// # Errors
    ///
    /// Range error if there is no mark or more than [`range::MARKS`]; parse error if a mark belongs to another control.
    pub fn new(control: Control, mut marks: Vec<Mark>, stepless: bool) -> Result<Self, Error> {
        #[expect(
            clippy::cast_precision_loss,
            reason = "a count of marks is far below 2^52"
        )]
        range::MARKS.check(marks.len() as f64)?;
        if marks.iter().any(|mark| mark.control() != control) {
            return Err(Error::parse(format!(
                "every mark of this scale has to be a {}",
                words::noun(control)
            )));
        }
        marks.sort_by(|a, b| a.place().get().total_cmp(&b.place().get()));
        marks.dedup_by(|b, a| (b.place() - a.place()).is_even());
        Ok(Self {
            control,
            marks,
            stepless,
        })
    }

    /// Every film speed of the standard list, ISO 0.8 to 12 800.
    #[must_use]
    pub fn sensitivities() -> Self {
        Self::series(Control::Sensitivity, crate::Steps::Third, |_| true)
    }

    /// The engraved marks of a standard series that pass a test.
    pub(crate) fn series(
        control: Control,
        steps: crate::Steps,
        keep: impl Fn(&Mark) -> bool,
    ) -> Self {
        let mut marks: Vec<Mark> = series::tables(control, steps)
            .into_iter()
            .flatten()
            .filter(|row| row.engraved)
            .map(|row| Mark::from_row(control, row))
            .filter(keep)
            .collect();
        marks.sort_by(|a, b| a.place().get().total_cmp(&b.place().get()));
        Self {
            control,
            marks,
            stepless: false,
        }
    }

    /// Which control it belongs to.
    #[must_use]
    pub const fn control(&self) -> Control {
        self.control
    }

    /// The marks, darkest first.
    #[must_use]
    pub fn marks(&self) -> &[Mark] {
        &self.marks
    }

    /// Whether positions between the marks can be set.
    #[must_use]
    pub const fn is_stepless(&self) -> bool {
        self.stepless
    }

    /// The mark that gives least light.
    #[must_use]
    pub fn darkest(&self) -> &Mark {
        // OK because a scale is never empty.
        &self.marks[0]
    }

    /// The mark that gives most light.
    #[must_use]
    pub fn brightest(&self) -> &Mark {
        // OK because a scale is never empty.
        &self.marks[self.marks.len() - 1]
    }

    /// Index of the mark that stands at the same place, if one does.
    #[must_use]
    pub fn index_of(&self, mark: &Mark) -> Option<usize> {
        self.index_of_place(mark.place())
    }

    /// The mark that carries this figure (seconds, f-number or ISO), whatever it stands for or was measured as.
    #[must_use]
    pub fn labelled(&self, engraved: f64) -> Option<&Mark> {
        self.marks
            .iter()
            .find(|mark| series::same_figure(mark.engraved(), engraved))
    }

    /// The mark that a typed value means: the one with its figure, else the nearest to its place.
    #[must_use]
    pub fn meant(&self, typed: &Mark) -> Choice {
        match self.labelled(typed.engraved()) {
            Some(mark) => Choice {
                mark: *mark,
                residual: Stops::ZERO,
                end: None,
            },
            None => self.choose(typed.place(), Prefer::Nearest),
        }
    }

    /// Index of a place along the marks; between two of them a fraction.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "an index of at most 200 marks")]
    pub fn position_of(&self, place: Place) -> f64 {
        let next = self
            .marks
            .partition_point(|m| (m.place() - place).is_less());
        let Some(above) = self.marks.get(next) else {
            return (self.marks.len() - 1) as f64;
        };
        let Some(below) = next.checked_sub(1).and_then(|i| self.marks.get(i)) else {
            return 0.0;
        };
        if (above.place() - place).is_even() {
            return next as f64;
        }
        (next - 1) as f64 + (place - below.place()).get() / (above.place() - below.place()).get()
    }

    /// Chooses the setting for a wanted place. **The only rounding of settings in this crate.**
    ///
    /// - Beyond an end: that end, and [`Choice::end`] says so.
    /// - On a stepless ring: exactly the wanted place.
    /// - [`Prefer::Nearest`]: the nearest mark; a tie goes to more light.
    /// - [`Prefer::MoreLight`]: the nearest mark that gives at least what is wanted, less [`Stops::SMALL`]; where marks stand
    ///   so far apart that this would overshoot by more than [`Stops::OVERSHOOT`], the nearest one.
    #[must_use]
    pub fn choose(&self, wanted: Place, prefer: Prefer) -> Choice {
        let taken = |mark: Mark, end| Choice {
            mark,
            residual: mark.place() - wanted,
            end,
        };
        if (wanted - self.brightest().place()).is_more() {
            return taken(*self.brightest(), Some(End::Brightest));
        }
        if (wanted - self.darkest().place()).is_less() {
            return taken(*self.darkest(), Some(End::Darkest));
        }
        if self.stepless && self.index_of_place(wanted).is_none() {
            // OK to fall through on an error: the place lies between two valid marks, so it cannot be out of range.
            if let Ok(mark) = Mark::between(self.control, wanted) {
                return taken(mark, None);
            }
        }
        let above = self
            .marks
            .partition_point(|m| (m.place() - wanted).is_less())
            .min(self.marks.len() - 1);
        let below = above.saturating_sub(1);
        let lack = wanted - self.marks[below].place();
        let excess = self.marks[above].place() - wanted;
        let below_is_nearer = (excess - lack).is_more();
        let take_below = match prefer {
            Prefer::MoreLight => {
                below_is_nearer
                    && (!(lack - Stops::SMALL).is_more() || (excess - Stops::OVERSHOOT).is_more())
            }
            Prefer::Nearest => below_is_nearer,
        };
        taken(self.marks[if take_below { below } else { above }], None)
    }

    fn index_of_place(&self, place: Place) -> Option<usize> {
        let next = self
            .marks
            .partition_point(|m| (m.place() - place).is_less());
        self.marks
            .get(next)
            .filter(|m| (m.place() - place).is_even())
            .map(|_| next)
    }
}
