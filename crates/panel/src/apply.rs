//! One intent, one change: the only way in which the state changes.

use std::sync::Arc;

use exposure::{
    BoxSpeed, Bracket, BracketStep, Control, Mark, Order, Place, Reading, Steps, Stops, words,
};

use crate::{
    choices::{BRACKET_BY, FILMS, ORDERS, ROUNDINGS, STEPS, THEMES},
    equipment::{Equipment, OwnCamera, form_of, kind_form, parse_form},
    intent::{Intent, Nudge, Outcome, Refusal, Save},
    light::{LineKind, WISH_ENDS},
    link,
    loaded::Loaded,
    sentence,
    state::{Device, State},
    store,
    view::CameraForm,
};

/// Does what is asked for, or refuses with a sentence and changes nothing.
///
/// # Errors
///
/// A [`Refusal`] for text that cannot be taken; the state given stays valid.
pub fn apply(state: &State, intent: &Intent) -> Result<(State, Outcome), Refusal> {
    let mut next = state.clone();
    let outcome = next.take(intent, State::set_up)?;
    next.rests_after(intent)?;
    Ok((next, outcome))
}

/// The same without what is set once, which the dial leaves to another program: so that it need not be loaded with it.
///
/// # Errors
///
/// As for [`apply`]; what is set once is refused.
pub fn apply_on_dial(state: &State, intent: &Intent) -> Result<(State, Outcome), Refusal> {
    let mut next = state.clone();
    let outcome = next.take(intent, |_, _| refuse("That is set under More."))?;
    next.rests_after(intent)?;
    Ok((next, outcome))
}

/// The same with nothing but what is set once, the steps of the reading device, and cameras that were kept elsewhere: for a
/// program that turns no dial.
///
/// # Errors
///
/// As for [`apply`]; anything else is refused.
pub fn apply_set_up(state: &State, intent: &Intent) -> Result<(State, Outcome), Refusal> {
    let mut next = state.clone();
    let outcome = match intent {
        Intent::ReadingHalves(on) => next.read_in_halves(*on),
        Intent::CamerasElsewhere(records) => next.cameras_elsewhere(records),
        _ => next.set_up(intent),
    }?;
    Ok((next, outcome))
}

impl From<exposure::Error> for Refusal {
    fn from(error: exposure::Error) -> Self {
        Self {
            sentence: as_sentence(&error.to_string()),
        }
    }
}

/// The first letter large and a full stop at the end.
fn as_sentence(text: &str) -> String {
    crate::derive::capital(text) + "."
}

fn refuse<T>(sentence: &str) -> Result<T, Refusal> {
    Err(Refusal {
        sentence: sentence.to_owned(),
    })
}

fn saved(sentence: String) -> Outcome {
    Outcome {
        sentence: Some(sentence),
        moved: false,
        save: Save::Setting,
    }
}

/// The value with the key, or the sentence that no such thing is there.
fn keyed<T: Copy>(table: &[(&str, T)], key: &str) -> Result<T, Refusal> {
    match table.iter().find(|(name, _)| *name == key) {
        Some((_, value)) => Ok(*value),
        None => refuse("That choice is not in the list."),
    }
}

impl State {
    /// What is set once.
    fn set_up(&mut self, intent: &Intent) -> Result<Outcome, Refusal> {
        match intent {
            Intent::Rounding(key) => {
                let rounding = keyed(&ROUNDINGS, key)?;
                self.change(|state| state.rounding = rounding, "Rounding chosen.")
            }
            Intent::SaveCamera(id, form) => self.save_camera(id.as_deref(), form),
            Intent::RemoveCamera(id) => self.remove_camera(id),
            Intent::Theme(key) => match THEMES.iter().find(|theme| *theme == key) {
                Some(theme) => {
                    self.theme = theme;
                    Ok(Outcome {
                        save: Save::Setting,
                        ..Outcome::default()
                    })
                }
                None => refuse("That theme is not in the list."),
            },
            Intent::Tick(on) => {
                self.tick = *on;
                Ok(Outcome {
                    save: Save::Setting,
                    ..Outcome::default()
                })
            }
            _ => refuse("That is not set here."),
        }
    }

