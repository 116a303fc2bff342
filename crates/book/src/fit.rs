//! Which light a roll in a camera can serve, in words.

use exposure::{Camera, Control, Ev, Mark, Place, Stops, words};

use crate::{Plan, Roll, Setting, Speed, text};

/// The light between which every frame of a bracket can be set, as EV at ISO 100. A higher EV is brighter light.
#[derive(Debug, Clone, PartialEq)]
pub struct Serves {
    /// The dimmest light, hand-held; none where no time of the camera is that fast.
    pub dimmest_by_hand: Option<Ev>,
    /// The dimmest light, on a tripod, with the slowest time of the shutter (not counted by hand on B).
    pub dimmest_on_tripod: Ev,
    /// The brightest light.
    pub brightest: Ev,
    /// The same in words.
    pub words: String,
}

/// Light as people see it, dimmest first: EV at ISO 100 from which on the words hold. Tabulated values of a published
/// table for ISO 100.
const LIGHTS: [(f64, &str); 11] = [
    (-3.0, "a landscape under the full moon"),
    (2.0, "a lit skyline far away"),
    (3.0, "floodlit buildings"),
    (5.0, "a room in the evening"),
    (8.0, "a bright street at night"),
    (9.0, "the time after sunset"),
    (12.0, "heavy clouds or open shade"),
    (13.0, "bright clouds"),
    (14.0, "hazy sun with soft shadows"),
    (15.0, "sun"),
    (16.0, "sun on sand or snow"),
];

fn light_words(light: Ev) -> &'static str {
    // The nearest half counts: a table in whole steps is no more exact than that.
    LIGHTS
        .iter()
        .rev()
        .find(|(from, _)| light.get() >= from - 0.5)
        .map_or("less than moonlight", |(_, words)| words)
}

/// A bracket as it is planned, as far as it asks for room on the scales of a camera.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// What changes from frame to frame: time or aperture; none where that is not said.
    pub by: Option<Control>,
    /// From the base to the frame with least light, a size in stops.
    pub under: Stops,
    /// From the base to the frame with most light, a size in stops.
    pub over: Stops,
    /// Whose it is, for the middle of a sentence: `the bracket on the dial`.
    pub whose: String,
}

impl Reach {
    /// In words: `the bracket on the dial (by time, up to 1 stop less light and 2 stops more light)`.
    #[must_use]
    pub fn words(&self) -> String {
        let side = |size: Stops, lean: &str| {
            (!size.is_even()).then(|| format!("{} {lean}", words::stops(size)))
        };
        let sides: Vec<String> = [
            side(self.under, "less light"),
            side(self.over, "more light"),
        ]
        .into_iter()
        .flatten()
        .collect();
        if sides.is_empty() {
            return format!("{} (one frame)", self.whose);
        }
        let by = self
            .by
            .map_or_else(String::new, |by| format!("by {}, ", words::noun(by)));
        format!("{} ({by}up to {})", self.whose, text::list(&sides))
    }
}

/// The bracket of the last scene of a roll: how far its frames were planned from the base. None without such a scene.
#[must_use]
pub fn reach_of(roll: &Roll) -> Option<Reach> {
    let scene = roll.scenes.last()?;
    let offsets: Vec<(i32, Setting)> = roll
        .frames
        .iter()
        .filter_map(|frame| match &frame.plan {
            Plan::Picture {
                scene: of,
                set,
                more_light_twelfths,
            } if *of == scene.number => Some((*more_light_twelfths, *set)),
            _ => None,
        })
        .collect();
    let least = offsets.iter().map(|(offset, _)| *offset).min()?.min(0);
    let most = offsets.iter().map(|(offset, _)| *offset).max()?.max(0);
    let differs = |same: fn(&Setting, &Setting) -> bool| {
        offsets.iter().any(|(_, set)| !same(set, &scene.base))
    };
    let times = differs(|set, base| set.time == base.time);
    let apertures = differs(|set, base| set.aperture == base.aperture);
    let by = match (times, apertures) {
        (true, false) => Some(Control::Time),
        (false, true) => Some(Control::Aperture),
        _ => None,
    };
    Some(Reach {
        by,
        under: text::from_twelfths(-least),
        over: text::from_twelfths(most),
        whose: format!("the bracket of “{}” on {}", scene.name, roll.name),
    })
}

