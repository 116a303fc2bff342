//! A film-speed test: steps typed, the curve drawn, what can be read off it, and the result written to its group.

use book::{Book, Edit, FilmTest, Group, Key, Kind, Speed, TestBy, TestStep, tests_of};
use exposure::{Axis, words};
use scans::{
    speed::{limits, rounded},
    typed::{By, Tested, Typed as TypedTest},
};

use super::room::{Place, Room};
use crate::{
    choice::Options,
    drawn::{Plot, figure, line_scale},
    form::{self, Typed, choice, entry},
    live::{Live, Worked},
    moment::today,
    parts::{Element, Part, el, follows, parts},
    piece::{button, button_unless, columns, paragraph, row, said},
};

/// The form as it is half typed: by frames or tablet, metered at, light on the tablet, more or less, steps, base plus fog,
/// calibration, conditions; and the group that it is for.
pub(super) type Form = [Typed; 9];

const STARTS: [&str; 9] = ["frames", "", "0", "more", "", "", "", "", ""];

/// An empty form, or what was half typed in it.
pub(super) fn new_form() -> Form {
    form::half_typed("speed-test", STARTS)
}

/// What was half typed for another film is none of this one's.
fn begin(form: Form, group: &Group, box_speed: Speed) {
    let this = format!("{} {} {}", group.stock, group.batch, group.storage.words());
    if form[8].now() != this {
        for (typed, start) in form.into_iter().zip(STARTS) {
            typed.set(start);
        }
        form[8].set(this);
    }
    if form[1].now().is_empty() {
        form[1].set(box_speed.shown());
    }
}

/// The way to the page, on that of the batch.
pub(super) fn way(room: Room, group: &Group) -> Part {
    let group = group.clone();
    row([button("", "Film-speed test", move || {
        room.go(Place::SpeedTest(group.clone()));
    })])
    .into()
}

pub(super) fn page(room: Room, group: Group) -> Part {
    let about = {
        let group = group.clone();
        move |book: &Book| {
            let stock = book.stock(&group.stock)?;
            Some((stock.film.kind(), stock.box_speed))
        }
    };
    let Some((film, box_speed)) = room.once(about) else {
        return Part::Many(Vec::new());
    };
    let form = room.test_typed;
    begin(form, &group, box_speed);
    // What is wrong is said when a field is left, not at each letter.
    let left = Live::new(true);
    let worked = Worked::new(move || understood(form));
    let of_group = group.clone();
    columns([
        parts![
            paragraph("reason", limits(film)),
            fields(form)
                .on("input", move |_| left.set(false))
                .on("change", move |_| left.set(true))
                .on("focusout", move |_| left.set(true)),
            follows(move || {
                let wrong = worked.with(|worked| worked.as_ref().err().cloned());
                let wrong = wrong.filter(|_| left.get());
                said("field-error", wrong.unwrap_or_default()).attr("role", "alert")
            }),
        ],
        parts![
            follows(move || worked.with(|worked| worked.as_ref().ok().map(shown))),
            write(room, group, box_speed, worked),
        ],
        follows(move || room.with(|book| written(room, book, &of_group))),
    ])
    .into()
}

fn fields(form: Form) -> Element {
    let [
        by,
        metered,
        light,
        way,
        steps,
        fog,
        calibration,
        conditions,
        _,
    ] = form;
    let ways = || -> Options {
        [
            ("frames", "Frames at known exposures"),
            ("tablet", "A step tablet on one frame"),
        ]
        .map(|(key, name)| (key.to_owned(), name.to_owned()))
        .into()
    };
    let sides = || -> Options {
        ["more", "less"]
            .map(|side| (side.to_owned(), format!("{side} light than metered")))
            .into()
    };
    el("div")
        .class("form")
        .with(choice(
            "test-by",
            "How the exposures are known",
            ways,
            by.text(),
        ))
        .with(entry(
            "test-metered",
            "Metered at (EI)",
            "An even grey surface that fills the frame.",
            metered,
        ))
        .with(follows(move || {
            (by.get() == "tablet").then(|| {
                parts![
                    entry(
                        "test-light",
                        "Light on the frame with the tablet (stops)",
                        "How far it was from what was metered, such as 5.",
                        light,
                    ),
                    choice("test-side", "That is", sides, way.text()),
                ]
            })
        }))
        .with(area(
            "test-steps",
            "Steps",
            "Frames: how much light and the density, such as 2 less 0.38; 0 0.66; 1 more 0.84. Tablet: the density of its step and \
             that of the film, such as 0.20 1.13.",
            steps,
        ))
        .with(entry(
            "test-fog",
            "Base plus fog",
            "A piece that got no light. Leave it empty where two steps are alike.",
            fog,
        ))
        .with(area(
            "test-calibration",
            "Calibration, where codes of a scan are typed in the place of densities",
            "Steps of known density, scanned with the same fixed setting: code and density, such as 200 0.20; 118 0.80. Nothing is \
             guessed beyond them.",
            calibration,
        ))
        .with(entry(
            "test-conditions",
            "Conditions",
            "Developer, time, temperature: they belong to the result.",
            conditions,
        ))
}

/// A field of several lines.
fn area(id: &'static str, label: &'static str, hint: &'static str, typed: Typed) -> Element {
    let text = typed.text();
    el("div")
        .class("field")
        .with(el("label").attr("for", id).says(label))
        .with(follows(move || {
            el("textarea")
                .id(id)
                .attr("rows", "5")
                .attr("spellcheck", "false")
                .attr("autocomplete", "off")
                .attr("aria-describedby", format!("{id}-hint"))
                .value(text.get())
                .on("input", move |event| text.set(event.value()))
        }))
        .with(el("p").class("hint").id(format!("{id}-hint")).says(hint))
}

