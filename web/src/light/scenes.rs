//! Scenes without a meter: tables side by side.

use exposure::{Axis, words};
use readings::{
    LIGHT,
    scenes::{Daylight, HOURS, SCENES, Shadow, Side, Subject, Table, Within, daylight_line},
    sky::CAUTION,
};

use super::{
    found::{MOST_EV, Outcome, by_place, ev, offering, picked},
    room::Room,
    shadows,
};
use crate::{
    drawn,
    form::{Look, choice, fixed, looks, only, when},
    live::Live,
    parts::{Element, Part, el, parts},
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
    let shown = parts![
        el("div").class("form").with(kinds),
        when(form.kind, &[DAYLIGHT], daylight(form)),
        when(form.kind, &[SCENE], scene(form)),
    ];
    offering(room, shown, move || form.found())
}

fn daylight(form: Form) -> Part {
    let shadows = || {
        let look = |(at, shadow): (usize, Shadow)| Look {
            key: at.to_string(),
            name: shadow.name().to_owned(),
            words: String::new(),
            drawing: shadows::drawing(shadow).into(),
        };
        Shadow::ALL.into_iter().enumerate().map(look).collect()
    };
    let tables = move || {
        let (line, shadow) = (daylight_line(), form.shadow());
        let look = |(at, table): (usize, Table)| said_by(at, table, shadow, line);
        Table::ALL.into_iter().enumerate().map(look).collect()
    };
    let sides = by_place(&["the front", "the side", "behind"]);
    let subjects = by_place(&Subject::ALL.map(Subject::name));
    let side = choice("scene-side", "The sun lights it from", sides, form.side);
    // Against the light a camera is pointed near the sun.
    let is_near_the_sun = move || form.shadow().is_sunny() && form.side() == Side::Back;
    let line = daylight_line();
    parts![
        looks("scene-shadow", "Shadows", "sketches", shadows, form.shadow),
        el("div").class("form").all([
            only(move || form.shadow().is_sunny(), side),
            choice("scene-subject", "Subject", subjects, form.subject),
        ]),
        paragraph("warning", CAUTION).hidden_when(move || !is_near_the_sun()),
        looks(
            "scene-table",
            "What each table says of these shadows: EV at ISO 100",
            "rules",
            tables,
            form.table
        ),
        drawn::line_scale(line, MOST_EV, ev),
        paragraph("reason", HOURS),
    ]
}

/// What a table says of a light, on the line of all tables.
fn said_by(at: usize, table: Table, shadow: Shadow, line: Axis) -> Look {
    let figure = shadow.figure(table);
    let light = figure.and_then(|figure| figure.light().ok());
    let says = light.map_or_else(|| "nothing".to_owned(), words::light);
    let note = figure.map_or("", |figure| figure.note);
    let stop = if note.is_empty() { "" } else { ". " };
    let dots = light.map(|light| drawn::dot(line, "dot", light.get()));
    Look {
        key: at.to_string(),
        name: format!("{}: {says}", table.name()),
        words: format!("{note}{stop}{}", table.about()),
        drawing: drawn::track(line, MOST_EV, dots.into_iter().collect()).into(),
    }
}

fn scene(form: Form) -> Element {
    let scenes = || {
        let look = |(at, scene): (usize, readings::scenes::Scene)| {
            let (dim, bright) = scene.figures();
            let band = drawn::band(LIGHT, "band", dim, bright);
            Look {
                key: at.to_string(),
                name: format!("{}: {}, {}", scene.group, scene.name, scene.in_words()),
                words: String::new(),
                drawing: drawn::track(LIGHT, MOST_EV, vec![band]).into(),
            }
        };
        SCENES.into_iter().enumerate().map(look).collect()
    };
    let within = choice("scene-within", "Of a range", fixed(WITHIN), form.within);
    el("div")
        .with(el("div").class("form").with(within))
        .with(looks("scene-scene", "Scene", "rules", scenes, form.scene))
        .with(drawn::line_scale(LIGHT, MOST_EV, ev))
}

/// The list of scenes is never empty; said all the same, for nothing on a page breaks off.
fn unreachable_scene() -> String {
    "There is no such scene.".to_owned()
}
