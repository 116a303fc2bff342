//! Papers that leave the page: labels, slips, tables, sidecars and the whole book, as text to copy or files to save.

use crate::browser::later::spawn_local;
use book::{
    AFTER_COPIES, Development, Key, Kind, SmallCopy, csv, export_before_copies, lab_slip, labels,
    sidecars, slip_caution, tape, zip,
};

use super::room::Room;
use crate::{
    browser::{
        clipboard,
        database::Trouble,
        files::{self, Pieces, Shared},
        page, pictures, sheet,
    },
    moment::today,
    parts::{Part, el, follows},
    piece::{button, paragraph},
};

const NOT_SAVED: &str = "The browser does not let the page save a file.";

/// The way that a file leaves the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// To be saved on this device.
    Save,
    /// To the share sheet.
    Share,
}

/// What tables are.
const TABLE: &str = "text/csv";
/// What a book that is shared is: browsers let few kinds of files through to the share sheet, and JSON is not among them.
const TEXT: &str = "text/plain";

/// Whether the share sheet takes a book.
pub(super) fn can_share_book() -> bool {
    files::can_share("book.txt", TEXT)
}

/// Whether the share sheet takes a table.
pub(super) fn can_share_table() -> bool {
    files::can_share("frames.csv", TABLE)
}

fn save(room: Room, name: &str, kind: &str, file: &Pieces) {
    let said = match files::save(name, kind, file) {
        Some(()) => format!("{name} is handed to the browser to save."),
        None => NOT_SAVED.to_owned(),
    };
    room.said.set(said);
}

async fn hand_out(room: Room, way: Way, name: &str, kind: &str, file: &Pieces) {
    if way == Way::Save {
        return save(room, name, kind, file);
    }
    match files::share(name, kind, file).await {
        Shared::Taken => room.said.set(format!("{name} is handed on.")),
        // Whoever leaves the sheet knows that nothing was sent.
        Shared::Left => {}
        Shared::Refused => room.said.set(format!(
            "The browser did not let the page share {name}. Press once more, or save it instead."
        )),
    }
}

/// Counts what small copies there are, which the cover offers to put into the book that is handed out.
pub(super) async fn count_copies(room: Room) {
    // OK to go on with none: where they cannot be read they cannot go along.
    room.copies.set(pictures::sizes().await.unwrap_or_default());
}

/// Puts the small copies of rolls of the book into a file, one after the other, so that only one is held at a time: how many, and
/// how many could not be put in.
async fn put_copies(room: Room, file: &Pieces) -> Result<(usize, usize), Trouble> {
    let (mut put, mut left) = (0, 0);
    for roll in pictures::rolls().await? {
        if !room.once(|book| book.has_roll(&roll)) {
            continue;
        }
        for kept in pictures::of_roll(&roll).await? {
            let copy = files::bytes(&kept.picture).await.map(|picture| SmallCopy {
                roll: roll.clone(),
                name: kept.name,
                kind: kept.picture.type_(),
                picture,
                measured: kept.measured,
            });
            match copy.and_then(|copy| copy.line()) {
                Some(line) => {
                    file.push(&line);
                    put += 1;
                    let work = format!("Small copies that are put in: {put}.");
                    room.kept.work.set(work);
                }
                None => left += 1,
            }
        }
    }
    Ok((put, left))
}

/// The whole book as one document, with the small copies of scans where they are wanted.
pub(super) fn hand_out_book(room: Room, way: Way, with_copies: bool) {
    let on = today();
    spawn_local(async move {
        let file = Pieces::new();
        let copies = match with_copies {
            true => put_copies(room, &file).await,
            false => Ok((0, 0)),
        };
        room.kept.work.set(String::new());
        let Ok((copies, left)) = copies else {
            let said = "The small copies cannot be read. Take the tick away to hand out the book without them.";
            return room.said.set(said.to_owned());
        };
        let texts = match room.texts_of_unread().await {
            Ok(texts) => texts,
            Err(sentence) => return room.said.set(sentence),
        };
        room.look_at_dial();
        file.put_first(&room.once(|book| export_before_copies(book, on, &texts, copies)));
        file.push(AFTER_COPIES);
        let (ending, kind) = match way {
            Way::Save => ("json", "application/json"),
            Way::Share => ("txt", TEXT),
        };
        let name = format!("stopkeeper-book-{}.{ending}", on.text());
        hand_out(room, way, &name, kind, &file).await;
        if left > 0 {
            let said = room.said.now();
            let left =
                format!("{said} Small copies that cannot be read, and are not in it: {left}.");
            room.said.set(left);
        }
    });
}

