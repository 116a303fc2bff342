//! Flash by guide number: alone, as fill, and in series.

use exposure::{
    BracketStep, Control, Effect, ExposureIndex, Mark, Steps, Stops,
    flash::{
        By, Contact, DISTANCE, FILL, FLASHES, Flash, Frame, GUIDE_NUMBER, Powers, Series, Source,
        Unit, together,
    },
    range, words,
};

use super::{
    Answer, At, NotYet, Row, apertures, both, distance, drawn, figure, read, same_figure, seen,
    wrong,
};
use crate::{
    drawn::Drawn,
    light::{Line, LineKind},
    state::State,
};

/// The powers that a flash may have.
pub const POWERS: [(&str, &str); 3] = [
    ("whole", "full to 1/128, in stops"),
    ("thirds", "full to 1/128, in third stops"),
    ("own", "a list of its own"),
];

/// What may change from frame to frame.
pub const BRACKETS: [(&str, &str); 3] = [
    ("none", "one frame"),
    ("power", "a series by its power"),
    ("distance", "a series by its distance"),
];

/// Steps of a series.
pub const STEPS: [(&str, &str); 4] = [
    ("third", "⅓ stop"),
    ("half", "½ stop"),
    ("one", "1 stop"),
    ("two", "2 stops"),
];

/// What is typed for a flash.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FlashForm {
    /// The guide number as printed.
    pub guide_number: String,
    /// `feet` or `metres`.
    pub unit: String,
    /// The speed that the number is printed for.
    pub speed: String,
    /// One of [`POWERS`]: what the flash can be set to.
    pub powers: String,
    /// The list of its own, as [`words::parse_powers`] takes it.
    pub own_powers: String,
    /// A key of [`powers`]: what it is set to.
    pub power: String,
    /// How many equal flashes.
    pub flashes: String,
    /// From the flash to the subject.
    pub distance: String,
    /// `alone` or `fill`.
    pub job: String,
    /// Stops that fill stays below the daylight.
    pub below: String,
    /// `leaf_x`, `leaf_m` or `focal_plane`.
    pub contact: String,
    /// The fastest time at which a focal-plane shutter is open, as engraved.
    pub sync: String,
    /// `electronic` or `bulb`.
    pub source: String,
    /// One of [`BRACKETS`].
    pub bracket: String,
    /// Frames with less light from the flash.
    pub less: String,
    /// Frames with more light from the flash.
    pub more: String,
    /// One of [`STEPS`].
    pub step: String,
}

fn powers_of(which: &str, own: &str) -> Result<Powers, NotYet> {
    match which {
        "own" => read(
            "flash-powers",
            "the powers of the flash",
            own,
            words::parse_powers,
        ),
        "thirds" => Ok(Powers::usual(3)),
        _ => Ok(Powers::usual(1)),
    }
}

/// The powers to choose from, by the choice of [`POWERS`] and the list of its own: strongest first; none while that list is not
/// understood.
#[must_use]
pub fn powers(which: &str, own: &str) -> Vec<Row> {
    let powers = powers_of(which, own);
    let shares = powers.as_ref().map(Powers::shares).unwrap_or_default();
    let row = |share: &f64| (words::flash_power(*share), words::flash_power(*share));
    shares.iter().map(row).collect()
}

/// A flash that was read from the form, and what it stands in.
struct Lit {
    /// At full power, as nothing stood before the film.
    full: Flash,
    powers: Powers,
    /// The chosen power, as a share of the full one.
    share: f64,
    /// The unit of the guide number as it is printed.
    unit: Unit,
    /// From the flash to the subject, in metres.
    metres: f64,
    rated: ExposureIndex,
    /// The dials' time and aperture.
    time: Mark,
    stop: Mark,
    /// What the light that is there already gives at the dials' setting beyond what the reading asks for.
    ambient: Stops,
    /// What filters, close-ups and the lens do to the light of a flash as well.
    before: Vec<Effect>,
}

impl Lit {
    /// What stands before the film does at an aperture.
    fn taken(&self, aperture: &Mark) -> Stops {
        let effects = self.before.iter();
        effects.map(|effect| effect.at(&self.time, aperture)).sum()
    }

    /// The flash at full power through whatever stands before the film at an aperture.
    fn through(&self, aperture: &Mark) -> Flash {
        self.full.through(self.taken(aperture))
    }
}

