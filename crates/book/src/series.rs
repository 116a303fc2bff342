//! What frames really amount to, and what a series really holds.

use exposure::{Asked, Doubt, Ev, ExposureIndex, Stops, range, words};

use crate::{Fate, Frame, Light, Moment, Plan, Roll, Scene, Setting, Speed, Time, text};

/// A frame as it was shot, in numbers: the one answer to what light there was and what was set, which everything reads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AsShot {
    /// What was set.
    pub set: Setting,
    /// What the device that took the reading really stood at, where that is another sensitivity than was taken down.
    pub meter: Option<Speed>,
    /// The light of the scene as the device really showed it, its correction included, EV at ISO 100.
    pub light: Ev,
    /// How far that light may be off, and with it the EI and what is counted from rating and box speed; none where it is not
    /// known. What is counted from the base is of one light, and is not.
    pub doubt: Option<Doubt>,
    /// The EI that it amounts to: `ISO_reading · 2^(EV_set − EV_reading + asked − reached)`, where `ISO_reading` is what the
    /// device really stood at, `asked` what it asked for too little, and `reached` what more light reached the film through
    /// filters and the like (less is negative).
    pub ei: ExposureIndex,
    /// Offset from the scene's base, as it was planned, in the light as it really was; positive is more light.
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

    /// The EI in words; no number is shown for what is beyond any film.
    fn ei_figure(&self) -> String {
        if self.ei_number().is_some() {
            words::ei(&self.ei.mark())
        } else {
            "an EI beyond any film".to_owned()
        }
    }

    /// The EI in words, and how far it may be off: `EI 80, give or take 1 stop`.
    #[must_use]
    pub fn ei_words(&self) -> String {
        let ei = self.ei_figure();
        match self.doubt {
            Some(doubt) => format!("{ei}, {}", words::give_or_take(doubt)),
            None => ei,
        }
    }

    /// The EI as a number: the printed speed where words name one; none for what is beyond any film, where no figure means
    /// anything.
    pub(crate) fn ei_number(&self) -> Option<f64> {
        let mark = self.ei.mark();
        range::SENSITIVITY
            .contains(mark.exact())
            .then(|| words::standard_speed(&mark).unwrap_or_else(|| mark.exact()))
    }
}

/// What the device really stood at when the light of a scene was read: what the log says of the scene's base frame, or of
/// the first frame that was shot.
///
/// A scene has one reading, so what was found out of one frame of it holds for those that are still to be shot.
fn stood_at(roll: &Roll, scene: &Scene) -> Speed {
    let of_scene = |frame: &&Frame| {
        frame.plan.scene() == Some(scene.number) && frame.shot.fate != Fate::LeftOut
    };
    let is_base = |frame: &Frame| {
        matches!(
            frame.plan,
            Plan::Picture {
                more_light_twelfths: 0,
                ..
            }
        )
    };
    let rank = |frame: &&Frame| {
        let waits = frame.shot.fate == Fate::Waiting;
        (waits, waits && frame.shot.meter.is_none(), !is_base(frame))
    };
    let tells = roll.frames.iter().filter(of_scene).min_by_key(rank);
    tells
        .and_then(|frame| frame.shot.meter)
        .unwrap_or(scene.light.sensitivity)
}

/// The light of a scene as its reading really was: with the sensitivity that the device really stood at.
#[must_use]
pub fn light_of(roll: &Roll, scene: &Scene) -> Light {
    scene.light.stood_at(stood_at(roll, scene))
}

/// What the device really stood at for a frame, where that is another sensitivity than was taken down.
pub(crate) fn slipped_meter(roll: &Roll, frame: &Frame) -> Option<Speed> {
    let scene = roll.scene(frame.plan.scene()?)?;
    let stood = match frame.shot.meter {
        Some(meter) => meter,
        None if frame.shot.fate == Fate::Waiting => stood_at(roll, scene),
        None => scene.light.sensitivity,
    };
    (stood != scene.light.sensitivity).then_some(stood)
}

