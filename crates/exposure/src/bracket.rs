use crate::{
    Asked, BoxSpeed, Control, End, Error, ExposureIndex, Mark, Prefer, Scale, Stops, range,
};

/// Stops between neighbouring frames.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BracketStep {
    /// A third of a stop.
    Third,
    /// Half a stop.
    Half,
    /// One stop.
    One,
    /// Two stops.
    Two,
}

impl BracketStep {
    /// The step as a difference.
    #[must_use]
    pub const fn stops(self) -> Stops {
        Stops::constant(match self {
            Self::Third => 1.0 / 3.0,
            Self::Half => 0.5,
            Self::One => 1.0,
            Self::Two => 2.0,
        })
    }
}

/// Order in which the frames are shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Order {
    /// The base first (the subject may go), then the frames with less light, then those with more.
    BaseFirst,
    /// From least to most light: a ramp that can be recognised on the film.
    Rising,
    /// From most to least light.
    Falling,
}

/// A bracket as it is planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bracket {
    by: Control,
    under: u8,
    over: u8,
    step: BracketStep,
    order: Order,
}

impl Bracket {
    /// Plans a bracket by time or by aperture.
    ///
    /// # Errors
    ///
    /// Range error for more than [`range::SIDE`] frames on a side; parse error for a bracket by sensitivity, which a film
    /// in a camera does not have.
    pub fn new(
        by: Control,
        under: u8,
        over: u8,
        step: BracketStep,
        order: Order,
    ) -> Result<Self, Error> {
        if by == Control::Sensitivity {
            return Err(Error::parse("a bracket is made by time or by aperture"));
        }
        range::SIDE.check(f64::from(under))?;
        range::SIDE.check(f64::from(over))?;
        Ok(Self {
            by,
            under,
            over,
            step,
            order,
        })
    }

    /// What changes from frame to frame.
    #[must_use]
    pub const fn by(&self) -> Control {
        self.by
    }

    /// Frames with less light than the base.
    #[must_use]
    pub const fn under(&self) -> u8 {
        self.under
    }

    /// Frames with more light than the base.
    #[must_use]
    pub const fn over(&self) -> u8 {
        self.over
    }

    /// The step.
    #[must_use]
    pub const fn step(&self) -> BracketStep {
        self.step
    }

    /// The order.
    #[must_use]
    pub const fn order(&self) -> Order {
        self.order
    }
}

/// One frame of a planned series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Offset from the base that was asked for.
    pub wanted: Stops,
    /// Offset from the base that the camera really gives.
    pub given: Stops,
    /// What to set on the control that changes.
    pub mark: Mark,
    /// The end of the scale that stopped it.
    pub end: Option<End>,
    /// Place in shooting order (from 0) of an earlier frame with the same light: this one adds nothing. Mostly it has the
    /// same setting; a shutter or lens that answers otherwise at another mark can make two settings alike too.
    pub repeats: Option<usize>,
    /// The EI that the frame amounts to in this light.
    pub amounts_to: ExposureIndex,
    /// Offset from box speed: log2(box / EI).
    pub from_box: Stops,
}

/// Plans a whole series at once on a real scale, in shooting order.
///
/// `base` holds the time and the aperture of the base frame. Each frame takes the mark nearest to its offset (a tie goes
/// to more light), the base's own among them: rounding every frame to more light, as for a single exposure on negative film, would fold a frame
/// with less light onto the base.
///
/// # Errors
///
/// Range error if a frame would amount to an EI beyond any film speed.
pub fn bracket<'a>(
    plan: &Bracket,
    asked: impl Into<Asked<'a>>,
    box_speed: BoxSpeed,
    base: &[Mark; 2],
    scale: &Scale,
) -> Result<Vec<Frame>, Error> {
    all_frames(plan, &asked.into(), box_speed, base, scale)
}

fn all_frames(
    plan: &Bracket,
    asked: &Asked<'_>,
    box_speed: BoxSpeed,
    base: &[Mark; 2],
    scale: &Scale,
) -> Result<Vec<Frame>, Error> {
    // Offsets between frames are the same at any rating.
    let base = [base[0], base[1], *asked.sensitivity()];
    let (i, start) = (plan.by.index(), asked.difference(&base));
    let mut frames: Vec<Frame> = Vec::with_capacity(offsets(plan).len());
    for multiple in offsets(plan) {
        let wanted = Stops::new(f64::from(multiple) * plan.step.stops().get())?;
        let mut set = base;
        let mut end = None;
        // The base is what stands on the camera, even where it is no mark of the scale.
        if multiple != 0 {
            let choice = asked.choose(scale, base, start + wanted, Prefer::Nearest);
            set[i] = choice.mark;
            let gives = asked.difference(&set) - start;
            let nearer = (gives - wanted).size() - wanted.size();
            if nearer.is_more() || (nearer.is_even() && gives.is_less()) {
                // The base comes nearer, which need not be a mark of the scale.
                set = base;
            } else {
                end = choice.end;
            }
        }
        let mark = set[i];
        let given = asked.difference(&set) - start;
        let amounts_to = asked.amounts_to(&set[0], &set[1])?;
        frames.push(Frame {
            wanted,
            given,
            mark,
            end,
            repeats: frames
                .iter()
                .position(|frame: &Frame| (frame.given - given).is_even()),
            amounts_to,
            from_box: box_speed.offset(amounts_to),
        });
    }
    Ok(frames)
}

/// Multiples of the step in shooting order.
fn offsets(plan: &Bracket) -> Vec<i32> {
    let (under, over) = (i32::from(plan.under), i32::from(plan.over));
    match plan.order {
        Order::Rising => (-under..=over).collect(),
        Order::Falling => (-under..=over).rev().collect(),
        Order::BaseFirst => core::iter::once(0)
            .chain((-under..0).rev())
            .chain(1..=over)
            .collect(),
    }
}
