//! Two readings of the same light: how far they are apart, and which one is used.

use exposure::{Ev, Stops, words};

use crate::{Error, Found, found::Known};

/// Which of two readings is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Keep {
    /// The first.
    First,
    /// The second.
    Second,
    /// The middle between them, in stops.
    Middle,
    /// The one that gives the film more light: the dimmer reading.
    MoreLight,
}

/// How two readings compare.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// How much brighter the second is than the first.
    pub brighter: Stops,
    /// The difference and what is used, in words.
    pub sentence: String,
    /// The reading that is used.
    pub found: Found,
}

/// A difference up to a third of a stop is what meters, marks and a changed field of view make by themselves (common
/// practice, no source); beyond one stop something is wrong.
const CLOSE: Stops = Stops::constant(1.0 / 3.0);
const FAR: Stops = Stops::constant(1.0);

/// Compares two readings of the same light.
///
/// ```
/// use readings::agree::{Keep, agree};
/// use readings::typed::{Typed, Unit};
/// let typed = |text| Typed { text, unit: Unit::Ev, iso: None }.found(&Default::default());
/// let agreement = agree(&typed("12")?, &typed("13")?, Keep::Middle)?;
/// assert!((agreement.found.light().get() - 12.5).abs() < 1e-9);
/// assert!(agreement.sentence.contains("1 stop brighter"));
/// # Ok::<(), readings::Error>(())
/// ```
///
/// # Errors
///
/// None for readings whose light any marks can say.
pub fn agree(first: &Found, second: &Found, keep: Keep) -> Result<Agreement, Error> {
    let (one, other) = (first.light(), second.light());
    let brighter = Stops::new(other.get() - one.get())?;
    let compared = if brighter.is_even() {
        "Both read the same light.".to_owned()
    } else {
        format!(
            "The second ({}) reads {} {} than the first ({}).",
            second.from,
            words::stops(brighter),
            if brighter.is_more() {
                "brighter"
            } else {
                "dimmer"
            },
            first.from,
        )
    };
    let judged = if (brighter.size() - CLOSE).is_more() {
        if (brighter.size() - FAR).is_more() {
            " That is more than meters differ by: look whether both read the same thing, and whether a compensation or a filter was left on."
        } else {
            " That is more than rounding to marks makes; both may have read different things."
        }
    } else {
        ""
    };
    let dimmer_first = !brighter.is_less();
    let (found, used) = match keep {
        Keep::First => (first.clone(), "The first is used."),
        Keep::Second => (second.clone(), "The second is used."),
        Keep::MoreLight if dimmer_first => (
            first.clone(),
            "The first is used: it gives the film more light.",
        ),
        Keep::MoreLight => (
            second.clone(),
            "The second is used: it gives the film more light.",
        ),
        Keep::Middle => (
            middle(first, second, one, other)?,
            "The middle of both is used.",
        ),
    };
    Ok(Agreement {
        brighter,
        sentence: format!("{compared}{judged} {used}"),
        found,
    })
}

fn middle(first: &Found, second: &Found, one: Ev, other: Ev) -> Result<Found, Error> {
    let apart = Stops::new((other.get() - one.get()).abs() / 2.0)?;
    Found::of_light(
        Ev::new(f64::midpoint(one.get(), other.get()))?,
        Known {
            from: "middle of two readings".to_owned(),
            within: Some(apart),
            uncertainty: format!(
                "Both readings, {} and {}, are {} from it.",
                first.from,
                second.from,
                words::of_a_stop(apart)
            ),
        },
    )
}
