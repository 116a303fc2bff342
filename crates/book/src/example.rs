//! The example book: an invented scenario with invented names, which says so, and which leaves no trace when it goes.

use exposure::{Control, Mark, Reading, Steps};

use crate::{
    Batch, Book, Conclusion, Date, Desk, Edit, Error, Expiry, Extra, Film, Grade, Key, Kind, Light,
    Loading, Moment, NewScene, Planned, Record, Roll, Run, Scans, Setting, Slip, Speed, Spot,
    Stock, Storage, Tick, Verdict, conclude, records::unread,
};

/// What the ids of the example's records begin with. No id made of a name can: those have no full stop.
pub const EXAMPLE: &str = "example.";

const STOCK: &str = "example.harbour-200";
const BATCH: &str = "example.shoebox";

fn id(number: u8) -> String {
    format!("{EXAMPLE}roll-{number}")
}

/// The base, 1/125 and an aperture, and the frames around it by time.
fn scene(name: &str, stop: &str, at: &str) -> Result<(NewScene, Vec<Planned>), Error> {
    let mark = |control, text: &str| Mark::parse(control, text, Steps::Third);
    let base = mark(Control::Time, "1/125")?;
    let aperture = mark(Control::Aperture, stop)?;
    let speed = mark(Control::Sensitivity, "80")?;
    let light = Light::new(
        &Reading::new(base, aperture, speed)?,
        Some(Moment::parse(at)?),
    )?;
    let frames = [("1/250", -12), ("1/125", 0), ("1/60", 12), ("1/30", 24)]
        .into_iter()
        .map(|(time, more_light_twelfths)| {
            Ok(Planned {
                set: Setting::new(mark(Control::Time, time)?, aperture)?,
                more_light_twelfths,
            })
        })
        .collect::<Result<Vec<_>, Error>>()?;
    let new = NewScene {
        name: name.to_owned(),
        light,
        rating: Speed::parse("ISO 80")?,
        base: Setting::new(base, aperture)?,
    };
    Ok((new, frames))
}

/// Three rolls from a shoebox: one back and judged, one in a camera, one in the bag.
fn build() -> Result<Book, Error> {
    let mut desk = Desk::new(Book::new());
    let mut stock = Stock::new(
        STOCK,
        "Example: Harbour 200 (invented)",
        Film::ColourNegative,
        Speed::parse("ISO 200")?,
    );
    stock.process = "C-41".to_owned();
    stock.format = "135".to_owned();
    stock.exposures = Some(36);
    let mut batch = Batch::new(BATCH, STOCK, Some(Expiry::parse("2004-06")?), Storage::Room);
    batch.origin = "Example: a shoebox from an invented aunt".to_owned();
    desk.apply(&Edit::Stock(stock))?;
    desk.apply(&Edit::Batch(batch))?;
    for number in 1..=3 {
        let name = format!("Example roll {number} (invented)");
        let roll = Roll::new(&id(number), &name, BATCH, 36);
        desk.refresh(
            &Key::new(Kind::Roll, &roll.id),
            Some(Record::Roll(Box::new(roll.clone()))),
        );
    }
    let loading = |since: &str| -> Result<Loading, Error> {
        Ok(Loading::new(
            "invented folding camera",
            Speed::parse("ISO 80")?,
            Date::parse(since)?,
            1,
        ))
    };
    let roll = id(1);
    desk.apply(&Edit::Load {
        roll: roll.clone(),
        loading: loading("2024-06-01")?,
    })?;
    let scenes = [
        ("Boats in the sun", "11", "2024-06-02T11:20"),
        ("Sheds in open shade", "5.6", "2024-06-02T11:50"),
        ("Grey sky over the pier", "8", "2024-06-03T16:05"),
    ];
    for (name, stop, at) in scenes {
        let (scene, frames) = scene(name, stop, at)?;
        desk.apply(&Edit::Series {
            roll: roll.clone(),
            scene: Box::new(scene),
            frames,
        })?;
        let last = desk.book().find_roll(&roll)?.frames.last();
        let spot = last.map_or(Spot::Now, |frame| Spot::Behind(frame.id));
        desk.apply(&Edit::Extra {
            roll: roll.clone(),
            what: Extra::Slate,
            spot,
            at: Some(Moment::parse(at)?),
        })?;
    }
    let frames: Vec<u16> = desk
        .book()
        .find_roll(&roll)?
        .frames
        .iter()
        .map(|frame| frame.id)
        .collect();
    for (frame, at) in frames
        .iter()
        .zip(scenes.iter().flat_map(|(_, _, at)| [at; 5]))
    {
        desk.apply(&Edit::Taken {
            roll: roll.clone(),
            frame: *frame,
            at: Some(Moment::parse(at)?),
        })?;
    }
    // A slip to look at: in the second scene the ring was moved before the third frame.
    desk.apply(&Edit::Slip {
        roll: roll.clone(),
        run: Run::Numbers {
            from: 8,
            to: Some(9),
        },
        slip: Slip::Aperture(crate::Aperture::parse("f/4")?),
    })?;
    desk.apply(&Edit::Finish {
        roll: roll.clone(),
        on: Date::parse("2024-06-03")?,
    })?;
    desk.apply(&Edit::Send {
        roll: roll.clone(),
        on: Date::parse("2024-06-05")?,
        development: crate::Development::Normal,
    })?;
    desk.apply(&Edit::Return {
        roll: roll.clone(),
        on: Date::parse("2024-06-19")?,
    })?;
    desk.apply(&Edit::ScansMade {
        roll: roll.clone(),
        how: Some(Scans::Fixed),
    })?;
    let grades = [
        (1, Grade::Rejected),
        (2, Grade::Usable),
        (3, Grade::Liked),
        (4, Grade::Usable),
        (6, Grade::Rejected),
        (7, Grade::Liked),
        (8, Grade::Usable),
        (9, Grade::Usable),
        (11, Grade::Rejected),
        (12, Grade::Usable),
        (13, Grade::Liked),
        (14, Grade::Liked),
    ];
    for (frame, grade) in grades {
        let ticks = match grade {
            Grade::Rejected => vec![Tick::Grain, Tick::Cast],
            Grade::Usable => vec![Tick::ShadowTexture],
            Grade::Liked => vec![Tick::ShadowTexture, Tick::HighlightTexture],
        };
        desk.apply(&Edit::Judge {
            roll: roll.clone(),
            frame,
            verdict: Some(Verdict { grade, ticks }),
        })?;
    }
    let group = desk.book().group_of(desk.book().find_roll(&roll)?);
    if let Some(group) = group
        && let Conclusion::Found(suggestion) = conclude(desk.book(), &group)
    {
        let finding =
            suggestion.finding(&format!("{EXAMPLE}finding-1"), Date::parse("2024-06-20")?);
        desk.apply(&Edit::Found(finding))?;
    }
    desk.apply(&Edit::Load {
        roll: id(2),
        loading: loading("2024-06-21")?,
    })?;
    let (waiting, frames) = scene("Check bracket at the lock", "8", "2024-06-22T10:00")?;
    desk.apply(&Edit::Series {
        roll: id(2),
        scene: Box::new(waiting),
        frames,
    })?;
    Ok(desk.book().clone())
}

