//! Film speeds: the printed list, its degrees, and ratings against the box.

use exposure::{Control, Mark, MeterSpeed, Scale, Steps, din_from_iso, iso_from_din};

use crate::check::{self, EXACT, Table, boxed, close, close_relative, rated, speed};

fn table() -> Table {
    Table::read("film_speeds.csv", include_str!("../data/film_speeds.csv"))
}

#[test]
fn degrees() {
    let table = table();
    for row in table.rows() {
        let printed = row.number("printed");
        let what = |of: &str| {
            format!(
                "{of} of ISO {}/{}°",
                row.text("printed"),
                row.text("degrees")
            )
        };
        close(
            what("degrees"),
            din_from_iso(printed).unwrap(),
            row.number("degrees_of_printed"),
            table.tolerance,
        );
        close(
            what("exact value"),
            iso_from_din(row.number("degrees")).unwrap(),
            row.number("exact"),
            table.tolerance,
        );
        let literal = Mark::new(Control::Sensitivity, printed, Steps::Third).unwrap();
        let by_figure = literal.place() - literal.engraving_error();
        close(
            what("Sv"),
            by_figure.get() + 5.0,
            row.number("sv_of_printed"),
            table.tolerance,
        );
        for (bound, half) in [("from", -0.5), ("to", 0.5)] {
            close_relative(
                what(bound),
                iso_from_din(row.number("degrees") + half).unwrap(),
                row.number(bound),
                table.tolerance,
            );
        }
        assert!(
            (row.number("from")..row.number("to")).contains(&printed),
            "{} rounds to its degrees",
            what("print")
        );
    }
}

/// Ten degrees are ten thirds of a stop: ×10 in degrees, ×10.08 in thirds. The list stands on thirds.
#[test]
fn list_stands_on_thirds() {
    let table = table();
    for row in table.rows() {
        let mark = speed(row.text("printed"));
        close(
            format!("stops from ISO 100 of ISO {}", row.text("printed")),
            mark.place().get(),
            (row.number("degrees") - 21.0) / 3.0,
            EXACT,
        );
        // Thirds and tenths of a decade part by 0.24 % a doubling: at most 0.022 stop over the list.
        close(
            format!("degrees of the exact value of ISO {}", row.text("printed")),
            din_from_iso(mark.exact()).unwrap(),
            row.number("degrees"),
            0.075,
        );
    }
}

/// Both ways of writing a printed speed mean the printed speed.
#[test]
fn printed_pairs_are_read() {
    for row in table().rows() {
        let (printed, degrees) = (row.text("printed"), row.text("degrees"));
        for text in [
            format!("{printed}/{degrees}°"),
            format!("ISO {printed}/{degrees}°"),
            format!("{degrees}°"),
            format!("{degrees} DIN"),
            format!("DIN {degrees}"),
        ] {
            // DIFFERENCE: 0° needs a test of its own below.
            if degrees == "0" {
                continue;
            }
            close_relative(
                format!("“{text}”"),
                speed(&text).engraved(),
                row.number("printed"),
                EXACT,
            );
        }
    }
}

/// 0° is the first speed of the list, ISO 0.8, and not a missing figure.
#[test]
fn zero_degrees_is_a_speed() {
    for text in ["0.8/0°", "0°", "0 DIN"] {
        close_relative(format!("“{text}”"), speed(text).engraved(), 0.8, EXACT);
    }
}

/// Worked examples: S 400 is 27.0206°, S 200 is 24.0103°, 13.5° is about 18; 3° double; anchor 12/12°. [SEEN]
#[test]
fn worked_degrees() {
    for (iso, degrees) in [(400.0, 27.0206), (200.0, 24.0103)] {
        close(
            format!("degrees of {iso}"),
            din_from_iso(iso).unwrap(),
            degrees,
            0.000_05,
        );
    }
    close("13.5°", iso_from_din(13.5).unwrap(), 17.782_794, 1e-6);
    close(
        "3° more",
        iso_from_din(24.0).unwrap() / iso_from_din(21.0).unwrap(),
        1.995_262,
        1e-6,
    );
    for (iso, degrees) in [("25", "15°"), ("100", "21°"), ("400", "27°"), ("12", "12°")] {
        close_relative(
            degrees,
            speed(degrees).engraved(),
            speed(iso).engraved(),
            EXACT,
        );
    }
}

/// The scale that a rating dial turns through is the printed list from 0.8 to 12 800, a third apart.
#[test]
fn rating_scale() {
    let scale = Scale::sensitivities();
    close("slowest", scale.darkest().engraved(), 0.8, EXACT);
    close("fastest", scale.brightest().engraved(), 12_800.0, EXACT);
    let thirds = scale.marks().windows(2);
    for pair in thirds {
        close(
            format!("step above ISO {}", pair[0].engraved()),
            pair[1].relative_to(&pair[0]).get(),
            1.0 / 3.0,
            EXACT,
        );
    }
    let on_list = table()
        .rows()
        .filter(|row| scale.labelled(row.number("printed")).is_some())
        .count();
    assert_eq!(
        on_list,
        table().rows().count(),
        "every printed speed is on the scale"
    );
}

/// Rating against box: positive is more light, whatever the figures.
#[test]
fn offsets_from_box() {
    for (on_box, rating, offset) in [
        ("400", "100", 2.0),
        ("400", "400", 0.0),
        ("400", "800", -1.0),
        ("160", "80", 1.0),
        ("100", "64", 2.0 / 3.0),
        ("200", "80", 4.0 / 3.0),
        ("125", "50", 4.0 / 3.0),
        ("64", "400", -8.0 / 3.0),
        ("0.8", "12800", -14.0),
    ] {
        close(
            format!("box {on_box} rated {rating}"),
            boxed(on_box).offset(rated(rating)).get(),
            offset,
            EXACT,
        );
    }
}

/// Box speed, rating and meter speed are taken from speeds only.
#[test]
fn roles_take_speeds() {
    let not_a_speed = check::aperture("8", Steps::Full);
    let results = [
        exposure::BoxSpeed::new(not_a_speed).map(|_| ()),
        exposure::ExposureIndex::new(not_a_speed).map(|_| ()),
        MeterSpeed::new(not_a_speed).map(|_| ()),
    ];
    for result in results {
        assert!(
            result.as_ref().is_err_and(exposure::Error::is_parse),
            "got {result:?}"
        );
    }
    close("ISO 64 exactly", rated("64").iso(), 62.996_052, 1e-6);
    close(
        "the device's ISO",
        MeterSpeed::new(speed("100")).unwrap().iso(),
        100.0,
        EXACT,
    );
}
