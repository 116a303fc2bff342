//! A lesson handed on: as a link, as a code that a phone photographs, as a file; and taken in from a file.

use learn::{
    code::{self, Code},
    lesson::{Lesson, TEXT_AT_MOST},
};
use panel::message::LESSON;

use super::lessons::Desk;
use crate::{
    browser::{
        clipboard,
        files::{self, File, Pieces, Shared},
        later::spawn_local,
        page,
    },
    parts::{Element, Part, el, follows, parts, svg},
    piece::{button, row},
};

/// What a lesson's file is: browsers let few kinds through to the share sheet, and this is one.
const TEXT: &str = "text/plain";

const COPIED: &str =
    "The link is copied. Whoever opens it has the same lesson, with the same questions.";
const NOT_COPIED: &str =
    "This browser does not let the page copy. Mark the link below and copy it.";
const NOT_READ: &str = "The file could not be read.";
const TOO_LONG: &str = "This file is longer than any lesson. It is left as it is.";

/// What the code is for, and why it is as it is in the darkroom.
const OPENS: &str = " Another phone's camera that sees it opens this lesson.";
const IN_DARKROOM: &str = " Here it is black on red, which a camera reads like black on white. It is the \
                           brightest thing on the page: turn it away from open paper.";

/// The code of an address, as large as its place; a sentence where it would be too fine.
pub(super) fn figure(address: &str) -> Element {
    let Some(code) = Code::of(address) else {
        return el("p").class("reason").says(code::left_out(address.len()));
    };
    let side = code.side().to_string();
    let drawn = svg("svg")
        .class("code-drawn")
        .attr("viewBox", format!("0 0 {side} {side}"))
        .attr("shape-rendering", "crispEdges")
        .attr("aria-hidden", "true")
        .with(
            svg("rect")
                .class("code-light")
                .attr("width", side.clone())
                .attr("height", side),
        )
        .with(svg("path").class("code-dark").attr("d", code.path()));
    let words = el("figcaption")
        .class("reason")
        .says(code.said() + OPENS)
        .with(el("span").class("in-darkroom").says(IN_DARKROOM));
    el("figure")
        .class("code")
        .named("Code")
        .with(drawn)
        .with(words)
}

impl Desk {
    /// The link to the open lesson.
    pub(super) fn address(self) -> String {
        self.with(|lesson| page::address(&format!("{LESSON}{}", lesson.link())))
            .unwrap_or_default()
    }

    fn copy(self) {
        let address = self.address();
        spawn_local(async move {
            let copied = clipboard::write(&address).await;
            self.notice
                .set(if copied { COPIED } else { NOT_COPIED }.to_owned());
        });
    }

    fn file(self) -> Option<(String, String)> {
        self.with(|lesson| (lesson.file_name(), lesson.write()))
    }

    fn save(self) {
        let Some((name, text)) = self.file() else {
            return;
        };
        let said = match files::save(&name, TEXT, &Pieces::of(text.as_bytes())) {
            Some(()) => format!("{name} is handed to the browser to save."),
            None => "The browser does not let the page save a file.".to_owned(),
        };
        self.notice.set(said);
    }

    fn share(self) {
        let Some((name, text)) = self.file() else {
            return;
        };
        spawn_local(async move {
            let said = match files::share(&name, TEXT, &Pieces::of(text.as_bytes())).await {
                Shared::Taken => format!("{name} is handed on."),
                // Whoever leaves the sheet knows that nothing was sent.
                Shared::Left => return,
                Shared::Refused => {
                    format!("The browser did not let the page share {name}. Save it instead.")
                }
            };
            self.notice.set(said);
        });
    }

    /// The ways out of the page.
    pub(super) fn hand_on(self) -> Part {
        let shares = files::can_share("lesson.txt", TEXT);
        parts![
            row([
                button("", "Copy a link", move || self.copy()).into(),
                button("", "Save as a file", move || self.save()).into(),
                Part::from(shares.then(|| button("", "Share as a file", move || self.share()))),
            ]),
            follows(move || figure(&self.address())),
        ]
    }

    /// The field for a lesson that was saved.
    pub(super) fn file_field(self) -> Element {
        let field = el("input")
            .id("lesson-file")
            .attr("type", "file")
            .attr("accept", ".txt,text/plain")
            .on("change", move |event| {
                if let Some(file) = event.files().into_iter().next() {
                    spawn_local(self.read_file(file));
                }
            });
        el("div")
            .class("field")
            .with(
                el("label")
                    .attr("for", "lesson-file")
                    .says("Open a lesson from a file"),
            )
            .with(field)
    }

    async fn read_file(self, file: File) {
        if files::is_longer(&file, TEXT_AT_MOST) {
            return self.notice.set(TOO_LONG.to_owned());
        }
        match files::text(&file).await {
            Some(text) => self.take(Lesson::open(&text)),
            None => self.notice.set(NOT_READ.to_owned()),
        }
    }
}
