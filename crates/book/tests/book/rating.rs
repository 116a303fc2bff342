//! From judged frames to a rating for the rest.

use book::{
    Book, Conclusion, Desk, Edit, Evidence, Fate, Film, Grade, Group, Run, Scans, Slip, Source,
    Storage, Suggestion, Sureness, Tick, Verdict, age_words, comparing_order, conclude,
    findings_elsewhere, findings_of, scans_words, start_for, telling_frame,
};
use proptest::prelude::*;

use crate::check::{
    apply, bag, close, date, judge, light, load, load_into, loaded, roll_of, same, series, slip,
    speed, take_all,
};

const ROLL: &str = "box-1";

fn group(desk: &Desk) -> Group {
    desk.book().group_of(roll_of(desk, ROLL)).expect("a group")
}

/// A roll of so many scenes, each with frames from box speed to four stops more light in thirds where `liked` asks for
/// them; `liked` is in thirds of a stop from box speed, `iso` and `at` are the light.
fn judged(
    film: Film,
    liked: &[i32],
    light_of: impl Fn(usize) -> (&'static str, &'static str),
) -> Desk {
    let mut desk = bag(film, "400", "2004-06", Storage::Unknown, 3);
    load(&mut desk, ROLL, "400");
    let times = [
        "1/400", "1/320", "1/250", "1/200", "1/160", "1/125", "1/100", "1/80", "1/60", "1/50",
        "1/40", "1/30",
    ];
    for (scene, liked) in liked.iter().enumerate() {
        let (iso, stop) = light_of(scene);
        // Base 1/250; thirds from there to slower times are more light.
        let frames: Vec<(&str, &str, i32)> = times[2..]
            .iter()
            .zip(0..)
            .map(|(time, thirds)| (*time, stop, thirds * 4))
            .collect();
        series(
            &mut desk,
            ROLL,
            &format!("scene {}", scene + 1),
            light(iso, "1/250", stop, None),
            "400",
            &frames,
        );
        take_all(&mut desk, ROLL);
        let first = u16::try_from(scene * frames.len()).expect("few frames");
        for thirds in 0..u16::try_from(frames.len()).expect("few frames") {
            let grade = match i32::from(thirds) - liked {
                0 => Grade::Liked,
                -3..=3 => Grade::Usable,
                _ => Grade::Rejected,
            };
            judge(&mut desk, ROLL, first + thirds + 1, grade);
        }
    }
    how(&mut desk, Some(Scans::Fixed));
    desk
}

fn different(scene: usize) -> (&'static str, &'static str) {
    [("400", "8"), ("400", "16"), ("400", "4"), ("400", "11")][scene % 4]
}

fn how(desk: &mut Desk, how: Option<Scans>) {
    apply(
        desk,
        Edit::ScansMade {
            roll: ROLL.to_owned(),
            how,
        },
    );
}

#[track_caller]
fn found(desk: &Desk) -> Suggestion {
    match conclude(desk.book(), &group(desk)) {
        Conclusion::Found(suggestion) => *suggestion,
        other => panic!("expected a suggestion, got {other:?}"),
    }
}

#[test]
fn case_19_rating_the_rest() {
    // Box 400; liked +2, +1, +2, +2 1/3 in four scenes: median +2, EI 100, spread 1 1/3: one check bracket on the next roll.
    let desk = judged(Film::ColourNegative, &[6, 3, 6, 7], different);
    let found = found(&desk);
    close("median", found.median.get(), 2.0, 0.001);
    close("spread", found.spread().get(), 4.0 / 3.0, 0.002);
    same("rating", &found.rating.rating_words(), "EI 100");
    assert_eq!(
        found.sure,
        Sureness::Split,
        "the scenes disagree by more than a stop"
    );
    assert!(
        found
            .surer
            .iter()
            .any(|line| line == "One check bracket of 3 frames on the next roll, around EI 100."),
        "{:?}",
        found.surer
    );
    let words = found.words.join(" ");
    for part in [
        "Rate the rest of this group EI 100: 2 stops more light than box speed.",
        "The liked frames of 4 scenes lie from 1 stop more light to 2⅓ stops more light, counted from box speed.",
        "Usable in every scene from 1⅓ stops more light to 2 stops more light.",
        "The scenes disagree by 1⅓ stops: not sure.",
        "This holds as set on one camera: old folder.",
    ] {
        assert!(words.contains(part), "“{part}” in “{words}”");
    }
}

