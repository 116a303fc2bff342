//! Draws questions until one has exactly one right answer.

use exposure::{
    Camera, Control, FilmKind, LongTimes, Mark, PUBLISHED_LONG, Place, Prefer, Reading, Scale,
    Steps, Stops,
};

use super::{AnswerOn, Cameras, Choice, Exercise, Facts, Kind, Mistake};
use crate::{Dice, scene::SCENES};

/// How often a question is drawn anew before it is given up.
const DRAWS: usize = 2000;

/// How many of the invented scenes and of the published rules are drawn from: what is added later would change what a seed asks.
const SCENES_ASKED: usize = 6;
const RULES_ASKED: usize = 12;

/// A stop in millionths.
const STOP: i64 = 1_000_000;
/// The right mark is at most so far from what is wanted: a sixth of a stop, the finest difference that is spoken of.
const NEAR: i64 = STOP / 6;
/// The next mark is at least so much further away.
const APART: i64 = STOP / 5;

/// A place or a difference in whole millionths of a stop. Rounding takes away the last digits, in which machines differ.
#[expect(
    clippy::cast_possible_truncation,
    reason = "places are within some hundred stops"
)]
fn millionths(stops: f64) -> i64 {
    (stops * 1e6).round() as i64
}

fn at(mark: &Mark) -> i64 {
    millionths(mark.place().get())
}

/// What one draw brings.
struct Draft {
    facts: Facts,
    on: AnswerOn,
    choices: Vec<Choice>,
    right: usize,
}

pub(super) fn make(kind: Kind, seed: u32, cameras: &Cameras) -> Option<Exercise> {
    let mut dice = Dice::new(u64::from(seed) | (kind.salt() << 40));
    (0..DRAWS).find_map(|_| {
        let held = cameras.held.get(dice.index(cameras.held.len()))?;
        let bench = Bench::new(&held.camera, cameras)?;
        let draft = match kind {
            Kind::Equivalent => bench.equivalent(&mut dice),
            Kind::Way => bench.way(&mut dice),
            Kind::CarryOver => bench.carry_over(&mut dice),
            Kind::Lacking => bench.lacking(&mut dice),
            Kind::Frame => bench.frame(&mut dice),
            Kind::Rating => bench.rating(&mut dice),
            Kind::Slip => bench.slip(&mut dice),
            Kind::Pictures => bench.pictures(&mut dice),
            Kind::LongTime => long_time(&mut dice),
        }?;
        let without_camera = matches!(kind, Kind::Rating | Kind::Pictures | Kind::LongTime);
        Some(Exercise {
            kind,
            seed,
            camera: if without_camera {
                String::new()
            } else {
                held.name.clone()
            },
            facts: draft.facts,
            on: draft.on,
            choices: draft.choices,
            right: draft.right,
        })
    })
}

/// The scales that questions are made on: what is engraved, without what lies between marks or is counted by hand.
struct Bench<'a> {
    times: Scale,
    apertures: Scale,
    /// The device that the light is read with.
    device: &'a Camera,
    speeds: &'a Scale,
}

/// Sensitivities that devices are read at, and that films have on their boxes.
const READ_AT: [f64; 6] = [100.0, 200.0, 160.0, 400.0, 100.0, 800.0];
const BOXES: [f64; 8] = [25.0, 50.0, 64.0, 100.0, 160.0, 200.0, 400.0, 800.0];

impl<'a> Bench<'a> {
    fn new(camera: &Camera, cameras: &'a Cameras) -> Option<Self> {
        let own = |scale: &Scale| {
            let marks: Vec<Mark> = scale
                .marks()
                .iter()
                .filter(|mark| !mark.by_hand())
                .copied()
                .collect();
            Scale::new(scale.control(), marks, false).ok()
        };
        Some(Self {
            times: own(camera.times())?,
            apertures: own(camera.apertures())?,
            device: &cameras.device,
            speeds: &cameras.speeds,
        })
    }

    const fn scale(&self, control: Control) -> &Scale {
        match control {
            Control::Time => &self.times,
            Control::Aperture => &self.apertures,
            Control::Sensitivity => self.speeds,
        }
    }

