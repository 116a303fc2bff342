//! The dial's shoot mode ticks off the frames of the series that was logged last, without opening the book.

use std::rc::Rc;

use book::{Book, Edit, Error};
use panel::{handover, loaded};

use super::{
    room::{Place, Room},
    series,
};
use crate::{
    browser::{part, sheet, storage},
    moment::{now, today},
};

/// What the dial asks to be noted begins with this; the place of the frame within the series follows.
pub(super) const TICK: &str = "tick:";
/// What the dial asks to be opened, for a frame that was not shot as planned.
pub(super) const SLIP: &str = "slip:";

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

/// Tells the dial what the series that was just logged is called, and on the next line where it is: number of the scene and
/// id of the roll. The dial keeps that, so that a reload between two frames costs nothing.
pub(super) fn logged(room: Room, roll: &str) {
    let words = room.once(|book| {
        let roll = book.roll(roll)?;
        let scene = roll.scenes.last()?.number;
        Some(format!("{}, scene {scene}\n{scene} {}", roll.name, roll.id))
    });
    if let Some(words) = words {
        part::tell("logged", &words);
    }
}

/// Logs the series that a setting carries for a roll, without opening the book; false where it has to be asked first, which is
/// said on the page of the series.
pub(super) async fn log(room: Room, roll: &str, setting: &str) -> bool {
    let series = match handover::series(setting) {
        Ok(series) => series,
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
    let edit = series::edit(&series, roll, String::new(), None, device.as_ref());
    let asks = asks.or_else(|| room.ask(&edit).err());
    room.series.put(Some(Rc::new(series)));
    room.for_roll.set(roll.to_owned());
    if let Some(asks) = asks {
        room.go(Place::Series);
        room.said.set(asks);
        return false;
    }
    room.series.put(None);
    logged(room, roll);
    room.when_kept(move || {
        let said = room.said.now();
        let said = if room.kept.is_safe() {
            format!("{said} Tick its frames off under “Shoot”.")
        } else {
            format!("{said} It is noted {IN_THE_PAGE_ONLY}.")
        };
        part::tell("said", &said);
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

/// The roll and the frame at a place of a series: index of the frame, number of the scene, id of the roll.
fn frame_at(room: Room, place: &str) -> Result<(String, u16), String> {
    let found = || {
        let (index, rest) = place.split_once(' ')?;
        let (scene, roll) = rest.split_once(' ')?;
        let (index, scene): (usize, u16) = (index.parse().ok()?, scene.parse().ok()?);
        let frame = room.once(|book| book.roll(roll)?.frame_of_scene(scene, index))?;
        Some((roll.to_owned(), frame))
    };
    found().ok_or_else(|| "this series is not in the log; log it again".to_owned())
}

/// What the book says of the frame.
fn of<T>(room: Room, of: impl FnOnce(&Book) -> Result<T, Error>) -> Result<T, String> {
    room.once(of).map_err(|error| error.to_string())
}

/// The id of the roll that a place of a series is in.
fn roll_of(place: &str) -> &str {
    place.splitn(3, ' ').nth(2).unwrap_or_default()
}

/// Notes a frame as taken now; what came of it goes to the dial in a sentence, once it is kept or cannot be.
pub(super) async fn tick(room: Room, place: String) {
    let noted = || -> Result<u16, String> {
        let (roll, frame) = frame_at(room, &place)?;
        let number = of(room, |book| book.find_roll(&roll)?.waiting(frame))?;
        let at = Some(now());
        room.ask(&Edit::Taken { roll, frame, at })?;
        Ok(number)
    };
    let noted = match room.fresh(roll_of(&place)).await {
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
            part::tell("noted", &said);
        }),
        Err(why) => part::tell("noted", &format!("Not noted: {why}.")),
    }
}

/// Tells the dial's shoot mode that the frame it turned to was shot, and is noted as it was, once it is kept or cannot be.
pub(super) fn kept(room: Room) {
    room.when_kept(move || {
        let said = room.said.now();
        part::tell(
            "kept",
            &if room.kept.is_safe() {
                said
            } else {
                format!("{said} Noted {IN_THE_PAGE_ONLY}.")
            },
        );
    });
}

/// Turns to a frame to be changed; false if there is none, which the dial gets to hear.
pub(super) async fn slip(room: Room, place: &str) -> bool {
    let found = room.fresh(roll_of(place)).await.and_then(|()| {
        let (roll, frame) = frame_at(room, place)?;
        of(room, |book| {
            book.find_roll(&roll)?.find_frame(frame).map(|_| ())
        })?;
        Ok((roll, frame))
    });
    match found {
        Ok((roll, frame)) => {
            room.go(Place::Roll(roll));
            room.open_frame.set(Some(frame));
            room.otherwise.set(true);
            sheet::turn_to(".open-frame");
            true
        }
        Err(why) => {
            part::tell("noted", &format!("This frame cannot be changed: {why}."));
            false
        }
    }
}
