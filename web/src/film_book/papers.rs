//! Papers that leave the page: labels, slips, tables, sidecars and the whole book, as text to copy or files to save.

use crate::browser::later::spawn_local;
use book::{
    Development, Key, Kind, csv, export_all, lab_slip, labels, sidecars, slip_caution, tape, zip,
};

use super::room::Room;
use crate::{
    browser::{
        clipboard,
        files::{self, Shared},
        page, sheet,
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

fn save(room: Room, name: &str, kind: &str, bytes: &[u8]) {
    let said = match files::save(name, kind, bytes) {
        Some(()) => format!("{name} is handed to the browser to save."),
        None => NOT_SAVED.to_owned(),
    };
    room.said.set(said);
}

async fn hand_out(room: Room, way: Way, name: &str, kind: &str, bytes: &[u8]) {
    if way == Way::Save {
        return save(room, name, kind, bytes);
    }
    match files::share(name, kind, bytes).await {
        Shared::Taken => room.said.set(format!("{name} is handed on.")),
        // Whoever leaves the sheet knows that nothing was sent.
        Shared::Left => {}
        Shared::Refused => room.said.set(format!(
            "The browser did not let the page share {name}. Press once more, or save it instead."
        )),
    }
}

/// The whole book as one document.
pub(super) fn hand_out_book(room: Room, way: Way) {
    let on = today();
    spawn_local(async move {
        match room.texts_of_unread().await {
            Ok(texts) => {
                room.look_at_dial();
                let document = room.once(|book| export_all(book, on, &texts));
                let (ending, kind) = match way {
                    Way::Save => ("json", "application/json"),
                    Way::Share => ("txt", TEXT),
                };
                let name = format!("stopkeeper-book-{}.{ending}", on.text());
                hand_out(room, way, &name, kind, document.as_bytes()).await;
            }
            Err(sentence) => room.said.set(sentence),
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
        hand_out(room, way, &name, TABLE, table.as_bytes()).await;
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
            &bytes,
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
