use crate::{Control, End, Mark, Place, Prefer, Reading, Scale, Stops};

/// Three controls tied to one reading of the light, and which of them may move.
#[derive(Debug, Clone, Copy)]
pub struct Problem<'a> {
    /// The light.
    pub reading: &'a Reading,
    /// Light wanted beyond what the reading asks for.
    pub extra: Stops,
    /// Where the controls stand, in the order of [`Control::ALL`]; those that do not follow stay there.
    pub stands: [Mark; 3],
    /// What can be set, in the same order.
    pub scales: [&'a Scale; 3],
    /// The controls that may move, the first one first.
    pub followers: &'a [Control],
    /// Which mark to take when the exact value is not there.
    pub prefer: Prefer,
}

/// Where the controls end up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution {
    /// The settings, in the order of [`Control::ALL`].
    pub marks: [Mark; 3],
    /// The end that each control was stopped by.
    pub ends: [Option<End>; 3],
    /// What the settings give beyond what the reading asks for (the wish included).
    pub difference: Stops,
    /// What they give beyond what was wanted: [`difference`](Self::difference) less the wish.
    pub residual: Stops,
    /// What no follower could take because its scale ends; none where a follower had room, or where nothing may follow.
    pub shortfall: Option<Stops>,
}

/// Moves the followers so that the exposure is the wanted one.
///
/// The first follower takes all it can. At the end of its scale it stays at its last mark and the next one takes the
/// rest. If none is left, the rest is the [shortfall](Solution::shortfall).
/// Followers are chosen from where the others stand, never from where they stood themselves, so nothing accumulates.
///
/// ```
/// use exposure::{Control, Mark, Prefer, Problem, Reading, Scale, Steps, solve};
/// let mark = |control, text| Mark::parse(control, text, Steps::Full);
/// let list = |control, texts: &[&str]| {
///     let marks = texts.iter().map(|text| Mark::parse(control, text, Steps::Full)).collect::<Result<Vec<_>, _>>()?;
///     Scale::new(control, marks, false)
/// };
/// let times = list(Control::Time, &["1/30", "1/60", "1/125", "1/250"])?;
/// let apertures = list(Control::Aperture, &["2.8", "4", "5.6", "8", "11", "16"])?;
/// let speeds = Scale::sensitivities();
/// let stands = [mark(Control::Time, "1/60")?, mark(Control::Aperture, "8")?, mark(Control::Sensitivity, "100")?];
/// let reading = Reading::new(mark(Control::Time, "1/125")?, mark(Control::Aperture, "8")?, stands[2])?;
/// let solution = solve(&Problem {
///     reading: &reading,
///     extra: exposure::Stops::ZERO,
///     stands,
///     scales: [&times, &apertures, &speeds],
///     followers: &[Control::Aperture],
///     prefer: Prefer::Nearest,
/// });
/// assert!((solution.marks[1].engraved() - 11.0).abs() < 1e-12);
/// assert!(solution.residual.is_even());
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn solve(problem: &Problem<'_>) -> Solution {
    let mut marks = problem.stands;
    let mut ends = [None; 3];
    let target = problem.reading.sum() + problem.extra.get();
    let mut short = false;
    for &follower in problem.followers {
        let i = follower.index();
        // From the other two alone, so that where the follower stood leaves no trace, not even in the last digit.
        let others = marks[(i + 1) % 3].place().get() + marks[(i + 2) % 3].place().get();
        let choice =
            problem.scales[i].choose(Place::new_unchecked(target - others), problem.prefer);
        marks[i] = choice.mark;
        ends[i] = choice.end;
        short = choice.end.is_some();
        if choice.end.is_none() {
            break;
        }
    }
    let difference = problem.reading.difference(&marks);
    let residual = difference - problem.extra;
    Solution {
        marks,
        ends,
        difference,
        residual,
        shortfall: short.then_some(residual),
    }
}
