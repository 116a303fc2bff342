//! What a frame really was: one answer to its light and its setting, which scene, evidence, table and sidecar read alike.

use book::{
    CSV_HEAD, Conclusion, Edit, Extra, Fate, Grade, Plan, Planned, Roll, Run, Scans, Slip, Spot,
    Unlogged, as_shot, conclude, csv, frame_words, light_of, rows, series, xmp,
};
use proptest::prelude::*;

use crate::{
    check::{
        aperture, apply, close, judge, loaded, pier, roll_of, same, scene_of, setting, slip, speed,
        take_all, time,
    },
    undoing::{ops, worked},
};

const ROLL: &str = "box-1";

const FRAMES: [(&str, &str, i32); 4] = [
    ("1/250", "8", -12),
    ("1/125", "8", 0),
    ("1/60", "8", 12),
    ("1/30", "8", 24),
];

/// Four frames meant for EI 100 and shot, and the meter that stood at 400 when their light was read: two stops less light
/// than was meant, by arithmetic.
fn slipped() -> book::Desk {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &FRAMES);
    take_all(&mut desk, ROLL);
    let run = Run::Numbers { from: 1, to: None };
    slip(&mut desk, ROLL, run, Slip::Meter(speed("400")));
    desk
}

#[test]
fn frames_that_are_there_are_held_whatever_the_meter_stood_at() {
    let desk = slipped();
    let found = series(roll_of(&desk, ROLL), 1);
    let held: Vec<f64> = found
        .held
        .iter()
        .map(|held| held.shot.from_base.get())
        .collect();
    for (held, planned) in held.iter().zip([-1.0, 0.0, 1.0, 2.0]) {
        close("held", *held, planned, 1e-9);
    }
    assert_eq!(held.len(), 4, "all of them");
    assert_eq!(found.missing, [], "so that nothing is planned again");
    same(
        "words",
        &found.words,
        "Holds 1 stop less light, the base, 1 stop more light and 2 stops more light. The meter stood at ISO 400, not at \
         ISO 100: 2 stops less light than was meant.",
    );
    let roll = roll_of(&desk, ROLL);
    for (frame, ei) in roll.frames.iter().zip([800.0, 400.0, 200.0, 100.0]) {
        let shot = as_shot(roll, frame).expect("a frame of a scene");
        close("EI", shot.ei.iso(), ei, 0.01);
        // Read as 1/125, f/8 (EV 13) at ISO 400: EV 11 at ISO 100.
        close("light", shot.light.get(), 11.0, 1e-9);
        assert_eq!(shot.meter, Some(speed("400")));
    }
}

#[test]
fn log_line_table_and_sidecar_say_what_the_meter_stood_at() {
    let desk = slipped();
    let (book, roll) = (desk.book(), roll_of(&desk, ROLL));
    let words = "the meter stood at ISO 400, not at ISO 100: 2 stops less light than was meant";
    let row = &rows(book, roll)[1];
    same("log line", &row.meter, words);
    same("light", &row.light, "11");
    let table = csv(book, &[roll]);
    let two = CSV_HEAD[22..24].join(",");
    let head = table.lines().next();
    assert!(head.is_some_and(|head| head.contains(&two)), "{table}");
    let line = table.lines().nth(2).expect("the second frame");
    assert!(line.contains(&format!(",\"{words}\",11,")), "{line}");
    let packet = xmp(book, roll, &roll.frames[1]);
    assert!(packet.contains(words), "{packet}");
    assert!(packet.contains("<rdf:li>400</rdf:li>"), "{packet}");
}

#[test]
fn the_evidence_has_the_light_that_there_really_was() {
    let mut desk = slipped();
    judge(&mut desk, ROLL, 1, Grade::Rejected);
    judge(&mut desk, ROLL, 3, Grade::Liked);
    judge(&mut desk, ROLL, 4, Grade::Usable);
    let how = Some(Scans::Fixed);
    apply(
        &mut desk,
        Edit::ScansMade {
            roll: ROLL.to_owned(),
            how,
        },
    );
    let group = desk.book().group_of(roll_of(&desk, ROLL)).expect("a group");
    let Conclusion::Found(found) = conclude(desk.book(), &group) else {
        panic!("a frame was liked");
    };
    assert_eq!(found.evidence[0].light_tenths, 110, "EV 11, not 13");
    assert_eq!(found.evidence[0].liked_thousandths, 1000, "EI 200 on 400");
}