    fn speed(&self, iso: f64) -> Option<Mark> {
        self.speeds.labelled(iso).copied()
    }

    fn equivalent(&self, dice: &mut Dice) -> Option<Draft> {
        let speed = self.speed(*dice.one(&READ_AT))?;
        let from = [
            *dice.one(self.times.marks()),
            *dice.one(self.apertures.marks()),
            speed,
        ];
        // The loaded film stays mostly; time and aperture are what is turned.
        let turned = *dice.one(&[
            Control::Time,
            Control::Aperture,
            Control::Time,
            Control::Aperture,
            Control::Sensitivity,
        ]);
        let asked = match turned {
            Control::Time => Control::Aperture,
            Control::Aperture => Control::Time,
            Control::Sensitivity => *dice.one(&[Control::Time, Control::Aperture]),
        };
        let to = *dice.one(self.scale(turned).marks());
        let moved = at(&to) - at(&from[turned.index()]);
        if !(STOP / 2..=6 * STOP).contains(&moved.abs()) {
            return None;
        }
        let start = at(&from[asked.index()]);
        let mut mistakes = vec![(Mistake::OtherWay, start + moved)];
        if asked == Control::Aperture {
            mistakes.push((Mistake::Halved, start - 2 * moved));
            mistakes.push((Mistake::Doubled, start + 2 * moved));
        }
        if turned == Control::Aperture {
            mistakes.push((Mistake::Halved, start - moved / 2));
        }
        on_dial(
            self.scale(asked),
            start - moved,
            None,
            &mistakes,
            Facts::Equivalent { from, to, asked },
        )
    }

    fn way(&self, dice: &mut Dice) -> Option<Draft> {
        let scale = if dice.coin() {
            &self.times
        } else {
            &self.apertures
        };
        let (from, to) = (*dice.one(scale.marks()), *dice.one(scale.marks()));
        let moved = at(&to) - at(&from);
        let mut mistakes = vec![(Mistake::OtherWay, -moved)];
        if scale.control() == Control::Aperture {
            mistakes.push((Mistake::Halved, moved / 2));
            mistakes.push((Mistake::Doubled, -moved / 2));
        }
        on_stops(2, 7, moved, &mistakes, Facts::Way { from, to })
    }

    /// What the device shows for a place: the nearest of its marks, where one is near.
    fn shown(&self, control: Control, place: i64) -> Option<Mark> {
        let scale = match control {
            Control::Time => self.device.times(),
            Control::Aperture => self.device.apertures(),
            Control::Sensitivity => self.speeds,
        };
        let off = |mark: &&Mark| (at(mark) - place).abs();
        let nearest = scale.marks().iter().min_by_key(off)?;
        (off(&nearest) <= STOP / 4).then_some(*nearest)
    }

    fn carry_over(&self, dice: &mut Dice) -> Option<Draft> {
        let read_at = self.speed(*dice.one(&READ_AT))?;
        let rating = *dice.one(&self.speeds.marks()[10..34]);
        let needs = at(&read_at) - at(&rating);
        if !(STOP / 2..=5 * STOP).contains(&needs.abs()) {
            return None;
        }
        let asked = *dice.one(&[Control::Time, Control::Aperture]);
        let other = if asked == Control::Time {
            Control::Aperture
        } else {
            Control::Time
        };
        let kept = *dice.one(self.scale(other).marks());
        let kept_read = self.shown(other, at(&kept))?;
        let drift = at(&kept) - at(&kept_read);
        if drift.abs() > STOP / 10 {
            return None;
        }
        let goal = *dice.one(self.scale(asked).marks());
        let read = self.shown(asked, at(&goal) - needs + drift)?;
        let mut marks = [read, read, read_at];
        marks[other.index()] = kept_read;
        let reading = Reading::new(marks[0], marks[1], marks[2]).ok()?;
        let start = at(&read);
        let mut mistakes = vec![
            (Mistake::OtherWay, start - needs),
            (Mistake::NotCarried, start),
        ];
        if asked == Control::Aperture {
            mistakes.push((Mistake::Halved, start + 2 * needs));
            mistakes.push((Mistake::Doubled, start - 2 * needs));
        }
        let facts = Facts::CarryOver {
            reading,
            rating,
            kept,
            asked,
        };
        on_dial(
            self.scale(asked),
            start + needs - drift,
            None,
            &mistakes,
            facts,
        )
    }

