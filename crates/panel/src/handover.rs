//! The planned series as the film book takes it over from the dial.
//!
//! The two are programs of their own. What passes between them is the text of a link, which carries the whole setting.

use book::{Correction, Error, Light, NewScene, Planned, Setting, Speed};
use exposure::Control;

use crate::{
    derive::frames,
    intent::Refusal,
    light::{Line, LineKind},
    link,
    state::State,
};

/// What the film book gets: a scene without a name, and its frames in the order of shooting.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Name of the camera.
    pub camera: String,
    /// Speed printed on the box.
    pub box_speed: Speed,
    /// The scene; its name is empty and its reading has no time of day.
    pub scene: NewScene,
    /// Its frames.
    pub frames: Vec<Planned>,
}

/// The series of the setting that a link's fragment carries.
///
/// ```
/// use panel::{State, handover, link};
/// let series = handover::series(&link::fragment(&State::default())).unwrap();
/// assert_eq!(series.scene.base.shown(), "1/125, f/5.6");
/// ```
///
/// # Errors
///
/// A sentence: the text is damaged, is of a newer version, or holds a setting that no record can keep.
pub fn series(fragment: &str) -> Result<Series, Refusal> {
    let state = link::open(fragment, &State::default())?;
    of(&state).map_err(|error| Refusal {
        sentence: error.to_string(),
    })
}

/// The reading with the corrections that count; a frame amounts to the same there as on the dial.
fn light(state: &State) -> Result<Light, Error> {
    let [time, aperture, _] = state.set();
    let effect = |line: &Line| line.effect().at(&time, &aperture);
    let corrections = state
        .counted()
        .map(|line| {
            if line.kind() == LineKind::Device {
                Correction::of_device(line.name(), effect(line))
            } else {
                Correction::new(line.name(), effect(line))
            }
        })
        .collect::<Result<Vec<_>, _>>()?;
    let light = Light::new(&state.reading, None)?.with_corrections(corrections)?;
    let counted = state.long_times().and(state.long());
    let counted = counted.map(|long| format!("long times by {}", long.name()));
    let from = Some(state.from.clone()).filter(|from| !from.is_empty());
    Ok(Light {
        method: from
            .into_iter()
            .chain(counted)
            .collect::<Vec<_>>()
            .join("; "),
        ..light
    })
}

fn of(state: &State) -> Result<Series, Error> {
    let solution = state.solution();
    let [time, aperture, rating] = solution.marks;
    let by_time = state.bracket.by() == Control::Time;
    let frames = frames(state, &solution).into_iter().map(|frame| {
        let (time, aperture) = if by_time {
            (frame.mark, aperture)
        } else {
            (time, frame.mark)
        };
        Planned::new(time, aperture, frame.wanted)
    });
    Ok(Series {
        camera: state.equipment.form.name.clone(),
        box_speed: Speed::new(state.box_speed.mark())?,
        scene: NewScene {
            name: String::new(),
            light: light(state)?,
            rating: Speed::new(rating)?,
            base: Setting::new(time, aperture)?,
        },
        frames: frames.collect::<Result<_, Error>>()?,
    })
}