/// The frames of one roll, or of all, as comma-separated values.
pub(super) fn hand_out_table(room: Room, way: Way, roll: Option<&str>) {
    let roll = roll.map(str::to_owned);
    spawn_local(async move {
        let needs = room.once(|book| {
            book.heads()
                .filter(|head| roll.as_ref().is_none_or(|id| head.roll.id == *id))
                .map(|head| Key::new(Kind::Roll, &head.roll.id))
                .collect()
        });
        if let Err(sentence) = room.read_logs(needs).await {
            room.said.set(sentence);
            return;
        }
        let table = room.once(|book| {
            let rolls: Vec<_> = book
                .rolls()
                .filter(|known| roll.as_ref().is_none_or(|id| known.id == *id))
                .collect();
            csv(book, &rolls)
        });
        let name = roll.map_or_else(|| "frames.csv".to_owned(), |id| format!("{id}.csv"));
        hand_out(room, way, &name, TABLE, &Pieces::of(table.as_bytes())).await;
    });
}

/// The sidecars of a roll, named after its scans, as one archive.
pub(super) fn save_sidecars(room: Room, id: &str) {
    let files = room.once(|book| {
        book.roll(id)
            .map(|roll| sidecars(book, roll))
            .unwrap_or_default()
    });
    if files.is_empty() {
        room.said.set(
            "No frame has a scan yet: line the scans up with the log first (under Review)."
                .to_owned(),
        );
        return;
    }
    match zip(&files) {
        Some(bytes) => save(
            room,
            &format!("{id}-sidecars.zip"),
            "application/zip",
            &Pieces::of(&bytes),
        ),
        None => room
            .said
            .set("There is more than one archive can hold.".to_owned()),
    }
}

/// Copies the label for a roll, to be written or printed on a strip of tape.
pub(super) fn tape_of(room: Room, id: &str) {
    let label = room.once(|book| Some(tape(book, book.roll(id)?).join("\n")));
    room.paper.set(label.unwrap_or_default());
}

/// Shows the labels of all rolls that are still to be shot, of a batch or of the whole bag.
pub(super) fn labels_of(room: Room, batch: Option<&str>) {
    let labels = room.once(|book| labels(book, batch));
    let labels: Vec<String> = labels.iter().map(|label| label.join("\n")).collect();
    if labels.is_empty() {
        room.said
            .set("No roll is left to be shot, so there is no label.".to_owned());
    }
    // An empty line is where they are cut.
    room.paper.set(labels.join("\n\n"));
    sheet::turn_to(".paper:not([hidden])");
}

/// Shows the slip for the lab, with what to think over first.
pub(super) fn slip_of(room: Room, id: &str, development: Development) -> Option<String> {
    room.once(|book| {
        let roll = book.roll(id)?;
        room.paper.set(lab_slip(book, roll, development).join("\n"));
        slip_caution(book, roll, development)
    })
}

/// The paper that was asked for last, to copy or print.
pub(super) fn shown(room: Room) -> Part {
    let copy = move || {
        let label = room.paper.now();
        spawn_local(async move {
            let said = if clipboard::write(&label).await {
                "Copied."
            } else {
                "The browser does not let the page copy. Select the text and copy it."
            };
            room.said.set(said.to_owned());
        });
    };
    follows(move || {
        let paper = room.paper.get();
        // What belongs together stays on one sheet of paper.
        let parts = paper.split("\n\n").map(str::to_owned);
        el("div")
            .class("paper")
            .attr("role", "group")
            .named("Paper")
            .attr("tabindex", "-1")
            .hidden(paper.is_empty())
            .all(parts.map(|part| paragraph("paper-text lines", part)))
            .with(el("div").class("row no-print").all([
                button("", "Copy the text", copy),
                button("", "Print it", page::print),
                button("", "Put it away", move || room.paper.set(String::new())),
            ]))
    })
}
