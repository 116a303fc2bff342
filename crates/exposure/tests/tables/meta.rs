//! What the public types are: an accidental change of size or of a trait is a change of the interface.

use core::fmt::Debug;
use core::mem::size_of;

use exposure::extension::Extension;
use exposure::filter::{Filter, Given, Printed, Published};
use exposure::flash::{By, Contact, Fill, Flash, Powers, Series, Source, Unit};
use exposure::light::Constants;
use exposure::meter::OnDevice;
use exposure::range::Range;
use exposure::shutter::{LeafAtSmallStop, Timings, Tolerance, VideoTime};
use exposure::transmission::Transmission;
use exposure::{
    Av, BoxSpeed, Bracket, BracketStep, Bv, Camera, Choice, Circle, Control, Counted, DepthOfField,
    End, Error, Ev, ExposureIndex, FilmKind, Format, Frame, KINDS, Kind, Law, Ledger, LongRule,
    LongTimes, Mark, MeterSpeed, Order, Pair, Place, Prefer, Problem, PublishedLong, Reading,
    Scale, Sharp, Solution, Steps, Stops, Sv, Tv, Twelfths,
};

fn plain<T: Debug + Send + Sync + Unpin>() {}
fn copied<T: Copy + Debug + Send + Sync + Unpin + 'static>() {}
fn compared<T: PartialEq>() {}
fn exact<T: Eq + core::hash::Hash>() {}