#[test]
fn negatives_err_to_more_light_and_slides_take_the_nearest_third() {
    // Liked 1 and 1 1/3 stops: median 1 1/6.
    let negative = found(&judged(Film::ColourNegative, &[3, 4], different));
    close("median", negative.median.get(), 7.0 / 6.0, 0.001);
    same("negative", &negative.rating.rating_words(), "EI 160");
    assert!(
        negative.offset.get() > negative.median.get(),
        "towards more light"
    );
    let words = negative.words.join(" ");
    assert!(
        words.contains(
            "Their median is 1.17 stops more light; to a third of a stop towards more light that is"
        ),
        "nothing is rounded silently: {words}"
    );
    // Liked 0 and 1 stop and 1/3: median 1/3, exactly a third.
    let slide = found(&judged(Film::Reversal, &[0, 1, 3], different));
    same("slide", &slide.rating.rating_words(), "EI 320");
}

#[test]
fn what_is_a_twelfth_of_a_stop_short_of_a_third_still_counts_as_enough() {
    // Base 1/250; 1/125 taken as engraved is 1.03 stops more light, 1/120 is 1.09: the latter needs the next third.
    for (time, rating) in [("1/125 as engraved", "EI 200"), ("1/120", "EI 160")] {
        let mut desk = loaded("400", "400");
        series(
            &mut desk,
            ROLL,
            "pier",
            light("400", "1/250", "8", None),
            "400",
            &[("1/250", "8", 0), (time, "8", 12)],
        );
        take_all(&mut desk, ROLL);
        judge(&mut desk, ROLL, 2, Grade::Liked);
        how(&mut desk, Some(Scans::Fixed));
        same(time, &found(&desk).rating.rating_words(), rating);
    }
}

#[test]
fn how_sure_follows_from_the_number_of_scenes_their_light_and_their_spread() {
    let one_light = |_: usize| ("400", "8");
    // Under six scenes nothing is shown at 5 % (sign test, two-sided: 6 of 6 0.031, 8 of 9 0.039, 6 of 7 0.125). And of eight places
    // between the ends of these brackets, four lie within a stop: six scenes liked at random agree in 0.067 of all cases, seven in
    // 0.035 (counted out: 5·(4⁶ − 3⁶) + (3⁶ − 2⁶) + (2⁶ − 1) + 1 of 8⁶, and likewise).
    for (liked, lights, sure) in [
        (vec![6], true, Sureness::Hint),
        (vec![6, 7], true, Sureness::Fair),
        (vec![6, 7, 6], true, Sureness::Fair),
        (vec![6, 7, 6], false, Sureness::Fair),
        (vec![3, 6, 6], true, Sureness::Fair),
        (vec![2, 6, 6], true, Sureness::Split),
        (vec![6, 7, 6, 6, 5], true, Sureness::Fair),
        (vec![6, 7, 6, 6, 5, 6], true, Sureness::Fair),
        (vec![6, 7, 6, 6, 5, 6, 6], true, Sureness::Good),
        (vec![6, 7, 6, 6, 5, 6, 6], false, Sureness::Fair),
        (vec![6, 7, 6, 6, 5, 6, 2], true, Sureness::Split),
        (vec![6, 7, 6, 6, 5, 6, 6, 6, 6, 6, 2], true, Sureness::Good),
    ] {
        let desk = if lights {
            judged(Film::ColourNegative, &liked, different)
        } else {
            judged(Film::ColourNegative, &liked, one_light)
        };
        assert_eq!(
            found(&desk).sure,
            sure,
            "{liked:?}, different light: {lights}"
        );
    }
    let desk = judged(Film::ColourNegative, &[6, 7, 6], one_light);
    assert!(
        found(&desk)
            .surer
            .iter()
            .any(|line| line.starts_with("Shoot a scene in other light")),
        "what would make it surer"
    );
}

