//! What teaches: the price of each dial seen, and questions to be answered before the page shows it.
//!
//! A program of its own. It begins with the setting of the dials and changes nothing of it; what it draws, asks and says comes
//! from the crate `learn`.

mod apart;
mod handing;
mod lessons;
mod paper;
mod picture;
mod practise;
mod see;
mod stage;

use panel::{link, message::LESSON};

pub use self::apart::{Apart, apart};
use self::{lessons::Desk, paper::Paper, see::See};
use crate::{
    apart::{Drawer, Fetch},
    browser::{page, part},
    live::Live,
    parts::{Element, Part, el, follows, turns},
    piece::button,
    sheet::{self, Sheet},
};

/// The parts, each with its name.
const PARTS: [&str; 3] = ["See", "Practise", "Lessons"];

/// What the sheet and the page of lessons tell each other; the page comes later.
#[derive(Clone, Copy)]
pub(crate) struct Class {
    /// The page, once it is there.
    desk: Live<Option<Desk>>,
    /// Lessons that came by links, until the page takes them in.
    handed: Live<Vec<String>>,
    /// The sheet of paper that was asked for.
    paper: Live<Option<Paper>>,
}

/// The whole part, a sheet over the page that is opened by messages from the dial.
pub(crate) fn sheet(fetch: Fetch<Apart>) -> Part {
    let sheet = Sheet::new();
    let part = Live::new(0_usize);
    let drawer = Drawer::new(fetch);
    let wanted = Live::new(false);
    let turn_to = move |at: usize| {
        part.set(at);
        if at > 0 {
            wanted.set(true);
        }
    };
    let class = Class {
        desk: Live::new(None),
        handed: Live::new(Vec::new()),
        paper: Live::new(None),
    };
    let (see, shown) = see::page();
    part::on_learn(move |message| {
        let (setting, lesson) = message.map_or_else(Default::default, |message| {
            (link::setting(&message.setting).ok(), message.lesson)
        });
        sheet.open();
        see.begin(setting.unwrap_or_default());
        // Whoever comes from the dial asks what its setting costs.
        turn_to(0);
        if !lesson.is_empty() {
            turn_to(PARTS.len() - 1);
            // Until it is kept it stands in the address: a reload asks for it again.
            page::put_fragment(&format!("{LESSON}{lesson}"));
            class.handed.update(|handed| handed.push(lesson));
            if let Some(apart) = drawer.here() {
                (apart.take)(class);
            }
        }
    });
    // The dial is printed as ever, unless a sheet of a lesson is to be seen.
    sheet.prints(move || part.now() == PARTS.len() - 1 && class.paper.now().is_some());
    let tab = move |(at, name): (usize, &'static str)| -> Element {
        let is_open = if part.get() == at { "true" } else { "false" };
        button("tab", name, move || turn_to(at)).attr("aria-pressed", is_open)
    };
    let tabs = follows(move || {
        el("div")
            .class("tabs")
            .attr("role", "group")
            .named("Parts of Learn")
            .all(PARTS.into_iter().enumerate().map(tab))
    });
    // What is fetched later, as soon as one of them is looked at.
    let later = move |page: fn(&'static Apart, See, Class) -> Part| {
        let page = move |apart| page(apart, see, class);
        turns(
            move || wanted.get(),
            move |wanted| wanted.then(|| drawer.page(sheet, page)),
        )
    };
    // Each stays as it is while another one is looked at.
    let page = |at: usize, inside: Part| {
        el("div")
            .class("learn-part")
            .hidden_when(move || part.get() != at)
            .with(inside)
    };
    let head = sheet::part_head(
        "learn-title",
        || "Learn".to_owned(),
        || true,
        || {},
        move || sheet.close(),
    );
    let body = el("div")
        .class("sheet-body")
        .attr("tabindex", "0")
        .attr("role", "group")
        .attr("aria-labelledby", "learn-title")
        .with(tabs)
        .with(page(0, shown))
        .with(page(1, later(|apart, _, _| (apart.practise)())))
        .with(page(
            2,
            later(|apart, see, class| (apart.lessons)(see, class)),
        ));
    let said = el("p").class("part-said").attr("role", "status");
    el("dialog")
        .class("sheet part learn-sheet")
        .here(sheet.dialog)
        .attr("aria-labelledby", "learn-title")
        .on("cancel", move |_| sheet.closes())
        .with(head)
        .with(body)
        .with(el("div").class("part-foot").with(said.tells(move || {
            if part.get() == 0 {
                see.said.get()
            } else {
                String::new()
            }
        })))
        .into()
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use crate::fingerprints::{FINGERPRINTS, found};

    /// The same numbers hold natively: every phone gets the same questions.
    #[wasm_bindgen_test]
    fn a_seed_asks_here_what_it_asks_natively() {
        assert_eq!(found(), FINGERPRINTS);
    }
}
