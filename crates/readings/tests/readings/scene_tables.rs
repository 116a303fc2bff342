//! Published tables of scenes, side by side.

use exposure::Stops;
use readings::{
    LineKind,
    scenes::{Daylight, SCENES, Shadow, Side, Subject, Table, Within, apart},
};

use crate::check::{EXACT, close, marks, number, rows, sound};

fn daylight(shadow: Shadow, table: Table) -> Daylight {
    Daylight {
        shadow,
        table,
        side: Side::Front,
        subject: Subject::Average,
    }
}

fn shadow(name: &str) -> Shadow {
    match name {
        "snow" => Shadow::Snow,
        "distinct" => Shadow::Distinct,
        "soft" => Shadow::Soft,
        "faint" => Shadow::Faint,
        "cloudy" => Shadow::Cloudy,
        "overcast" => Shadow::Overcast,
        "open shade" => Shadow::OpenShade,
        _ => panic!("no shadow is called {name}"),
    }
}

#[test]
fn daylight_as_published() {
    for row in rows("daylight.csv", include_str!("../data/daylight.csv")) {
        let shadow = shadow(row[0]);
        for (cell, table) in [
            (row[1], Table::Navy),
            (row[2], Table::Army),
            (row[3], Table::Ansi),
            (row[4], Table::Thumb),
        ] {
            let found = daylight(shadow, table).found();
            if cell.is_empty() {
                let refused = found.expect_err("nothing published");
                assert!(refused.to_string().contains("another table"), "{refused}");
                continue;
            }
            let found = found.expect("published");
            sound(&found);
            // The first two and the last count stops from f/16 at 1/ISO; the third states EV.
            let expected = if table == Table::Ansi {
                number(cell)
            } else {
                14.0 + 2.0 / 3.0 - number(cell)
            };
            close(
                format!("{} by {}", row[0], table.name()),
                found.light().get(),
                expected,
                EXACT,
            );
            assert!(found.from.starts_with("scene table: "), "{}", found.from);
        }
    }
}

/// Navy examples and the rule itself: f/16 at 1/ISO. Tables of stops are shown with the aperture that they name.
#[test]
fn tables_of_stops_keep_their_aperture() {
    for (shadow, aperture) in [
        (Shadow::Snow, "f/22"),
        (Shadow::Distinct, "f/16"),
        (Shadow::Faint, "f/11"),
        (Shadow::Cloudy, "f/8"),
        (Shadow::Overcast, "f/5.6"),
        (Shadow::OpenShade, "f/5.6"),
    ] {
        let found = daylight(shadow, Table::Navy).found().expect("published");
        assert_eq!(marks(&found), format!("1/100 {aperture} ISO 100"));
    }
}

/// "Cloudy bright" is one stop from the basic exposure in one table and two in another; that stays visible.
#[test]
fn disagreement_is_shown() {
    assert!(
        apart(Shadow::Faint) >= Stops::constant(1.0),
        "cloudy bright"
    );
    let found = daylight(Shadow::Faint, Table::Ansi)
        .found()
        .expect("published");
    assert!(
        found.uncertainty.contains("up to one stop apart"),
        "{}",
        found.uncertainty
    );
    let note = Shadow::Snow.figure(Table::Army).expect("published").note;
    assert!(
        note.contains("SS0508"),
        "the contradiction is named: {note}"
    );
}

/// US Army SS0508: side light opens one stop, back light two, not under clouds; dark subjects twice the exposure.
#[test]
fn sides_and_subjects() {
    let mut scene = daylight(Shadow::Distinct, Table::Ansi);
    for (side, expected) in [(Side::Front, 15.0), (Side::Side, 14.0), (Side::Back, 13.0)] {
        scene.side = side;
        let found = scene.found().expect("published");
        sound(&found);
        close(side.name(), found.light().get(), expected, EXACT);
    }
    scene.side = Side::Front;
    for (subject, expected) in [
        (Subject::Dark, 14.0),
        (Subject::Average, 15.0),
        (Subject::Bright, 16.0),
        (Subject::Brilliant, 17.0),
    ] {
        scene.subject = subject;
        let found = scene.found().expect("published");
        sound(&found);
        close(subject.name(), found.light().get(), expected, EXACT);
    }
    let clouded = Daylight {
        side: Side::Back,
        ..daylight(Shadow::Overcast, Table::Ansi)
    };
    let found = clouded.found().expect("published");
    close("no side under clouds", found.light().get(), 12.0, EXACT);
    assert!(
        found.lines.iter().all(|line| line.kind != LineKind::Scene),
        "{found:?}"
    );
}

#[test]
fn scenes_as_published() {
    let published = rows("scenes.csv", include_str!("../data/scenes.csv"));
    assert_eq!(
        published.len(),
        SCENES.len(),
        "every row of the table is there"
    );
    for (row, scene) in published.iter().zip(SCENES) {
        assert_eq!(row[0].replace(';', ","), scene.name);
        let (dim, bright) = scene.figures();
        close(row[0], dim, number(row[1]), EXACT);
        close(row[0], bright, number(row[2]), EXACT);
        for (within, expected) in [
            (Within::Dim, dim),
            (Within::Middle, f64::midpoint(dim, bright)),
            (Within::Bright, bright),
        ] {
            let found = scene.found(within).expect("a reading");
            sound(&found);
            close(scene.name, found.light().get(), expected, EXACT);
        }
    }
}