/// Agreement that the brackets forced is said to be so, and no result rests on it.
#[test]
fn brackets_without_room_to_disagree_show_nothing_by_agreement() {
    // Eight scenes of three frames a stop apart: only the middle one has frames to both sides.
    let mut desk = bag(Film::ColourNegative, "400", "2004-06", Storage::Unknown, 3);
    load(&mut desk, ROLL, "400");
    for scene in 0..8_u16 {
        let (iso, stop) = different(usize::from(scene));
        let frames = [
            ("1/500", stop, -12),
            ("1/250", stop, 0),
            ("1/125", stop, 12),
        ];
        let read = light(iso, "1/250", stop, None);
        series(
            &mut desk,
            ROLL,
            &format!("scene {scene}"),
            read,
            "400",
            &frames,
        );
        take_all(&mut desk, ROLL);
        for (nth, grade) in (1..).zip([Grade::Rejected, Grade::Liked, Grade::Usable]) {
            judge(&mut desk, ROLL, scene * 3 + nth, grade);
        }
    }
    how(&mut desk, Some(Scans::Fixed));
    let suggestion = found(&desk);
    assert_eq!(suggestion.agreeing(), (8, 8));
    close("chance", suggestion.chance, 1.0, 1e-12);
    assert_eq!(
        suggestion.sure,
        Sureness::Fair,
        "eight that could do nothing else"
    );
    let words = suggestion.words.join(" ");
    assert!(
        words.contains("frames liked at random would agree as well in 100 of 100 cases"),
        "{words}"
    );
    let surer = suggestion.surer.join(" ");
    assert!(surer.contains("so that scenes can disagree"), "{surer}");
    assert!(!surer.contains("chance out"), "{surer}");
}

/// A scene in which nothing was liked counts for what was usable in every scene.
#[test]
fn what_was_usable_in_every_scene_counts_scenes_without_a_liked_frame() {
    let all = judged(Film::ColourNegative, &[6, 6, 6], different);
    let three = found(&all).usable.expect("a range");
    close("to", three.1.get(), 3.0, 1e-9);
    // Of a fourth scene, frames are usable up to one stop and a third.
    let grades = |worst: Grade| {
        let mut desk = judged(Film::ColourNegative, &[6, 6, 6, 6], different);
        for thirds in 0..10_u16 {
            let grade = if thirds <= 4 { worst } else { Grade::Rejected };
            judge(&mut desk, ROLL, 30 + thirds + 1, grade);
        }
        found(&desk)
    };
    let four = grades(Grade::Usable);
    assert_eq!(four.evidence.len(), 3, "nothing was liked in it");
    let range = four.usable.expect("a range");
    close("from", range.0.get(), 1.0, 1e-9);
    close("to", range.1.get(), 4.0 / 3.0, 1e-3);
    let words = four.words.join(" ");
    assert!(
        words.contains("Usable in every scene from 1 stop more light to 1⅓ stops more light."),
        "{words}"
    );
    let none = grades(Grade::Rejected);
    assert_eq!(none.usable, None, "nothing is usable in it");
    let plot = book::evidence_plot(all.book(), &found(&all));
    assert!(plot.words.contains("3 scenes"), "{}", plot.words);
}

#[test]
fn a_liked_frame_at_the_end_of_a_bracket_says_that_better_ones_may_lie_beyond() {
    let surer = found(&judged(Film::ColourNegative, &[9, 0, 4], different))
        .surer
        .join(" ");
    assert!(
        surer.contains("In “scene 1” the liked frame was the one with most light."),
        "{surer}"
    );
    assert!(
        surer.contains("In “scene 2” the liked frame was the one with least light."),
        "{surer}"
    );
    assert!(!surer.contains("In “scene 3”"), "{surer}");
}

