//! A saved book comes in: what it would do is said first, and done at the person's word.

use crate::browser::later::spawn_local;
use book::{Edit, Import, Reader};

use super::{
    kit,
    room::{Place, Room},
};
use crate::{
    browser::{
        files::{self, File},
        page, sheet,
    },
    form::tick,
    live::Live,
    parts::{Part, el, follows, parts},
    piece::{button, paragraph, row},
};

/// The field for a saved book, and what the one that was given would do.
const FIELD: &str = "#book-file";
const PLAN: &str = "#book-plan";

/// What was said last of a file, whether it was chosen on the cover or opened by the system.
#[derive(Clone, Copy)]
pub(super) struct BringIn {
    /// An import that waits for the person's word.
    plan: Live<Option<Import>>,
    /// Whether rolls that two devices changed are merged.
    merge: Live<bool>,
    refused: Live<String>,
    /// How many files there were: what is still read of an earlier one is not asked for any more.
    turn: Live<u32>,
}

impl BringIn {
    pub(super) fn new() -> Self {
        Self {
            plan: Live::new(None),
            merge: Live::new(false),
            refused: Live::new(String::new()),
            turn: Live::new(0),
        }
    }

    /// Reads a file and says what it would do; of two that are given quickly the later one counts.
    async fn read(self, room: Room, file: Option<File>) {
        self.turn.quietly(|turn| *turn = turn.wrapping_add(1));
        let this = self.turn.now();
        let is_wanted = move || self.turn.now() == this;
        self.plan.put(None);
        self.merge.set(false);
        self.refused.set(String::new());
        room.kept.work.set("The file is being read.".to_owned());
        let text = match &file {
            Some(file) => files::text(file).await,
            None => None,
        };
        let read = match text {
            Some(text) => read(room, text, is_wanted).await,
            None => Err("The file could not be read.".to_owned()),
        };
        if !is_wanted() {
            return;
        }
        room.kept.work.set(String::new());
        match read {
            Ok(import) => self.plan.put(Some(import)),
            Err(sentence) => self.refused.set(sentence),
        }
    }

    /// What the import that waits would do, a sentence to a line; empty where none does.
    fn says(self, room: Room) -> String {
        let says = self.plan.with(|plan| {
            let plan = plan.as_ref()?;
            // Worked out once: what else the book does meanwhile is counted when it is brought in.
            Some(if plan.merging == self.merge.get() {
                plan.says.clone()
            } else {
                room.once(|book| plan.merging(book, self.merge.get()).says)
            })
        });
        says.unwrap_or_default().join("\n")
    }

    fn take(self, room: Room) {
        // Taken out first, so that nothing works out anew what it would do while it does it.
        let Some(import) = self.plan.update(Option::take).flatten() else {
            return;
        };
        let asked = self.merge.now();
        let import = if import.merging == asked {
            import
        } else {
            room.once(|book| import.merging(book, asked))
        };
        room.edit_when_read(Edit::Import(import.clone()), move |is_in| {
            if !is_in {
                self.plan.put(Some(import));
            }
        });
    }
}

/// Takes the file that the system opened with this page, as if it had been chosen on the cover. `others` were opened with it.
pub(super) fn opened(room: Room, others: usize) {
    let file = files::opened();
    room.go(Place::Cover);
    spawn_local(async move {
        room.bring_in.read(room, file).await;
        if others > 0 {
            room.said.set(format!(
                "One file at a time: the first is here, and {others} more were opened with it. Open them one by one."
            ));
        }
        let is_refused = room.bring_in.plan.once(Option::is_none);
        sheet::turn_to(if is_refused { FIELD } else { PLAN });
    });
}

/// The field for a saved book, and what it would do.
pub(super) fn form(room: Room) -> Part {
    let BringIn {
        plan,
        merge,
        refused,
        ..
    } = room.bring_in;
    let field = el("input")
        .id("book-file")
        .attr("type", "file")
        .attr("accept", ".json,.txt,application/json,text/plain")
        .on("change", move |event| {
            if let Some(file) = event.files().into_iter().next() {
                spawn_local(room.bring_in.read(room, Some(file)));
            }
        });
    let says = move || {
        let mergeable =
            plan.with(|plan| plan.as_ref().is_some_and(|plan| !plan.mergeable.is_empty()));
        let merges = tick(
            "Merge what two devices changed, frame by frame",
            merge.get(),
            move |on| merge.set(on),
        );
        el("div")
            .id("book-plan")
            .class("question")
            .attr("role", "group")
            .named("What the file would do")
            .attr("tabindex", "-1")
            .hidden(plan.with(Option::is_none))
            .with(paragraph("lines", room.bring_in.says(room)))
            .with(el("div").hidden(!mergeable).with(merges))
            .with(row([
                button("main", "Bring it in", move || room.bring_in.take(room)),
                button("", "Leave it", move || plan.put(None)),
            ]))
    };
    parts![
        el("div")
            .class("field")
            .with(
                el("label")
                    .attr("for", "book-file")
                    .says("Bring in a saved book"),
            )
            .with(field),
        kit::refused(refused),
        follows(says),
    ]
}

/// Reads a saved book piece by piece, and says how far it got.
///
/// A file that is not wanted any more is not read on.
async fn read(room: Room, text: String, is_wanted: impl Fn() -> bool) -> Result<Import, String> {
    // The browser shows the first word on it before the work begins.
    page::turn().await;
    let mut reader = Reader::open(text).map_err(|error| error.to_string())?;
    while reader.read(50) {
        // Before a word on it: nobody would take that away again.
        if !is_wanted() {
            return Err(String::new());
        }
        let (read, all) = reader.progress();
        room.kept
            .work
            .set(format!("Reading the file: {read} of {all} records."));
        page::turn().await;
    }
    let needs = room.once(|book| reader.needs(book));
    room.read_logs(needs).await?;
    room.look_at_dial();
    Ok(room.once(|book| reader.plan(book)))
}
