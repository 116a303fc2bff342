//! What to set on a reading device that is off.

use exposure::{Control, End, Mark, Scale, Steps, Stops, meter};

use crate::check::{EXACT, close, same};

fn iso(text: &str) -> Mark {
    Mark::parse(Control::Sensitivity, text, Steps::Third).expect("a sensitivity")
}

/// Three degrees to a stop, a degree to a figure of the list: ISO 100/21° less two degrees is 64/19° (ISO 5800, the printed
/// pairs). US Army SS0512, p. 12: ISO 100 over a factor of 1.5 is about ISO 64. An exposure meter set to half the speed asks for
/// twice the light (the equation of ISO 2720).
#[test]
fn one_figure_for_a_third() {
    let thirds = Scale::sensitivities();
    for (stands, thirds_less, set) in [
        ("100", -2, "64"),
        ("100", -1, "80"),
        ("100", -3, "50"),
        ("100", 3, "200"),
        ("400", -2, "250"),
        ("64", 2, "100"),
        ("12800", -3, "6400"),
    ] {
        let effect = Stops::constant(f64::from(thirds_less) / 3.0);
        let on = meter::on_device(effect, &iso(stands), &thirds).expect("a nearer mark");
        same(
            format!("{thirds_less} thirds from {stands}"),
            &exposure::words::figure(&on.set),
            set,
        );
        close("nothing remains", on.rest.get(), 0.0, EXACT);
        assert_eq!(on.end, None, "within the scale");
    }
    let factor = -(1.5_f64.log2());
    let on = meter::on_device(Stops::new(factor).unwrap(), &iso("100"), &thirds).expect("nearer");
    same("factor 1.5", &exposure::words::figure(&on.set), "64");
    close("printed about", on.rest.get(), 2.0 / 3.0 + factor, EXACT);
}

/// A device with few marks: what remains is said with its direction, and a mark is only named where it mends something.
#[test]
fn what_remains() {
    let own = |list: &str| meter::parse(list).unwrap_or_else(|error| panic!("{list}: {error}"));
    let on =
        |effect: f64, scale: &Scale| meter::on_device(Stops::constant(effect), &iso("100"), scale);
    let full = meter::full_stops();
    let found = on(-2.0 / 3.0, &full).expect("ISO 50");
    // It should be 63: at 50 it asks for a third more than there should be.
    close("more light", found.rest.get(), 1.0 / 3.0, EXACT);
    assert!(
        on(-1.0 / 3.0, &full).is_none(),
        "100 is as near as anything"
    );
    assert!(
        on(-1.0, &own("100 200")).is_none(),
        "there is nothing below"
    );
    let ended = on(-2.0, &own("40..100")).expect("ISO 40");
    close("less light", ended.rest.get(), -2.0 / 3.0, EXACT);
    assert_eq!(
        ended.end,
        Some(End::Darkest),
        "and it says that the scale ends"
    );
    // Between two marks: the one that gives the film more light is the lower sensitivity.
    let tie = on(-0.5, &Scale::sensitivities()).expect("a mark");
    same("tie", &exposure::words::figure(&tie.set), "64");
    assert!(tie.rest.is_more(), "{tie:?}");
}

#[test]
fn lists() {
    for (list, count) in [
        ("25 50 100", 3),
        ("25,50;100", 3),
        ("100..6400", 19),
        ("6400-100", 19),
        ("ISO100 ISO200", 2),
    ] {
        let scale = meter::parse(list).unwrap_or_else(|error| panic!("{list}: {error}"));
        assert_eq!(scale.marks().len(), count, "{list}");
    }
    for bad in ["", " ; ", "fast", "100..fast", "0", "100 200 x"] {
        assert!(meter::parse(bad).is_err(), "{bad}");
    }
    assert!(
        meter::full_stops()
            .marks()
            .iter()
            .all(|mark| mark.nominal().is_some_and(exposure::Twelfths::is_full_stop)),
        "full stops alone"
    );
}
