//! A saved book comes in: what it would do is said first, and done at the person's word.

use crate::browser::later::spawn_local;
use book::{Edit, Import, Key, Kind, Reader, SmallCopy};
use scans::frame::Measured;

use super::{
    kit, papers,
    room::{Place, Room},
};
use crate::{
    browser::{
        database::Trouble,
        files::{self, File},
        page,
        pictures::{self, Kept},
        sheet,
    },
    form::tick,
    live::Live,
    parts::{Part, el, follows, parts},
    piece::{button, paragraph, row, said},
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
    /// The small copies of scans that come with it: ids of their rolls, and the copies, which lie with the browser.
    copies: Live<Vec<(String, Kept)>>,
    /// What became of the copies that came in last.
    became: Live<String>,
    /// How many files there were: what is still read of an earlier one is not asked for any more.
    turn: Live<u32>,
}

impl BringIn {
    pub(super) fn new() -> Self {
        Self {
            plan: Live::new(None),
            merge: Live::new(false),
            refused: Live::new(String::new()),
            copies: Live::new(Vec::new()),
            became: Live::new(String::new()),
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
        self.became.set(String::new());
        self.copies.put(Vec::new());
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
            Ok((import, copies)) => {
                self.copies.put(copies);
                self.plan.put(Some(import));
            }
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
        let mut says = says.unwrap_or_default();
        let bare = |(_, kept): &&(String, Kept)| kept.measured.is_empty();
        let bare = self
            .copies
            .with(|copies| copies.iter().filter(bare).count());
        if bare > 0 {
            says.push(format!(
                "Small copies without a measurement that can be read: {bare}."
            ));
        }
        says.join("\n")
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
            if is_in {
                spawn_local(self.keep_copies(room, import));
            } else {
                self.plan.put(Some(import));
            }
        });
    }

    /// Keeps the small copies of rolls that the book has now, where there are none of the same name.
    async fn keep_copies(self, room: Room, import: Import) {
        let copies = self.copies.update(std::mem::take).unwrap_or_default();
        if copies.is_empty() {
            return;
        }
        let renamed = room.once(|book| import.renamed(book));
        let (mut kept, mut there, mut strange) = (0, 0, 0);
        let (of, mut trouble) = (copies.len(), None);
        for (roll, copy) in copies {
            let roll = renamed.get(&Key::new(Kind::Roll, &roll)).unwrap_or(&roll);
            if !room.once(|book| book.has_roll(roll)) {
                strange += 1;
                continue;
            }
            match pictures::keep_new(roll, &copy).await {
                Ok(true) => kept += 1,
                Ok(false) => there += 1,
                Err(why) => {
                    trouble = Some(why);
                    break;
                }
            }
            let work = format!("Keeping small copies of scans: {kept} of {of}.");
            room.kept.work.set(work);
        }
        room.kept.work.set(String::new());
        let lost = of - kept - there - strange;
        let lines = [
            (kept, "Small copies of scans that are kept now"),
            (there, "Here already, and left as they were"),
            (
                strange,
                "Of rolls that the book does not have, and left out",
            ),
            (
                lost,
                match trouble {
                    Some(Trouble::Full) => {
                        "This device has no room for more small copies. The rest of what came in stands. Not kept"
                    }
                    _ => {
                        "The browser keeps no more small copies. The rest of what came in stands. Not kept"
                    }
                },
            ),
        ];
        let lines = lines.into_iter().filter(|(count, _)| *count > 0);
        let lines: Vec<String> = lines
            .map(|(count, words)| format!("{words}: {count}."))
            .collect();
        self.became.set(lines.join("\n"));
        papers::count_copies(room).await;
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
                button("", "Leave it", move || {
                    room.bring_in.copies.put(Vec::new());
                    plan.put(None);
                }),
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
        follows(move || {
            let became = room.bring_in.became.get();
            said("reason lines", became).attr("role", "status")
        }),
        follows(says),
    ]
}

/// A copy as it is to be kept, with the id of its roll. What was measured is left out where it cannot be read.
fn arrived(copy: SmallCopy) -> Option<(String, Kept)> {
    let mut measured = copy.measured;
    if !Measured::is_whole(&measured) {
        measured.clear();
    }
    let kept = Kept {
        picture: files::blob(&copy.kind, &copy.picture)?,
        name: copy.name,
        measured,
    };
    Some((copy.roll, kept))
}

/// What came with a saved book: what it would do, and the small copies of scans.
type Brought = (Import, Vec<(String, Kept)>);

/// Reads a saved book piece by piece, and says how far it got.
///
/// A file that is not wanted any more is not read on.
async fn read(room: Room, text: String, is_wanted: impl Fn() -> bool) -> Result<Brought, String> {
    // The browser shows the first word on it before the work begins.
    page::turn().await;
    let mut reader = Reader::open(text).map_err(|error| error.to_string())?;
    let mut copies = Vec::new();
    loop {
        let goes_on = reader.read(50);
        copies.extend(reader.take_copies().into_iter().filter_map(arrived));
        if !goes_on {
            break;
        }
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
    Ok((room.once(|book| reader.plan(book)), copies))
}