fn before_the_film(state: &State) -> Vec<Effect> {
    let takes = |line: &&Line| {
        matches!(
            line.kind(),
            LineKind::Filter | LineKind::CloseUp | LineKind::Lens
        )
    };
    let lines = state.counted().filter(takes);
    lines.map(|line| line.effect().clone()).collect()
}

fn lit(state: &State, form: &FlashForm) -> Result<Lit, NotYet> {
    let [time, stop, rating] = state.set();
    let rated = ExposureIndex::new(rating).at("")?;
    let unit = if form.unit == "feet" {
        Unit::Feet
    } else {
        Unit::Metres
    };
    let number = figure("flash-number", "a guide number", &form.guide_number)
        .and_then(|number| GUIDE_NUMBER.check(number).at("flash-number"));
    let printed_for = read(
        "flash-speed",
        "the speed it is printed for",
        &form.speed,
        |text| ExposureIndex::new(Mark::parse(Control::Sensitivity, text, Steps::Third)?),
    );
    let flashes = figure("flash-count", "the number of flashes", &form.flashes)
        .and_then(|flashes| FLASHES.check(flashes).at("flash-count"));
    let far = distance(
        "flash-distance",
        "how far the flash stands from the subject",
        &form.distance,
    )
    .and_then(|far| match far {
        Some(millimetres) => DISTANCE.check(millimetres / 1000.0).at("flash-distance"),
        None => wrong(
            "flash-distance",
            "A flash does not reach to infinity: type how far it stands from the subject.",
        ),
    });
    let powers = powers_of(&form.powers, &form.own_powers);
    let ((number, printed_for), ((flashes, metres), powers)) =
        both(both(number, printed_for), both(both(flashes, far), powers))?;
    let full = Flash::new(number, unit, printed_for)
        .and_then(|flash| flash.times(flashes))
        .at("flash-number")?;
    // A power that this list does not have, from a list before: its strongest.
    let chosen = powers
        .shares()
        .iter()
        .find(|share| words::flash_power(**share) == form.power);
    let share = *chosen.unwrap_or(&powers.shares()[0]);
    Ok(Lit {
        full,
        share,
        powers,
        unit,
        metres,
        rated,
        time,
        stop,
        ambient: state.solution().difference,
        before: before_the_film(state),
    })
}

/// A flash at the dials' rating: the aperture that it asks for, or what it does as fill at the dials' aperture, a series by its
/// power or its distance where one is wanted, and what is wrong with the dials' time.
///
/// # Errors
///
/// Where a figure was not understood or is out of range.
pub fn flash(state: &State, form: &FlashForm) -> Answer {
    let lit = lit(state, form)?;
    let contact = match form.contact.as_str() {
        "leaf_m" => Contact::LeafM,
        "focal_plane" => Contact::FocalPlane(read(
            "flash-sync",
            "the fastest time with flash",
            &form.sync,
            |text| Mark::parse(Control::Time, text, Steps::Full),
        )?),
        _ => Contact::LeafX,
    };
    let source = if form.source == "bulb" {
        Source::Bulb
    } else {
        Source::Electronic
    };
    let is_fill = form.job == "fill";
    let power = if is_fill { 1.0 } else { lit.share };
    let flash = lit.through(&lit.stop).at_power(power).at("flash-power")?;
    let taken = lit.taken(&lit.stop);
    let taken = if taken.is_even() {
        String::new()
    } else {
        format!(
            "; what stands before the film is in it: {}",
            words::difference(taken)
        )
    };
    let mut says = vec![format!(
        "Guide number {} in metres, {} in feet, at EI {}{taken}.",
        words::figures(flash.guide_number(Unit::Metres, lit.rated)),
        words::figures(flash.guide_number(Unit::Feet, lit.rated)),
        words::figure(&lit.rated.mark())
    )];
    let (base, drawn) = if is_fill {
        (fill(&lit, form, &mut says)?, Drawn::Nothing)
    } else {
        let base = alone(state, &lit, &mut says)?;
        let drawn = reach(state, &lit, &base, &mut says)?;
        (base, drawn)
    };
    if let Some(by) = series_by(&form.bracket) {
        series(&lit, form, by, &base, is_fill, &mut says)?;
    }
    says.extend(
        contact
            .caution(&lit.time, source)
            .map(|caution| format!("The dials stand at {}. {caution}", words::value(&lit.time))),
    );
    Ok(seen(says, drawn, None))
}

