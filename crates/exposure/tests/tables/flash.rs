//! Flash by guide number, alone and as fill.

use exposure::{
    ExposureIndex, Steps, Stops,
    flash::{Contact, FOOT, Flash, Source, Unit},
};

use crate::check::{EXACT, close, close_relative, rated, same, time};

fn iso(text: &str) -> ExposureIndex {
    rated(text)
}

/// NAVEDTRA 14209, p. 139: the best test frame is f/8 at 10 ft, so the guide number is 80 in feet.
#[test]
fn navy_test() {
    let flash = Flash::tested(8.0, 10.0 * FOOT, iso("100")).unwrap();
    close(
        "in feet",
        flash.guide_number(Unit::Feet, iso("100")),
        80.0,
        EXACT,
    );
    close(
        "in metres",
        flash.guide_number(Unit::Metres, iso("100")),
        24.384,
        EXACT,
    );
}

/// A camera's manual, p. 67: guide number 20 in metres at ISO 100, subject at 5 m, f/4.
#[test]
fn manual_example() {
    let flash = Flash::new(20.0, Unit::Metres, iso("100")).unwrap();
    close("f/4", flash.f_number(5.0, iso("100")).unwrap(), 4.0, EXACT);
    close("5 m", flash.distance(4.0, iso("100")).unwrap(), 5.0, EXACT);
    close(
        "nothing beyond",
        flash.gives(4.0, 5.0, iso("100")).unwrap().get(),
        0.0,
        EXACT,
    );
    close(
        "f/2.8 and f/5.6 are a stop more and less",
        flash
            .gives(4.0 * std::f64::consts::FRAC_1_SQRT_2, 5.0, iso("100"))
            .unwrap()
            .get(),
        1.0,
        EXACT,
    );
    close(
        "twice as far is two stops less",
        flash.gives(4.0, 10.0, iso("100")).unwrap().get(),
        -2.0,
        EXACT,
    );
}

/// The rule of the root: ISO 200 is 1.4142 times the number; EI 25 half of it. [CALC]
#[test]
fn speeds() {
    let flash = Flash::new(20.0, Unit::Metres, iso("100")).unwrap();
    for (speed, number) in [
        ("100", 20.0),
        ("200", 28.2843),
        ("400", 40.0),
        ("50", 14.1421),
        ("25", 10.0),
    ] {
        close(
            format!("ISO {speed}"),
            flash.guide_number(Unit::Metres, iso(speed)),
            number,
            0.000_005,
        );
        // Whatever speed a number is printed for, it is the same flash.
        let other = Flash::new(
            flash.guide_number(Unit::Feet, iso(speed)),
            Unit::Feet,
            iso(speed),
        )
        .unwrap();
        close_relative(
            format!("printed for ISO {speed}"),
            other.guide_number(Unit::Metres, iso("100")),
            20.0,
            EXACT,
        );
    }
}

/// NAVEDTRA 14209, p. 144: two equal flashes at equal distance, halve the exposure for one. Half the power is a stop less.
#[test]
fn several_and_less() {
    let one = Flash::new(20.0, Unit::Metres, iso("100")).unwrap();
    let gives = |flash: Flash| flash.gives(4.0, 5.0, iso("100")).unwrap().get();
    close("two", gives(one.times(2.0).unwrap()), 1.0, EXACT);
    close("four", gives(one.times(4.0).unwrap()), 2.0, EXACT);
    close("half power", gives(one.at_power(0.5).unwrap()), -1.0, EXACT);
    close(
        "1/16",
        gives(one.at_power(1.0 / 16.0).unwrap()),
        -4.0,
        EXACT,
    );
    close(
        "two at half power are one",
        gives(one.times(2.0).unwrap().at_power(0.5).unwrap()),
        0.0,
        EXACT,
    );
    // Open flash, the same page: f/5.6 set for 10 ft, so every flash stands 10 ft from its part.
    let open = Flash::tested(5.6, 10.0 * FOOT, iso("100")).unwrap();
    close(
        "10 ft from each",
        open.distance(5.6, iso("100")).unwrap() / FOOT,
        10.0,
        EXACT,
    );
}