/// Liked offsets in thirds of a stop; 9 is the end of the bracket with most light, 0 the end with least.
#[test]
fn an_end_that_was_liked_is_a_limit_and_so_is_a_rating_from_such() {
    for (liked, rating, words, known) in [
        (
            vec![9, 9, 9],
            "EI 50 or lower",
            "at least 3 stops more light than box speed",
            false,
        ),
        (
            vec![0, 0],
            "EI 400 or higher",
            "at most the light of box speed",
            false,
        ),
        // A limit that lies beyond the median does not move it.
        (
            vec![3, 6, 9],
            "EI 100",
            "2 stops more light than box speed",
            true,
        ),
        (
            vec![3, 9, 9],
            "EI 50 or lower",
            "at least 3 stops more light than box speed",
            false,
        ),
        (
            vec![0, 3, 6],
            "EI 200",
            "1 stop more light than box speed",
            true,
        ),
        // The median of 2 and of what is at least 3: at least 2½, to a third 2⅔.
        (
            vec![6, 9],
            "EI 64 or lower",
            "at least 2⅔ stops more light than box speed",
            false,
        ),
        (
            vec![0, 9],
            "EI 125 or near it",
            "1⅔ stops more light than box speed, or anything beside it",
            false,
        ),
    ] {
        let found = found(&judged(Film::ColourNegative, &liked, different));
        let first = format!("Rate the rest of this group {rating}: {words}.");
        same(&format!("{liked:?}"), &found.words[0], &first);
        assert_eq!(found.limits.is_found(), known, "{liked:?}");
        let finding = found.finding("first", date("2024-07-01"));
        same("as it is written", &finding.rating_words(), rating);
        let said = found.words.join(" ");
        if said.contains("The scenes disagree by at least") {
            assert_eq!(found.sure, Sureness::Split, "{liked:?}: {said}");
        } else if !known {
            assert_eq!(found.sure, Sureness::Hint, "{liked:?}: {said}");
            assert!(said.contains("a limit, not a result"), "{said}");
        }
    }
    // Each of two liked frames counts: the one with most light is the end, whatever the middle between them.
    let mut desk = judged(Film::ColourNegative, &[7], different);
    judge(&mut desk, ROLL, 10, Grade::Liked);
    let evidence = &found(&desk).evidence[0];
    assert_eq!(evidence.limits().most, None, "{evidence:?}");
    same(
        "the evidence in words",
        &evidence.words("Harbour 1"),
        "Harbour 1, scene 1 (scene 1): liked at least 2⅔ stops more light than box speed; light about EV 12 at ISO 100.",
    );
}

#[test]
fn a_rating_that_is_a_limit_is_tested_beyond_it() {
    let mut desk = judged(Film::ColourNegative, &[9, 9, 9], different);
    let finding = found(&desk).finding("first", date("2024-07-01"));
    apply(&mut desk, Edit::Found(finding));
    let start = start_for(
        desk.book(),
        roll_of(&desk, "box-2"),
        date("2024-08-01"),
        false,
    );
    let start = start.expect("batch and stock are there");
    let frames: Vec<String> = start.frames.iter().map(|ei| ei.rating_words()).collect();
    assert_eq!(frames, ["EI 100", "EI 50", "EI 25"], "{:?}", start.reasons);
    let why = start.reasons.join(" ");
    assert!(why.contains("which is a limit"), "{why}");
}

