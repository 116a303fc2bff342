//! The light table: the frames of a scene as large as the window allows, judged where they are seen.

use book::{Grade, Tick, Verdict};

use super::{
    pairs::Pairs,
    review::{Card, GRADES, Table, picture_of, scene_of, tick_box},
};
use crate::{
    browser::sheet,
    drawn::{hold, percent},
    live::Live,
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row, said},
};

/// How the frames are laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lay {
    /// One beside the other; on a narrow window one after the other.
    Beside,
    /// One in the place of the other.
    SamePlace,
    /// Pixel for pixel, the same place of each.
    FullSize,
    /// Two at a time, blind.
    Pairs,
}

const LAYS: [(Lay, &str); 4] = [
    (Lay::Beside, "Side by side"),
    (Lay::SamePlace, "In one place"),
    (Lay::FullSize, "At 100 %"),
    (Lay::Pairs, "In pairs"),
];

/// Steps of the place that is seen at full size, across and down.
const STEPS: i32 = 100;

pub(super) fn open(table: Table) {
    if let Some(dialog) = table.large.get() {
        // What was said before is said on the sheet.
        table.roll.room.said.set(String::new());
        sheet::open(&dialog);
        to_current();
    }
}

/// Brings the frame that is judged to sight, where the frames lie beside one another.
fn to_current() {
    sheet::show(".light-frame[aria-current]");
}

fn step(table: Table, on: bool) {
    table.step(on);
    to_current();
}

/// The frame that is judged now.
fn current(table: Table) -> Option<Card> {
    let at = table.at.get();
    table.cards.with(|cards| cards.get(at).cloned())
}

/// The keys of the ticks, in their order: the first letter of each.
const TICK_KEYS: [&str; 5] = ["s", "h", "f", "g", "c"];

/// The frame that is judged now, and its verdict.
fn judged(table: Table) -> Option<(u16, Option<Verdict>)> {
    let at = table.at.now();
    let id = table.cards.once(|cards| Some(cards.get(at)?.id))?;
    let given = table.roll.once(|_, roll| roll.frame(id)?.verdict.clone());
    Some((id, given))
}

/// Gives a grade by key. One that is given already stays: whoever presses twice does not mean to take it back.
fn judge(table: Table, grade: Grade) {
    if let Some((id, given)) = judged(table)
        && given.is_none_or(|given| given.grade != grade)
    {
        table.grade(id, grade);
    }
}

fn turn_tick(table: Table, tick: Tick) {
    if let Some((id, given)) = judged(table) {
        let on = given.is_some_and(|given| given.ticks.contains(&tick));
        table.tick(id, tick, !on);
    }
}

/// The scene before or after the one on the table; none at the ends.
fn scene_beside(table: Table, on: bool) -> Option<String> {
    let chosen = table.scene.get();
    let now = table.roll.with(|_, roll| scene_of(roll, &chosen))?;
    let scenes = table.scenes();
    let at = scenes.iter().position(|(key, _)| *key == now.to_string())?;
    let to = if on {
        at.checked_add(1)
    } else {
        at.checked_sub(1)
    }?;
    scenes.get(to).map(|(key, _)| key.clone())
}

fn turn_scene(table: Table, on: bool) {
    if let Some(key) = scene_beside(table, on) {
        table.scene.set(key);
        table.at.set(0);
        to_current();
    }
}

