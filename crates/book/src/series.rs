//! What frames really amount to, and what a series really holds.

use exposure::{ExposureIndex, Stops, words};

use crate::{Fate, Frame, Moment, Plan, Roll, Scene, Setting, Speed, Time, text};

/// A frame as it was shot, in numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AsShot {
    /// What was set.
    pub set: Setting,
    /// The EI that it amounts to: `ISO_reading · 2^(EV_set − EV_reading + asked − reached)`, where `asked` is what the device
    /// asked for too little, and `reached` what more light reached the film through filters and the like (less is negative).
    pub ei: ExposureIndex,
    /// Offset from the scene's base as it was planned; positive is more light.
    pub from_base: Stops,
    /// Offset from the rating that was meant, `log2(EI_rating / EI)`; positive is more light.
    pub from_rating: Stops,
}

impl AsShot {
    /// Offset from box speed, log2(box / EI); positive is more light.
    #[must_use]
    pub fn from_box(&self, box_speed: Speed) -> Stops {
        box_speed.as_box().offset(self.ei)
    }
}

fn amounts(scene: &Scene, set: Setting, meter: Speed) -> Option<AsShot> {
    let amount = |set: &Setting, meter: Speed| {
        scene
            .light
            .film_reading_at(meter)
            .amounts_to(&set.time.mark(), &set.aperture.mark())
            .ok()
    };
    let ei = amount(&set, meter)?;
    let base = amount(&scene.base, scene.light.sensitivity)?;
    let place = |rated: ExposureIndex| rated.mark().place();
    Some(AsShot {
        set,
        ei,
        from_base: place(base) - place(ei),
        from_rating: scene.rating.mark().place() - place(ei),
    })
}

/// What a time for which the shutter was really open comes to on the film: less, where the film needs more at long times. A time
/// that was counted as planned is the metered one.
fn as_counted(scene: &Scene, set: Setting, really_open: bool) -> Setting {
    match &scene.light.long_times {
        Some(long) if really_open => Setting {
            // OK to fall back: it is the mark of a time.
            time: Time::new(long.amounts_to(set.time.mark())).unwrap_or(set.time),
            ..set
        },
        _ => set,
    }
}

/// What a frame was to amount to; none for a frame without a scene.
#[must_use]
pub fn as_planned(roll: &Roll, frame: &Frame) -> Option<AsShot> {
    let Plan::Picture { scene, set, .. } = &frame.plan else {
        return None;
    };
    let scene = roll.scene(*scene)?;
    amounts(scene, *set, scene.light.sensitivity)
}

/// What a frame really amounts to; none for a frame without a scene.
///
/// What is not known to differ from the plan is taken as planned: counted as long as the film needs for the metered time. A time
/// that was noted is how long the shutter was really open.
///
/// Whether it counts as evidence is another question: [`no_evidence`].
#[must_use]
pub fn as_shot(roll: &Roll, frame: &Frame) -> Option<AsShot> {
    let Plan::Picture { scene, set, .. } = &frame.plan else {
        return None;
    };
    let scene = roll.scene(*scene)?;
    let set = Setting {
        time: frame.shot.time.unwrap_or(set.time),
        aperture: frame.shot.aperture.unwrap_or(set.aperture),
    };
    let counted = as_counted(scene, set, frame.shot.time.is_some());
    let meter = frame.shot.meter.unwrap_or(scene.light.sensitivity);
    amounts(scene, counted, meter).map(|amounts| AsShot { set, ..amounts })
}

/// How long a frame was to be counted on a film that needs more than the metered time, in words: `count 37.8 s`; empty where
/// nothing more was counted.
#[must_use]
pub fn count_words(roll: &Roll, frame: &Frame) -> String {
    let Plan::Picture { scene, set, .. } = &frame.plan else {
        return String::new();
    };
    let scene = roll.scene(*scene);
    scene.map_or_else(String::new, |scene| scene.light.count_words(set.time))
}