#[test]
fn what_is_planned_and_shot_after_the_slip_has_the_same_light() {
    let mut desk = slipped();
    slip(
        &mut desk,
        ROLL,
        Run::One(3),
        Slip::Aperture(aperture("f/5.6")),
    );
    let missing = series(roll_of(&desk, ROLL), 1).missing;
    assert_eq!(missing.len(), 1, "one stop more light");
    assert_eq!(missing[0].set, setting("1/60", "f/8"));
    let frames = vec![Planned::missing(&missing[0]).expect("kept before")];
    apply(
        &mut desk,
        Edit::More {
            roll: ROLL.to_owned(),
            scene: 1,
            frames,
        },
    );
    let waits = rows(desk.book(), roll_of(&desk, ROLL)).remove(4);
    same("it will have the same light", &waits.light, "11");
    take_all(&mut desk, ROLL);
    let roll = roll_of(&desk, ROLL);
    let shot = as_shot(roll, &roll.frames[4]).expect("a frame of a scene");
    close("EI", shot.ei.iso(), 200.0, 0.01);
    assert_eq!(series(roll, 1).missing, [], "it is there");
    let scene = scene_of(&desk, ROLL, 1);
    same(
        "the same light for the next scene",
        &light_of(roll, &scene).read_words(),
        "Read as 1/125, f/8 at ISO 400.",
    );
    // Read again after the first two frames, and the meter slipped only then: those are two stops apart from the others.
    let mut desk = loaded("400", "100");
    pier(&mut desk, &FRAMES);
    take_all(&mut desk, ROLL);
    let run = Run::Numbers {
        from: 3,
        to: Some(4),
    };
    slip(&mut desk, ROLL, run, Slip::Meter(speed("400")));
    same(
        "a part of a scene",
        &series(roll_of(&desk, ROLL), 1).words,
        "Holds 1 stop less light and the base. Missing: 1 stop more light (1/60, f/8) and 2 stops more light (1/30, f/8), 2 \
         more frames. For frames 3 to 4 the meter stood at ISO 400, not at ISO 100: 2 stops less light than was meant.",
    );
}

#[test]
fn a_frame_whose_light_had_changed_amounts_to_nothing_that_is_known() {
    let mut desk = slipped();
    slip(&mut desk, ROLL, Run::One(2), Slip::LightChanged(true));
    let (book, roll) = (desk.book(), roll_of(&desk, ROLL));
    assert_eq!(as_shot(roll, &roll.frames[1]), None);
    let row = &rows(book, roll)[1];
    let known = [
        &row.ei,
        &row.from_base,
        &row.from_box,
        &row.from_box_stops,
        &row.light,
    ];
    assert!(known.iter().all(|cell| cell.is_empty()), "{row:?}");
    assert_eq!(row.shot, ["1/125", "f/8"], "what was set is known");
    same("why", &row.no_evidence, "the light had changed");
    let packet = xmp(book, roll, &roll.frames[1]);
    assert!(!packet.contains("ISOSpeedRatings"), "{packet}");
    assert!(
        packet.contains("<exif:FNumber>8/1</exif:FNumber>"),
        "{packet}"
    );
    assert!(
        packet.contains("the light had changed since it was read"),
        "{packet}"
    );
    for fate in [Fate::Lost, Fate::LeftOut] {
        slip(&mut desk, ROLL, Run::One(2), Slip::LightChanged(false));
        slip(&mut desk, ROLL, Run::One(2), Slip::Fate(fate));
        let roll = roll_of(&desk, ROLL);
        assert_eq!(
            as_shot(roll, &roll.frames[1]),
            None,
            "{fate:?} was not exposed"
        );
    }
}