    fn lacking(&self, dice: &mut Dice) -> Option<Draft> {
        let rating = self.speed(*dice.one(&READ_AT))?;
        let film = *dice.one(&[
            FilmKind::ColourNegative,
            FilmKind::BlackAndWhite,
            FilmKind::Reversal,
        ]);
        if dice.coin() {
            self.between(dice, rating, film)
        } else {
            self.beyond(dice, rating, film)
        }
    }

    /// The time that was read lies between two marks: which one, on this kind of film?
    fn between(&self, dice: &mut Dice, rating: Mark, film: FilmKind) -> Option<Draft> {
        let kept = *dice.one(self.apertures.marks());
        let kept_read = self.shown(Control::Aperture, at(&kept))?;
        let drift = at(&kept) - at(&kept_read);
        let pairs = self.times.marks().len().checked_sub(1).filter(|n| *n > 0)?;
        let i = dice.index(pairs);
        let [below, above] = [&self.times.marks()[i], &self.times.marks()[i + 1]];
        let inside = at(below) + i64::from(dice.from_to(1, 11)) * (at(above) - at(below)) / 12;
        let read = self.shown(Control::Time, inside)?;
        let wanted = at(&read) - drift;
        let gap = [at(above) - wanted, wanted - at(below)];
        // The mark is really lacking, the neighbours are neither equally near nor at the limit that the rule has.
        let clear = |size: i64| (STOP / 8..STOP).contains(&size);
        let nearest = (gap[0] - gap[1]).abs() >= STOP / 10;
        if drift.abs() > STOP / 10 || !gap.into_iter().all(clear) || !nearest {
            return None;
        }
        let right = if film == FilmKind::Reversal {
            usize::from(gap[1] < gap[0])
        } else {
            0
        };
        let wrong = [at(above), at(below)][1 - right];
        let facts = Facts::Lacking {
            reading: Reading::new(read, kept_read, rating).ok()?,
            film,
            kept,
            asked: Control::Time,
        };
        let mistakes = [(Mistake::WrongSide, wrong)];
        on_dial(&self.times, wanted, Some(film), &mistakes, facts)
    }

    /// The time that was read lies beyond the end of the shutter: which aperture makes it up?
    fn beyond(&self, dice: &mut Dice, rating: Mark, film: FilmKind) -> Option<Draft> {
        let kept = if dice.coin() {
            *self.times.darkest()
        } else {
            *self.times.brightest()
        };
        let off = i64::from(dice.from_to(2, 12)) * STOP / 3;
        let beyond = if at(&kept) == at(self.times.darkest()) {
            at(&kept) - off
        } else {
            at(&kept) + off
        };
        let read_time = self.shown(Control::Time, beyond)?;
        let moved = at(&kept) - at(&read_time);
        if moved.abs() < STOP / 2 {
            return None;
        }
        let goal = *dice.one(self.apertures.marks());
        let read_stop = self.shown(Control::Aperture, at(&goal) + moved)?;
        let start = at(&read_stop);
        let facts = Facts::Lacking {
            reading: Reading::new(read_time, read_stop, rating).ok()?,
            film,
            kept,
            asked: Control::Aperture,
        };
        let mistakes = [
            (Mistake::OtherWay, start + moved),
            (Mistake::NotCarried, start),
            (Mistake::Halved, start - 2 * moved),
            (Mistake::Doubled, start + 2 * moved),
        ];
        on_dial(&self.apertures, start - moved, None, &mistakes, facts)
    }