fn series_by(bracket: &str) -> Option<By> {
    match bracket {
        "power" => Some(By::Power),
        "distance" => Some(By::Distance),
        _ => None,
    }
}

/// What a series starts from.
struct Base {
    aperture: Mark,
    share: f64,
    /// What the flash is to give beyond what the film asks for.
    wish: Stops,
}

fn metres(metres: f64) -> String {
    words::distance(Some(metres * 1000.0))
}

/// Against what the film asks for.
fn asked(light: Stops) -> String {
    if light.is_even() {
        "as much light as asked for".to_owned()
    } else {
        format!("{} than asked for", words::difference(light))
    }
}

/// The aperture for a flash alone, exact and as the camera has it.
fn alone(state: &State, lit: &Lit, says: &mut Vec<String>) -> Result<Base, NotYet> {
    let apertures = state.camera().apertures();
    let asks = |through: &Mark| {
        lit.through(through)
            .at_power(lit.share)
            .and_then(|flash| flash.f_number(lit.metres, lit.rated))
            .and_then(|exact| Mark::new(Control::Aperture, exact, Steps::Engraved))
            .at("flash-distance")
    };
    let choose = |asked: &Mark| apertures.choose(asked.place(), state.prefer()).mark;
    // What a lens takes may be another at the stop that is chosen than where the dials stand.
    let set = choose(&asks(&lit.stop)?);
    let exact = asks(&set)?;
    let set = choose(&exact);
    let flash = lit.through(&set).at_power(lit.share).at("flash-power")?;
    let off = flash
        .gives(set.gives(), lit.metres, lit.rated)
        .at("flash-distance")?;
    let (asks, gets) = (words::f_number(exact.gives()), words::value(&set));
    let rest = if off.is_even() || asks == gets {
        // One figure stands for what is within a fiftieth of a stop.
        String::new()
    } else {
        format!(", {} from the flash", words::difference(off))
    };
    let right = flash
        .distance(set.gives(), lit.rated)
        .at("flash-distance")?;
    says.extend([
        format!(
            "At {} it asks for {asks}: set {gets}{rest}.",
            metres(lit.metres)
        ),
        format!("{gets} is right at {}.", metres(right)),
    ]);
    Ok(Base {
        aperture: set,
        share: lit.share,
        wish: off,
    })
}

/// How much more or less than asked for is still shown as reached: half a stop.
const WITHIN: Stops = Stops::constant(0.5);

/// The distance that is right at each aperture of the camera, and how far it may be off.
fn reach(state: &State, lit: &Lit, base: &Base, says: &mut Vec<String>) -> Result<Drawn, NotYet> {
    let stops = apertures(state);
    let set = stops
        .iter()
        .position(|stop| same_figure(stop, &base.aperture));
    let first = says.len();
    let mut reaches = Vec::new();
    for (i, stop) in stops.iter().enumerate() {
        let flash = lit.through(stop).at_power(base.share).at("flash-power")?;
        let right = flash
            .distance(stop.gives(), lit.rated)
            .at("flash-distance")?;
        let [near, far] = flash
            .reach(stop.gives(), WITHIN, lit.rated)
            .at("flash-distance")?;
        let words = |metres| drawn::distance(metres, lit.unit);
        says.push(format!(
            "{}{}: right at {}, within {} from {} to {}.",
            words::value(stop),
            if set == Some(i) { ", to be set" } else { "" },
            words(right),
            words::stops(WITHIN),
            words(near),
            words(far)
        ));
        reaches.push([near, right, far]);
    }
    Ok(drawn::reach(
        &reaches, set, lit.metres, lit.unit, WITHIN, first,
    ))
}