    /// Does what is asked for; what is set once is left to `set_up`.
    fn take(
        &mut self,
        intent: &Intent,
        set_up: fn(&mut Self, &Intent) -> Result<Outcome, Refusal>,
    ) -> Result<Outcome, Refusal> {
        match intent {
            Intent::Turn(control, to) => {
                let (equipment, _) = self.on_dials(&self.solution());
                let marks = &equipment.detents[control.index()];
                let mark = marks[(*to).min(marks.len() - 1)];
                self.turn(*control, mark)
            }
            Intent::Nudge(control, nudge) => {
                let mark = self.nudged(*control, *nudge);
                self.turn(*control, mark)
            }
            Intent::ByDials(on) => self.by_dials(*on),
            Intent::Type(control, text) => self.type_value(*control, text),
            Intent::GiveBack(control) => Ok(self.give_back(*control)),
            Intent::Settle => Ok(self.settle()),
            Intent::Hold(control, on) => Ok(self.hold(*control, *on)),
            Intent::BackToReading => {
                let before = self.solution().marks;
                self.come_to_rest(self.lead.control);
                self.extra = Stops::ZERO;
                self.solve_anew();
                Ok(saved(sentence::resolved(
                    self,
                    "Back to the reading.",
                    &before,
                )))
            }
            Intent::Reading(control, text) => self.read(*control, text),
            Intent::ReadingHalves(on) => self.read_in_halves(*on),
            Intent::Correct(i, on) => self.correct(*i, *on),
            Intent::Take(parcel) => self.take_over(parcel),
            Intent::Serve(roll) => self.serve(roll),
            Intent::BoxSpeed(text) => {
                let box_speed =
                    BoxSpeed::new(Mark::parse(Control::Sensitivity, text, Steps::Third)?)?;
                self.box_speed = box_speed;
                let rated = Self::rated(self.solution().marks[2]);
                let against = crate::derive::against_box(box_speed.offset(rated));
                Ok(saved(format!(
                    "Box speed {}. {against}.",
                    words::value(&box_speed.mark())
                )))
            }
            Intent::Film(key) => {
                let film = keyed(&FILMS, key)?;
                let ends = self.wish_ends();
                self.change(
                    |state| {
                        state.film = film;
                        state.extra = Stops::ZERO;
                    },
                    &format!("Film type chosen.{ends}"),
                )
            }
            Intent::Camera(id) => self.choose_camera(id),
            Intent::CamerasElsewhere(records) => self.cameras_elsewhere(records),
            Intent::HandLimit(text) => {
                self.hand_limit = if text.trim().is_empty() {
                    None
                } else {
                    Some(Mark::parse(Control::Time, text, self.equipment.steps())?)
                };
                Ok(saved(format!(
                    "Hand-held down to {}.",
                    words::spoken(&self.limit())
                )))
            }
            Intent::BracketBy(key) => {
                let by = keyed(&BRACKET_BY, key)?;
                let b = self.bracket;
                self.plan(by, b.under(), b.over(), b.step(), b.order())
            }
            Intent::BracketUnder(frames) => {
                let b = self.bracket;
                self.plan(b.by(), *frames, b.over(), b.step(), b.order())
            }
            Intent::BracketOver(frames) => {
                let b = self.bracket;
                self.plan(b.by(), b.under(), *frames, b.step(), b.order())
            }
            Intent::BracketStep(key) => {
                let step = keyed(&STEPS, key)?;
                let b = self.bracket;
                self.plan(b.by(), b.under(), b.over(), step, b.order())
            }
            Intent::BracketOrder(key) => {
                let order = keyed(&ORDERS, key)?;
                let b = self.bracket;
                self.plan(b.by(), b.under(), b.over(), b.step(), order)
            }
            Intent::Pick(row) => self.pick(*row),
            Intent::OpenLink(fragment) => self.open_link(fragment),
            Intent::LeaveLink => {
                let Some(before) = self.before_link.take() else {
                    return Ok(Outcome::default());
                };
                let own = std::mem::take(&mut self.own);
                *self = *before;
                self.add_cameras(own);
                Ok(saved("Back to your own setting.".to_owned()))
            }
            Intent::Rounding(_)
            | Intent::SaveCamera(..)
            | Intent::RemoveCamera(_)
            | Intent::Theme(_)
            | Intent::Tick(_) => set_up(self, intent),
        }
    }