/// The slowest time that is held by hand, and where it is from.
#[derive(Debug, Clone, PartialEq)]
pub struct HandLimit {
    /// The time.
    pub time: Mark,
    /// Whose it is: `your own limit`, or the rule of thumb.
    pub whose: String,
}

/// Works out which light a rating serves in a camera, after the bracket's reach on each side.
///
/// dimmest = Tv(slowest) + Av(widest) − log2(EI / 100), shrunk by the frames with more light; brightest = Tv(fastest) +
/// Av(smallest) − log2(EI / 100), shrunk by those with less. What the bracket is made by has to have room for all of it.
///
/// # Errors
///
/// Range error for light beyond any exposure value.
pub fn serves(
    rating: Speed,
    camera: &Camera,
    limit: &HandLimit,
    bracket: &Reach,
) -> Result<Serves, crate::Error> {
    let speed = rating.mark().place().get();
    let (times, apertures) = (camera.times().marks(), camera.apertures());
    // A place grows with brightness of the setting, so the light that it is right for is its negative.
    let light = |time: &Mark, aperture: &Mark, shrink: Stops| {
        Ev::new(-time.place().get() - aperture.place().get() - speed + shrink.get())
    };
    let (under, over) = (bracket.under.size(), bracket.over.size());
    let has_room = |control: Control, brightest: &Mark, darkest: &Mark| {
        let asks = under + over - Stops::SMALL;
        bracket.by != Some(control) || !(asks - (brightest.place() - darkest.place())).is_more()
    };
    let widest = apertures.brightest();
    let slowest = |longest: Option<Place>| {
        times
            .iter()
            .filter(|time| !time.by_hand())
            // A small difference from the limit does not count, as on the dial.
            .filter(|time| longest.is_none_or(|at| !(time.place() - at - Stops::SMALL).is_more()))
            .max_by(|a, b| a.place().get().total_cmp(&b.place().get()))
    };
    let fastest = camera.times().darkest();
    let by_hand =
        slowest(Some(limit.time.place())).filter(|time| has_room(Control::Time, time, fastest));
    let on_tripod = slowest(None).unwrap_or_else(|| camera.times().brightest());
    let brightest = light(fastest, apertures.darkest(), -under)?;
    let dimmest_by_hand = by_hand
        .map(|time| light(time, widest, over))
        .transpose()?
        // A camera that is too slow for the hand in any light serves none by hand.
        .filter(|dimmest| dimmest.get() <= brightest.get() + Stops::SMALL.get());
    let dimmest_on_tripod = light(on_tripod, widest, over)?;
    let fits = has_room(Control::Time, on_tripod, fastest)
        && has_room(Control::Aperture, widest, apertures.darkest())
        && dimmest_on_tripod.get() <= brightest.get() + Stops::SMALL.get();
    let (rated, series) = (rating.rating_words(), bracket.words());
    let said = if fits {
        let hand = dimmest_by_hand.map_or_else(
            || "not by hand in any light".to_owned(),
            |dimmest| {
                format!(
                    "by hand from {} on ({})",
                    light_words(dimmest),
                    words::light(dimmest)
                )
            },
        );
        format!(
            "At {rated}, with {series}: {hand}; on a tripod from {} on ({}); up to {} ({}). By hand means {} or faster, {}.",
            light_words(dimmest_on_tripod),
            words::light(dimmest_on_tripod),
            light_words(brightest),
            words::light(brightest),
            words::value(&limit.time),
            limit.whose
        )
    } else {
        format!(
            "At {rated} no light suits every frame of {series}: the scales of the camera are too short. Take fewer frames."
        )
    };
    Ok(Serves {
        dimmest_by_hand,
        dimmest_on_tripod,
        brightest,
        words: said,
    })
}