#[test]
fn keeping_a_deviation_means_that_the_frame_was_shot() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &FRAMES);
    let keep = |frame: u16, stop: &str, fate, note: &str| Edit::Shot {
        roll: ROLL.to_owned(),
        frame,
        time: None,
        aperture: Some(aperture(stop)),
        fate,
        note: note.to_owned(),
        at: Some(crate::check::moment("2024-05-01T10:05")),
    };
    let done = apply(&mut desk, keep(1, "f/5.6", Fate::Taken, "a gust"));
    same(
        "said",
        &done.said,
        "Frame 1 is kept as it was shot; the plan stays beside it.",
    );
    let shot = roll_of(&desk, ROLL).frames[0].shot.clone();
    assert_eq!(
        (shot.fate, shot.at.is_some()),
        (Fate::Taken, true),
        "shot, and when"
    );
    assert_eq!(
        (shot.aperture, shot.note.as_str()),
        (Some(aperture("f/5.6")), "a gust")
    );
    assert!(
        matches!(roll_of(&desk, ROLL).frames[0].plan, Plan::Picture { .. }),
        "the plan stays"
    );
    desk.undo();
    assert_eq!(
        roll_of(&desk, ROLL).frames[0].shot,
        book::Shot::default(),
        "one step"
    );
    // Unless it is said otherwise; and what was typed as it was planned is no deviation.
    apply(&mut desk, keep(1, "f/5.6", Fate::Waiting, ""));
    assert_eq!(roll_of(&desk, ROLL).frames[0].shot.fate, Fate::Waiting);
    apply(&mut desk, keep(1, "f/8", Fate::Taken, ""));
    assert_eq!(
        roll_of(&desk, ROLL).frames[0].shot.aperture,
        None,
        "as planned"
    );
    // A slip of one frame is one that was shot; one of a run that is open covers what was shot so far.
    slip(&mut desk, ROLL, Run::One(2), Slip::Time(time("1/60")));
    assert_eq!(roll_of(&desk, ROLL).frames[1].shot.fate, Fate::Taken);
    let run = Run::Numbers { from: 1, to: None };
    slip(&mut desk, ROLL, run, Slip::Aperture(aperture("f/4")));
    let fates: Vec<Fate> = roll_of(&desk, ROLL)
        .frames
        .iter()
        .map(|f| f.shot.fate)
        .collect();
    assert_eq!(
        fates,
        [Fate::Taken, Fate::Taken, Fate::Waiting, Fate::Waiting]
    );
    assert_eq!(
        roll_of(&desk, ROLL).frames[2].shot.aperture,
        None,
        "not shot yet"
    );
    let run = Run::Numbers {
        from: 3,
        to: Some(4),
    };
    let done = slip(&mut desk, ROLL, run, Slip::Aperture(aperture("f/4")));
    assert!(
        done.said
            .ends_with("2 frames that waited count as shot now."),
        "{}",
        done.said
    );
}

#[test]
fn a_frame_that_waits_for_what_is_there_already_is_named() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &FRAMES);
    for frame in 1..=2 {
        apply(
            &mut desk,
            Edit::Taken {
                roll: ROLL.to_owned(),
                frame,
                at: None,
            },
        );
    }
    slip(
        &mut desk,
        ROLL,
        Run::One(3),
        Slip::Aperture(aperture("f/5.6")),
    );
    same(
        "words",
        &series(roll_of(&desk, ROLL), 1).words,
        "Holds 1 stop less light, the base and 2 stops more light. Missing: 1 stop more light (1/60, f/8), one more frame. \
         Waits, and is there already: 2 stops more light (frame 4).",
    );
}

#[test]
fn a_frame_that_nobody_had_planned_is_held_and_not_planned() {
    let mut desk = slipped();
    let known = Unlogged {
        scene: Some(1),
        time: Some(time("1/15")),
        aperture: Some(aperture("f/8")),
    };
    let put = |what, spot| Edit::Extra {
        roll: ROLL.to_owned(),
        what,
        spot,
        at: None,
    };
    apply(&mut desk, put(Extra::Forgotten(known), Spot::Behind(2)));
    let unknown = Unlogged {
        time: None,
        ..known
    };
    apply(&mut desk, put(Extra::Forgotten(unknown), Spot::Now));
    let roll = roll_of(&desk, ROLL);
    let found = series(roll, 1);
    assert_eq!(found.held.len(), 5, "{}", found.words);
    assert!(
        found.words.contains("3 stops more light"),
        "{}",
        found.words
    );
    assert_eq!(found.out, [(Some(6), "its setting is not known")]);
    let row = &rows(desk.book(), roll)[2];
    assert_eq!(
        (row.kind.as_str(), row.planned.concat()),
        ("picture, not planned", String::new())
    );
    // It was not planned, so nothing is missing where it is lost.
    let id = roll.frames[2].id;
    slip(&mut desk, ROLL, Run::One(id), Slip::Fate(Fate::Lost));
    assert_eq!(series(roll_of(&desk, ROLL), 1).missing, []);
}