/// The example book.
///
/// # Panics
///
/// Never: a test builds it.
#[must_use]
pub fn example() -> Book {
    build().expect("the example is made of literals that a test has built")
}

/// Whether a roll belongs to the example, its log read or not.
pub(crate) fn is_of_example(roll: &Roll) -> bool {
    roll.id.starts_with(EXAMPLE) || roll.batch.starts_with(EXAMPLE)
}

/// Whether a record belongs to the example: by its id, or because it belongs to a batch of the example.
fn belongs(record: &Record) -> bool {
    let of_example = |id: &str| id.starts_with(EXAMPLE);
    match record {
        Record::Stock(stock) => of_example(&stock.id),
        Record::Batch(batch) => of_example(&batch.id),
        Record::Roll(roll) => is_of_example(roll),
        Record::Finding(finding) => of_example(&finding.id) || of_example(&finding.group.batch),
        Record::Test(test) => of_example(&test.group.batch),
        Record::Device(device) => of_example(&device.id),
        Record::Lens(lens) => of_example(&lens.id),
        Record::Rules(_) | Record::Aside(_) | Record::Camera(_) | Record::Dial(_) => false,
    }
}

type Swaps = Vec<(Key, Option<Record>)>;

/// What adding the example changes.
pub(crate) fn add(book: &Book) -> Result<(String, Swaps), Error> {
    if book.records().any(belongs) || book.rolls().any(is_of_example) {
        return Err(Error::new(
            "the example is in the book already; remove it before you add it again",
        ));
    }
    let swaps = example()
        .records()
        .map(|record| (record.key(), Some(record.clone())))
        .collect();
    Ok((
        "The invented example is in the book. It can be removed without a trace.".to_owned(),
        swaps,
    ))
}

/// What removing the example changes: all that belongs to it, also what was added to its batch.
pub(crate) fn remove(book: &Book) -> Result<(String, Swaps), Error> {
    let leans = |batch: &Batch| batch.stock.starts_with(EXAMPLE) && !batch.id.starts_with(EXAMPLE);
    if book.batches().any(leans) {
        return Err(Error::new(
            "a batch of your own uses a stock of the example; give it another stock before you remove the example",
        ));
    }
    if book.heads().any(|head| is_of_example(&head.roll)) {
        return Err(unread());
    }
    let swaps: Swaps = book
        .records()
        .filter(|record| belongs(record))
        .map(|record| (record.key(), None))
        .collect();
    if swaps.is_empty() {
        return Err(Error::new("the example is not in the book"));
    }
    Ok(("The invented example is removed.".to_owned(), swaps))
}
