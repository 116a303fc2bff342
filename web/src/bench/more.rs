//! What is set once: how the page looks and feels, a link, print, cameras of one's own.

use panel::{
    Intent, State, link,
    set_up::{ROUNDINGS, rounding},
};

use super::{Room, cameras::cameras};
use crate::{
    browser::{
        clipboard,
        files::{self, Shared},
        later::spawn_local,
        page as document,
    },
    form::{fixed, select, tick},
    live::Live,
    parts::{Element, Part, el, follows, parts},
    piece::{button, row},
};

const THEMES: [(&str, &str); 4] = [
    ("auto", "As the device"),
    ("sun", "Bright sun"),
    ("dusk", "Dusk"),
    ("darkroom", "Darkroom"),
];
const READING_STEPS: [(&str, &str); 2] = [("thirds", "third stops"), (HALVES, "half stops")];
const HALVES: &str = "halves";
const COPIED: &str = "Copied. Whoever opens it sees this setting; it goes to no server.";
const NOT_SHARED: &str = "The browser did not let the page share it. Select the link and copy it.";
const NOT_COPIED: &str = "The browser does not let the page copy. Select the link and copy it.";

/// The page "More". What is chosen here goes to the dial at once.
pub(super) fn page(room: Room) -> Part {
    parts![
        follows(move || room.with(|state| themes(room, state))),
        follows(move || {
            let label = "Vibration tick at each mark, where the device has one";
            let on = room.with(State::tick);
            tick(label, on, move |on| room.send(&Intent::Tick(on)))
        }),
        keep(room),
        counting(room),
        cameras(room),
    ]
}

fn themes(room: Room, state: &State) -> Element {
    let radios = THEMES.map(|(key, name)| {
        let choose = move |_: &_| room.send(&Intent::Theme(key.to_owned()));
        let input = el("input")
            .attr("type", "radio")
            .attr("name", "theme")
            .attr("value", key)
            .ticked(state.theme() == key)
            .on("change", choose);
        el("label").class("pick").with(input).says(name)
    });
    el("div")
        .class("block")
        .attr("role", "radiogroup")
        .attr("aria-labelledby", "theme-title")
        .with(el("h3").id("theme-title").says("Theme"))
        .with(el("div").class("picks").all(radios))
}

/// A link and a print of the setting.
fn keep(room: Room) -> Element {
    let (link, said) = (Live::new(String::new()), Live::new(String::new()));
    let address = move || document::address(&room.once(link::fragment));
    let copy = move || {
        let address = address();
        link.set(address.clone());
        spawn_local(async move {
            let copied = clipboard::write(&address).await;
            said.set(if copied { COPIED } else { NOT_COPIED }.to_owned());
        });
    };
    let share = move || {
        let address = address();
        said.set(String::new());
        spawn_local(async move {
            if files::share_address(&address).await == Shared::Refused {
                link.set(address);
                said.set(NOT_SHARED.to_owned());
            }
        });
    };
    let can_share = files::can_share_address();
    let ways = parts![
        button("", "Copy a link to this setting", copy),
        can_share.then(|| button("", "Share a link to this setting", share)),
        button("", "Print", document::print),
    ];
    let field = move || {
        let link = link.get();
        el("input")
            .class("link")
            .attr("type", "text")
            .flag("readonly", true)
            .named("Link to this setting")
            .hidden(link.is_empty())
            .value(link)
    };
    let said = el("p").class("reason").tells(move || said.get());
    el("div")
        .class("block")
        .with(el("h3").says("Keep or hand on"))
        .with(row([ways]))
        .with(follows(field))
        .with(el("div").attr("aria-live", "polite").with(said))
}

/// How readings and marks are counted.
fn counting(room: Room) -> Element {
    let steps = move || {
        let halves = room.with(State::reads_halves);
        READING_STEPS[usize::from(halves)].0.to_owned()
    };
    let step = move |key: String| room.send(&Intent::ReadingHalves(key == HALVES));
    let rounded = move || room.with(rounding);
    let round = move |key| room.send(&Intent::Rounding(key));
    let reading = "The reading device steps in";
    let marks = "Where the camera has no such mark";
    el("div")
        .class("block")
        .with(el("h3").says("Reading and marks"))
        .with(
            el("p")
                .class("reason")
                .tells(move || room.with(State::light_in_units)),
        )
        .with(row([
            select("reading-steps", reading, fixed(READING_STEPS), steps, step),
            select("rounding", marks, fixed(ROUNDINGS), rounded, round),
        ]))
}