/// Shares by Wilson's interval at 95 %, four decimals; signs two-sided, from the binomial distribution.
#[test]
fn what_a_few_scenes_show_is_what_the_tables_say() {
    for (agree, of, least, most) in [
        (3, 3, 0.4385, 1.0),
        (4, 5, 0.3755, 0.9638),
        (5, 5, 0.5655, 1.0),
        (7, 10, 0.3968, 0.8922),
        (8, 10, 0.4902, 0.9433),
        (15, 20, 0.5313, 0.8881),
        (0, 5, 0.0, 0.4345),
    ] {
        let (low, high) = book::share(agree, of);
        close(&format!("{agree}/{of}"), low, least, 0.00005);
        close(&format!("{agree}/{of}"), high, most, 0.00005);
    }
    for (agree, of, chance) in [
        (5, 5, 0.06250),
        (6, 6, 0.03125),
        (7, 8, 0.07031),
        (8, 9, 0.03906),
        (8, 10, 0.10938),
        (9, 10, 0.02148),
        (10, 12, 0.03857),
    ] {
        close(
            &format!("{agree}/{of}"),
            book::by_chance(agree, of),
            chance,
            0.000_006,
        );
    }
    let fewest = [6, 7, 8, 8, 9, 10, 10, 11, 12, 12, 13, 13, 14, 15, 15];
    for (of, fewest) in (6..=20).zip(fewest) {
        assert!(book::is_shown(fewest, of), "{fewest} of {of}");
        assert!(!book::is_shown(fewest - 1, of), "{} of {of}", fewest - 1);
    }
    for of in 0..6 {
        assert!(!book::is_shown(of, of), "{of} of {of}");
    }
    assert!(!book::is_shown(0, 9), "none agrees");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Wherever the better frames lie beyond the ends that were liked, the median lies within its limits, and reaches them.
    #[test]
    fn the_median_of_limits_is_within_its_limits(
        scenes in prop::collection::vec((-3000_i32..3000, 0_u8..4, 0_i32..2000), 1..9),
    ) {
        let evidence: Vec<Evidence> = scenes.iter().map(|(liked, open, _)| Evidence {
            roll: "box-1".to_owned(),
            scene: 1,
            name: String::new(),
            camera: String::new(),
            light_tenths: 120,
            give_or_take_thousandths: None,
            liked_thousandths: *liked,
            usable_thousandths: (*liked, *liked),
            tried_thousandths: (
                liked - if open & 1 == 0 { 1000 } else { 0 },
                liked + if open & 2 == 0 { 1000 } else { 0 },
            ),
            liked_range_thousandths: None,
        }).collect();
        let finding = book::Finding {
            id: "f".to_owned(),
            group: Group { stock: "s".to_owned(), batch: "b".to_owned(), storage: Storage::Unknown },
            on: date("2024-01-01"),
            box_speed: speed("400"),
            rating: speed("400"),
            median_thousandths: 0,
            liked_thousandths: (0, 0),
            usable_thousandths: None,
            sure: Sureness::Hint,
            evidence,
            note: String::new(),
        };
        let limits = finding.limits();
        let median = |mut all: Vec<i32>| {
            all.sort_unstable();
            let n = all.len();
            f64::from(all[(n - 1) / 2] + all[n / 2]) / 2000.0
        };
        let beyond = |down: i32, up: i32| median(scenes.iter().map(|(liked, open, by)| match open {
            1 => liked - by.max(&down),
            2 => liked + by.max(&up),
            3 => liked + by - 1000,
            _ => *liked,
        }).collect());
        let some = beyond(0, 0);
        prop_assert!(limits.least.is_none_or(|least| least.get() <= some + 1e-9), "{limits:?} {some}");
        prop_assert!(limits.most.is_none_or(|most| most.get() >= some - 1e-9), "{limits:?} {some}");
        let exact = scenes.iter().all(|(_, open, _)| *open == 0);
        prop_assert!(!exact || limits.is_found(), "nothing is open: {limits:?}");
        let all_up = scenes.iter().all(|(_, open, _)| *open == 2);
        prop_assert!(!all_up || limits.most.is_none() && limits.least.is_some(), "{limits:?}");
    }
}

