//! Pages of corrections: a form each, what it comes to while it is typed, and a button that puts it on the dial's ledger.

mod close_up;
mod depth;
mod filters;
mod flash;
mod lens;
mod long;
mod plain;
mod shutter;

use panel::{
    correct::{Answer, Row},
    drawn::{Drawn, Rows},
    light::LineKind,
    message::Page as Opened,
};

use super::{Page, Room, line::line};
use crate::{
    choice::Options,
    drawn,
    form::{Typed, checked},
    live::{Live, Worked},
    parts::{Element, Part, el, follows, parts},
    piece::{button, button_unless, complaint, paragraph, row},
    room::Title,
    shelf::shelves,
};

/// The pages, in the order in which corrections count.
pub(super) const PAGES: &[Page] = &[
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Reading device",
            words: "It asks for too much or too little light",
        },
        view: plain::device,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Filters",
            words: "By factor, stops or density, and in print",
        },
        view: filters::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Close-up",
            words: "A lens moved out for a near subject",
        },
        view: close_up::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Lens",
            words: "Light lost inside it, by T-number or per cent",
        },
        view: lens::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Shutter",
            words: "Measured times, and leaf shutters at small stops",
        },
        view: shutter::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Something else",
            words: "Any other number of stops",
        },
        view: plain::other,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Long times",
            words: "Reciprocity failure, and what to count on B",
        },
        view: long::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Depth of field",
            words: "What is sharp at each aperture, and diffraction",
        },
        view: depth::page,
    },
    Page {
        opened: None,
        list: Some(Opened::Corrections),
        title: Title {
            name: "Flash",
            words: "By guide number, alone, as fill or in series",
        },
        view: flash::page,
    },
];

/// A field, and what stands in it first.
fn start(text: &str) -> Typed {
    Typed::new(text)
}

/// A list of choices, and the one that is chosen first.
fn chosen(key: &str) -> Live<String> {
    Live::new(key.to_owned())
}

/// Rows of the panel as choices of a field.
fn rows(rows: Vec<Row>) -> impl Fn() -> Options {
    move || rows.clone()
}

/// The corrections of one kind that are there already, each with its switch; nothing where there are none.
fn there(room: Room, kind: LineKind) -> Part {
    follows(move || {
        let rows = room.with(|state| {
            let lines = state.lines().iter().enumerate();
            lines
                .filter(|(_, at)| at.kind() == kind)
                .map(|(i, at)| line(room, i, at))
                .collect()
        });
        shelves("On the ledger", rows)
    })
}

/// The fields of a form.
fn form<const N: usize>(fields: [Part; N]) -> Element {
    el("div").class("form").all(fields)
}

/// A field of a form: what is wrong with it is said under it.
fn field(
    answer: Worked<Answer>,
    id: &'static str,
    label: &'static str,
    hint: &'static str,
    typed: Typed,
) -> Part {
    checked(id, label, hint, typed, move || wrong_at(answer, id))
}

/// What is wrong at a field; empty where nothing is.
fn wrong_at(answer: Worked<Answer>, id: &'static str) -> String {
    answer.with(|answer| match answer {
        Ok(_) => String::new(),
        Err(not_yet) => not_yet.wrong_at(id).to_owned(),
    })
}

/// What a form comes to while it is typed, and the button that hands it to the dial: it can be pressed once there is something
/// to hand over.
///
/// A field that is `used_up` is emptied when the dial has taken what it said, where the same again would be a second one.
fn outcome(
    room: Room,
    id: &'static str,
    label: &'static str,
    answer: Worked<Answer>,
    used_up: Option<Typed>,
) -> Part {
    // Why the dial refused what the form came to.
    let refused = Live::new(String::new());
    let sentence = move || match wrong_at(answer, "") {
        sentence if sentence.is_empty() => refused.get(),
        of_no_field => of_no_field,
    };
    let change = move |answer: &Answer| answer.as_ref().ok()?.change.clone();
    let nothing_to_take = move || answer.with(|answer| change(answer).is_none());
    let send = move || {
        let Some(change) = answer.once(change) else {
            return;
        };
        let sent = room.ask(&change);
        match &sent {
            Ok(()) => {
                if let Some(field) = used_up {
                    field.set("");
                }
            }
            Err(sentence) => room.said.set(sentence.clone()),
        }
        refused.set(sent.err().unwrap_or_default());
    };
    parts![
        worked_out(answer),
        complaint(id, sentence),
        row([button_unless(nothing_to_take, "main", label, send)]),
    ]
}

/// The same where the dial takes nothing over. What is still to be typed is said, and is nothing to complain of.
fn worked_out(answer: Worked<Answer>) -> Part {
    follows(move || {
        let (says, waits) = answer.with(|answer| match answer {
            Ok(worked) => (
                seen("Worked out", &worked.says, &worked.drawn),
                String::new(),
            ),
            Err(not_yet) => (seen("Worked out", &[], &Drawn::Nothing), not_yet.waits()),
        });
        parts![says, paragraph("reason", waits)]
    })
}

/// A list of sentences, with what can be drawn of them: lines stand with their sentences, a curve before them all.
fn seen(name: &'static str, says: &[String], drawn: &Drawn) -> Part {
    let (mut rows, mut curve) = (None, None);
    match drawn {
        Drawn::Nothing => {}
        Drawn::Rows(found) => rows = Some(found),
        Drawn::Curve(found) => curve = Some(drawn::curve(found)),
    }
    let (first, count) = rows.map_or((says.len(), 0), |rows| (rows.first, rows.rows.len()));
    let (before, rest) = says.split_at(first.min(says.len()));
    let (drawn, after) = rest.split_at(count.min(rest.len()));
    let sentence = |said: &String| el("li").says(said.clone());
    let list = el("ul")
        .class("list worked")
        .named(name)
        .all(before.iter().map(sentence))
        .with(rows.map(|rows| el("li").class("seen").with(beside(rows, drawn))))
        .all(after.iter().map(sentence));
    parts![curve, list]
}

/// Sentences with a line under each.
fn beside(rows: &Rows, says: &[String]) -> Element {
    let row = |(i, (said, pieces)): (usize, (&String, &Vec<_>))| {
        let class = if rows.set == Some(i) { "set" } else { "" };
        el("li")
            .class(class)
            .with(el("span").says(said.clone()))
            .with(drawn::row_track(rows, pieces))
    };
    let all = says.iter().zip(&rows.rows).enumerate().map(row);
    let drawing = parts![
        el("ul").class("rules").all(all),
        drawn::ticks_under(rows.axis, &rows.ticks),
    ];
    drawn::figure(rows.name.clone(), rows.legend.clone(), drawing)
}

/// A quiet line on what a page is about.
fn about(sentence: &'static str) -> Element {
    paragraph("reason", sentence)
}

/// A button that takes something away again, shown while it is there.
fn take_away(label: &'static str, is_there: bool, action: impl Fn() + 'static) -> Element {
    row([button("", label, action)]).hidden(!is_there)
}