    fn frame(&self, dice: &mut Dice) -> Option<Draft> {
        let box_speed = self.speed(*dice.one(&BOXES))?;
        let read_at = self.speed(*dice.one(&READ_AT))?;
        let set = [
            *dice.one(self.times.marks()),
            *dice.one(self.apertures.marks()),
        ];
        let read_stop = self.shown(Control::Aperture, at(&set[1]))?;
        let gave = i64::from(dice.from_to(-9, 12)) * STOP / 3;
        let read_time = self.shown(Control::Time, at(&set[0]) - gave)?;
        let reading = Reading::new(read_time, read_stop, read_at).ok()?;
        // Light beyond the reading, at the reading's own sensitivity.
        let more = at(&set[0]) - at(&read_time) + at(&set[1]) - at(&read_stop);
        if more.abs() < STOP / 4 {
            return None;
        }
        let asks_ei = dice.coin();
        let facts = Facts::Frame {
            box_speed,
            reading,
            set,
            asks_ei,
        };
        let (ei, other) = (at(&read_at) - more, at(&read_at) + more);
        let of_box = at(&box_speed) - more;
        if asks_ei {
            let mistakes = [(Mistake::OtherWay, other), (Mistake::FromBox, of_box)];
            on_dial(self.speeds, ei, None, &mistakes, facts)
        } else {
            let from_box = |place: i64| at(&box_speed) - place;
            let mistakes = [
                (Mistake::OtherWay, from_box(other)),
                (Mistake::FromBox, from_box(of_box)),
            ];
            on_stops(3, 5, from_box(ei), &mistakes, facts)
        }
    }

    fn rating(&self, dice: &mut Dice) -> Option<Draft> {
        let box_speed = self.speed(*dice.one(&BOXES))?;
        let start = at(&box_speed);
        if dice.coin() {
            let more = dice.from_to(1, 4);
            let moved = i64::from(more) * STOP;
            let mistakes = [(Mistake::RatingRaised, start + moved)];
            let facts = Facts::Wish { box_speed, more };
            return on_dial(self.speeds, start - moved, None, &mistakes, facts);
        }
        let sign = *dice.one(&[1, 2, 3, -1, -2]);
        let moved = i64::from(sign) * STOP;
        let asks_ei = dice.coin();
        let facts = Facts::Lab {
            box_speed,
            sign,
            asks_ei,
        };
        if asks_ei {
            let mistakes = [(Mistake::LabSign, start - moved)];
            on_dial(self.speeds, start + moved, None, &mistakes, facts)
        } else {
            on_stops(3, 4, -moved, &[(Mistake::LabSign, moved)], facts)
        }
    }

    fn slip(&self, dice: &mut Dice) -> Option<Draft> {
        let base = [
            *dice.one(self.times.marks()),
            *dice.one(self.apertures.marks()),
        ];
        let ring = *dice.one(self.apertures.marks());
        let slipped = at(&ring) - at(&base[1]);
        let planned: Vec<i32> = (dice.from_to(-2, 0)..=dice.from_to(1, 3)).collect();
        let from = 1 + dice.index(planned.len().saturating_sub(1));
        // By whole stops, or by nearly a stop on an old ring.
        if !(STOP * 9 / 10..=STOP * 11 / 10).contains(&slipped.abs()) {
            return None;
        }
        let held = |sign: i64| {
            let held: Vec<i64> = (0..)
                .zip(&planned)
                .map(|(i, offset)| {
                    i64::from(*offset) * STOP + if i < from { 0 } else { sign * slipped }
                })
                .collect();
            let lacks: Vec<i64> = planned
                .iter()
                .map(|offset| i64::from(*offset) * STOP)
                .filter(|offset| held.iter().all(|held| (held - offset).abs() > STOP / 4))
                .collect();
            lacks
        };
        let [missing] = held(1)[..] else {
            return None;
        };
        // Every planned frame was on the shutter, or there would have been another hitch.
        let start = at(&base[0]);
        let can = |offset: i64| {
            let marks = self.times.marks();
            marks
                .iter()
                .any(|mark| (at(mark) - start - offset).abs() <= STOP / 20)
        };
        if !planned.iter().all(|offset| can(i64::from(*offset) * STOP)) {
            return None;
        }
        let mut mistakes = Vec::new();
        if let [other] = held(-1)[..] {
            mistakes.push((Mistake::OtherWay, start + other));
        }
        mistakes.push((Mistake::RingLeft, start + missing - slipped));
        let facts = Facts::Slip {
            base,
            planned,
            from,
            ring,
        };
        on_dial(&self.times, start + missing, None, &mistakes, facts)
    }

