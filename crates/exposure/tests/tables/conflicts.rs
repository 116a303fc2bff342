//! Published figures that contradict each other, and figures with two meanings: shown side by side, not hidden.

use exposure::{Bv, Control, Ev, Steps, light::Constants, two_meanings};

use crate::check::{EXACT, aperture, close, speed, time};

/// K is 11.4 (ASA PH2.12-1961), 12.5 (ANSI PH3.49-1971) or 14 (in use) for the same light. [SEEN]
///
/// The same 4096 cd/m² is EV 15.13, 15 or 14.84: a third of a stop apart at the ends.
#[test]
fn three_reflected_constants() {
    for (k, ev) in [(11.4, 15.132_894), (12.5, 15.0), (14.0, 14.836_501)] {
        let constants = Constants::new(k, 250.0).unwrap();
        close(
            format!("4096 cd/m² with K {k}"),
            constants.ev_of_luminance(4096.0).unwrap().get(),
            ev,
            1e-6,
        );
    }
    let apart = |low: f64, high: f64| {
        let ev = |k| {
            Constants::new(k, 250.0)
                .unwrap()
                .ev_of_luminance(4096.0)
                .unwrap()
        };
        ev(high).light_relative_to(ev(low)).get()
    };
    // A meter with the larger constant asks for more light.
    close(
        "K 14 against 12.5",
        apart(12.5, 14.0),
        (14.0_f64 / 12.5).log2(),
        EXACT,
    );
    close(
        "K 14 against 12.5 in figures",
        apart(12.5, 14.0),
        0.163_499,
        1e-6,
    );
    close("K 14 against 11.4", apart(11.4, 14.0), 0.296_393, 1e-6);
}

/// C is 224 (ASA PH2.12-1961), 250 (in use for a flat receptor) or 322 lx (mean of ANSI PH3.49-1971). [SEEN]
#[test]
fn three_incident_constants() {
    for (c, ev) in [(224.0, 15.158_429), (250.0, 15.0), (322.0, 14.634_867)] {
        let constants = Constants::new(12.5, c).unwrap();
        close(
            format!("81 920 lx with C {c}"),
            constants.ev_of_illuminance(81_920.0).unwrap().get(),
            ev,
            1e-6,
        );
    }
    // From the smallest to the largest it is more than half a stop.
    close(
        "322 against 224",
        (322.0_f64 / 224.0).log2(),
        0.523_562,
        1e-6,
    );
}

/// Both pairs of constants imply a reflectance R = π·K/C: 15.7 % with 12.5 and 250, 17.6 % with 14 and 250. [SEEN]
#[test]
fn implied_reflectance() {
    for (k, c, reflectance, tolerance) in [
        (12.5, 250.0, 0.157, 0.0005),
        (14.0, 250.0, 0.176, 0.0005),
        (12.5, 330.0, 0.12, 0.005),
    ] {
        let constants = Constants::new(k, c).unwrap();
        let ev = Ev::new(12.0).unwrap();
        let found = core::f64::consts::PI * constants.luminance(ev) / constants.illuminance(ev);
        close(
            format!("reflectance of K {k}, C {c}"),
            found,
            reflectance,
            tolerance,
        );
    }
}

/// Bv 0 is 4 cd/m² with K 12.5 and N 1/3.125 [PKG]; the annex of Exif pairs it with one foot-lambert, 3.426 cd/m² [MEM],
/// which would be K 10.71. The two differ by 0.22 stop; this crate takes the first.
#[test]
fn two_zeros_of_brightness() {
    let zero = Bv::new(0.0).unwrap();
    let foot_lambert = 3.426_259_1;
    close(
        "K 12.5",
        Constants::default().luminance_of_bv(zero),
        4.0,
        EXACT,
    );
    let implied = Constants::new(foot_lambert / 0.32, 250.0).unwrap();
    close("K by the foot-lambert", implied.k(), 10.707, 0.0005);
    close(
        "its Bv 0",
        implied.luminance_of_bv(zero),
        foot_lambert,
        EXACT,
    );
    close("apart", (4.0_f64 / foot_lambert).log2(), 0.223_366, 1e-6);
}

