use crate::{Asked, Control, End, Judged, Mark, Prefer, Scale, Stops};

/// Three controls tied to one reading of the light, and which of them may move.
#[derive(Debug, Clone, Copy)]
pub struct Problem<'a> {
    /// The light, and what stands between it and the film.
    pub asked: Asked<'a>,
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
/// What the followers can reach together is the answer: the setting that [`Prefer::judge`] ranks first, in sixths of a
/// stop, the finest difference that is spoken of. Between equals the first follower takes all it can, so that the later
/// ones stay where they stand or move least. If all of them are at an end, the rest is the
/// [shortfall](Solution::shortfall).
/// Where the first follower stood leaves no trace, and a turn always counts from the same `stands`, so nothing accumulates.
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
///     asked: (&reading).into(),
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
    let marks = reach(problem, problem.followers, problem.stands).marks;
    let mut ends = [None; 3];
    // Each was stopped by its end if it stands there and, before the next one moved, more was wanted of it.
    let mut so_far = problem.stands;
    for follower in problem.followers {
        let i = follower.index();
        so_far[i] = marks[i];
        let wanted = marks[i].place() - problem.residual(&so_far);
        let scale = problem.scales[i];
        ends[i] = scale.end_before(wanted).filter(|end| {
            let last = match end {
                End::Brightest => scale.brightest(),
                End::Darkest => scale.darkest(),
            };
            marks[i].relative_to(last).is_even()
        });
    }
    let residual = problem.residual(&marks);
    let all_ended = |follower: &Control| ends[follower.index()].is_some();
    let short = !problem.followers.is_empty() && problem.followers.iter().all(all_ended);
    Solution {
        marks,
        ends,
        difference: problem.asked.difference(&marks),
        residual,
        shortfall: short.then_some(residual),
    }
}

/// A setting on the way to the best one.
#[derive(Clone, Copy)]
struct Reached {
    marks: [Mark; 3],
    judged: Judged,
    /// How far the later followers were moved, the last one first.
    moved: [f64; 2],
}

impl Reached {
    /// Of equals the one that moves the later followers least; then the one nearest to the last digit.
    fn beats(&self, other: &Self) -> bool {
        if self.judged.grade() != other.judged.grade() {
            return self.judged.grade() < other.judged.grade();
        }
        for (here, there) in self.moved.iter().zip(&other.moved) {
            if (here - there).abs() >= Stops::NOISE.get() {
                return here < there;
            }
        }
        self.judged.beats(other.judged)
    }
}

impl Problem<'_> {
    fn residual(&self, marks: &[Mark; 3]) -> Stops {
        self.asked.difference(marks) - self.extra
    }

    fn nearest(&self, i: usize, marks: [Mark; 3]) -> Mark {
        self.asked
            .choose(self.scales[i], marks, self.extra, self.prefer)
            .mark
    }
}

/// The best setting that these followers reach together from where the others stand.
fn reach(problem: &Problem<'_>, followers: &[Control], stands: [Mark; 3]) -> Reached {
    let mut marks = stands;
    let Some((last, first)) = followers.split_last() else {
        return Reached {
            marks,
            judged: problem.prefer.judge(problem.residual(&marks)),
            moved: [0.0; 2],
        };
    };
    let i = last.index();
    if first.is_empty() {
        marks[i] = problem.nearest(i, marks);
        return reach(problem, first, marks);
    }
    let depth = 2 - first.len().min(2);
    let with = |mark: Mark| {
        let mut marks = stands;
        marks[i] = mark;
        let mut reached = reach(problem, first, marks);
        reached.moved[depth] = mark.relative_to(&stands[i]).size().get();
        reached
    };
    let mut best = with(stands[i]);
    if best.judged.grade() == 0 && best.moved.iter().all(|moved| *moved <= 0.0) {
        return best;
    }
    let mut take = |reached: Reached| {
        if reached.beats(&best) {
            best = reached;
        }
    };
    for mark in problem.scales[i].marks() {
        take(with(*mark));
    }
    if problem.scales[i].is_stepless() || problem.scales[i].has_b() {
        // It can stand between its marks: wherever the first follower stands, it makes up the rest.
        let j = first[0].index();
        for mark in problem.scales[j].marks() {
            let mut marks = stands;
            marks[j] = *mark;
            let rest = problem.nearest(i, marks);
            take(with(rest));
        }
    }
    best
}
