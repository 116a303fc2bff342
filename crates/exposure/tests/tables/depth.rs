//! Depth of field, circles of confusion and diffraction.

use exposure::{Circle, DepthOfField, FORMATS, Format, Sharp, diffraction, words};

use crate::check::{EXACT, Table, close, close_relative, same};

const FOOT: f64 = 304.8;
const INCH: f64 = 25.4;

fn field(focal: f64, distance: f64, circle: f64) -> DepthOfField {
    DepthOfField::new(focal, Some(distance), circle).expect("a lens at a focus")
}

#[track_caller]
fn format(id: &str) -> &'static Format {
    FORMATS
        .iter()
        .find(|format| format.id == id)
        .unwrap_or_else(|| panic!("{id} is a format"))
}

#[test]
fn exact_formulas() {
    let table = Table::read(
        "depth_of_field.csv",
        include_str!("../data/depth_of_field.csv"),
    );
    for row in table.rows() {
        let field = field(row.number("focal"), row.number("s"), row.number("c"));
        let n = row.number("n");
        let what = format!("{} mm f/{n} at {} mm", row.text("focal"), row.text("s"));
        close_relative(
            format!("hyperfocal, {what}"),
            field.hyperfocal(n),
            row.number("hyperfocal"),
            table.tolerance,
        );
        let sharp = field.at(n);
        close_relative(
            format!("near, {what}"),
            sharp.near,
            row.number("near"),
            table.tolerance,
        );
        match row.text("far") {
            "none" => assert_eq!(sharp.far, None, "far, {what}"),
            _ => close_relative(
                format!("far, {what}"),
                sharp.far.expect("an end"),
                row.number("far"),
                table.tolerance,
            ),
        }
    }
}

/// NAVEDTRA 14209: 155 mm (6.1 in) at f/2.8 has its hyperfocal distance at 554 ft; c 0.002 in is inferred, it reproduces it.
/// The manual leaves out the focal length that is added, half a foot. US Army SS0507: 50 mm taken as 2 in, f/8: 20.8 ft.
#[test]
fn manuals_hyperfocal() {
    let circle = Circle::Manuals.of(format("24x36")).unwrap();
    close("0.002 in", circle, 0.002 * INCH, EXACT);
    let long = field(155.0, 10.0 * FOOT, circle);
    close(
        "155 mm f/2.8",
        (long.hyperfocal(2.8) - 155.0) / FOOT,
        554.1,
        0.0001,
    );
    let inches = field(6.1 * INCH, 10.0 * FOOT, circle);
    close(
        "6.1 in f/2.8",
        (inches.hyperfocal(2.8) - 6.1 * INCH) / FOOT,
        553.7,
        0.0001,
    );
    // Focused at 10 ft, printed 9.8 to 10.2 ft: by the exact formulas 9.83 and 10.18 ft.
    let sharp = long.at(2.8);
    close("near", sharp.near / FOOT, 9.8, 0.005);
    close("far", sharp.far.unwrap() / FOOT, 10.2, 0.005);
    let short = field(2.0 * INCH, 20.833 * FOOT, circle);
    close(
        "2 in f/8",
        (short.hyperfocal(8.0) - 2.0 * INCH) / FOOT,
        20.833,
        0.0001,
    );
}

/// Focused at the hyperfocal distance, everything from half of it to infinity is sharp; at infinity, from there on.
#[test]
fn hyperfocal_focus() {
    let lens = field(50.0, 5000.0, 0.03);
    let hyperfocal = lens.hyperfocal(8.0);
    let there = field(50.0, hyperfocal, 0.03).at(8.0);
    assert_eq!(there.far, None, "infinity is sharp");
    close_relative("half of it", there.near, hyperfocal / 2.0, EXACT);
    let endless = DepthOfField::new(50.0, None, 0.03).unwrap();
    assert_eq!(endless.at(8.0).far, None, "focused on infinity");
    close_relative("from there", endless.at(8.0).near, hyperfocal - 50.0, EXACT);
    close("no magnification", endless.magnification(), 0.0, EXACT);
    // The far end of a focus a hair nearer is very far, and a number.
    let hair = field(50.0, hyperfocal.next_down(), 0.03).at(8.0);
    assert!(
        hair.far.is_some_and(|far| far.is_finite() && far > 1e9),
        "got {hair:?}"
    );
}

/// Case 4: 75 mm at 3 m, c 0.05: the sharp zone shrinks from 1.87 m at f/11 to 0.63 m at f/4. [CALC]
#[test]
fn case_4_depth_of_a_bracket() {
    let lens = field(75.0, 3000.0, 0.05);
    for (n, printed) in [(11.0, 1.87), (4.0, 0.63)] {
        let sharp = lens.at(n);
        let deep = (sharp.far.unwrap() - sharp.near) / 1000.0;
        close(format!("f/{n}"), deep, printed, 0.005);
    }
}