    /// The turn is over: what is shown is what the next one counts from.
    fn settle(&mut self) -> Outcome {
        if let Some(Device { before, .. }) = &self.device {
            if before.reading == self.reading {
                return Outcome::default();
            }
            let cause = format!("The light is {}.", words::light(self.reading.light()));
            return saved(sentence::resolved(self, &cause, &before.solution().marks));
        }
        let now = self.solution().marks;
        let moved = now != self.settled;
        let sentence = moved.then(|| sentence::turned(self));
        self.settled = now;
        Outcome {
            sentence,
            moved: false,
            save: if moved { Save::Setting } else { Save::Nothing },
        }
    }

    /// Sets the reading by the dials, or the camera again.
    fn by_dials(&mut self, on: bool) -> Result<Outcome, Refusal> {
        self.come_to_rest(self.lead.control);
        self.device = None;
        self.device = if on {
            Some(Device {
                equipment: Arc::new(Equipment::device(self.halves)?),
                before: Box::new(self.clone()),
            })
        } else {
            None
        };
        let said = if on {
            "The dials are the reading device now: set what it shows."
        } else {
            "The dials are the camera again."
        };
        Ok(Outcome {
            sentence: Some(said.to_owned()),
            ..Outcome::default()
        })
    }

    /// Where the reading is set by the dials, whatever but a turn was done is what the next turn counts from.
    fn rests_after(&mut self, intent: &Intent) -> Result<(), Refusal> {
        if matches!(intent, Intent::Turn(..) | Intent::Nudge(..)) {
            return Ok(());
        }
        if let Some(device) = self.device.take() {
            let halves = device.equipment.steps() == Steps::Half;
            let equipment = if halves == self.halves {
                device.equipment
            } else {
                Arc::new(Equipment::device(self.halves)?)
            };
            self.device = Some(Device {
                equipment,
                before: Box::new(self.clone()),
            });
        }
        Ok(())
    }

    /// Turns a dial of the reading device to a mark.
    fn turn_device(
        &mut self,
        device: Device,
        control: Control,
        mark: Mark,
    ) -> Result<Outcome, Refusal> {
        let mut marks = *self.reading.marks();
        let moved = marks[control.index()] != mark;
        marks[control.index()] = mark;
        *self = (*device.before).clone();
        let outcome = self.take_reading(marks)?;
        self.device = Some(device);
        // It is kept, and said, when the turn settles.
        Ok(Outcome {
            moved,
            save: Save::Nothing,
            ..outcome
        })
    }

    /// Turns a dial to a mark; the dial that is turned always goes there.
    fn turn(&mut self, control: Control, mark: Mark) -> Result<Outcome, Refusal> {
        match self.device.take() {
            Some(device) => self.turn_device(device, control, mark),
            None => Ok(self.turn_camera(control, mark)),
        }
    }

    fn turn_camera(&mut self, control: Control, mark: Mark) -> Outcome {
        if control != self.lead.control {
            self.come_to_rest(control);
        }
        let i = control.index();
        let moved = !mark.relative_to(&self.stands[i]).is_even();
        self.stands[i] = mark;
        let sentence = if moved {
            sentence::turned(self)
        } else if mark == *self.equipment.scale(control).darkest()
            || mark == *self.equipment.scale(control).brightest()
        {
            format!("{} ends here, at {}.", control.name(), words::spoken(&mark))
        } else {
            return Outcome::default();
        };
        Outcome {
            sentence: Some(sentence),
            moved,
            save: Save::Nothing,
        }
    }