/// The dialog that fills the window.
pub(super) fn dialog(table: Table) -> Element {
    let lay = Live::new(Lay::Beside);
    let place = Live::new([STEPS / 2, STEPS / 2]);
    let pairs = Pairs::new(table);
    let in_pairs = move || lay.get() == Lay::Pairs;
    let turn = move |on| {
        turn_scene(table, on);
        pairs.begin();
    };
    let close = move || {
        if let Some(dialog) = table.large.get() {
            sheet::close(&dialog);
        }
    };
    // The card of the frame that was judged last: what it was opened from may be another scene's.
    let closed = move || sheet::turn_to(".frame-picture[data-at]");
    let position = move || {
        if in_pairs() {
            return pairs.position();
        }
        let name = current(table).map(|card| card.name).unwrap_or_default();
        let count = table.cards.with(Vec::len);
        format!("{name}, {} of {count}", table.at.get() + 1)
    };
    let scene = move || {
        let chosen = table.scene.get();
        let now = table.roll.with(|_, roll| scene_of(roll, &chosen));
        let now = now.map(|now| now.to_string());
        let scenes = table.scenes();
        let mut scenes = scenes.into_iter();
        let found = scenes.find(|(key, _)| Some(key) == now.as_ref());
        found.map(|(_, name)| name).unwrap_or_default()
    };
    let lays = move || {
        row(LAYS.map(|(way, name)| {
            let is = lay.get() == way;
            let lie = move || {
                lay.set(way);
                if way == Lay::Pairs {
                    pairs.begin();
                }
                to_current();
            };
            button("lay", name, lie).attr("aria-pressed", if is { "true" } else { "false" })
        }))
        .attr("role", "group")
        .named("How the frames lie")
    };
    el("dialog")
        .class("large")
        // It takes the keyboard where the button that had it is gone.
        .attr("tabindex", "-1")
        .here(table.large)
        .named("Light table")
        .on("close", move |_| closed())
        .on("keydown", move |event| {
            let key = event.key();
            // A key that is held says nothing more than one that was pressed.
            if key.modified || key.held {
                return;
            }
            let moves = matches!(
                key.name.as_str(),
                "ArrowLeft" | "ArrowRight" | "PageUp" | "PageDown"
            );
            if moves && event.is_on_slider() {
                return;
            }
            match (key.name.as_str(), lay.now()) {
                ("PageUp", _) => turn(false),
                ("PageDown", _) => turn(true),
                ("1", Lay::Pairs) => pairs.choose(Some(0)),
                ("2", Lay::Pairs) => pairs.choose(Some(1)),
                ("3", Lay::Pairs) => pairs.choose(None),
                (_, Lay::Pairs) => {}
                ("ArrowLeft", _) => step(table, false),
                ("ArrowRight", _) => step(table, true),
                ("1", _) => judge(table, GRADES[0].0),
                ("2", _) => judge(table, GRADES[1].0),
                ("3", _) => judge(table, GRADES[2].0),
                (key, _) => {
                    let mut keys = TICK_KEYS.into_iter().zip(Tick::ALL);
                    if let Some((_, tick)) = keys.find(|(known, _)| *known == key) {
                        turn_tick(table, tick);
                    }
                }
            }
        })
        .with(
            el("div")
                .class("large-head")
                .with(
                    el("div")
                        .with(el("p").class("large-scene").tells(scene))
                        .with(
                            el("p")
                                .class("large-name")
                                .attr("aria-live", "polite")
                                .tells(position),
                        ),
                )
                .with(button("", "Close the picture", close))
                .with(follows(lays)),
        )
        .with(follows(move || match lay.get() {
            Lay::Beside => beside(table),
            Lay::SamePlace => same_place(table),
            Lay::FullSize => full_size(table, place),
            Lay::Pairs => pairs.stage(),
        }))
        .with(follows(move || {
            if in_pairs() {
                pairs.verdict()
            } else {
                verdict(table)
            }
        }))
        .with(follows(move || {
            // What is said lies on the sheet, which this covers.
            let room = table.roll.room;
            parts![
                said("notice light-notice", room.notice_lines()).attr("role", "status"),
                el("p")
                    .class("light-said")
                    .attr("role", "status")
                    .says(room.said.get()),
            ]
        }))
        .with(follows(move || foot(table, in_pairs(), turn)))
}

/// A picture with its name, and how it was judged.
fn frame(table: Table, nth: usize, card: &Card, picture: Element) -> Element {
    let name = format!("{}: judge this one", card.name);
    frame_pressed(table, nth, card, picture, name, move || table.at.set(nth))
}

/// The same, and what a press on the picture does.
fn frame_pressed(
    table: Table,
    nth: usize,
    card: &Card,
    picture: Element,
    name: String,
    press: impl Fn() + 'static,
) -> Element {
    let is_current = table.at.get() == nth;
    let graded = table.roll.with(|_, roll| {
        let verdict = roll.frame(card.id)?.verdict.as_ref();
        verdict.map(|verdict| verdict.grade)
    });
    let described = el("div")
        .class("light-frame")
        .with(
            el("button")
                .class("light-picture")
                .attr("type", "button")
                .named(name)
                .press(press)
                .with(picture),
        )
        .with(
            el("p")
                .class("light-name")
                .says(card.name.clone())
                .with(el("span").says(
                    graded.map_or_else(String::new, |grade| format!(" · {}", grade.words())),
                )),
        )
        .with(paragraph("light-words", card.words.clone()));
    if is_current {
        described.attr("aria-current", "true")
    } else {
        described
    }
}

/// The picture of a frame, or that there is none.
fn seen(table: Table, card: &Card) -> Element {
    match table.picture_of(card.id) {
        Some(address) => picture_of(card.name.clone(), Some(address)),
        None => el("span")
            .class("light-none")
            .says("No scan of this frame."),
    }
}

/// All frames of the scene in the order of their light.
fn beside(table: Table) -> Part {
    let cards = table.cards.get();
    let all = cards
        .iter()
        .enumerate()
        .map(|(nth, card)| frame(table, nth, card, seen(table, card)));
    strip(table, all.collect()).into()
}

