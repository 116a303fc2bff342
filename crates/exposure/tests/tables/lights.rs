//! Exposure values as luminance and illuminance.

use exposure::{Bv, Ev, Sv, light::Constants};

use crate::check::{self, EXACT, Table, close, close_relative};
use exposure::Steps;

#[test]
fn luminance_and_illuminance() {
    let table = Table::read("light.csv", include_str!("../data/light.csv"));
    let usual = Constants::default();
    let other = Constants::new(14.0, 250.0).unwrap();
    for row in table.rows() {
        let ev = Ev::new(row.number("ev")).unwrap();
        let what = |unit: &str| format!("EV {} in {unit}", row.text("ev"));
        close_relative(
            what("cd/m²"),
            usual.luminance(ev),
            row.number("cd_per_m2"),
            table.tolerance,
        );
        close_relative(
            what("lx"),
            usual.illuminance(ev),
            row.number("lux"),
            table.tolerance,
        );
        close_relative(
            what("cd/m² with K 14"),
            other.luminance(ev),
            row.number("cd_per_m2_k14"),
            table.tolerance,
        );
        // And back again.
        close(
            what("EV from cd/m²"),
            usual.ev_of_luminance(usual.luminance(ev)).unwrap().get(),
            ev.get(),
            EXACT,
        );
        close(
            what("EV from lx"),
            usual
                .ev_of_illuminance(usual.illuminance(ev))
                .unwrap()
                .get(),
            ev.get(),
            EXACT,
        );
    }
}

/// The usual table prints these rounded; they are what its rounding gives. [SEEN]
#[test]
fn the_rounded_print_of_the_usual_table() {
    let (dim, bright) = (Ev::new(-4.0).unwrap(), Ev::new(15.0).unwrap());
    let usual = Constants::default();
    close(
        "EV -4, printed 0.008 cd/m²",
        usual.luminance(dim),
        0.008,
        0.0005,
    );
    close(
        "EV -4, printed 0.156 lx",
        usual.illuminance(dim),
        0.156,
        0.0005,
    );
    close(
        "EV 15, printed 4096 cd/m²",
        usual.luminance(bright),
        4096.0,
        EXACT,
    );
}

/// ISO 2721:2013 asks automatic cameras to work from 4 to 4096 cd/m²: exactly EV 5 to EV 15 at K 12.5. [SEEN], [CALC]
#[test]
fn range_of_automatic_exposure() {
    let usual = Constants::default();
    close(
        "4 cd/m²",
        usual.ev_of_luminance(4.0).unwrap().get(),
        5.0,
        EXACT,
    );
    close(
        "4096 cd/m²",
        usual.ev_of_luminance(4096.0).unwrap().get(),
        15.0,
        EXACT,
    );
}

/// f/16 at 1/ISO is 3200 cd/m² with K 12.5, EV 14.64: 0.36 more light than the EV 15 of daylight tables. [SEEN], [CALC]
#[test]
fn f_16_at_one_over_iso() {
    let reading = check::reading("100", "1/100", "16", Steps::Engraved);
    close("EV", reading.light().get(), 14.643_856, 1e-6);
    close(
        "cd/m²",
        Constants::default().luminance(reading.light()),
        3200.0,
        EXACT,
    );
    close(
        "more light than EV 15",
        reading
            .light()
            .light_relative_to(Ev::new(15.0).unwrap())
            .get(),
        0.356_144,
        1e-6,
    );
}

/// Ev = Bv + Sv, and Bv 0 is 4 cd/m².
#[test]
fn brightness_values() {
    let ev = Ev::new(15.0).unwrap();
    let sv = Sv::new(5.0).unwrap();
    let bv = Bv::of(ev, sv);
    close("Bv of EV 15 at ISO 100", bv.get(), 10.0, EXACT);
    close("and back", bv.exposure(sv).get(), 15.0, EXACT);
    let usual = Constants::default();
    close(
        "its luminance by Bv",
        usual.luminance_of_bv(bv),
        usual.luminance(ev),
        EXACT,
    );
}

/// Light that is no light, and constants that no meter has.
#[test]
fn out_of_range() {
    let usual = Constants::default();
    for nothing in [0.0, -1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for result in [
            usual.ev_of_luminance(nothing),
            usual.ev_of_illuminance(nothing),
        ] {
            assert!(
                result.as_ref().is_err_and(exposure::Error::is_range),
                "{nothing}: got {result:?}, expected a range error"
            );
        }
    }
    for (k, c) in [
        (4.9, 250.0),
        (25.1, 250.0),
        (12.5, 99.0),
        (12.5, 701.0),
        (f64::NAN, 250.0),
        (12.5, f64::NAN),
    ] {
        let result = Constants::new(k, c);
        assert!(
            result.as_ref().is_err_and(exposure::Error::is_range),
            "K {k}, C {c}: got {result:?}, expected a range error"
        );
    }
}