/// What the plan of a frame asks for from the base, worked out from the figures alone.
fn asked(roll: &Roll, scene: u16) -> Vec<(u16, f64)> {
    let base = &roll.scene(scene).expect("a scene").base;
    let place = |set: &book::Setting| {
        (set.time.mark().exact() / set.aperture.mark().exact().powi(2)).log2()
    };
    roll.frames
        .iter()
        .filter_map(|frame| match &frame.plan {
            Plan::Picture { scene: of, set, .. } if *of == scene => {
                Some((frame.id, place(set) - place(base)))
            }
            _ => None,
        })
        .collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1.0 / 12.0 + 1e-9
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 192, ..ProptestConfig::default() })]

    /// Every planned frame is held, still to shoot, or missing, and never two of these; nothing else is.
    #[test]
    fn held_still_to_shoot_and_missing_part_the_plan(ops in ops(40)) {
        let desk = worked(&ops);
        for roll in desk.book().rolls() {
            for scene in &roll.scenes {
                let found = series(roll, scene.number);
                let held = |offset: f64| found.held.iter().any(|held| near(held.shot.from_base.get(), offset));
                let lacks = |offset: f64, to_come: bool| found.missing.iter()
                    .any(|missing| missing.to_come == to_come && near(missing.from_base.get(), offset));
                let asked = asked(roll, scene.number);
                for (id, offset) in &asked {
                    let parts = [held(*offset), lacks(*offset, true), lacks(*offset, false)];
                    prop_assert_eq!(parts.iter().filter(|part| **part).count(), 1, "frame {} ({}): {:?} of {:?}", id, offset, parts, found);
                    let frame = roll.frame(*id).expect("in the log");
                    let as_planned = frame.shot.time.is_none() && frame.shot.aperture.is_none();
                    let place = roll.frames.iter().position(|other| other.id == *id).expect("in the log");
                    let same_light = as_shot(roll, frame).is_some_and(|shot| shot.meter.unwrap_or(scene.light.sensitivity) == light_of(roll, scene).sensitivity);
                    if as_planned && same_light && book::no_evidence(roll, place).is_none() {
                        prop_assert!(held(*offset), "frame {} is there: {}", id, found.words);
                    }
                    let waits = frame.shot.fate == Fate::Waiting && !roll.state.is_finished();
                    prop_assert!(!waits || !lacks(*offset, false), "frame {} is to come: {}", id, found.words);
                }
                for missing in &found.missing {
                    prop_assert!(asked.iter().any(|(_, offset)| near(*offset, missing.from_base.get())), "{:?} was never planned", missing);
                    prop_assert!(!missing.to_come || !roll.state.is_finished(), "nothing comes on a finished roll");
                }
            }
        }
    }

    /// What is missing, planned and shot, is there.
    #[test]
    fn nothing_is_missing_once_it_was_planned_and_shot(ops in ops(40)) {
        let desk = worked(&ops);
        for roll in desk.book().rolls() {
            for scene in &roll.scenes {
                let mut desk = desk.clone();
                let missing = series(roll, scene.number).missing;
                let frames: Vec<Planned> = missing.iter().map(|one| Planned::missing(one).expect("kept before")).collect();
                let more = Edit::More { roll: roll.id.clone(), scene: scene.number, frames: frames.clone() };
                if frames.is_empty() || desk.apply(&more).is_err() {
                    continue;
                }
                take_all(&mut desk, &roll.id);
                let found = series(roll_of(&desk, &roll.id), scene.number);
                for planned in &frames {
                    prop_assert!(
                        !found.missing.iter().any(|missing| missing.set == planned.set),
                        "{:?} is there: {}", planned, found.words
                    );
                }
            }
        }
    }

    /// One function gives setting and light: the table, the sidecar and the words of a frame never differ from it.
    #[test]
    fn table_sidecar_and_words_agree(ops in ops(40)) {
        let desk = worked(&ops);
        let book = desk.book();
        for roll in book.rolls() {
            let box_speed = book.stock_of(roll).map(|stock| stock.box_speed);
            for (row, frame) in rows(book, roll).iter().zip(&roll.frames) {
                let packet = xmp(book, roll, frame);
                match as_shot(roll, frame) {
                    Some(shot) => {
                        let [time, aperture] = &row.shot;
                        prop_assert!(time.starts_with(&shot.set.time.shown()), "{}", time);
                        prop_assert!([shot.set.aperture.listed(), shot.set.aperture.text()].contains(aperture), "{}", aperture);
                        prop_assert_eq!(&row.ei, &shot.ei_words());
                        prop_assert_eq!(row.give_or_take.is_empty(), shot.doubt.is_none());
                        prop_assert!(packet.contains(&format!("as shot: {}", frame_words(&shot, box_speed))), "{}", packet);
                        prop_assert_eq!(row.meter.is_empty(), shot.meter.is_none());
                    }
                    None => {
                        prop_assert_eq!(&row.ei, "");
                        prop_assert!(!packet.contains("as shot:") && !packet.contains("ISOSpeedRatings"), "{}", packet);
                    }
                }
                prop_assert_eq!(packet.contains("the meter stood at"), !row.meter.is_empty());
            }
        }
    }
}