    fn pictures(&self, dice: &mut Dice) -> Option<Draft> {
        let asked = *dice.one(&Control::ALL);
        let scene = *dice.one(&SCENES[..SCENES_ASKED]);
        let shows = scene.shows()?;
        let mark = |control, twelfths: i32| self.shown(control, i64::from(twelfths) * STOP / 12);
        // In twelfths of a stop, by full stops: what is asked for is two or three stops apart, another control makes it up.
        let apart = 12 * dice.from_to(2, 3);
        let (first, made_up, magnification) = match asked {
            Control::Time => {
                let time = shows.time + 12 * dice.from_to(0, 1);
                let stop = -12 * dice.from_to(6, 7);
                ([time, stop, 0], *dice.one(&[1, 2]), 1.0)
            }
            Control::Aperture => {
                let stop = shows.aperture? + 12 * dice.from_to(0, 1);
                let time = -12 * dice.from_to(8, 9);
                ([time, stop, 0], *dice.one(&[0, 2]), 1.0)
            }
            Control::Sensitivity => {
                let speed = 12 * dice.from_to(4, 5);
                ([-12 * 8, -12 * 4, speed], *dice.one(&[0, 1]), CLOSE)
            }
        };
        let mut second = first;
        second[asked.index()] -= apart;
        second[made_up] += apart;
        let settings = [first, second].map(|places| {
            let [time, stop, speed] = places;
            Some([
                mark(Control::Time, time)?,
                mark(Control::Aperture, stop)?,
                mark(Control::Sensitivity, speed)?,
            ])
        });
        let [Some(most), Some(least)] = settings else {
            return None;
        };
        let right = usize::from(dice.coin());
        let mut pair = [least, least];
        pair[right] = most;
        let choices = (0..2)
            .map(|i| Choice {
                mark: Some(pair[i][asked.index()]),
                stops: None,
                mistake: (i != right).then_some(Mistake::OtherWay),
            })
            .collect();
        // Exactly one of the two has more of what is asked for, and both have the same light.
        let sum = |marks: &[Mark; 3]| marks.iter().map(at).sum::<i64>();
        let only = at(&most[asked.index()]) - at(&least[asked.index()]) >= 2 * STOP - 1;
        let even = (sum(&most) - sum(&least)).abs() <= 3;
        (only && even).then_some(Draft {
            facts: Facts::Pictures {
                scene,
                settings: pair,
                asked,
                magnification,
            },
            on: AnswerOn::Pictures,
            choices,
            right,
        })
    }
}

/// How many times a picture is magnified in which grain is looked for.
pub(crate) const CLOSE: f64 = 12.0;

fn long_time(dice: &mut Dice) -> Option<Draft> {
    let rule = dice.one(&PUBLISHED_LONG[..RULES_ASKED]);
    let film: LongTimes = rule.long_times().ok()?;
    let metered = *dice.one(&[1, 2, 4, 5, 8, 10, 15, 20, 30, 60]);
    let one_more = dice.coin();
    let all = Camera::parse("B", "8", Steps::Full, None).ok()?;
    let marks: Vec<Mark> = all.times().marks().to_vec();
    let scale = Scale::new(Control::Time, marks, false).ok()?;
    let base = f64::from(metered);
    let asked = if one_more { 2.0 * base } else { base };
    if film.beyond_table(asked) || film.stops(asked).get() < 0.25 {
        return None;
    }
    let place = |seconds: f64| millionths(seconds.log2());
    let mut mistakes = vec![(Mistake::AsMetered, place(asked))];
    if one_more {
        mistakes.push((Mistake::DoubledAfter, place(2.0 * film.needed(base))));
    }
    let facts = Facts::LongTime {
        rule,
        metered,
        one_more,
    };
    let wanted = place(film.needed(asked));
    // Seconds lie closer than marks of a shutter: the nearest has to be that by a margin that no rounding closes.
    dial(&scale, wanted, None, &mistakes, facts, STOP / 30)
}

