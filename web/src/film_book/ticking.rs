//! The dial's shoot mode ticks off the frames of the series that was logged last, without opening the book.

use std::rc::Rc;

use book::{Book, Device, Edit, Error, Light, NewScene};
use panel::{
    handover::{self, Series},
    loaded,
    message::{Frame, Logged, Place as InLog, ToDial},
};

use super::room::{Place, Room};
use crate::{
    browser::{part, sheet, storage},
    moment::{now, today},
};

const IN_THE_PAGE_ONLY: &str = "in this page only: the browser's storage is full or forbidden. Save the whole book as a file \
     (in the film book, under “Keep and hand on”) before you close the page";

const NONE_SERVED: &str = "The dial serves no roll that is in a camera: open the log of one here.";

/// After how many days the dial says what waits longest, where the person has said nothing else.
pub(super) const PATIENCE: i32 = 60;
/// Where the person's own number of days is kept.
pub(super) const PATIENCE_RECORD: &str = "stopkeeper.patience";

/// The number of days after which the dial says what waits longest.
pub(super) fn patience() -> i32 {
    let own = storage::read(PATIENCE_RECORD).ok().flatten();
    own.and_then(|days| days.parse().ok()).unwrap_or(PATIENCE)
}

/// Leaves the dial word of the rolls that are in cameras, where it differs from what was left.
pub(super) fn tell_dial(book: &Book) {
    let told = loaded::encode(&handover::told(book, today(), patience()));
    if storage::read(loaded::RECORD).ok().flatten().as_deref() != Some(told.as_str()) {
        storage::hold(loaded::RECORD, Some(told.clone()));
        storage::tell_this_page(loaded::RECORD, Some(&told));
    }
}

/// Tells the dial what the series that was just logged is called, and where it is. The dial keeps that, so that a reload
/// between two frames costs nothing.
pub(super) fn logged(room: Room, series: &Series, roll: &str) {
    let logged = room.once(|book| {
        let roll = book.roll(roll)?;
        let scene = roll.scenes.last()?.number;
        Some(Logged {
            series: series.id.clone(),
            words: format!("{}, scene {scene}", roll.name),
            place: InLog::new(scene, &roll.id),
        })
    });
    if let Some(logged) = logged {
        part::tell_dial(&ToDial::Logged(logged));
    }
}

/// The change that logs a series on a roll. The reading is the one given, else the dial's; a device is counted as the kit has
/// it. What stands between the reading and the film is as the dials were set for, in any case.
pub(super) fn edit(
    series: &Series,
    roll: &str,
    name: String,
    reading: Option<Light>,
    device: Option<&Device>,
) -> Edit {
    let on_dial = &series.scene.light;
    let light = match reading {
        Some(reading) => Light {
            same_at: Some(now()),
            corrections: on_dial.corrections.clone(),
            long_times: on_dial.long_times.clone(),
            ..reading
        },
        None => {
            let read = Light {
                at: Some(now()),
                ..on_dial.clone()
            };
            match device {
                Some(device) => read.taken_with(device),
                None => read,
            }
        }
    };
    Edit::Series {
        roll: roll.to_owned(),
        scene: Box::new(NewScene {
            name,
            light,
            ..series.scene.clone()
        }),
        frames: series.frames.clone(),
    }
}

/// Logs a series that the dial hands over for a roll, without opening the book; false where it has to be asked first, which is
/// said on the page of the series.
pub(super) async fn log(room: Room, roll: &str, series: &str) -> bool {
    let series = match Series::read(series) {
        Ok(series) => Rc::new(series),
        Err(refusal) => {
            room.said.set(refusal.sentence);
            return false;
        }
    };
    let asks = match room.fresh(roll).await {
        Ok(()) => room.once(|book| series.asks_for_roll(book, roll)),
        Err(why) => Some(why),
    };
    let device = room.once(|book| book.device_used_last(book.roll(roll)).cloned());
    let edit = edit(&series, roll, String::new(), None, device.as_ref());
    let asks = asks.or_else(|| room.ask(&edit).err());
    room.series.put(Some(Rc::clone(&series)));
    room.for_roll.set(roll.to_owned());
    if let Some(asks) = asks {
        room.go(Place::Series);
        room.said.set(asks);
        return false;
    }
    room.series.put(None);
    logged(room, &series, roll);
    room.when_kept(move || {
        let said = room.said.now();
        let said = if room.kept.is_safe() {
            format!("{said} Tick its frames off under “Shoot”.")
        } else {
            format!("{said} It is noted {IN_THE_PAGE_ONLY}.")
        };
        part::tell_dial(&ToDial::Said(said));
    });
    true
}

