//! A grey step wedge whose linear values are known, as a histogram in stops and in zones; and what is shown of a live light.

use readings::{
    live::{Steady, Track, level},
    picture::{MIDDLE, ORDINALS, Patch, Picture, Spot, beside_the_first},
    tonal::{Area, Number, Spread, Zoned, numeral, tone},
    tones::Zone,
};

use crate::check::{EXACT, close};

/// The 8-bit sRGB value nearest to a linear one, the other way round than the crate does it: IEC 61966-2-1.
fn encoded(linear: f64) -> u8 {
    let c = if linear <= 0.003_130_8 {
        12.92 * linear
    } else {
        1.055 * linear.powf(1.0 / 2.4) - 0.055
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "eight bits"
    )]
    let value = (c * 255.0).round().clamp(0.0, 255.0) as u8;
    value
}

const STEPS: [f64; 7] = [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0];
/// Pixels of a step, and of the fields beside them.
const WIDE: usize = 32;
const HIGH: usize = 60;

/// Seven steps from four stops under middle grey to two above it, a field that is black on their left and one that is burnt
/// out on their right.
fn wedge() -> (usize, Vec<u8>) {
    let greys: Vec<u8> = STEPS
        .iter()
        .map(|stops| encoded(MIDDLE * stops.exp2()))
        .collect();
    let fields = [&[0], &greys[..], &[255]].concat();
    let row: Vec<u8> = fields
        .iter()
        .flat_map(|grey| [*grey, *grey, *grey, 255].repeat(WIDE))
        .collect();
    (fields.len() * WIDE, row.repeat(HIGH))
}

/// The middle of a step.
fn on_step(i: usize) -> Spot {
    #[expect(clippy::cast_precision_loss, reason = "a few fields")]
    let across = (i as f64 + 1.5) / 9.0;
    Spot {
        across,
        down: 0.5,
        radius: 0.1,
    }
}

#[test]
fn each_step_of_a_wedge_is_a_bar_at_its_stops() {
    let (width, pixels) = wedge();
    let picture = Picture::new(width, HIGH, &pixels).expect("a picture");
    for (i, about) in STEPS.iter().enumerate() {
        let place = picture.spot(on_step(i)).expect("a place");
        let spread = Spread::about(&picture, &place).expect("a spread");
        close("burnt", spread.burnt, 1.0 / 9.0, EXACT);
        close("black", spread.black, 1.0 / 9.0, EXACT);
        let first = STEPS[0] - about;
        for (at, bar) in (0_u32..).zip(&spread.bars) {
            close("bar", bar.stops, first + f64::from(at) / 2.0, EXACT);
            let share = if at % 2 == 0 { 1.0 / 9.0 } else { 0.0 };
            close("share", bar.share, share, EXACT);
        }
        assert_eq!(spread.bars.len(), 13, "from −4 to +2 in halves");
    }
    let middle = picture.spot(on_step(4)).expect("a place");
    assert_eq!(
        Spread::about(&picture, &middle)
            .expect("a spread")
            .sentence(),
        "From 4 stops darker to 2 stops brighter; 11 % of the picture is burnt out, 11 % is black."
    );
    let burnt = picture.spot(on_step(7)).expect("a place");
    assert!(
        Spread::about(&picture, &burnt).is_err(),
        "nothing can be measured from white"
    );
}