fn amounts(roll: &Roll, scene: &Scene, set: Setting, meter: Option<Speed>) -> Option<AsShot> {
    let amount = |light: &Light, set: &Setting| {
        let (reading, effects) = (light.film_reading(), light.by_setting());
        Asked::new(&reading, &effects)
            .amounts_to(&set.time.mark(), &set.aperture.mark())
            .ok()
    };
    let light = scene
        .light
        .stood_at(meter.unwrap_or(scene.light.sensitivity));
    let ei = amount(&light, &set)?;
    let base = amount(&light_of(roll, scene), &scene.base)?;
    let place = |rated: ExposureIndex| rated.mark().place();
    Some(AsShot {
        set,
        meter,
        light: light.reading().light(),
        doubt: light.doubt(),
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

/// What a frame was to amount to, by the reading as it was taken down; none for a frame that was not planned.
#[must_use]
pub fn as_planned(roll: &Roll, frame: &Frame) -> Option<AsShot> {
    let Plan::Picture { scene, set, .. } = &frame.plan else {
        return None;
    };
    let scene = roll.scene(*scene)?;
    let planned = amounts(roll, scene, *set, None)?;
    // The same light for both: what was asked for is a difference of settings, with what corrections do at each.
    let (reading, effects) = (scene.light.film_reading(), scene.light.by_setting());
    let asked = Asked::new(&reading, &effects);
    let at = |set: &Setting| {
        asked.difference(&[set.time.mark(), set.aperture.mark(), scene.rating.mark()])
    };
    Some(AsShot {
        from_base: at(set) - at(&scene.base),
        ..planned
    })
}

/// What a frame was set to, as far as it is known; none for a frame without a scene, and for one that was not exposed.
///
/// What is not known to differ from the plan is taken as planned, and a frame that waits is one that will be.
#[must_use]
pub fn as_set(frame: &Frame) -> Option<Setting> {
    let (time, aperture) = match &frame.plan {
        _ if matches!(frame.shot.fate, Fate::Lost | Fate::LeftOut) => return None,
        Plan::Picture { set, .. } => (Some(set.time), Some(set.aperture)),
        Plan::Unplanned { .. } => (None, None),
        Plan::Slate | Plan::Capped | Plan::Nothing => return None,
    };
    Some(Setting {
        time: frame.shot.time.or(time)?,
        aperture: frame.shot.aperture.or(aperture)?,
    })
}

/// What a frame really amounts to; none for a frame without a scene, for one that was not exposed, and where the light was
/// another than the reading, so that nobody can say.
///
/// What is not known to differ from the plan is taken as planned: counted as long as the film needs for the metered time. A time
/// that was noted is how long the shutter was really open.
///
/// Whether it counts as evidence is another question: [`no_evidence`].
#[must_use]
pub fn as_shot(roll: &Roll, frame: &Frame) -> Option<AsShot> {
    if frame.shot.light_changed {
        return None;
    }
    let scene = roll.scene(frame.plan.scene()?)?;
    let set = as_set(frame)?;
    let counted = as_counted(scene, set, frame.shot.time.is_some());
    amounts(roll, scene, counted, slipped_meter(roll, frame))
        .map(|amounts| AsShot { set, ..amounts })
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

/// What the device stood at and what was taken down, in words, and what follows: `the meter stood at ISO 400, not at ISO 64:
/// 2⅔ stops less light than was meant`. None where it stood as taken down.
#[must_use]
pub fn meter_words(roll: &Roll, frame: &Frame) -> Option<String> {
    let meter = slipped_meter(roll, frame)?;
    let scene = roll.scene(frame.plan.scene()?)?;
    let taken_down = scene.light.sensitivity;
    let more = meter.mark().place() - taken_down.mark().place();
    let off = if more.is_even() {
        String::new()
    } else {
        format!(": {} than was meant", words::difference(-more))
    };
    Some(format!(
        "the meter stood at {}, not at {}{off}",
        meter.shown(),
        taken_down.shown()
    ))
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
        _ if frame.plan.scene().is_none() => Some("no picture of a scene"),
        Fate::Waiting if roll.state.is_finished() => Some("not shot"),
        Fate::Waiting => Some("not shot yet"),
        Fate::Lost => Some("lost"),
        Fate::LeftOut => Some("left out"),
        Fate::Double => Some("double exposure"),
        Fate::Taken if under_next => Some("double exposure"),
        Fate::Taken if frame.shot.light_changed => Some("the light had changed"),
        Fate::Taken if as_set(frame).is_none() => Some("its setting is not known"),
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
    /// Whether a frame that waits is to give it; never on a roll that is finished.
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

/// What a series really holds. Every planned offset is one that a frame holds, or one of the missing: to come, or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Frames that count, least light first.
    pub held: Vec<Held>,
    /// Planned offsets without a frame, least light first.
    pub missing: Vec<Missing>,
    /// Frames that wait for what another one holds already: number on the film and offset from the base.
    pub again: Vec<(u16, Stops)>,
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
        again: Vec::new(),
        out: Vec::new(),
        words: String::new(),
    };
    let numbered = roll.numbered();
    let mut planned: Vec<Missing> = Vec::new();
    let mut waits: Vec<(u16, Stops)> = Vec::new();
    for (index, (number, frame)) in numbered.iter().enumerate() {
        if frame.plan.scene() != Some(scene) {
            continue;
        }
        let waiting = frame.shot.fate == Fate::Waiting;
        let to_come = waiting && !roll.state.is_finished();
        if let Some(plan) = as_planned(roll, frame) {
            waits.extend(number.filter(|_| to_come).map(|n| (n, plan.from_base)));
            match planned
                .iter_mut()
                .find(|known| same(known.from_base, plan.from_base))
            {
                Some(known) => known.to_come |= to_come,
                None => planned.push(Missing {
                    from_base: plan.from_base,
                    set: plan.set,
                    to_come,
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
    let is_held = |offset: Stops| {
        let mut held = out.held.iter();
        held.any(|held| same(held.shot.from_base, offset))
    };
    planned.retain(|plan| !is_held(plan.from_base));
    waits.retain(|(_, offset)| is_held(*offset));
    text::order(&mut planned, |a, b| a.from_base < b.from_base);
    out.missing = planned;
    out.again = waits;
    out.words = in_words(&out);
    if let Some(slip) = meters_in_words(roll, &numbered, scene) {
        out.words = format!("{} {slip}", out.words);
    }
    out
}

/// What the meter stood at otherwise than was taken down, and for which frames of the scene.
fn meters_in_words(roll: &Roll, numbered: &[(Option<u16>, &Frame)], scene: u16) -> Option<String> {
    let of_scene = |frame: &Frame| frame.plan.scene() == Some(scene);
    let mut all = 0;
    let mut slips: Vec<(String, Vec<u16>)> = Vec::new();
    for (number, frame) in numbered.iter().filter(|(_, frame)| of_scene(frame)) {
        let Some(number) = *number else { continue };
        all += 1;
        let Some(words) = meter_words(roll, frame) else {
            continue;
        };
        match slips.iter_mut().find(|(known, _)| *known == words) {
            Some((_, numbers)) => numbers.push(number),
            None => slips.push((words, vec![number])),
        }
    }
    let parts: Vec<String> = slips
        .into_iter()
        .map(|(words, numbers)| match numbers.as_slice() {
            _ if numbers.len() == all => words,
            [one] => format!("for frame {one} {words}"),
            many => format!("for frames {} {words}", text::runs(many)),
        })
        .collect();
    (!parts.is_empty()).then(|| format!("{}.", text::capital(&parts.join("; "))))
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
    if !series.again.is_empty() {
        let again: Vec<String> = series
            .again
            .iter()
            .map(|(number, offset)| format!("{} (frame {number})", name(*offset)))
            .collect();
        sentences.push(format!(
            "Waits, and is there already: {}.",
            text::list(&again)
        ));
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

/// One frame in words: EI, offset from base and from box, and how far the reading may be off, and both with it. `EI 25, 1 stop
/// more light than the base, 2⅔ stops more light than box speed (reading: give or take 1 stop)`.
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
        shot.ei_figure(),
        than(shot.from_base, "the base", "as the base"),
    ];
    if let Some(speed) = box_speed {
        parts.push(than(shot.from_box(speed), "box speed", "as box speed"));
    }
    let mut out = parts.join(", ");
    if let Some(doubt) = shot.doubt {
        out.push_str(&format!(" (reading: {})", words::give_or_take(doubt)));
    }
    out
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