/// Frames beside one another; on a narrow window a finger goes from one to the next, and what it comes to is judged.
fn strip(table: Table, frames: Vec<Element>) -> Element {
    el("div")
        .class("light-stage light-beside")
        .style("--frames", frames.len().to_string())
        .on("scroll", move |event| {
            let last = table.cards.once(Vec::len).saturating_sub(1);
            if let Some(nth) = event.filling() {
                table.at.set(nth.min(last));
            }
        })
        .all(frames)
}

/// One frame after the other in the same place.
fn same_place(table: Table) -> Part {
    let Some(card) = current(table) else {
        return Part::Nothing;
    };
    let nth = table.at.get();
    el("div")
        .class("light-stage light-one")
        .with(frame_pressed(
            table,
            nth,
            &card,
            seen(table, &card),
            format!("{}: lay the next one here", card.name),
            move || {
                // Behind the last one comes the first one.
                let count = table.cards.once(Vec::len).max(1);
                table.at.set((nth + 1) % count);
            },
        ))
        .into()
}

/// The same place of each frame, pixel for pixel.
fn full_size(table: Table, place: Live<[i32; 2]>) -> Part {
    let cards = table.cards.get();
    let whole: Vec<(usize, Card, Option<String>)> = cards
        .into_iter()
        .enumerate()
        .map(|(nth, card)| {
            let address = table.whole_of(card.id);
            (nth, card, address)
        })
        .collect();
    if whole.iter().all(|(.., address)| address.is_none()) {
        let sentence = "Only small copies are kept. Choose the scans of this roll once more to see them at full size.";
        return el("div")
            .class("light-stage")
            .with(paragraph("light-none", sentence))
            .into();
    }
    let [across, down] = place.get();
    let all = whole.into_iter().map(|(nth, card, address)| {
        let picture = match address {
            Some(address) => picture_of(card.name.clone(), Some(address))
                .class("light-whole")
                .style("--across", percent(f64::from(across) / f64::from(STEPS)))
                .style("--down", percent(f64::from(down) / f64::from(STEPS))),
            None => el("span")
                .class("light-none")
                .says("No scan of this frame."),
        };
        frame(table, nth, &card, picture)
    });
    let slider = |id: &'static str, name: &'static str, at: i32, which: usize| {
        hold(
            id,
            name,
            [0, STEPS],
            at,
            format!("{at} % of the way"),
            move |to| {
                place.update(|place| place[which] = to);
            },
        )
        .class("slide")
    };
    parts![
        strip(table, all.collect()),
        el("div")
            .class("light-places")
            .with(slider("light-across", "Place across", across, 0))
            .with(slider("light-down", "Place from the top", down, 1)),
    ]
}

/// The verdict on the frame that is judged now.
fn verdict(table: Table) -> Part {
    let Some(card) = current(table) else {
        return Part::Nothing;
    };
    let id = card.id;
    let given = table.roll.with(|_, roll| {
        let verdict = roll.frame(id)?.verdict.clone();
        Some(verdict)
    });
    let given = given.flatten();
    let grades = GRADES.map(|(grade, word)| {
        let is = given.as_ref().is_some_and(|given| given.grade == grade);
        button("grade", word, move || table.grade(id, grade))
            .attr("aria-pressed", if is { "true" } else { "false" })
    });
    let ticks = Tick::ALL.into_iter().map(|tick| {
        let on = given
            .as_ref()
            .is_some_and(|given| given.ticks.contains(&tick));
        let set = move |ticked| table.tick(id, tick, ticked);
        tick_box(
            "pick",
            tick.words().to_owned(),
            tick.words(),
            [on, given.is_none()],
            set,
        )
    });
    el("div")
        .class("light-verdict")
        .with(
            el("div")
                .class("grades")
                .attr("role", "group")
                .named("Verdict")
                .all(grades),
        )
        .with(
            el("div")
                .class("light-ticks")
                .attr("role", "group")
                .named("What it shows")
                .all(ticks),
        )
        .into()
}

/// On to the next picture or scene, or back. Two at a time there are no pictures to go to.
fn foot(table: Table, in_pairs: bool, turn: impl Fn(bool) + Copy + 'static) -> Element {
    let last = table.cards.with(Vec::len).saturating_sub(1);
    let further = scene_beside(table, true).is_some();
    let next_scene = move || button("main", "Next scene", move || turn(true));
    if in_pairs {
        let before = scene_beside(table, false).is_none();
        return row([
            button("", "Previous scene", move || turn(false)).flag("disabled", before),
            next_scene().flag("disabled", !further),
        ])
        .class("large-foot");
    }
    row([
        button("", "Previous picture", move || step(table, false)),
        if table.at.get() >= last && further {
            next_scene()
        } else {
            button("", "Next picture", move || step(table, true))
        },
    ])
    .class("large-foot")
}