/// Why the frame at this place of the roll says nothing about the film; none if it does.
#[must_use]
pub fn no_evidence(roll: &Roll, index: usize) -> Option<&'static str> {
    let frame = roll.frames.get(index)?;
    let under_next = roll
        .frames
        .iter()
        .skip(index + 1)
        .find(|next| next.shot.fate != Fate::LeftOut)
        .is_some_and(|next| next.shot.fate == Fate::Double);
    match frame.shot.fate {
        _ if !matches!(frame.plan, Plan::Picture { .. }) => Some("no picture of a scene"),
        Fate::Waiting => Some("not shot yet"),
        Fate::Lost => Some("lost"),
        Fate::LeftOut => Some("left out"),
        Fate::Double => Some("double exposure"),
        Fate::Taken if under_next => Some("double exposure"),
        Fate::Taken if frame.shot.light_changed => Some("the light had changed"),
        Fate::Taken => None,
    }
}

/// One frame of a series that counts.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Id of the frame.
    pub id: u16,
    /// Number on the film.
    pub number: u16,
    /// What it amounts to.
    pub shot: AsShot,
}

/// A planned offset that no frame holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// Offset from the base; positive is more light.
    pub from_base: Stops,
    /// What would give it.
    pub set: Setting,
    /// Whether a frame that waits is to give it.
    pub to_come: bool,
    /// How long to count for it where the film needs more than the metered time: `count 37.8 s`.
    pub count: String,
}

impl Missing {
    /// What would give it, in words: `16s, by hand, f/16, count 37.8 s`.
    fn set_words(&self) -> String {
        let set = self.set.shown();
        if self.count.is_empty() {
            set
        } else {
            format!("{set}, {}", self.count)
        }
    }
}

/// What a series really holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Frames that count, least light first.
    pub held: Vec<Held>,
    /// Planned offsets without a frame, least light first.
    pub missing: Vec<Missing>,
    /// Frames that do not count: number on the film (none if left out) and why.
    pub out: Vec<(Option<u16>, &'static str)>,
    /// All of it in words.
    pub words: String,
}

fn same(a: Stops, b: Stops) -> bool {
    (a - b).size() <= Stops::SMALL
}

/// Says what the frames of a scene really hold, and what is missing.
///
/// Two frames within a twelfth of a stop hold the same offset.
#[must_use]
pub fn series(roll: &Roll, scene: u16) -> Series {
    let mut out = Series {
        held: Vec::new(),
        missing: Vec::new(),
        out: Vec::new(),
        words: String::new(),
    };
    let of_scene =
        |frame: &Frame| matches!(frame.plan, Plan::Picture { scene: of, .. } if of == scene);
    let numbered = roll.numbered();
    let mut planned: Vec<Missing> = Vec::new();
    for (index, (number, frame)) in numbered.iter().enumerate() {
        if !of_scene(frame) {
            continue;
        }
        let waiting = frame.shot.fate == Fate::Waiting;
        if let Some(plan) = as_planned(roll, frame) {
            match planned
                .iter_mut()
                .find(|known| same(known.from_base, plan.from_base))
            {
                Some(known) => known.to_come |= waiting,
                None => planned.push(Missing {
                    from_base: plan.from_base,
                    set: plan.set,
                    to_come: waiting,
                    count: count_words(roll, frame),
                }),
            }
        }
        match (no_evidence(roll, index), as_shot(roll, frame), number) {
            (None, Some(shot), Some(number)) => out.held.push(Held {
                id: frame.id,
                number: *number,
                shot,
            }),
            (Some(why), ..) if !waiting => out.out.push((*number, why)),
            _ => {}
        }
    }
    text::order(&mut out.held, |a, b| a.shot.from_base < b.shot.from_base);
    planned.retain(|plan| {
        !out.held
            .iter()
            .any(|held| same(held.shot.from_base, plan.from_base))
    });
    text::order(&mut planned, |a, b| a.from_base < b.from_base);
    out.missing = planned;
    out.words = in_words(&out);
    out
}