    fn nudged(&self, control: Control, nudge: Nudge) -> Mark {
        let (equipment, stands) = self.on_dials(&self.solution());
        let marks = &equipment.detents[control.index()];
        let here = stands[control.index()].place();
        let last = marks.len() - 1;
        // Cut before it is made an index, because an index has 32 bits on the page; no scale has a million marks.
        let at = |i: i64| {
            marks[usize::try_from(i.clamp(0, 1_000_000))
                .unwrap_or(0)
                .min(last)]
        };
        #[expect(
            clippy::cast_possible_truncation,
            reason = "an index of at most a few hundred"
        )]
        match nudge {
            Nudge::End(brightest) => at(if brightest { i64::MAX } else { 0 }),
            Nudge::Marks(by) => {
                // From between two marks, the first step goes to the next one and skips none.
                let from = equipment.index_of(control, here);
                let from = if by > 0 { from.floor() } else { from.ceil() };
                at(from as i64 + i64::from(by))
            }
            Nudge::Stops(by) => {
                let wanted = Place::new(here.get() + f64::from(by)).unwrap_or(here);
                let nearest = (0..=last)
                    .min_by(|a, b| {
                        let off = |i: usize| (marks[i].place() - wanted).size().get();
                        off(*a).total_cmp(&off(*b))
                    })
                    .unwrap_or(0);
                // Where marks stand further apart than a stop, a stop still moves one mark.
                let moved = (marks[nearest].place() - here).get() * f64::from(by) > 1e-6;
                if moved {
                    marks[nearest]
                } else {
                    self.nudged(control, Nudge::Marks(by.signum()))
                }
            }
        }
    }

    fn type_value(&mut self, control: Control, text: &str) -> Result<Outcome, Refusal> {
        if self.device.is_some() {
            return self.read(control, text);
        }
        let typed = Mark::parse(control, text, self.equipment.steps())?;
        let choice = self.equipment.scale(control).meant(&typed);
        let mut outcome = self.turn_camera(control, choice.mark);
        if !choice.residual.is_even() {
            let has = match control {
                Control::Sensitivity => "The film speed list",
                Control::Time | Control::Aperture => "This camera",
            };
            let first = format!(
                "{has} has no {}; the nearest is {}.",
                words::value(&typed),
                words::value(&choice.mark)
            );
            outcome.sentence = Some(match outcome.sentence {
                Some(rest) => format!("{first} {rest}"),
                None => first,
            });
        }
        let settled = self.settle();
        Ok(Outcome {
            sentence: outcome.sentence,
            save: settled.save,
            ..outcome
        })
    }

    /// In a turn: back to where it began. At rest: back to where the dial was before it was first turned.
    fn give_back(&mut self, control: Control) -> Outcome {
        if let Some(device) = self.device.take() {
            *self = (*device.before).clone();
            self.device = Some(device);
            return Outcome::default();
        }
        if control != self.lead.control {
            return Outcome::default();
        }
        let i = control.index();
        let in_a_turn = !self.stands[i].relative_to(&self.settled[i]).is_even();
        let moved = in_a_turn || !self.stands[i].relative_to(&self.lead.from).is_even();
        self.stands[i] = if in_a_turn {
            self.settled[i]
        } else {
            self.lead.from
        };
        self.settled = self.solution().marks;
        let back = format!(
            "{} given back: {}.",
            control.name(),
            words::spoken(&self.stands[i])
        );
        Outcome {
            sentence: moved.then_some(back),
            moved,
            save: if moved { Save::Setting } else { Save::Nothing },
        }
    }

    fn hold(&mut self, control: Control, on: bool) -> Outcome {
        self.come_to_rest(self.lead.control);
        self.held.retain(|held| *held != control);
        let mut text = format!("{} {}.", control.name(), if on { "held" } else { "let go" });
        if on {
            self.held.push(control);
            if self.held.len() > 2 {
                let oldest = self.held.remove(0);
                text.push_str(&format!(
                    " {} let go, for two dials at most can be held.",
                    oldest.name()
                ));
            }
        }
        saved(text)
    }

    /// A change of the film or its rounding: the free dials make up for it.
    fn change(&mut self, change: impl FnOnce(&mut Self), cause: &str) -> Result<Outcome, Refusal> {
        let before = self.solution().marks;
        self.come_to_rest(self.lead.control);
        change(self);
        self.solve_anew();
        Ok(saved(sentence::resolved(self, cause, &before)))
    }

    fn take_reading(&mut self, marks: [Mark; 3]) -> Result<Outcome, Refusal> {
        let reading = Reading::new(marks[0], marks[1], marks[2])?;
        let mut cause = format!("The light is {}.", words::light(reading.light()));
        if self
            .lines
            .iter()
            .any(|line| line.kind() == LineKind::Reading)
            || self.doubt.is_some()
        {
            cause.push_str(" What belonged to the reading before is left behind.");
        }
        cause.push_str(self.wish_ends());
        let take = |state: &mut Self| {
            state.reading = reading;
            state.extra = Stops::ZERO;
            state.from.clear();
            state.doubt = None;
            state.lines.retain(|line| line.kind() != LineKind::Reading);
        };
        let outcome = self.change(take, &cause)?;
        self.light_is_in_reach()?;
        Ok(outcome)
    }

    /// What is said of light that was turned on purpose, where it ends.
    fn wish_ends(&self) -> &'static str {
        if self.wish().is_even() { "" } else { WISH_ENDS }
    }

    fn correct(&mut self, i: usize, on: bool) -> Result<Outcome, Refusal> {
        let before = self.solution().marks;
        self.come_to_rest(self.lead.control);
        let name = self.count(i, on)?.to_owned();
        self.light_is_in_reach()?;
        self.solve_anew();
        let does = if on { "counts" } else { "is left out" };
        let cause = format!("{name} {does}.");
        Ok(saved(sentence::resolved(self, &cause, &before)))
    }

    fn take_over(&mut self, parcel: &str) -> Result<Outcome, Refusal> {
        let mut taken = link::of_parcel(parcel, self)?;
        taken.before_link = self.before_link.take();
        *self = taken;
        Ok(Outcome {
            save: Save::Setting,
            ..Outcome::default()
        })
    }

    fn read(&mut self, control: Control, text: &str) -> Result<Outcome, Refusal> {
        let mut marks = *self.reading.marks();
        marks[control.index()] = Mark::parse(control, text, self.reading_steps())?;
        self.take_reading(marks)
    }

    fn read_in_halves(&mut self, on: bool) -> Result<Outcome, Refusal> {
        let steps = if on { Steps::Half } else { Steps::Third };
        let [time, aperture, sensitivity] = self
            .reading
            .marks()
            .map(|mark| Mark::new(mark.control(), mark.engraved(), steps));
        let marks = [time?, aperture?, sensitivity?];
        self.halves = on;
        self.take_reading(marks)
    }

    fn choose_camera(&mut self, id: &str) -> Result<Outcome, Refusal> {
        let Some(form) = form_of(id, &self.own) else {
            return refuse("That camera is not in the list.");
        };
        self.use_camera(id, &form)
    }

    /// Sets everything for a loaded roll. Its rating stays as it is for the whole roll, so that dial is held.
    fn serve(&mut self, roll: &Loaded) -> Result<Outcome, Refusal> {
        let film = keyed(&FILMS, &roll.kind)?;
        let speed = |text: &str| Mark::parse(Control::Sensitivity, text, Steps::Third);
        let (box_speed, rating) = (
            BoxSpeed::new(speed(&roll.box_speed)?)?,
            speed(&roll.rating)?,
        );
        let form = form_of(&roll.camera_id, &self.own);
        let marks = match &form {
            Some(form) => {
                self.use_camera(&roll.camera_id, form)?;
                String::new()
            }
            None => format!(
                " The marks of the {} are not described, so these are still those of “{}”.",
                roll.camera, self.equipment.form.name
            ),
        };
        let ends = self.wish_ends();
        self.film = film;
        self.extra = Stops::ZERO;
        self.box_speed = box_speed;
        self.hold(Control::Sensitivity, true);
        let choice = self.equipment.scale(Control::Sensitivity).meant(&rating);
        self.device = None;
        self.turn_camera(Control::Sensitivity, choice.mark);
        self.settle();
        let off = if choice.residual.is_even() {
            String::new()
        } else {
            format!(
                " It is loaded at {}; the nearest on the film speed list is {}.",
                words::ei(&rating),
                words::value(&choice.mark)
            )
        };
        Ok(saved(format!(
            "Set for {} in the {}: box speed {}, rated {}.{off}{marks}{ends}",
            roll.name,
            roll.camera,
            words::value(&box_speed.mark()),
            words::ei(&choice.mark),
        )))
    }

    fn use_camera(&mut self, id: &str, form: &CameraForm) -> Result<Outcome, Refusal> {
        let equipment = Arc::new(Equipment::new(id, form)?);
        let before = self.solution().marks;
        let ends = self.wish_ends();
        self.come_to_rest(self.lead.control);
        self.extra = Stops::ZERO;
        self.equipment = equipment;
        for control in Control::ALL {
            let stands = &mut self.stands[control.index()];
            // Only marks that this camera has: the same figure, else the nearest, until the free dials make up for the
            // difference.
            *stands = self.equipment.scale(control).meant(stands).mark;
        }
        self.solve_anew();
        Ok(saved(sentence::resolved(
            self,
            &format!("Camera: {}.{ends}", form.name),
            &before,
        )))
    }

    fn save_camera(&mut self, id: Option<&str>, form: &CameraForm) -> Result<Outcome, Refusal> {
        let form = CameraForm {
            name: form.name.trim().to_owned(),
            ..form.clone()
        };
        if form.name.is_empty() {
            return refuse("The camera needs a name.");
        }
        parse_form(&form)?;
        let id = match id {
            Some(id) if kind_form(id).is_some() => {
                return refuse("A described kind stays as it is; copy it as your own.");
            }
            Some(id) => id.to_owned(),
            None => store::new_camera_id(&form, |id| {
                self.own.iter().any(|own| own.id == id && own.form != form)
            }),
        };
        match self.own.iter_mut().find(|own| own.id == id) {
            Some(own) => own.form = form.clone(),
            None => self.own.push(OwnCamera {
                id: id.clone(),
                form: form.clone(),
            }),
        }
        let outcome = self.use_camera(&id, &form)?;
        Ok(Outcome {
            save: Save::Cameras,
            ..outcome
        })
    }

    fn remove_camera(&mut self, id: &str) -> Result<Outcome, Refusal> {
        let Some(i) = self.own.iter().position(|own| own.id == id) else {
            return refuse("Only a camera of your own can be removed.");
        };
        let removed = self.own.remove(i);
        let mut outcome = saved(format!("{} removed.", removed.form.name));
        if self.equipment.id == id {
            let first = exposure::KINDS[0].id;
            let rest = self.choose_camera(first)?;
            outcome.sentence = Some(format!(
                "{} removed. {}",
                removed.form.name,
                rest.sentence.unwrap_or_default()
            ));
        }
        Ok(Outcome {
            save: Save::Cameras,
            ..outcome
        })
    }

    fn cameras_elsewhere(&mut self, records: &[(String, String)]) -> Result<Outcome, Refusal> {
        let read = records
            .iter()
            .filter_map(|(key, text)| store::decode_camera(key, text).ok())
            .collect::<Vec<_>>();
        // A camera in use stays, even if another tab removed it: nothing is taken out of the hand.
        let kept = self
            .own
            .iter()
            .find(|own| own.id == self.equipment.id)
            .cloned();
        self.own = read;
        self.add_cameras(kept.into_iter().collect());
        let in_use = self
            .own
            .iter()
            .find(|own| own.id == self.equipment.id)
            .cloned();
        match in_use {
            Some(own) if own.form != self.equipment.form => self.use_camera(&own.id, &own.form),
            _ => Ok(Outcome::default()),
        }
    }

    /// Adds cameras that are not there yet.
    pub(crate) fn add_cameras(&mut self, cameras: Vec<OwnCamera>) {
        for camera in cameras {
            if !self.own.iter().any(|own| own.id == camera.id) {
                self.own.push(camera);
            }
        }
    }

    fn plan(
        &mut self,
        by: Control,
        under: u8,
        over: u8,
        step: BracketStep,
        order: Order,
    ) -> Result<Outcome, Refusal> {
        self.bracket = Bracket::new(by, under, over, step, order)?;
        Ok(saved(crate::derive::bracket_summary(self)))
    }

    fn pick(&mut self, row: usize) -> Result<Outcome, Refusal> {
        let pairs = crate::derive::pairs_now(self);
        let Some((pair, _)) = pairs.get(row) else {
            return refuse("That pair is no longer in the table.");
        };
        let before = self.solution().marks;
        let ends = self.wish_ends();
        self.device = None;
        self.come_to_rest(self.lead.control);
        self.extra = Stops::ZERO;
        self.stands[0] = pair.time;
        self.stands[1] = pair.aperture;
        self.lead.from = self.stands[self.lead.control.index()];
        self.settled = self.stands;
        Ok(saved(sentence::resolved(
            self,
            &format!("Picked from the table.{ends}"),
            &before,
        )))
    }

    fn open_link(&mut self, fragment: &str) -> Result<Outcome, Refusal> {
        let mut opened = link::open(fragment, self)?;
        self.device = None;
        let mine = self
            .before_link
            .take()
            .unwrap_or_else(|| Box::new(self.clone()));
        opened.before_link = Some(mine);
        *self = opened;
        Ok(Outcome {
            sentence: Some("This is the setting from the link. Your own is kept.".to_owned()),
            moved: false,
            save: Save::Cameras,
        })
    }
}