#[test]
fn diffraction_table() {
    let table = Table::read("diffraction.csv", include_str!("../data/diffraction.csv"));
    for row in table.rows() {
        close(
            format!("f/{}", row.text("n")),
            diffraction(row.number("n"), 0.0) * 1000.0,
            row.number("micrometres"),
            table.tolerance,
        );
    }
    // At life size the lens stands twice as far from the film and the disc is twice as wide.
    close_relative(
        "life size",
        field(50.0, 100.0, 0.03).diffraction(16.0),
        2.0 * diffraction(16.0, 0.0),
        EXACT,
    );
    let lens = field(50.0, 5000.0, 0.03);
    assert!(!lens.diffraction_shows(22.0), "29.8 µm is within 30 µm");
    assert!(lens.diffraction_shows(32.0), "43 µm is beyond 30 µm");
}

#[test]
fn circles_of_the_diagonal() {
    let table = Table::read("circles.csv", include_str!("../data/circles.csv"));
    for row in table.rows() {
        let format = format(row.text("format"));
        close(
            format!("diagonal of {}", format.name),
            format.diagonal(),
            row.number("diagonal"),
            0.005,
        );
        for (column, circle) in [
            ("d1500", Circle::Over1500),
            ("d1730", Circle::Over1730),
            ("d1000", Circle::Over1000),
        ] {
            close(
                format!("{column} of {}", format.name),
                circle.of(format).unwrap(),
                row.number(column),
                table.tolerance,
            );
        }
    }
    assert_eq!(
        table.rows().count(),
        FORMATS.len(),
        "every format is in the table"
    );
}

/// Published values that stand beside one another: 24 × 36 mm between 0.025 and 0.0508, and each has a name of its own.
#[test]
fn conventions_side_by_side() {
    let small = format("24x36");
    let mut values: Vec<f64> = Circle::ALL
        .iter()
        .filter_map(|circle| circle.of(small))
        .collect();
    assert_eq!(
        values.len(),
        Circle::ALL.len(),
        "all of them have one for it"
    );
    values.sort_by(f64::total_cmp);
    close("strictest", values[0], 0.0250, 0.000_05);
    close("loosest", values[6], 0.0508, EXACT);
    for (id, film_era) in [
        ("24x36", Some(0.03)),
        ("6x4.5", Some(0.05)),
        ("6x6", Some(0.06)),
        ("6x7", Some(0.065)),
        ("4x5in", None),
    ] {
        assert_eq!(
            Circle::FilmEra.of(format(id)),
            film_era,
            "film-era value of {id}"
        );
    }
    for (i, one) in Circle::ALL.iter().enumerate() {
        for other in &Circle::ALL[i + 1..] {
            assert!(
                one.id() != other.id() && one.name() != other.name(),
                "{one:?} and {other:?}"
            );
        }
    }
}

#[test]
fn what_is_no_focus() {
    for (focal, distance, circle) in [
        (50.0, Some(50.0), 0.03),
        (50.0, Some(20.0), 0.03),
        (50.0, Some(f64::NAN), 0.03),
        (50.0, Some(2e7), 0.03),
        (0.0, Some(2000.0), 0.03),
        (50.0, None, 0.0),
        (50.0, None, f64::INFINITY),
    ] {
        assert!(
            DepthOfField::new(focal, distance, circle).is_err_and(|error| error.is_range()),
            "{focal} {distance:?} {circle}"
        );
    }
}

#[test]
fn depths_in_words() {
    for (mm, expected) in [
        (Some(85.0), "0.085 m"),
        (Some(353.4), "0.353 m"),
        (Some(999.6), "1 m"),
        (Some(1870.2), "1.87 m"),
        (Some(9_996.0), "10 m"),
        (Some(12_000.0), "12 m"),
        (Some(12_340.0), "12.3 m"),
        (Some(223_214.29), "223 m"),
        (Some(999_400.0), "999 m"),
        (Some(1_868_300.0), "1.9 km"),
        (Some(9_990_000.0), "10 km"),
        (Some(12_345_000.0), "more than 10 km"),
        (None, "infinity"),
    ] {
        same(format!("{mm:?}"), &words::distance(mm), expected);
    }
    for (near, far, expected) in [
        (1900.0, Some(3200.0), "sharp from 1.9 m to 3.2 m"),
        (1684.64, Some(2460.63), "sharp from 1.68 m to 2.46 m"),
        (5233.3, None, "sharp from 5.23 m to infinity"),
        (1998.4, Some(2001.6), "sharp from 1.998 m to 2.002 m"),
        (99.9, Some(100.1), "sharp from 0.0999 m to 0.1001 m"),
        (5114.57, Some(223_214.29), "sharp from 5.11 m to 223 m"),
        (2000.0, Some(2000.0), "sharp from 2 m to 2 m"),
        (5233.0, Some(1_868_300.0), "sharp from 5.23 m to 1.9 km"),
        (
            5233.0,
            Some(1_868_300_000.0),
            "sharp from 5.23 m to more than 10 km",
        ),
    ] {
        same(
            format!("{near} to {far:?}"),
            &words::depth(&Sharp { near, far }),
            expected,
        );
    }
}
