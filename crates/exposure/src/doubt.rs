use crate::{Error, Stops, range};

/// How far a figure may be off either way: a half-width in stops, from nought to [`Doubt::MOST`].
///
/// Whole thousandths of a stop, rounded up, so that nothing is ever taken for surer than it is.
/// It has no direction: it is never more or less light. For a difference use [`Stops`].
///
/// ```
/// use exposure::Doubt;
/// // Two reasons, each its own: 3, 4 and 5 are the sides of a right-angled triangle.
/// assert_eq!(Doubt::new(0.3)?.and(Doubt::new(0.4)?), Doubt::new(0.5)?);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Doubt(u16);

impl Doubt {
    /// Nothing is doubted.
    pub const NONE: Self = Self(0);
    /// Ten stops. Whoever is that far off knows nothing; sums end here, and words say "at least".
    pub const MOST: Self = Self(10_000);

    /// Makes a doubt of that many stops either way.
    ///
    /// # Errors
    ///
    /// Range error below nought, beyond ten stops, and for what is no number.
    pub fn new(stops: f64) -> Result<Self, Error> {
        range::DOUBT.check(stops).map(Self::rounded_up)
    }

    /// Makes a doubt from a literal.
    ///
    /// # Panics
    ///
    /// If it is below nought or beyond ten stops: a mistake in the program.
    #[must_use]
    pub const fn constant(stops: f64) -> Self {
        assert!(
            range::DOUBT.contains(stops),
            "a literal doubt has to lie between nought and ten stops"
        );
        Self::rounded_up(stops)
    }

    /// Makes a doubt of whole thousandths of a stop, as records keep it; none beyond ten stops.
    #[must_use]
    pub fn of_thousandths(thousandths: u64) -> Option<Self> {
        let doubt = Self(u16::try_from(thousandths).ok()?);
        (doubt <= Self::MOST).then_some(doubt)
    }

    /// Whole thousandths of a stop, 0 to 10 000.
    #[must_use]
    pub const fn thousandths(self) -> u16 {
        self.0
    }

    /// The half-width, as a difference without a direction.
    #[must_use]
    pub fn half_width(self) -> Stops {
        Stops::new_unchecked(f64::from(self.0) / 1000.0)
    }

    /// Both together, where each has a reason of its own: the root of the sum of the squares.
    ///
    /// Source: JCGM 100:2008 (GUM), 5.1.2, equation (10), for a sum, whose sensitivity coefficients are all one.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self::cut(root_of_squares(self, other))
    }

    /// The same, but at least as wide as a difference.
    #[must_use]
    pub fn reaching(self, difference: Stops) -> Self {
        self.max(Self::cut(difference.size().get() * 1000.0))
    }

    /// Thousandths of what lies in the range.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between nought and ten thousand"
    )]
    const fn rounded_up(stops: f64) -> Self {
        // What is a whole thousandth but for noise stays one.
        let scaled = stops * 1000.0 - 1e-6;
        let whole = if scaled > 0.0 { scaled as u16 } else { 0 };
        Self(if scaled > whole as f64 {
            whole + 1
        } else {
            whole
        })
    }

    /// Thousandths that may be beyond the range: they end at the most.
    fn cut(thousandths: f64) -> Self {
        Self::rounded_up((thousandths / 1000.0).min(10.0))
    }
}

fn root_of_squares(one: Doubt, other: Doubt) -> f64 {
    let square = |doubt: Doubt| u32::from(doubt.0) * u32::from(doubt.0);
    f64::from(square(one) + square(other)).sqrt()
}

/// Two readings of the same light, and how far each says that it may be off.
///
/// They **disagree** where they are further apart than the doubt of their difference, the root of the sum of the squares.
/// Then whatever is used reaches to both. Where they agree, using one of them leaves its doubt as it was: a second estimate
/// does not make the first one better.
///
/// ```
/// use exposure::{Compared, Doubt, Stops};
/// // Two estimates of one stop either way, a sixth apart: still one stop either way.
/// let stop = Doubt::constant(1.0);
/// let both = Compared { apart: Stops::constant(1.0 / 6.0), doubts: [stop; 2], floors: [stop; 2], same_method: false };
/// assert_eq!(both.of_middle(), stop);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// How far the second is from the first.
    pub apart: Stops,
    /// How far each may be off.
    pub doubts: [Doubt; 2],
    /// What no agreement takes away from each: what every reading by its method has in common.
    pub floors: [Doubt; 2],
    /// Whether both were read by the same method, so that what is wrong with one may be wrong with the other.
    pub same_method: bool,
}

impl Compared {
    /// How far apart they may lie by what they say of themselves.
    #[must_use]
    pub fn allowed(&self) -> Doubt {
        let [one, other] = self.doubts;
        one.and(other)
    }

    /// Whether they are further apart than that.
    #[must_use]
    pub fn disagree(&self) -> bool {
        (self.apart.size() - self.allowed().half_width()).is_more()
    }

    /// What is to be doubted where the first is used.
    #[must_use]
    pub fn of_first(&self) -> Doubt {
        self.reaching(self.doubts[0], self.apart)
    }

    /// What is to be doubted where the second is used.
    #[must_use]
    pub fn of_second(&self) -> Doubt {
        self.reaching(self.doubts[1], self.apart)
    }

    /// What is to be doubted where the middle of both is used.
    ///
    /// Half the root of the sum of the squares for two methods (GUM, equation (10)), the mean of both for one method, as for
    /// what is wholly correlated (GUM, 5.2.2, note 1); never less than the smaller of the floors.
    #[must_use]
    pub fn of_middle(&self) -> Doubt {
        let [one, other] = self.doubts;
        let mean = if self.same_method {
            f64::from(one.0) + f64::from(other.0)
        } else {
            root_of_squares(one, other)
        };
        let [floor, other_floor] = self.floors;
        let mean = Doubt::cut(mean / 2.0).max(floor.min(other_floor));
        self.reaching(mean, Stops::new_unchecked(self.apart.get() / 2.0))
    }

    fn reaching(&self, doubt: Doubt, to: Stops) -> Doubt {
        if self.disagree() {
            doubt.reaching(to)
        } else {
            doubt
        }
    }
}
