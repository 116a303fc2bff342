//! Scenes without a meter: tables side by side.

use exposure::words;
use readings::{
    scenes::{Daylight, HOURS, SCENES, Shadow, Side, Subject, Table, Within},
    sky::CAUTION,
};

use super::{
    found::{Outcome, by_place, offer, picked},
    room::Room,
};
use crate::{
    form::{choice, fixed, only, when},
    live::Live,
    parts::{Element, Part, el, follows, parts},
    piece::paragraph,
};

const KINDS: [(&str, &str); 2] = [
    (DAYLIGHT, "Daylight, by its shadows"),
    (SCENE, "Dusk, night or indoors"),
];
const DAYLIGHT: &str = "daylight";
const SCENE: &str = "scene";

const WITHIN: [(&str, &str); 3] = [
    ("0", "the dimmer figure"),
    ("1", "the middle"),
    ("2", "the brighter figure"),
];

/// What is chosen, each by its place in its list.
#[derive(Clone, Copy)]
struct Form {
    kind: Live<String>,
    shadow: Live<String>,
    table: Live<String>,
    side: Live<String>,
    subject: Live<String>,
    scene: Live<String>,
    within: Live<String>,
}

impl Form {
    fn shadow(self) -> Shadow {
        picked(&Shadow::ALL, &self.shadow.get()).unwrap_or(Shadow::Distinct)
    }

    fn side(self) -> Side {
        picked(&Side::ALL, &self.side.get()).unwrap_or(Side::Front)
    }

    fn found(self) -> Outcome {
        let found = if self.kind.get() == DAYLIGHT {
            Daylight {
                shadow: self.shadow(),
                table: picked(&Table::ALL, &self.table.get()).unwrap_or(Table::Ansi),
                side: self.side(),
                subject: picked(&Subject::ALL, &self.subject.get()).unwrap_or(Subject::Average),
            }
            .found()
        } else {
            let within = [Within::Dim, Within::Middle, Within::Bright];
            let within = picked(&within, &self.within.get());
            picked(&SCENES, &self.scene.get())
                .ok_or_else(unreachable_scene)?
                .found(within.unwrap_or(Within::Middle))
        };
        found.map_err(|error| error.to_string())
    }
}

pub(super) fn page(room: Room) -> Part {
    let start = |key: &str| Live::new(key.to_owned());
    let form = Form {
        kind: start(DAYLIGHT),
        shadow: start("1"),
        table: start("0"),
        side: start("0"),
        subject: start("1"),
        scene: start("0"),
        within: start("1"),
    };
    let kinds = choice("scene-kind", "Which light", fixed(KINDS), form.kind);
    parts![
        el("div").class("form").with(kinds),
        when(form.kind, &[DAYLIGHT], daylight(form)),
        when(form.kind, &[SCENE], scene(form)),
        offer(room, move || form.found()),
    ]
}

fn daylight(form: Form) -> Part {
    let shadows = by_place(&Shadow::ALL.map(Shadow::name));
    let tables = by_place(&Table::ALL.map(Table::name));
    let sides = by_place(&["the front", "the side", "behind"]);
    let subjects = by_place(&Subject::ALL.map(Subject::name));
    let side = choice("scene-side", "The sun lights it from", sides, form.side);
    let fields = el("div").class("form").all([
        choice("scene-shadow", "Shadows", shadows, form.shadow),
        choice("scene-table", "Table that is used", tables, form.table),
        only(move || form.shadow().is_sunny(), side),
        choice("scene-subject", "Subject", subjects, form.subject),
    ]);
    // Against the light a camera is pointed near the sun.
    let is_near_the_sun = move || form.shadow().is_sunny() && form.side() == Side::Back;
    parts![
        fields,
        paragraph("warning", CAUTION).hidden_when(move || !is_near_the_sun()),
        el("h3").says("What each table says of these shadows"),
        follows(move || side_by_side(form.shadow())),
        paragraph("reason", HOURS),
    ]
}

fn side_by_side(shadow: Shadow) -> Element {
    let rows = Table::ALL.map(|table| el("li").says(says(shadow, table)));
    el("ul")
        .class("list")
        .named("What each table says")
        .all(rows)
}

fn scene(form: Form) -> Element {
    let names = SCENES.map(|scene| {
        let (group, name) = (scene.group, scene.name);
        format!("{group}: {name}, {}", scene.in_words())
    });
    let scenes = by_place(&names.each_ref().map(String::as_str));
    el("div").class("form").all([
        choice("scene-scene", "Scene", scenes, form.scene),
        choice("scene-within", "Of a range", fixed(WITHIN), form.within),
    ])
}

/// The list of scenes is never empty; said all the same, for nothing on a page breaks off.
fn unreachable_scene() -> String {
    "There is no such scene.".to_owned()
}

fn says(shadow: Shadow, table: Table) -> String {
    let Some(figure) = shadow.figure(table) else {
        return format!("{}: nothing.", table.name());
    };
    let light = figure
        .light()
        .map_or_else(|error| error.to_string(), words::light);
    if figure.note.is_empty() {
        format!("{}: {light}. {}", table.name(), table.about())
    } else {
        format!(
            "{}: {light}; {}. {}",
            table.name(),
            figure.note,
            table.about()
        )
    }
}