#[test]
fn scans_corrected_frame_by_frame_make_the_conclusion_void() {
    let mut desk = judged(Film::ColourNegative, &[6, 6, 6], different);
    how(&mut desk, Some(Scans::Corrected));
    match conclude(desk.book(), &group(&desk)) {
        Conclusion::Void(why) => same(
            "why",
            &why,
            "“Harbour 1”: Corrected frame by frame: the scanner evened out what the bracket was to show, so no rating can be \
             concluded. Judge the negatives on a light table, or have them scanned again with one fixed setting.",
        ),
        other => panic!("expected void, got {other:?}"),
    }
    how(&mut desk, Some(Scans::LightTable));
    assert_eq!(
        found(&desk).sure,
        Sureness::Fair,
        "negatives on a light table count"
    );
    how(&mut desk, None);
    let guess = found(&desk);
    assert_eq!(
        guess.sure,
        Sureness::Hint,
        "scans of unknown making are a hint"
    );
    assert!(
        guess.words.join(" ").contains(scans_words(None)),
        "and it is said"
    );
}

#[test]
fn what_is_no_evidence_does_not_decide() {
    let mut desk = judged(Film::ColourNegative, &[6, 6, 6], different);
    // The liked frame of scene 1 (frame 7) was shot after the light had changed, that of scene 2 (frame 17) was lost.
    slip(&mut desk, ROLL, Run::One(7), Slip::LightChanged(true));
    slip(&mut desk, ROLL, Run::One(17), Slip::Fate(Fate::Lost));
    let found = found(&desk);
    let scenes: Vec<u16> = found
        .evidence
        .iter()
        .map(|scene: &Evidence| scene.scene)
        .collect();
    assert_eq!(scenes, [3], "only the third scene is left");
}

#[test]
fn a_slip_moves_the_liked_offset() {
    let mut desk = judged(Film::ColourNegative, &[3, 3, 3], different);
    same("before", &found(&desk).rating.rating_words(), "EI 200");
    // The meter stood at 800 and not at 400: everything got a stop less light than it was taken for.
    slip(
        &mut desk,
        ROLL,
        Run::Numbers { from: 1, to: None },
        Slip::Meter(speed("800")),
    );
    same("after", &found(&desk).rating.rating_words(), "EI 400");
}

#[test]
fn a_result_is_written_to_its_group_and_to_no_other() {
    let mut desk = judged(Film::ColourNegative, &[6, 6, 6], different);
    let describe = Edit::Describe {
        roll: "box-3".to_owned(),
        name: "Glove box".to_owned(),
        purpose: String::new(),
        exposures: 36,
        storage: Some(Storage::Hot),
        note: String::new(),
    };
    apply(&mut desk, describe);
    let on = date("2024-07-01");
    let finding = found(&desk).finding("first", on);
    apply(&mut desk, Edit::Found(finding.clone()));
    let book: &Book = desk.book();
    let group_of = |id: &str| book.group_of(roll_of(&desk, id)).expect("a group");
    assert_eq!(
        findings_of(book, &group_of("box-2")),
        [&finding],
        "the same group"
    );
    assert!(
        findings_of(book, &group_of("box-3")).is_empty(),
        "another storage"
    );
    let elsewhere = findings_elsewhere(book, &group_of("box-3"));
    assert_eq!(elsewhere.len(), 1, "shown from elsewhere");
    assert!(
        elsewhere[0].1.contains("another storage"),
        "with the reason: {}",
        elsewhere[0].1
    );
    assert!(
        findings_elsewhere(book, &group_of("box-2")).is_empty(),
        "not from elsewhere in its own group"
    );
    let batch = book.batch("box").expect("the batch");
    same(
        "age",
        &age_words(&finding, batch, date("2026-06-01")),
        "When the rating was found, on 2024-07-01, the film was 20 years 1 month past its date. Today, on 2026-06-01, it is \
         22 years past its date. Nothing is added for the time between.",
    );
}