/// N is 0.2973, 0.30, 0.3162 or 0.32 in different standards; ISO 100 is Sv 5 only with the last (Exif 2.3). [SEEN]
#[test]
fn speed_constant_is_that_of_exif() {
    close(
        "Sv of ISO 100",
        speed("100").sv().unwrap().get(),
        5.0,
        EXACT,
    );
    for (n, sv) in [
        ((-1.75_f64).exp2(), 4.893_856),
        (0.30, 4.906_89),
        (0.3162, 4.982_77),
        (0.32, 5.0),
    ] {
        close(
            format!("Sv of ISO 100 with N {n}"),
            (n * 100.0_f64).log2(),
            sv,
            0.000_005,
        );
    }
}

/// Figures that a half-step and a third-step device mean differently: the person has to be asked.
#[test]
fn one_figure_two_meanings() {
    for (text, half, third) in [
        ("1/20", 4.5, 13.0 / 3.0),
        ("1/10", 3.5, 10.0 / 3.0),
        ("1/6", 2.5, 8.0 / 3.0),
        ("1/3", 1.5, 5.0 / 3.0),
        ("0.3s", 1.5, 5.0 / 3.0),
        ("3s", -1.5, -5.0 / 3.0),
        ("6s", -2.5, -8.0 / 3.0),
        ("10s", -3.5, -10.0 / 3.0),
        ("20s", -4.5, -13.0 / 3.0),
    ] {
        let tv = |steps| time(text, steps).tv().unwrap().get();
        close(format!("{text} in halves"), tv(Steps::Half), half, EXACT);
        close(format!("{text} in thirds"), tv(Steps::Third), third, EXACT);
        assert!(
            two_meanings(Control::Time, time(text, Steps::Third).engraved()),
            "{text} has to be asked about"
        );
    }
    for (text, half, third) in [("1.2", 0.5, 2.0 / 3.0), ("13", 7.5, 22.0 / 3.0)] {
        let av = |steps| aperture(text, steps).av().unwrap().get();
        close(format!("f/{text} in halves"), av(Steps::Half), half, EXACT);
        close(
            format!("f/{text} in thirds"),
            av(Steps::Third),
            third,
            EXACT,
        );
        assert!(
            two_meanings(Control::Aperture, aperture(text, Steps::Third).engraved()),
            "f/{text} has to be asked about"
        );
    }
}

/// Figures that mean one thing, or belong to no series, or to one of the two only, are not asked about.
#[test]
fn no_needless_question() {
    for text in [
        "1/60", "1/125", "1/45", "1/50", "1/25", "1/300", "1s", "8s", "45s",
    ] {
        assert!(
            !two_meanings(Control::Time, time(text, Steps::Third).engraved()),
            "{text} has one meaning"
        );
    }
    for text in [
        "1", "1.4", "1.7", "1.8", "3.5", "4.8", "5.6", "7.7", "9", "9.5", "12.5", "22",
    ] {
        assert!(
            !two_meanings(Control::Aperture, aperture(text, Steps::Third).engraved()),
            "f/{text} has one meaning"
        );
    }
    for text in ["3", "12", "64", "100", "12800"] {
        assert!(
            !two_meanings(Control::Sensitivity, speed(text).engraved()),
            "ISO {text} has one meaning"
        );
    }
}

/// Continental apertures stand about a third of a stop beyond the usual ones; taken literally they are what they are.
#[test]
fn continental_apertures() {
    for (older, usual, apart) in [
        ("3.2", "2.8", -0.3853),
        ("4.5", "4", -0.3399),
        ("6.3", "5.6", -0.3399),
        ("9", "8", -0.3399),
        ("12.5", "11", -0.3688),
        ("18", "16", -0.3399),
        ("25", "22", -0.3688),
    ] {
        let literal = |text| aperture(text, Steps::Engraved);
        close(
            format!("f/{older} against f/{usual}"),
            literal(older).relative_to(&literal(usual)).get(),
            apart,
            0.000_05,
        );
    }
    // f/3.5 gives 0.39 stop more light than f/4, not a full stop.
    close(
        "f/3.5 against f/4",
        aperture("3.5", Steps::Engraved)
            .relative_to(&aperture("4", Steps::Full))
            .get(),
        0.3853,
        0.000_05,
    );
}