/// Turns to the log of the roll that the dial serves, else of the only one that is in a camera, else to the cover.
pub(super) fn turn_to_served(room: Room) {
    let served = storage::read(loaded::SERVED).ok().flatten();
    let (roll, none) = room.once(|book| {
        let mut open: Vec<_> = book.open_rolls().map(|(roll, _)| &roll.id).collect();
        if open.len() > 1 {
            open.retain(|id| served.as_ref() == Some(*id));
        }
        (open.first().map(|id| (*id).clone()), open.is_empty())
    });
    match roll {
        Some(roll) => room.go(Place::Roll(roll)),
        None => room.go(Place::Cover),
    }
    if none {
        room.said.set(NONE_SERVED.to_owned());
    }
}

/// The roll that a series was logged on; empty for what is no place in the log.
fn roll_of(frame: &Frame) -> String {
    let place = frame.place.parts();
    place.map_or_else(String::new, |(_, roll)| roll.to_owned())
}

/// The id of a frame of a series that is in the log.
fn frame_of(room: Room, asked: &Frame) -> Result<u16, String> {
    let found = || {
        let (scene, roll) = asked.place.parts()?;
        room.once(|book| book.roll(roll)?.frame_of_scene(scene, asked.index))
    };
    found().ok_or_else(|| "this series is not in the log; log it again".to_owned())
}

/// What the book says of the frame.
fn of<T>(room: Room, of: impl FnOnce(&Book) -> Result<T, Error>) -> Result<T, String> {
    room.once(of).map_err(|error| error.to_string())
}

/// Notes a frame as taken now; what came of it goes to the dial in a sentence, once it is kept or cannot be.
pub(super) async fn tick(room: Room, asked: Frame) {
    let roll = roll_of(&asked);
    let noted = || -> Result<u16, String> {
        let roll = roll.clone();
        let frame = frame_of(room, &asked)?;
        let number = of(room, |book| book.find_roll(&roll)?.waiting(frame))?;
        let at = Some(now());
        room.ask(&Edit::Taken { roll, frame, at })?;
        Ok(number)
    };
    let noted = match room.fresh(&roll).await {
        Ok(()) => noted(),
        Err(why) => Err(why),
    };
    match noted {
        Ok(number) => room.when_kept(move || {
            let said = if room.kept.is_safe() {
                format!("Frame {number} is noted.")
            } else {
                format!("Frame {number} is noted {IN_THE_PAGE_ONLY}.")
            };
            part::tell_dial(&ToDial::Noted(said));
        }),
        Err(why) => part::tell_dial(&ToDial::Noted(format!("Not noted: {why}."))),
    }
}

/// Tells the dial's shoot mode that the frame it turned to was shot, and is noted as it was, once it is kept or cannot be.
pub(super) fn kept(room: Room) {
    room.when_kept(move || {
        let said = room.said.now();
        part::tell_dial(&ToDial::Kept(if room.kept.is_safe() {
            said
        } else {
            format!("{said} Noted {IN_THE_PAGE_ONLY}.")
        }));
    });
}

/// Turns to a frame to be changed; false if there is none, which the dial gets to hear.
pub(super) async fn slip(room: Room, asked: Frame) -> bool {
    let roll = roll_of(&asked);
    let found = room.fresh(&roll).await.and_then(|()| {
        let frame = frame_of(room, &asked)?;
        of(room, |book| {
            book.find_roll(&roll)?.find_frame(frame).map(|_| ())
        })?;
        Ok(frame)
    });
    match found {
        Ok(frame) => {
            room.go(Place::Roll(roll));
            room.open_frame.set(Some(frame));
            room.otherwise.set(true);
            sheet::turn_to(".open-frame");
            true
        }
        Err(why) => {
            let why = format!("This frame cannot be changed: {why}.");
            part::tell_dial(&ToDial::Noted(why));
            false
        }
    }
}