fn in_words(series: &Series) -> String {
    let name = |offset: Stops| text::lean(offset, "the base");
    let mut held: Vec<String> = Vec::new();
    for frame in &series.held {
        let words = name(frame.shot.from_base);
        if held.last() != Some(&words) {
            held.push(words);
        }
    }
    let mut sentences = vec![if held.is_empty() {
        "Holds no frame that counts yet.".to_owned()
    } else {
        format!("Holds {}.", text::list(&held))
    }];
    let lacks = |to_come: bool| -> Vec<String> {
        series
            .missing
            .iter()
            .filter(|missing| missing.to_come == to_come)
            .map(|missing| format!("{} ({})", name(missing.from_base), missing.set_words()))
            .collect()
    };
    let (missing, to_come) = (lacks(false), lacks(true));
    if !missing.is_empty() {
        sentences.push(format!(
            "Missing: {}, {}.",
            text::list(&missing),
            if missing.len() == 1 {
                "one more frame".to_owned()
            } else {
                format!("{} more frames", missing.len())
            }
        ));
    }
    if !to_come.is_empty() {
        sentences.push(format!("Still to shoot: {}.", text::list(&to_come)));
    }
    let out: Vec<String> = series
        .out
        .iter()
        .map(|(number, why)| match number {
            Some(number) => format!("frame {number} ({why})"),
            None => format!("a frame ({why})"),
        })
        .collect();
    if !out.is_empty() {
        sentences.push(format!("Does not count: {}.", text::list(&out)));
    }
    sentences.join(" ")
}

/// What the last frames of a roll could be spent on: offsets that are missing, and a capped frame if there is none.
///
/// One sentence each; none where nothing is missing.
#[must_use]
pub fn last_frames(roll: &Roll) -> Vec<String> {
    let mut out = Vec::new();
    for scene in &roll.scenes {
        for missing in series(roll, scene.number)
            .missing
            .iter()
            .filter(|missing| !missing.to_come)
        {
            out.push(format!(
                "“{}”, if its light is back: {} ({}).",
                scene.name,
                text::lean(missing.from_base, "the base"),
                missing.set_words()
            ));
        }
    }
    let capped = roll
        .frames
        .iter()
        .any(|frame| frame.plan == Plan::Capped && frame.shot.fate == Fate::Taken);
    if !capped {
        out.push("One frame with the lens covered: it shows base plus fog.".to_owned());
    }
    out
}

/// One frame in words: EI, offset from base and from box. `EI 25, 1 stop more light than the base, 2⅔ stops more light
/// than box speed`.
#[must_use]
pub fn frame_words(shot: &AsShot, box_speed: Option<Speed>) -> String {
    let than = |offset: Stops, name: &str, even: &str| {
        if offset.is_even() {
            even.to_owned()
        } else {
            format!("{} than {name}", words::difference(offset))
        }
    };
    let mut parts = vec![
        words::ei(&shot.ei.mark()),
        than(shot.from_base, "the base", "as the base"),
    ];
    if let Some(speed) = box_speed {
        parts.push(than(shot.from_box(speed), "box speed", "as box speed"));
    }
    parts.join(", ")
}

/// Asks for a new reading if the scene's is older than so many minutes; none if it is fresh or its time is not known. A light
/// that was found to be the same counts from then on ([`Edit::SameLight`](crate::Edit::SameLight)).
///
/// Light changes with clouds and the sun: after some minutes a reading is a memory (common practice, no source).
#[must_use]
pub fn stale(scene: &Scene, now: Moment, after_minutes: u16) -> Option<String> {
    let age = scene.light.known_at()?.minutes_until(now);
    if age < 0 {
        return Some("This reading is dated in the future. Take it again.".to_owned());
    }
    (age > i32::from(after_minutes)).then(|| {
        let age = age.unsigned_abs();
        let old = if age < 120 {
            format!("{age} minutes")
        } else if age < 2880 {
            format!("{} hours", age / 60)
        } else {
            format!("{} days", age / 1440)
        };
        format!("This reading is {old} old. Take it again, or say that the light is the same.")
    })
}