#[test]
fn a_roll_of_unknown_scans_among_known_ones_makes_the_result_less_sure() {
    let mut desk = judged(Film::ColourNegative, &[6, 6, 6], different);
    load_into(&mut desk, "box-2", "garden box", "400");
    series(
        &mut desk,
        "box-2",
        "gate",
        light("400", "1/250", "8", None),
        "400",
        &[("1/250", "8", 0), ("1/60", "8", 24)],
    );
    take_all(&mut desk, "box-2");
    judge(&mut desk, "box-2", 2, Grade::Liked);
    let mixed = found(&desk);
    assert_eq!(mixed.evidence.len(), 4, "it counts");
    assert_eq!(mixed.sure, Sureness::Fair, "but less surely");
    assert!(
        mixed
            .words
            .join(" ")
            .contains("“Harbour 2”: How the scans were made is not known."),
        "{:?}",
        mixed.words
    );
}

#[test]
fn the_next_start_rests_on_the_result_of_the_same_group_only() {
    let mut desk = judged(Film::ColourNegative, &[6, 6, 6], different);
    let hot = Edit::Describe {
        roll: "box-3".to_owned(),
        name: "Glove box".to_owned(),
        purpose: String::new(),
        exposures: 36,
        storage: Some(Storage::Hot),
        note: String::new(),
    };
    apply(&mut desk, hot);
    let finding = found(&desk).finding("first", date("2024-07-01"));
    apply(&mut desk, Edit::Found(finding));
    let start = |id: &str| {
        start_for(desk.book(), roll_of(&desk, id), date("2024-08-01"), false)
            .expect("batch and stock are there")
    };
    same(
        "the same group",
        &start("box-2").base.rating_words(),
        "EI 100",
    );
    assert!(
        start("box-3")
            .says
            .iter()
            .all(|row| row.source != Source::Measured),
        "not for the other storage"
    );
}

#[test]
fn nothing_judged_is_no_conclusion() {
    let desk = loaded("400", "400");
    assert!(
        matches!(conclude(desk.book(), &group(&desk)), Conclusion::Nothing(_)),
        "nothing yet"
    );
    let nobody = Group {
        stock: "nobody".to_owned(),
        ..group(&desk)
    };
    assert!(
        matches!(conclude(desk.book(), &nobody), Conclusion::Nothing(_)),
        "no such stock"
    );
}

#[test]
fn the_telling_frame_is_the_least_light_with_shadows_or_the_most_with_highlights() {
    let mut desk = judged(Film::ColourNegative, &[6], different);
    for (frame, tick) in [
        (5, Tick::ShadowTexture),
        (4, Tick::ShadowTexture),
        (8, Tick::HighlightTexture),
        (7, Tick::HighlightTexture),
    ] {
        let verdict = Some(Verdict {
            grade: Grade::Usable,
            ticks: vec![tick, tick, Tick::Grain],
        });
        apply(
            &mut desk,
            Edit::Judge {
                roll: ROLL.to_owned(),
                frame,
                verdict,
            },
        );
    }
    let roll = roll_of(&desk, ROLL);
    assert_eq!(
        roll.frame(5)
            .and_then(|f| f.verdict.clone())
            .map(|v| v.ticks.len()),
        Some(2),
        "no tick twice"
    );
    assert_eq!(
        telling_frame(roll, 1, Film::ColourNegative),
        Some(4),
        "least light with shadow texture"
    );
    assert_eq!(
        telling_frame(roll, 1, Film::Reversal),
        Some(8),
        "most light with highlight texture"
    );
    assert_eq!(
        telling_frame(roll, 9, Film::Reversal),
        None,
        "no such scene"
    );
}

#[test]
fn frames_are_compared_from_least_light_or_blind() {
    let desk = judged(Film::ColourNegative, &[6], different);
    let roll = roll_of(&desk, ROLL);
    let rising = comparing_order(roll, 1, None);
    assert_eq!(rising, (1..=10).collect::<Vec<u16>>(), "least light first");
    let blind = comparing_order(roll, 1, Some(7));
    assert_ne!(blind, rising, "another order");
    assert_eq!(
        blind,
        comparing_order(roll, 1, Some(7)),
        "the same number, the same order"
    );
    let mut sorted = blind;
    sorted.sort_unstable();
    assert_eq!(sorted, rising, "the same frames");
}
