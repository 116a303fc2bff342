//! Which light a roll in a camera can serve, in words.

use exposure::{Camera, Ev, Mark, Stops, words};

use crate::Speed;

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

/// Works out which light a rating serves in a camera, after the bracket's reach on each side.
///
/// dimmest = Tv(slowest) + Av(widest) − log2(EI / 100), shrunk by the frames with more light; brightest = Tv(fastest) +
/// Av(smallest) − log2(EI / 100), shrunk by those with less. `under` and `over` are sizes in stops.
///
/// # Errors
///
/// Range error for light beyond any exposure value.
pub fn serves(
    rating: Speed,
    camera: &Camera,
    hand_limit: &Mark,
    under: Stops,
    over: Stops,
) -> Result<Serves, crate::Error> {
    let speed = rating.mark().place().get();
    let (times, apertures) = (camera.times().marks(), camera.apertures());
    // A place grows with brightness of the setting, so the light that it is right for is its negative.
    let light = |time: &Mark, aperture: &Mark, shrink: f64| {
        Ev::new(-time.place().get() - aperture.place().get() - speed + shrink)
    };
    let widest = apertures.brightest();
    let by_hand = times
        .iter()
        .filter(|time| !time.by_hand() && !(time.place() - hand_limit.place()).is_more())
        .max_by(|a, b| a.place().get().total_cmp(&b.place().get()));
    let on_tripod = times
        .iter()
        .filter(|time| !time.by_hand())
        .max_by(|a, b| a.place().get().total_cmp(&b.place().get()))
        .unwrap_or_else(|| camera.times().brightest());
    let brightest = light(
        camera.times().darkest(),
        apertures.darkest(),
        -under.size().get(),
    )?;
    let dimmest_by_hand = by_hand
        .map(|time| light(time, widest, over.size().get()))
        .transpose()?
        // A camera that is too slow for the hand in any light serves none by hand.
        .filter(|dimmest| dimmest.get() <= brightest.get() + Stops::SMALL.get());
    let dimmest_on_tripod = light(on_tripod, widest, over.size().get())?;
    let said = if dimmest_on_tripod.get() > brightest.get() + Stops::SMALL.get() {
        format!(
            "At {} no light suits every frame of this bracket: the scales of the camera are too short. Take fewer frames.",
            rating.rating_words()
        )
    } else {
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
            "At {}, bracket included: {hand}; on a tripod from {} on ({}); up to {} ({}).",
            rating.rating_words(),
            light_words(dimmest_on_tripod),
            words::light(dimmest_on_tripod),
            light_words(brightest),
            words::light(brightest)
        )
    };
    Ok(Serves {
        dimmest_by_hand,
        dimmest_on_tripod,
        brightest,
        words: said,
    })
}
