use crate::{Mark, Place, Prefer, Reading, Scale, Stops};

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

/// Every pair that gives the wanted exposure at a rating, from the longest time to the shortest.
///
/// For each time that the camera has, the aperture is chosen by [`Scale::choose`]. Times for which the aperture would lie
/// beyond its scale are left out, unless the last mark is within [`Stops::SMALL`] of what is wanted.
#[must_use]
pub fn pairs(
    reading: &Reading,
    extra: Stops,
    rated: &Mark,
    times: &Scale,
    apertures: &Scale,
    prefer: Prefer,
) -> Vec<Pair> {
    let target = reading.sum() + extra.get() - rated.place().get();
    times
        .marks()
        .iter()
        .rev()
        .filter_map(|time| {
            let choice =
                apertures.choose(Place::new_unchecked(target - time.place().get()), prefer);
            let near = choice.end.is_none() || !(choice.residual.size() - Stops::SMALL).is_more();
            near.then(|| Pair {
                time: *time,
                aperture: choice.mark,
                residual: reading.difference(&[*time, choice.mark, *rated]) - extra,
            })
        })
        .collect()
}
