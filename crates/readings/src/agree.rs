//! Two readings of the same light: how far they are apart, and which one is used.

use exposure::{Axis, Compared, Doubt, Ev, Stops, words};

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

/// The line that both are drawn on: whole EV around what either may be.
#[must_use]
pub fn between(first: &Found, second: &Found) -> Axis {
    Axis::around([first.reach(), second.reach()].concat(), 4.0)
}

/// Compares two readings of the same light, by the rule of [`Compared`].
///
/// Two readings that agree are no surer than either way allows; where they are further apart than both allow, what is used
/// reaches to both.
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
    let sure = compared(first, second, brighter);
    let said = if brighter.is_even() {
        "Both read the same light.".to_owned()
    } else {
        format!(
            "The second ({}) reads {} {} than the first ({}).",
            named(second),
            words::stops(brighter),
            if brighter.is_more() {
                "brighter"
            } else {
                "dimmer"
            },
            named(first),
        )
    };
    let judged = match &sure {
        None => " Of one of them nobody can say how far it may be off, so agreeing says little.",
        Some(sure) if !sure.disagree() => {
            " Both allow for as much; it makes neither of them surer."
        }
        // Twice as much as both allow is no chance any more.
        Some(sure)
            if (brighter.size() - sure.allowed().half_width() - sure.allowed().half_width())
                .is_more() =>
        {
            " That is far more than both allow: look whether both read the same thing, and whether a compensation or a filter was left on."
        }
        Some(_) => {
            " That is more than both allow with their rounding to marks; they may have read different things."
        }
    };
    let dimmer_first = !brighter.is_less();
    let (kept, used) = match keep {
        Keep::First => (Keep::First, "The first is used."),
        Keep::Second => (Keep::Second, "The second is used."),
        Keep::MoreLight if dimmer_first => (
            Keep::First,
            "The first is used: it gives the film more light.",
        ),
        Keep::MoreLight => (
            Keep::Second,
            "The second is used: it gives the film more light.",
        ),
        Keep::Middle => (Keep::Middle, "The middle of both is used."),
    };
    let found = match kept {
        Keep::Middle => middle(first, second, [one, other], sure.as_ref())?,
        Keep::Second => reaching(second, sure.as_ref(), Compared::of_second),
        Keep::First | Keep::MoreLight => reaching(first, sure.as_ref(), Compared::of_first),
    };
    Ok(Agreement {
        brighter,
        sentence: format!("{said}{judged} {used}"),
        found,
    })
}

/// Both with their doubts; none where one has none.
fn compared(first: &Found, second: &Found, brighter: Stops) -> Option<Compared> {
    let doubts = [first.doubt?, second.doubt?];
    Some(Compared {
        apart: brighter,
        doubts,
        floors: [
            first.method.floor(doubts[0]),
            second.method.floor(doubts[1]),
        ],
        same_method: first.method.shares_with(second.method),
    })
}

/// Where a reading comes from, and how far it may be off.
fn named(found: &Found) -> String {
    match found.doubt {
        Some(doubt) => format!("{}, {}", found.from, words::give_or_take(doubt)),
        None => found.from.clone(),
    }
}

/// One of two readings, with what the other one makes of its doubt.
fn reaching(used: &Found, sure: Option<&Compared>, doubt: fn(&Compared) -> Doubt) -> Found {
    let mut found = used.clone();
    if let Some(sure) = sure.filter(|sure| sure.disagree()) {
        found.doubt = Some(doubt(sure));
        found.uncertainty = format!(
            "The other reading lies {} away, more than both allow, so as much is counted. {}",
            words::of_a_stop(sure.apart),
            found.uncertainty
        );
    }
    found
}

fn middle(
    first: &Found,
    second: &Found,
    lights: [Ev; 2],
    sure: Option<&Compared>,
) -> Result<Found, Error> {
    let [one, other] = lights.map(Ev::get);
    let apart = Stops::new((other - one).abs() / 2.0)?;
    let why = match sure {
        None => "of one of them nobody can say how far it may be off",
        Some(sure) if sure.disagree() => {
            "they are further apart than both allow, so the middle reaches to both"
        }
        Some(_) => "that they agree does not make it surer than their ways allow",
    };
    Found::of_light(
        Ev::new(f64::midpoint(one, other))?,
        Known {
            from: "middle of two readings".to_owned(),
            method: first.method.with(second.method),
            doubt: sure.map(Compared::of_middle),
            uncertainty: format!(
                "Both readings, {} and {}, are {} from it; {why}.",
                named(first),
                named(second),
                words::of_a_stop(apart)
            ),
        },
    )
}
