//! Scenes without a meter: tables side by side.

use exposure::words;
use leptos::prelude::*;
use readings::{
    scenes::{Daylight, HOURS, SCENES, Shadow, Side, Subject, Table, Within},
    sky::CAUTION,
};

use super::{
    found::{Outcome, by_place, field, offer, picked},
    room::Room,
};
use crate::{
    form::{choice, fixed},
    piece::flag,
};

pub(super) fn page(room: Room) -> AnyView {
    let kind = field("daylight");
    let (shadow, table, side, subject) = (field("1"), field("0"), field("0"), field("1"));
    let (scene, within) = (field("0"), field("1"));
    let is = move |key: &'static str| flag(move || kind.with(|kind| kind != key));
    let shadow_of = move || picked(&Shadow::ALL, &shadow.get()).unwrap_or(Shadow::Distinct);
    let table_of = move || picked(&Table::ALL, &table.get()).unwrap_or(Table::Ansi);
    let found = Signal::derive(move || -> Outcome {
        let found = if kind.with(|kind| kind == "daylight") {
            Daylight {
                shadow: shadow_of(),
                table: table_of(),
                side: picked(&Side::ALL, &side.get()).unwrap_or(Side::Front),
                subject: picked(&Subject::ALL, &subject.get()).unwrap_or(Subject::Average),
            }
            .found()
        } else {
            let within = picked(
                &[Within::Dim, Within::Middle, Within::Bright],
                &within.get(),
            );
            picked(&SCENES, &scene.get())
                .ok_or_else(unreachable_scene)?
                .found(within.unwrap_or(Within::Middle))
        };
        found.map_err(|error| error.to_string())
    });
    let side_by_side = move || {
        let shadow = shadow_of();
        Table::ALL
            .into_iter()
            .map(|table| view! { <li>{says(shadow, table)}</li> })
            .collect_view()
    };
    let no_sides = flag(move || !shadow_of().is_sunny());
    // Against the light a camera is pointed near the sun.
    let not_near_the_sun =
        flag(move || no_sides.get() || picked(&Side::ALL, &side.get()) != Some(Side::Back));
    let names = SCENES
        .iter()
        .map(|scene| format!("{}: {}, {}", scene.group, scene.name, scene.in_words()))
        .collect::<Vec<_>>();
    let scenes = by_place(names.iter().map(String::as_str));
    view! {
        <div class="form">
            {choice(
                "scene-kind",
                "Which light",
                fixed([("daylight", "Daylight, by its shadows"), ("scene", "Dusk, night or indoors")]),
                kind,
            )}
        </div>
        <div hidden=is("daylight")>
            <div class="form">
                {choice(
                    "scene-shadow",
                    "Shadows",
                    Signal::stored(by_place(Shadow::ALL.map(Shadow::name))),
                    shadow,
                )}
                {choice(
                    "scene-table",
                    "Table that is used",
                    Signal::stored(by_place(Table::ALL.map(Table::name))),
                    table,
                )}
                <div hidden=no_sides>
                    {choice(
                        "scene-side",
                        "The sun lights it from",
                        Signal::stored(by_place(["the front", "the side", "behind"])),
                        side,
                    )}
                </div>
                {choice(
                    "scene-subject",
                    "Subject",
                    Signal::stored(by_place(Subject::ALL.map(Subject::name))),
                    subject,
                )}
            </div>
            <p class="warning" hidden=not_near_the_sun>
                {CAUTION}
            </p>
            <h3>"What each table says of these shadows"</h3>
            <ul class="list" aria-label="What each table says">
                {side_by_side}
            </ul>
            <p class="reason">{HOURS}</p>
        </div>
        <div hidden=is("scene")>
            <div class="form">
                {choice("scene-scene", "Scene", Signal::stored(scenes), scene)}
                {choice(
                    "scene-within",
                    "Of a range",
                    fixed([("0", "the dimmer figure"), ("1", "the middle"), ("2", "the brighter figure")]),
                    within,
                )}
            </div>
        </div>
        {offer(room, found)}
    }
    .into_any()
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