/// Fill at the dials' aperture.
fn fill(lit: &Lit, form: &FlashForm, says: &mut Vec<String>) -> Result<Base, NotYet> {
    let below = read(
        "flash-below",
        "the stops below the daylight",
        &form.below,
        |text| {
            let below = words::parse_stops(text)?;
            FILL.check(below.get()).map(|_| below)
        },
    )?;
    let f_number = lit.stop.gives();
    let flash = lit.through(&lit.stop);
    let fill = flash
        .fill(f_number, lit.metres, below, lit.ambient, lit.rated)
        .at("flash-distance")?;
    let at = metres(lit.metres);
    let (share, rest) = lit.powers.nearest(fill.power);
    let power = words::flash_power(share);
    let strongest = lit.powers.shares()[0];
    let than_wished = if rest.is_even() {
        String::new()
    } else {
        format!(", which gives {} than wished", words::difference(rest))
    };
    let turned = if fill.off.is_less() {
        format!(
            "From {at} it is too weak even at full power: {} than wished.",
            words::difference(fill.off)
        )
    } else if fill.off.is_even() {
        format!("From {at} it is right at full power.")
    } else if share >= strongest {
        format!("From {at} set it to {power}{than_wished}.")
    } else {
        format!(
            "From {at} turn it down by {}: {power}{than_wished}.",
            words::stops(fill.off)
        )
    };
    let depth = if below.is_even() {
        "as strong as the daylight".to_owned()
    } else {
        format!("{} below the daylight", words::stops(below))
    };
    // What the flash really gives at the power that was just proposed.
    let gives = flash
        .at_power(share)
        .and_then(|flash| flash.gives(f_number, lit.metres, lit.rated))
        .at("flash-distance")?;
    let both = together(lit.ambient, gives);
    says.extend([
        format!(
            "For fill {depth} at {}: at full power it stands {} from the subject.",
            words::value(&lit.stop),
            metres(fill.distance)
        ),
        turned,
        format!(
            "At {power} from {at}, what both reach gets {} than by daylight alone.",
            words::difference(both - lit.ambient),
        ),
    ]);
    if !lit.ambient.is_even() {
        says.push(format!(
            "At the dials' setting the daylight alone gives {}, both together {}.",
            asked(lit.ambient),
            asked(both)
        ));
    }
    Ok(Base {
        aperture: lit.stop,
        share,
        wish: fill.wish,
    })
}

/// A series of frames by the flash.
fn series(
    lit: &Lit,
    form: &FlashForm,
    by: By,
    base: &Base,
    is_fill: bool,
    says: &mut Vec<String>,
) -> Result<(), NotYet> {
    let side = |text: &str| {
        let most = range::SIDE.max;
        // OK to fall back on none: the list holds nothing but counts.
        text.parse::<u8>()
            .ok()
            .filter(|count| f64::from(*count) <= most)
            .unwrap_or(0)
    };
    let plan = Series {
        by,
        less: side(&form.less),
        more: side(&form.more),
        step: match form.step.as_str() {
            "third" => BracketStep::Third,
            "half" => BracketStep::Half,
            "two" => BracketStep::Two,
            _ => BracketStep::One,
        },
        f_number: base.aperture.gives(),
        distance: lit.metres,
        share: base.share,
        wish: base.wish,
    };
    let frames = lit
        .through(&base.aperture)
        .bracket(&lit.powers, &plan, lit.rated)
        .at("flash-distance")?;
    let stays = match by {
        By::Power => format!("from {}", metres(lit.metres)),
        By::Distance => format!("at {}", words::flash_power(base.share)),
    };
    says.push(format!(
        "A series {stays}, at {}, least light from the flash first:",
        words::value(&base.aperture)
    ));
    says.extend(frames.iter().enumerate().map(|(i, frame)| {
        let set = match by {
            By::Power => words::flash_power(frame.share),
            By::Distance => metres(frame.distance),
        };
        let lights = if is_fill {
            let flashed = together(lit.ambient, frame.flash);
            format!(
                "the flashed part gets {}, the ambient part {}",
                asked(flashed),
                asked(lit.ambient)
            )
        } else {
            format!("the flashed part gets {}", asked(frame.flash))
        };
        format!(
            "Frame {}: {set}; {lights}{}.",
            i + 1,
            flags(frame, by, lit.powers.shares())
        )
    }));
    if !is_fill {
        says.push("What the flash does not reach stays dark, for it is the only light.".to_owned());
    }
    Ok(())
}

/// What a frame of a series does not do as it was wanted.
fn flags(frame: &Frame, by: By, shares: &[f64]) -> String {
    let mut flags = String::new();
    let off = frame.given - frame.wanted;
    if by == By::Power && !off.is_even() {
        let is = |end: Option<&f64>| end.is_some_and(|end| end.to_bits() == frame.share.to_bits());
        let why = if off.is_less() && is(shares.first()) {
            "no stronger power"
        } else if off.is_more() && is(shares.last()) {
            "no weaker power"
        } else {
            "nearest power"
        };
        flags.push_str(&format!(
            "; {why}: {} from the flash than wished",
            words::difference(off)
        ));
    }
    if let Some(earlier) = frame.repeats {
        flags.push_str(&format!("; same as frame {}", earlier + 1));
    }
    flags
}
