//! Builders and checks that all tests share. Everything in them is invented.

use book::{
    Aperture, Batch, Book, Date, Desk, Done, Edit, Expiry, Fate, Film, Light, Loading, Moment,
    NewScene, Planned, Roll, Run, Scene, Setting, Slip, Speed, Stock, Storage, Time, Verdict,
};
use exposure::{Control, Mark, Reading, Steps};

#[track_caller]
pub(crate) fn date(text: &str) -> Date {
    Date::parse(text).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

#[track_caller]
pub(crate) fn moment(text: &str) -> Moment {
    Moment::parse(text).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

#[track_caller]
pub(crate) fn expiry(text: &str) -> Option<Expiry> {
    Some(Expiry::parse(text).unwrap_or_else(|error| panic!("“{text}”: {error}")))
}

#[track_caller]
pub(crate) fn speed(text: &str) -> Speed {
    Speed::parse(text).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

#[track_caller]
pub(crate) fn time(text: &str) -> Time {
    Time::parse(text).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

#[track_caller]
pub(crate) fn aperture(text: &str) -> Aperture {
    Aperture::parse(text).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

#[track_caller]
pub(crate) fn setting(at: &str, stop: &str) -> Setting {
    Setting {
        time: time(at),
        aperture: aperture(stop),
    }
}

/// A reading: ISO, time, aperture.
#[track_caller]
pub(crate) fn light(iso: &str, at: &str, stop: &str, taken: Option<&str>) -> Light {
    let mark = |control, text| Mark::parse(control, text, Steps::Third).expect("a figure");
    let reading = Reading::new(
        mark(Control::Time, at),
        mark(Control::Aperture, stop),
        mark(Control::Sensitivity, iso),
    )
    .expect("a reading");
    Light::new(&reading, taken.map(moment)).expect("figures that can be kept")
}

/// A reading with so many twelfths of a stop more light than its device asked for.
#[track_caller]
pub(crate) fn corrected(light: Light, twelfths: i32) -> Light {
    Light {
        correction_twelfths: twelfths,
        ..light
    }
}

/// Equal within a tolerance.
#[track_caller]
pub(crate) fn close(what: &str, actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{what}: got {actual}, expected {expected}, allowed {tolerance}"
    );
}

/// The same text.
#[track_caller]
pub(crate) fn same(what: &str, actual: &str, expected: &str) {
    assert!(
        actual == expected,
        "{what}: got “{actual}”, expected “{expected}”"
    );
}

#[track_caller]
pub(crate) fn apply(desk: &mut Desk, edit: Edit) -> Done {
    desk.apply(&edit)
        .unwrap_or_else(|error| panic!("{edit:?}: {error}"))
}

/// A book with one stock, one batch and so many rolls of 36.
#[track_caller]
pub(crate) fn bag(film: Film, iso: &str, dated: &str, storage: Storage, rolls: u8) -> Desk {
    let mut desk = Desk::new(Book::new());
    let stock = Stock::new("harbour", "Harbour", film, speed(iso));
    apply(&mut desk, Edit::Stock(stock));
    let batch = Batch::new("box", "harbour", expiry(dated), storage);
    apply(&mut desk, Edit::Batch(batch));
    if rolls > 0 {
        apply(
            &mut desk,
            Edit::Rolls {
                batch: "box".to_owned(),
                count: rolls,
                exposures: 36,
            },
        );
    }
    desk
}

/// Two rolls of a film of box speed 400, nothing known of how it was kept.
#[track_caller]
pub(crate) fn two_rolls() -> Desk {
    bag(Film::ColourNegative, "400", "2004-06", Storage::Unknown, 2)
}

/// The first roll of [`bag`] put into a camera.
#[track_caller]
pub(crate) fn loaded(iso: &str, rating: &str) -> Desk {
    let mut desk = bag(Film::ColourNegative, iso, "2004-06", Storage::Unknown, 1);
    load(&mut desk, "box-1", rating);
    desk
}

#[track_caller]
pub(crate) fn load(desk: &mut Desk, roll: &str, rating: &str) {
    load_into(desk, roll, "old folder", rating);
}

#[track_caller]
pub(crate) fn load_into(desk: &mut Desk, roll: &str, camera: &str, rating: &str) {
    let loading = Loading::new(camera, speed(rating), date("2024-05-01"), 1);
    apply(
        desk,
        Edit::Load {
            roll: roll.to_owned(),
            loading,
        },
    );
}

/// Logs a scene; frames are time, aperture and wanted twelfths, with the base among them.
#[track_caller]
pub(crate) fn series(
    desk: &mut Desk,
    roll: &str,
    name: &str,
    light: Light,
    rating: &str,
    frames: &[(&str, &str, i32)],
) {
    let planned: Vec<Planned> = frames
        .iter()
        .map(|(at, stop, twelfths)| Planned {
            set: setting(at, stop),
            more_light_twelfths: *twelfths,
        })
        .collect();
    let base = planned
        .iter()
        .find(|frame| frame.more_light_twelfths == 0)
        .expect("a base among the frames")
        .set;
    apply(
        desk,
        Edit::Series {
            roll: roll.to_owned(),
            scene: Box::new(NewScene {
                name: name.to_owned(),
                light,
                rating: speed(rating),
                base,
            }),
            frames: planned,
        },
    );
}

/// Logs the scene of most tests on the first roll: read as ISO 100, 1/125, f/8, and rated 100.
#[track_caller]
pub(crate) fn pier(desk: &mut Desk, frames: &[(&str, &str, i32)]) {
    let read = light("100", "1/125", "8", None);
    series(desk, "box-1", "pier", read, "100", frames);
}

/// Ticks off every waiting frame.
#[track_caller]
pub(crate) fn take_all(desk: &mut Desk, roll: &str) {
    let waiting: Vec<u16> = roll_of(desk, roll)
        .frames
        .iter()
        .filter(|frame| frame.shot.fate == Fate::Waiting)
        .map(|frame| frame.id)
        .collect();
    for frame in waiting {
        apply(
            desk,
            Edit::Taken {
                roll: roll.to_owned(),
                frame,
                at: None,
            },
        );
    }
}

#[track_caller]
pub(crate) fn slip(desk: &mut Desk, roll: &str, run: Run, slip: Slip) -> Done {
    apply(
        desk,
        Edit::Slip {
            roll: roll.to_owned(),
            run,
            slip,
        },
    )
}

#[track_caller]
pub(crate) fn judge(desk: &mut Desk, roll: &str, frame: u16, grade: book::Grade) {
    apply(
        desk,
        Edit::Judge {
            roll: roll.to_owned(),
            frame,
            verdict: Some(Verdict {
                grade,
                ticks: Vec::new(),
            }),
        },
    );
}

#[track_caller]
pub(crate) fn roll_of<'a>(desk: &'a Desk, id: &str) -> &'a Roll {
    desk.book()
        .find_roll(id)
        .unwrap_or_else(|error| panic!("{id}: {error}"))
}

#[track_caller]
pub(crate) fn scene_of(desk: &Desk, roll: &str, number: u16) -> Scene {
    roll_of(desk, roll)
        .scene(number)
        .expect("the scene")
        .clone()
}