#[test]
fn each_step_of_a_wedge_lies_on_its_zone() {
    let (width, pixels) = wedge();
    let picture = Picture::new(width, HIGH, &pixels).expect("a picture");
    let zoned = Zoned::of(&picture, MIDDLE);
    for x in 0..width {
        let wanted = match x / WIDE {
            0 => Area::Black,
            8 => Area::Burnt,
            step => Area::Zone(u8::try_from(step).expect("a few fields")),
        };
        for y in [0, HIGH / 2, HIGH - 1] {
            assert_eq!(zoned.at(x, y), Some(wanted), "at {x}, {y}");
        }
    }
    assert_eq!(zoned.at(width, 0), None, "beyond the picture");
    assert_eq!(zoned.at(0, HIGH), None, "under the picture");
    // Each step is large enough for its number, which stands in it.
    let mut numbers = zoned.numbers();
    numbers.sort_by_key(|number| number.zone);
    assert_eq!(numbers.len(), 7, "{numbers:?}");
    for (number, step) in numbers.iter().zip(1_u8..) {
        let Number { zone, across, down } = *number;
        assert_eq!(zone, step, "the number of a step");
        let place = across * 9.0;
        assert!(
            (f64::from(step) + 0.25..f64::from(step) + 0.75).contains(&place),
            "{zone} at {place}"
        );
        assert!((0.25..0.75).contains(&down), "{zone} at {down}");
    }
    // Flat tones, and lines on what says nothing.
    let painted = zoned.painted();
    assert_eq!(painted.len(), pixels.len(), "as large as the picture");
    let of = |field: usize| {
        let mut all: Vec<u8> = (0..HIGH)
            .flat_map(|y| (field * WIDE..(field + 1) * WIDE).map(move |x| (y * width + x) * 4))
            .map(|at| painted[at])
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    for step in 1..=7_u8 {
        assert_eq!(of(usize::from(step)), [tone(step)], "step {step}");
    }
    assert_eq!(of(0), [0, 155], "black is hatched");
    assert_eq!(of(8), [100, 255], "burnt is hatched");
    assert_eq!(
        zoned.sentence(),
        "Black 11 %, zone I 11 %, zone II 11 %, zone III 11 %, zone IV 11 %, zone V 11 %, zone VI 11 %, zone VII 11 %, burnt out 11 %."
    );
}

/// A step that is placed on zone III takes all others along.
#[test]
fn a_place_on_a_zone_moves_all_zones() {
    let (width, pixels) = wedge();
    let picture = Picture::new(width, HIGH, &pixels).expect("a picture");
    let place = picture.spot(on_step(4)).expect("a place");
    let three = Zone::new(3.0).expect("a zone");
    let zoned = Zoned::of(&picture, Zoned::grey_of(&place, three));
    for (i, wanted) in [0, 0, 1, 2, 3, 4, 5].into_iter().enumerate() {
        assert_eq!(
            zoned.at((i + 1) * WIDE + WIDE / 2, HIGH / 2),
            Some(Area::Zone(wanted)),
            "step {i}"
        );
    }
    assert_eq!(numeral(8), "VIII", "figures of the trade");
}

#[test]
fn a_part_that_is_too_small_has_no_number() {
    // Middle grey with a brighter square of nine pixels, each a cell of its own.
    let (grey, bright) = (encoded(MIDDLE), encoded(MIDDLE * 2.0));
    let pixels: Vec<u8> = (0..100 * 80)
        .flat_map(|i| {
            let (x, y) = (i % 100, i / 100);
            let value = if (20..29).contains(&x) && (20..29).contains(&y) {
                bright
            } else {
                grey
            };
            [value, value, value, 255]
        })
        .collect();
    let picture = Picture::new(100, 80, &pixels).expect("a picture");
    let zoned = Zoned::of(&picture, MIDDLE);
    assert_eq!(zoned.at(24, 24), Some(Area::Zone(6)), "the square");
    let numbers = zoned.numbers();
    assert!(
        matches!(numbers[..], [Number { zone: 5, across, down }] if across > 0.5 && down > 0.4),
        "{numbers:?}"
    );
}

#[test]
fn places_compare_with_the_first() {
    let (width, pixels) = wedge();
    let picture = Picture::new(width, HIGH, &pixels).expect("a picture");
    let place = |i| picture.spot(on_step(i)).expect("a place");
    assert_eq!(
        beside_the_first(&[place(4), place(5), place(1), place(4), place(7)]),
        [
            "The second is 1 stop brighter than the first.",
            "The third is about 3 stops darker than the first.",
            "The fourth is as bright as the first.",
            "The fifth: This place is burnt out in the picture: it was at least this bright, and nobody can tell how much brighter.",
        ]
    );
    assert_eq!(
        beside_the_first(&[place(7), place(4)]),
        ["The second has nothing to compare with."]
    );
    assert!(
        beside_the_first(&[place(4)]).is_empty(),
        "one has nobody beside it"
    );
    assert_eq!(
        beside_the_first(&[place(4); ORDINALS.len()]).len(),
        5,
        "all have names"
    );
}

fn grey(mean: f64) -> Patch {
    Patch {
        mean,
        burnt: 0.0,
        black: 0.0,
    }
}

#[test]
fn a_level_rises_with_the_light_and_with_a_shorter_time() {
    let track = |time| Track::new(time, 100.0).expect("a track");
    let at = |time, mean| {
        level(Some(&track(time)), &grey(mean), &grey(0.5)).expect("a level")
            - level(Some(&track(100.0)), &grey(0.18), &grey(0.5)).expect("a level")
    };
    close("twice the light", at(100.0, 0.36), 1.0, EXACT);
    close("half the time", at(50.0, 0.18), 1.0, EXACT);
    close(
        "beside the whole",
        level(None, &grey(0.36), &grey(0.09)).expect("a level"),
        2.0,
        EXACT,
    );
    assert_eq!(level(None, &grey(0.0), &grey(0.18)), None, "black");
}

/// Frames that cannot be read show as that once they are most of the last, and not before.
#[test]
fn what_cannot_be_read_is_shown_when_it_stays() {
    let mut steady = Steady::new();
    assert!(steady.shown().is_none(), "before the first frame");
    for i in 0..5 {
        steady.see(Some(8.0), i);
    }
    assert_eq!(steady.shown(), Some(&0), "the first one stays");
    assert!(
        !steady.see(None, 5) && !steady.see(None, 6),
        "two are a blink"
    );
    assert!(steady.see(None, 7), "three are not");
    assert_eq!(steady.shown(), Some(&7), "and the newest says why");
    assert!(!steady.see(None, 8), "it stays");
    assert!(
        !steady.see(Some(8.0), 9) && !steady.see(Some(8.0), 10),
        "not yet"
    );
    assert!(steady.see(Some(8.0), 11), "it is read again");
}