#[test]
fn traits() {
    macro_rules! each {
        ($check:ident: $($name:ty),+ $(,)?) => { $($check::<$name>();)+ };
    }
    each!(copied: Stops, Ev, Tv, Av, Sv, Bv, Place, Twelfths, Mark, Choice, Reading, Solution, Pair, Bracket, Frame,
        BoxSpeed, ExposureIndex, MeterSpeed, Constants, Range, Kind, Control, Steps, FilmKind, Prefer, End, BracketStep, Order,
        Problem<'static>, DepthOfField, Sharp, Format, Circle, Filter, Given, Printed, Published,
        Extension, Transmission, LeafAtSmallStop, Timings, Tolerance, VideoTime, Flash, Fill, Series, exposure::flash::Frame, By, OnDevice, Counted, Source, Contact, Unit, Law, PublishedLong);
    each!(plain: Scale, Camera, Ledger, Error, Problem<'_>, LongTimes, LongRule, Powers);
    each!(compared: Stops, Ev, Tv, Av, Sv, Bv, Place, Mark, Choice, Reading, Solution, Pair, Bracket, Frame, BoxSpeed,
        ExposureIndex, MeterSpeed, Constants, Range, Kind, Scale, Camera, Ledger, Error, DepthOfField, Sharp, Format, LongTimes, LongRule, Filter, Given, Printed, Published, Extension, Transmission,
        LeafAtSmallStop, Timings, VideoTime, Flash, Fill, Series, exposure::flash::Frame, Powers, OnDevice, Counted, Contact, Law, PublishedLong);
    each!(exact: Twelfths, Control, Steps, FilmKind, Prefer, End, BracketStep, Order, Circle, Tolerance, Source, Unit, By);
    fn error<T: core::error::Error>() {}
    error::<Error>();
    error::<exposure::Refused>();
}

#[test]
fn sizes() {
    for (name, size, expected) in [
        ("Stops", size_of::<Stops>(), 8),
        ("Option<Stops>", size_of::<Option<Stops>>(), 16),
        ("Ev", size_of::<Ev>(), 8),
        ("Tv", size_of::<Tv>(), 8),
        ("Av", size_of::<Av>(), 8),
        ("Sv", size_of::<Sv>(), 8),
        ("Bv", size_of::<Bv>(), 8),
        ("Place", size_of::<Place>(), 8),
        ("Twelfths", size_of::<Twelfths>(), 4),
        ("Control", size_of::<Control>(), 1),
        ("Steps", size_of::<Steps>(), 1),
        ("Prefer", size_of::<Prefer>(), 1),
        ("Option<End>", size_of::<Option<End>>(), 1),
        ("Bracket", size_of::<Bracket>(), 5),
        ("Ledger", size_of::<Ledger>(), 32),
        ("Constants", size_of::<Constants>(), 16),
        ("Reading", size_of::<Reading>(), 3 * size_of::<Mark>()),
        ("BoxSpeed", size_of::<BoxSpeed>(), size_of::<Mark>()),
        (
            "ExposureIndex",
            size_of::<ExposureIndex>(),
            size_of::<Mark>(),
        ),
        ("MeterSpeed", size_of::<MeterSpeed>(), size_of::<Mark>()),
        ("Pair", size_of::<Pair>(), 2 * size_of::<Mark>() + 8),
        // Engraved, measured and place are numbers; the rest fits beside them.
        ("Mark", size_of::<Mark>(), 48),
    ] {
        assert_eq!(size, expected, "bytes of {name}");
    }
}

/// The limits are inside one another, and every limit is told in words with both ends.
#[test]
fn ranges() {
    use exposure::{extension, filter, flash, light, range, shutter, transmission};
    for range in [
        range::TIME,
        range::APERTURE,
        range::SENSITIVITY,
        range::STOPS,
        range::DOUBT,
        range::LEVEL,
        range::FOCAL,
        range::MARKS,
        range::SIDE,
        range::LONG_THRESHOLD,
        range::LONG_EXPONENT,
        range::SCHWARZSCHILD,
        range::LONG_SHARE,
        range::LONG_ADDED_EXPONENT,
        range::LONG_ROWS,
        range::FOCUS,
        range::CIRCLE,
        light::K_RANGE,
        light::C_RANGE,
        filter::FACTOR,
        filter::LOSS,
        filter::DENSITY,
        extension::MAGNIFICATION,
        extension::TO_FILM,
        extension::DRAWN_OUT,
        transmission::PER_CENT,
        transmission::STOPS,
        shutter::PER_SECOND,
        shutter::PICTURES,
        shutter::MEASUREMENTS,
        flash::GUIDE_NUMBER,
        flash::DISTANCE,
        flash::FLASHES,
        flash::POWER,
        flash::FILL,
        flash::STEPS,
    ] {
        assert!(range.min < range.max, "{} has room", range.what);
        for end in [range.min, range.max] {
            assert!(
                range.contains(end) && range.check(end).is_ok(),
                "{end} belongs to {}",
                range.what
            );
        }
        for beyond in [
            range.min.next_down(),
            range.max.next_up(),
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ] {
            assert!(!range.contains(beyond), "{beyond} is beyond {}", range.what);
            let error = range.check(beyond).expect_err("beyond");
            assert!(error.is_range() && !error.is_parse(), "{error}");
            assert_eq!(
                error.to_string(),
                format!("{} has to lie between {}", range.what, range.limits),
                "the words of {}",
                range.what
            );
        }
    }
    assert!(
        Stops::new(f64::NAN).is_err() && Stops::new(100.5).is_err(),
        "differences are checked"
    );
    assert!(
        Ev::new(f64::NAN).is_err() && Place::new(-101.0).is_err(),
        "levels are checked"
    );
}

/// Every described kind is a camera, and no two share an id or a name.
#[test]
fn described_kinds() {
    for (i, kind) in KINDS.iter().enumerate() {
        let camera = Camera::parse(kind.times, kind.apertures, kind.steps, Some(kind.focal))
            .unwrap_or_else(|error| panic!("{}: {error}", kind.id));
        assert!(
            camera.hand_limit().is_ok(),
            "{} has a hand-held limit",
            kind.id
        );
        for scale in [camera.times(), camera.apertures()] {
            assert!(
                scale
                    .marks()
                    .windows(2)
                    .all(|pair| pair[1].relative_to(&pair[0]).is_more()),
                "the marks of {} rise",
                kind.id
            );
        }
        for other in &KINDS[i + 1..] {
            assert!(
                kind.id != other.id && kind.name != other.name,
                "{} is described twice",
                kind.id
            );
        }
    }
}

/// A lattice of twelfths holds full, half, third and quarter stops exactly.
#[test]
fn lattice() {
    let at = |control, text, steps| crate::check::mark(control, text, steps).nominal().unwrap();
    assert_eq!(
        at(Control::Time, "1/125", Steps::Full).get(),
        84,
        "1/125 is seven stops"
    );
    assert_eq!(
        at(Control::Time, "1/90", Steps::Half).get(),
        78,
        "1/90 is six and a half"
    );
    assert_eq!(
        at(Control::Aperture, "7.1", Steps::Third).get(),
        68,
        "f/7.1 is five and two thirds"
    );
    assert_eq!(
        at(Control::Sensitivity, "64", Steps::Third).get(),
        -8,
        "ISO 64 is two thirds under 100"
    );
    assert!(
        at(Control::Aperture, "11", Steps::Third).is_full_stop(),
        "f/11 is a full stop"
    );
    assert!(
        !at(Control::Aperture, "9", Steps::Third).is_full_stop(),
        "f/9 is none"
    );
    // Ordered as levels are.
    assert!(
        at(Control::Time, "1/125", Steps::Full) > at(Control::Time, "1/90", Steps::Half),
        "1/125 is the higher level"
    );
}
