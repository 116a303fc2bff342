//! What to set on a reading device that is off: the oldest correction of all, after which its readings are right by
//! themselves.
//!
//! A device that asks for too little light is set to a lower sensitivity, by as many stops. Its readings then mean the
//! sensitivity that was left, not the one that it shows.
//! Source: that the sensitivity of a device and the light it asks for change by the same number of stops is the equation of
//! the calculator dial (ANSI/ISO 2720, APEX); that meters are corrected so is common practice, no source.

use crate::{Control, End, Error, Mark, Prefer, Scale, Steps, Stops};

/// What to set on a device.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnDevice {
    /// The mark of the device's scale.
    pub set: Mark,
    /// What the film then still gets beyond what it should; positive is more light.
    pub rest: Stops,
    /// The end of the scale that stopped it.
    pub end: Option<End>,
}

/// What to set on a device instead of where it stands, so that it reads right by itself; `effect` is what its error does to
/// the light on the film, as a line of a ledger has it (less light where it asks for too little).
///
/// Of two marks that are equally near the one is taken that gives the film more light.
///
/// None where no mark comes nearer than the one that it stands at.
///
/// ```
/// use exposure::{Control, Mark, Scale, Steps, Stops, meter::on_device};
/// // It asks for two thirds of a stop too little: ISO 64 instead of 100.
/// let stands = Mark::parse(Control::Sensitivity, "100", Steps::Third)?;
/// let found = on_device(Stops::constant(-2.0 / 3.0), &stands, &Scale::sensitivities()).unwrap();
/// assert!((found.set.engraved() - 64.0).abs() < 1e-9 && found.rest.is_even());
/// # Ok::<(), exposure::Error>(())
/// ```
#[must_use]
pub fn on_device(effect: Stops, stands: &Mark, scale: &Scale) -> Option<OnDevice> {
    let wanted = stands.place() + effect;
    let nearest = scale.choose(wanted, Prefer::Nearest);
    // A tie goes to the brighter mark of a scale; on a device a lower sensitivity asks for more light.
    let as_far_below = wanted + (-nearest.residual.size());
    let set = scale
        .marks()
        .iter()
        .copied()
        .find(|mark| (mark.place() - as_far_below).is_even())
        .unwrap_or(nearest.mark);
    let rest = wanted - set.place();
    (effect.size() - rest.size()).is_more().then_some(OnDevice {
        set,
        rest,
        end: nearest.end,
    })
}

/// The sensitivities of a device in full stops: 50, 100, 200.
#[must_use]
pub fn full_stops() -> Scale {
    Scale::series(Control::Sensitivity, Steps::Third, |mark| {
        mark.nominal().is_some_and(crate::Twelfths::is_full_stop)
    })
}

/// The sensitivities of a device as people type them: `25 50 100 200`, `100..6400` for every mark of the usual list between.
///
/// ```
/// use exposure::meter;
/// assert_eq!(meter::parse("100..400")?.marks().len(), 7);
/// assert_eq!(meter::parse("50, 100; 200")?.marks().len(), 3);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Parse error that names the item that was not understood, or a range error.
pub fn parse(list: &str) -> Result<Scale, Error> {
    let read = |text: &str| Mark::parse(Control::Sensitivity, text, Steps::Third);
    let mut marks = Vec::new();
    let items = list
        .split(|c: char| c.is_whitespace() || c == ';' || c == ',')
        .filter(|item| !item.is_empty());
    for item in items {
        match item
            .split_once("..")
            .or_else(|| item.split_once(['-', '–']))
        {
            Some((from, to)) => {
                let (a, b) = (read(from)?, read(to)?);
                let (low, high) = if a.place() < b.place() {
                    (a, b)
                } else {
                    (b, a)
                };
                let between =
                    |mark: &Mark| mark.place() > low.place() && mark.place() < high.place();
                marks.extend([low, high]);
                marks.extend(Scale::series(Control::Sensitivity, Steps::Third, between).marks());
            }
            None => marks.push(read(item)?),
        }
    }
    if marks.is_empty() {
        return Err(Error::parse(
            "the sensitivities are a list such as 25 50 100 200 400, or 100..6400",
        ));
    }
    Scale::new(Control::Sensitivity, marks, false)
}