/// Fill a stop below daylight that is right at f/8: guide number 32 stands at 4 m for full, 5.66 m for a stop less. [CALC]
#[test]
fn fill() {
    let flash = Flash::new(32.0, Unit::Metres, iso("100")).unwrap();
    let fill = |below: f64, distance: f64| {
        flash
            .fill(8.0, distance, Stops::constant(below), iso("100"))
            .unwrap()
    };
    close("as strong", fill(0.0, 4.0).distance, 4.0, EXACT);
    close("full power", fill(0.0, 4.0).power, 1.0, EXACT);
    close("a stop below", fill(1.0, 4.0).distance, 5.6569, 0.000_05);
    close("half power from 4 m", fill(1.0, 4.0).power, 0.5, EXACT);
    close(
        "a stop too much at full",
        fill(1.0, 4.0).off.get(),
        1.0,
        EXACT,
    );
    // From 8 m the flash is two stops short of daylight: fill of one stop below would take twice its power.
    close("too far", fill(1.0, 8.0).power, 2.0, EXACT);
    close("lacks", fill(1.0, 8.0).off.get(), -1.0, EXACT);
    for (below, together) in [(0.0, 1.0), (1.0, 0.5850), (2.0, 0.3219), (3.0, 0.1699)] {
        close(
            format!("where both fall, {below} below"),
            fill(below, 4.0).together.get(),
            together,
            0.000_05,
        );
    }
    // The nearest step of the flash, with what it leaves over.
    for (below, distance, label, rest) in [
        (1.0, 4.0, "1/2", 0.0),
        (1.4, 4.0, "1/2", 0.4),
        (1.6, 4.0, "1/4", -0.4),
        (1.0, 8.0, "1", -1.0),
        (6.0, 0.5, "1/128", 5.0),
    ] {
        let (step, found) = fill(below, distance).nearest_step();
        same(
            format!("{below} below from {distance} m"),
            step.label,
            label,
        );
        close(format!("rest of {label}"), found.get(), rest, EXACT);
    }
    for below in [-0.1, 6.1] {
        assert!(
            flash
                .fill(8.0, 4.0, Stops::constant(below), iso("100"))
                .is_err(),
            "{below} is no fill"
        );
    }
}

#[test]
fn out_of_range() {
    let flash = Flash::new(32.0, Unit::Metres, iso("100")).unwrap();
    for (what, bad) in [
        ("guide number", Flash::new(0.0, Unit::Metres, iso("100"))),
        ("guide number", Flash::new(f64::NAN, Unit::Feet, iso("100"))),
        ("distance", Flash::tested(8.0, 0.0, iso("100"))),
        ("aperture", Flash::tested(0.0, 3.0, iso("100"))),
        ("power", flash.at_power(0.0)),
        ("power", flash.at_power(1.1)),
        ("flashes", flash.times(0.0)),
        ("flashes", flash.times(f64::INFINITY)),
    ] {
        let error = bad.expect_err("out of range");
        assert!(
            error.is_range() && error.to_string().contains(what),
            "{what}: {error}"
        );
    }
    for bad in [
        flash.f_number(f64::NAN, iso("100")),
        flash.distance(-1.0, iso("100")),
    ] {
        assert!(bad.clone().is_err_and(|error| error.is_range()), "{bad:?}");
    }
}

/// Focal-plane: the flash time or slower. Leaf: any. M with an electronic flash: no picture. Bulbs on X: 1/30 or slower
/// (common practice, from memory).
#[test]
fn sync() {
    let at = |text| time(text, Steps::Full);
    let focal_plane = Contact::FocalPlane(at("1/60"));
    for (sync, text, source, says) in [
        (focal_plane, "1/125", Source::Electronic, "only a part"),
        (focal_plane, "1/60", Source::Electronic, ""),
        (focal_plane, "1/30", Source::Electronic, ""),
        (Contact::LeafX, "1/500", Source::Electronic, ""),
        (Contact::LeafM, "1/500", Source::Electronic, "no picture"),
        (Contact::LeafM, "1/30", Source::Electronic, "no picture"),
        (Contact::LeafM, "1/500", Source::Bulb, ""),
        (Contact::LeafX, "1/60", Source::Bulb, "too slowly"),
        (Contact::LeafX, "1/30", Source::Bulb, ""),
        (focal_plane, "1/60", Source::Bulb, "too slowly"),
        (focal_plane, "1/30", Source::Bulb, ""),
    ] {
        let found = sync.caution(&at(text), source).unwrap_or_default();
        assert!(
            if says.is_empty() {
                found.is_empty()
            } else {
                found.contains(says)
            },
            "{sync:?} at {text} with {source:?}: got “{found}”, expected “{says}”"
        );
    }
}