fn on_dial(
    scale: &Scale,
    wanted: i64,
    film: Option<FilmKind>,
    mistakes: &[(Mistake, i64)],
    facts: Facts,
) -> Option<Draft> {
    dial(scale, wanted, film, mistakes, facts, APART)
}

/// A question whose answer is a mark of a scale; none unless exactly one mark is right and a known mistake leads to another.
///
/// Without a kind of film the right mark is right for every film: near enough, clearly nearer than the next, and what
/// [`Scale::choose`] takes by either preference. With one it is what the film's preference takes.
fn dial(
    scale: &Scale,
    wanted: i64,
    film: Option<FilmKind>,
    mistakes: &[(Mistake, i64)],
    facts: Facts,
    apart: i64,
) -> Option<Draft> {
    let marks = scale.marks();
    let off: Vec<i64> = marks.iter().map(|mark| (at(mark) - wanted).abs()).collect();
    #[expect(
        clippy::cast_precision_loss,
        reason = "places are within some hundred million"
    )]
    let place = Place::new(wanted as f64 / 1e6).ok()?;
    let chosen = |prefer| scale.index_of(&scale.choose(place, prefer).mark);
    let right = if let Some(film) = film {
        chosen(Prefer::for_film(film))?
    } else {
        let right = (0..off.len()).min_by_key(|i| off[*i])?;
        let next = (0..off.len())
            .filter(|i| *i != right)
            .map(|i| off[i])
            .min()?;
        let by_scale = chosen(Prefer::Nearest)? == right && chosen(Prefer::MoreLight)? == right;
        if off[right] > NEAR || next - off[right] < apart || !by_scale {
            return None;
        }
        right
    };
    let choices = marks
        .iter()
        .map(|mark| Choice {
            mark: Some(*mark),
            stops: None,
            mistake: None,
        })
        .collect();
    let places: Vec<i64> = marks.iter().map(at).collect();
    with_mistakes(
        choices,
        &places,
        right,
        mistakes,
        facts,
        AnswerOn::Dial(scale.control()),
    )
}

/// A question whose answer is a number of stops: `parts` of a stop are the steps of the scale, which reaches `reach` stops either way.
fn on_stops(
    parts: i64,
    reach: i64,
    right: i64,
    mistakes: &[(Mistake, i64)],
    facts: Facts,
) -> Option<Draft> {
    let steps: Vec<i64> = (-reach * parts..=reach * parts).collect();
    // Within the rounding of the marks' own places.
    let places: Vec<i64> = steps.iter().map(|step| step * STOP / parts).collect();
    let right = places.iter().position(|place| (place - right).abs() <= 4)?;
    if places[right] == 0 {
        return None;
    }
    let choices = steps
        .iter()
        .map(|step| {
            #[expect(clippy::cast_precision_loss, reason = "some dozens of steps")]
            let stops = Stops::new(*step as f64 / parts as f64).ok()?;
            Some(Choice {
                mark: None,
                stops: Some(stops),
                mistake: None,
            })
        })
        .collect::<Option<Vec<_>>>()?;
    with_mistakes(choices, &places, right, mistakes, facts, AnswerOn::Stops)
}

/// Notes at each choice the first mistake that leads to it; none where no mistake leads anywhere.
fn with_mistakes(
    mut choices: Vec<Choice>,
    places: &[i64],
    right: usize,
    mistakes: &[(Mistake, i64)],
    facts: Facts,
    on: AnswerOn,
) -> Option<Draft> {
    let mut found = false;
    for (mistake, leads_to) in mistakes {
        let (i, off) = places
            .iter()
            .map(|place| (place - leads_to).abs())
            .enumerate()
            .min_by_key(|(_, off)| *off)?;
        if i != right && off <= NEAR && choices[i].mistake.is_none() {
            choices[i].mistake = Some(*mistake);
            found = true;
        }
    }
    (found && choices.len() > 1).then_some(Draft {
        facts,
        on,
        choices,
        right,
    })
}