/// The test as it is typed by now, or what is wrong with it.
fn understood(form: Form) -> Result<Tested, String> {
    let [by, metered, light, way, steps, fog, calibration, ..] = form.map(Typed::get);
    let speed = Speed::parse(metered.trim()).map_err(|error| error.to_string())?;
    let by = if by == "tablet" {
        let size = words::parse_stops(&light).map_err(|error| error.to_string())?;
        By::Tablet(if way == "less" { -size } else { size })
    } else {
        By::Frames
    };
    let typed = TypedTest {
        by,
        metered: speed.as_box().iso(),
        steps: &steps,
        fog: &fog,
        calibration: &calibration,
    };
    typed.tested().map_err(|error| error.to_string())
}

/// The curve with its points, and what is read off it.
fn shown(tested: &Tested) -> Part {
    let rows = tested.read.rows().into_iter().map(|(name, words)| {
        el("li")
            .with(el("span").class("rule-name").says(name))
            .with(el("span").says(format!(": {words}")))
    });
    parts![
        figure("Curve", tested.words(), curve(tested)),
        el("h3").says("What can be read off it"),
        el("ul").class("list").named("Results").all(rows),
    ]
}

fn curve(tested: &Tested) -> Element {
    let points = tested.points();
    let fog = tested.read.fog.ok();
    let across = points.iter().map(|point| point[0]);
    let up = points.iter().map(|point| point[1]).chain(fog).chain([0.0]);
    let plot = Plot {
        x: Axis::around(across, 4.0),
        y: Axis::around(up, 1.0),
    };
    let heights = plot.y.ticks(6);
    let mut pieces: Vec<Element> = heights
        .iter()
        .map(|at| plot.height(*at, words::decimal(*at, 1)))
        .collect();
    pieces.push(plot.curve("known", &points));
    if let Some(fog) = fog {
        let ends = [[plot.x.from(), fog], [plot.x.to(), fog]];
        pieces.push(plot.curve("second", &ends));
    }
    pieces.extend(points.iter().map(|point| plot.dot("dot small", *point)));
    let marks = tested.marks();
    pieces.extend(marks.iter().map(|mark| plot.dot("ring", *mark)));
    let stops = |stops: f64| {
        if stops.abs() < 1e-9 {
            return "metered".to_owned();
        }
        let side = if stops < 0.0 { "less" } else { "more" };
        format!("{} {side}", words::decimal(stops.abs(), 1))
    };
    el("div")
        .with(plot.field([7, 6], pieces))
        .with(line_scale(plot.x, 5, stops))
        .with(paragraph(
            "reason",
            "Density upwards; stops more or less light than metered across. Rings: the speed point, and 1.30 beyond it. Broken line: \
             base plus fog.",
        ))
}

/// Writes the result to the group, as it stands that day.
fn write(
    room: Room,
    group: Group,
    box_speed: Speed,
    worked: Worked<Result<Tested, String>>,
) -> Part {
    let is_empty =
        move || worked.with(|worked| !worked.as_ref().is_ok_and(|tested| !tested.steps.is_empty()));
    let keep = move || {
        let form = room.test_typed;
        let Ok(tested) = worked.now() else { return };
        let Ok(metered) = Speed::parse(&form[1].now()) else {
            return;
        };
        let id = room.once(|book| book.new_id(Kind::Test, &group.batch));
        let by = if form[0].now() == "tablet" {
            TestBy::Tablet
        } else {
            TestBy::Frames
        };
        let test = FilmTest {
            by,
            metered,
            conditions: form[7].now(),
            ..record(&tested, id, &group, box_speed)
        };
        if room.edit(&Edit::Tested(test)) {
            // The next one begins anew; how it is made stays.
            for typed in [form[4], form[5], form[6], form[7]] {
                typed.set("");
            }
        }
    };
    row([button_unless(
        is_empty,
        "main",
        "Write this test to the group",
        keep,
    )])
    .into()
}

/// What was worked out, as it is kept.
fn record(tested: &Tested, id: String, group: &Group, box_speed: Speed) -> FilmTest {
    let read = &tested.read;
    let speed = read.speed.ok().and_then(|speed| rounded(speed).ok());
    FilmTest {
        id,
        group: group.clone(),
        on: today(),
        box_speed,
        metered: box_speed,
        by: TestBy::Frames,
        steps: tested
            .steps
            .iter()
            .map(|(more, density)| TestStep {
                more_thousandths: thousandths(more.get()),
                density_thousandths: thousandths(*density),
            })
            .collect(),
        fog_thousandths: tested.fog.map(thousandths),
        speed: speed.and_then(|mark| Speed::new(mark).ok()),
        contrast_thousandths: read.contrast.ok().map(thousandths),
        conditions: String::new(),
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "densities, and stops within what a record keeps"
)]
fn thousandths(value: f64) -> i32 {
    (value * 1000.0).round() as i32
}

/// Tests that were written to this group.
fn written(room: Room, book: &Book, group: &Group) -> Part {
    let tests = tests_of(book, group);
    if tests.is_empty() {
        return Part::Many(Vec::new());
    }
    let rows = tests.into_iter().map(|test| {
        let key = Key::new(Kind::Test, &test.id);
        let remove = move || {
            room.edit(&Edit::Remove(key.clone()));
        };
        let on = test.on.text();
        el("li")
            .with(paragraph("", format!("{on}: {}", test.words())))
            .with(row([
                button("", "Remove", remove).named(format!("Remove the test of {on}"))
            ]))
    });
    parts![
        el("h3").says("Tests of this group"),
        el("ul")
            .class("list")
            .named("Tests of this group")
            .all(rows),
    ]
}
