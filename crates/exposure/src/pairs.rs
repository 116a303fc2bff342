use crate::{Asked, Choice, Mark, Prefer, Scale, Stops};

/// A time and an aperture that a camera can set for a light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The time.
    pub time: Mark,
    /// The aperture.
    pub aperture: Mark,
    /// What the pair gives beyond what was wanted.
    pub residual: Stops,
}

/// Pairs in the list where none gives the wanted light.
const NEAREST: usize = 3;

/// Every pair that gives the wanted exposure at a rating, from the longest time to the shortest.
///
/// For each time of the shutter the aperture is chosen by [`Scale::choose`]; on B it is the time that is chosen, for each
/// aperture. Pairs for which that lies beyond a scale are left out, unless the last mark is within [`Stops::SMALL`] of what
/// is wanted, or nothing else comes as near. Where none is left, those that come nearest are given, the nearest first.
#[must_use]
pub fn pairs<'a>(
    asked: impl Into<Asked<'a>>,
    extra: Stops,
    rated: &Mark,
    times: &Scale,
    apertures: &Scale,
    prefer: Prefer,
) -> Vec<Pair> {
    all_pairs(&asked.into(), extra, rated, times, apertures, prefer)
}

fn all_pairs(
    asked: &Asked<'_>,
    extra: Stops,
    rated: &Mark,
    times: &Scale,
    apertures: &Scale,
    prefer: Prefer,
) -> Vec<Pair> {
    let mut found: Vec<(Pair, bool)> = Vec::new();
    let mut add = |time: Mark, aperture: Mark, choice: Choice| {
        let residual = choice.residual.size();
        let fits = match choice.end {
            // In the gap between the shutter and B the nearest time may be far.
            None => !choice.mark.by_hand() || !(residual - Stops::OVERSHOOT).is_more(),
            Some(_) => !(residual - Stops::SMALL).is_more(),
        };
        let pair = Pair {
            time,
            aperture,
            residual: choice.residual,
        };
        found.push((pair, fits));
    };
    let choose = |scale: &Scale, time: &Mark, aperture: &Mark| {
        asked.choose(scale, [*time, *aperture, *rated], extra, prefer)
    };
    for time in times.marks().iter().filter(|time| !time.by_hand()) {
        let choice = choose(apertures, time, apertures.darkest());
        add(*time, choice.mark, choice);
    }
    if times.has_b() {
        for aperture in apertures.marks() {
            let choice = choose(times, times.brightest(), aperture);
            if choice.mark.by_hand() {
                add(choice.mark, *aperture, choice);
            }
        }
    }
    let grade = |pair: &Pair| prefer.judge(pair.residual).grade();
    let best = found.iter().map(|(pair, _)| grade(pair)).min().unwrap_or(0);
    let any = found.iter().any(|(_, fits)| *fits);
    found.retain(|(pair, fits)| !any || *fits || grade(pair) == best);
    if any {
        found.sort_by(|(a, _), (b, _)| b.time.place().get().total_cmp(&a.time.place().get()));
    } else {
        found.sort_by(|(a, _), (b, _)| {
            let size = |pair: &Pair| pair.residual.size().get();
            grade(a).cmp(&grade(b)).then(size(a).total_cmp(&size(b)))
        });
        found.truncate(NEAREST);
    }
    found.into_iter().map(|(pair, _)| pair).collect()
}
