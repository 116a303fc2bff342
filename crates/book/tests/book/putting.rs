//! Frames put in, moved and taken out in the middle of a log.

use book::{
    Desk, Edit, Extra, Fate, Frame, Lineup, Run, Slip, Spot, Unlogged, lab_slip, line_up, names,
    no_evidence, rows,
};
use proptest::prelude::*;

use crate::{
    check::{apply, loaded, pier, roll_of, same, slip, take_all},
    undoing::{change_of, ops, worked},
};

const ROLL: &str = "box-1";

/// Four frames, the first two shot.
fn half() -> Desk {
    let mut desk = loaded("400", "100");
    pier(
        &mut desk,
        &[
            ("1/250", "8", -12),
            ("1/125", "8", 0),
            ("1/60", "8", 12),
            ("1/30", "8", 24),
        ],
    );
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
    desk
}

/// Number on the film and id of each frame: `1:1 2:5 -:3`.
fn order(desk: &Desk) -> String {
    let numbered = roll_of(desk, ROLL).numbered();
    let parts: Vec<String> = numbered
        .into_iter()
        .map(|(number, frame)| {
            let number = number.map_or("-".to_owned(), |number| number.to_string());
            format!("{number}:{}", frame.id)
        })
        .collect();
    parts.join(" ")
}

fn put(what: Extra, spot: Spot) -> Edit {
    Edit::Extra {
        roll: ROLL.to_owned(),
        what,
        spot,
        at: None,
    }
}

fn moved(frame: u16, spot: Spot) -> Edit {
    Edit::Move {
        roll: ROLL.to_owned(),
        frame,
        spot,
    }
}

const UNKNOWN: Unlogged = Unlogged {
    scene: None,
    time: None,
    aperture: None,
};

#[test]
fn a_frame_that_is_put_in_lies_where_it_happened() {
    for (what, spot, expected) in [
        // Lost just now: behind what was shot, before what is still to be shot.
        (Extra::Lost, Spot::Now, "1:1 2:2 3:5 4:3 5:4"),
        (Extra::Slate, Spot::Now, "1:1 2:2 3:5 4:3 5:4"),
        (Extra::Lost, Spot::Before(1), "1:5 2:1 3:2 4:3 5:4"),
        (
            Extra::Forgotten(UNKNOWN),
            Spot::Behind(1),
            "1:1 2:5 3:2 4:3 5:4",
        ),
        (Extra::Capped, Spot::Behind(4), "1:1 2:2 3:3 4:4 5:5"),
        (
            Extra::Double(UNKNOWN),
            Spot::Behind(1),
            "1:1 1:5 2:2 3:3 4:4",
        ),
        (Extra::Double(UNKNOWN), Spot::Now, "1:1 2:2 2:5 3:3 4:4"),
    ] {
        let mut desk = half();
        let before = desk.book().clone();
        let kept: Vec<Frame> = roll_of(&desk, ROLL).frames.clone();
        apply(&mut desk, put(what, spot));
        same(&format!("{what:?} {spot:?}"), &order(&desk), expected);
        for frame in &kept {
            assert_eq!(
                roll_of(&desk, ROLL).frame(frame.id),
                Some(frame),
                "keeps what is known"
            );
        }
        desk.undo();
        assert_eq!(desk.book(), &before, "undone");
    }
    let mut desk = half();
    let refused = desk.apply(&put(Extra::Double(UNKNOWN), Spot::Before(1)));
    let refused = refused.expect_err("no film to share").to_string();
    assert!(
        refused.starts_with("a double exposure lies on the film of the frame before"),
        "{refused}"
    );
    let elsewhere = Unlogged {
        scene: Some(9),
        ..UNKNOWN
    };
    assert!(
        desk.apply(&put(Extra::Forgotten(elsewhere), Spot::Now))
            .is_err(),
        "no such scene"
    );
    let done = apply(&mut desk, put(Extra::Lost, Spot::Now));
    same("said", &done.said, "Lost frame logged as frame 3.");
}

#[test]
fn what_shares_a_piece_of_film_stays_together() {
    let mut desk = half();
    apply(&mut desk, put(Extra::Double(UNKNOWN), Spot::Behind(1)));
    apply(&mut desk, put(Extra::Lost, Spot::Before(5)));
    same("before the piece", &order(&desk), "1:6 2:1 2:5 3:2 4:3 5:4");
    apply(&mut desk, put(Extra::Lost, Spot::Behind(1)));
    same(
        "behind the piece",
        &order(&desk),
        "1:6 2:1 2:5 3:7 4:2 5:3 6:4",
    );
    apply(&mut desk, moved(1, Spot::Behind(2)));
    same(
        "moved together",
        &order(&desk),
        "1:6 2:7 3:2 4:1 4:5 5:3 6:4",
    );
    apply(&mut desk, moved(5, Spot::Behind(7)));
    same(
        "a double on another film",
        &order(&desk),
        "1:6 2:7 2:5 3:2 4:1 5:3 6:4",
    );
    assert!(
        desk.apply(&moved(5, Spot::Before(6))).is_err(),
        "no film to share"
    );
    // Where the frame below was never shot after all, what lay on it has a piece of its own.
    slip(&mut desk, ROLL, Run::One(7), Slip::Fate(Fate::LeftOut));
    same("by itself", &order(&desk), "1:6 -:7 2:5 3:2 4:1 5:3 6:4");
    let place = roll_of(&desk, ROLL)
        .frames
        .iter()
        .position(|frame| frame.id == 6);
    assert_ne!(
        no_evidence(roll_of(&desk, ROLL), place.expect("in the log")),
        Some("double exposure")
    );
}

#[test]
fn a_frame_that_is_moved_shifts_the_numbers_and_nothing_else() {
    for (frame, spot, expected) in [
        (4, Spot::Before(1), "1:4 2:1 3:2 4:3"),
        (1, Spot::Behind(4), "1:2 2:3 3:4 4:1"),
        (4, Spot::Now, "1:1 2:2 3:4 4:3"),
        (2, Spot::Before(2), "1:1 2:2 3:3 4:4"),
        (2, Spot::Behind(2), "1:1 2:2 3:3 4:4"),
    ] {
        let mut desk = half();
        let before = desk.book().clone();
        apply(&mut desk, moved(frame, spot));
        same(&format!("{frame} {spot:?}"), &order(&desk), expected);
        desk.undo();
        assert_eq!(desk.book(), &before, "undone");
    }
    let mut desk = half();
    assert!(desk.apply(&moved(9, Spot::Now)).is_err(), "no such frame");
    assert!(
        desk.apply(&moved(1, Spot::Before(9))).is_err(),
        "no such place"
    );
    assert_eq!(
        roll_of(&desk, ROLL).frame_of_scene(1, 2),
        Some(3),
        "the dial's third frame stays its third"
    );
    apply(&mut desk, moved(3, Spot::Before(1)));
    assert_eq!(
        roll_of(&desk, ROLL).frame_of_scene(1, 2),
        Some(3),
        "wherever it was moved"
    );
}

#[test]
fn a_frame_that_is_taken_out_takes_no_film_and_can_come_back() {
    let mut desk = half();
    apply(&mut desk, put(Extra::Lost, Spot::Before(1)));
    slip(&mut desk, ROLL, Run::One(5), Slip::Fate(Fate::LeftOut));
    same("out", &order(&desk), "-:5 1:1 2:2 3:3 4:4");
    same(
        "called",
        &rows(desk.book(), roll_of(&desk, ROLL))[0].fate,
        "taken out",
    );
    slip(&mut desk, ROLL, Run::One(1), Slip::Fate(Fate::LeftOut));
    same(
        "called",
        &rows(desk.book(), roll_of(&desk, ROLL))[1].fate,
        "left out",
    );
    slip(&mut desk, ROLL, Run::One(5), Slip::Fate(Fate::Lost));
    same("back", &order(&desk), "1:5 -:1 2:2 3:3 4:4");
    let text = lab_slip(desk.book(), roll_of(&desk, ROLL), book::Development::Normal).join(" ");
    assert!(
        text.contains("Blank or spoiled, and known to be: frame 1."),
        "{text}"
    );
}

#[test]
fn the_line_up_of_scans_follows() {
    let mut desk = half();
    take_all(&mut desk, ROLL);
    // The lab left frame 3 out, and the line-up says so.
    let gap = roll_of(&desk, ROLL).frames[2].id;
    let how = Lineup {
        gaps: vec![gap],
        ..Lineup::default()
    };
    let lies = |desk: &Desk, files: usize| -> String {
        let places = line_up(roll_of(desk, ROLL), files, &how);
        let parts: Vec<String> = places
            .iter()
            .map(|place| {
                let id = place.frames.first().map_or("-".to_owned(), u16::to_string);
                let file = place.file.map_or("-".to_owned(), |file| file.to_string());
                format!("{id}:{file}")
            })
            .collect();
        parts.join(" ")
    };
    same("before", &lies(&desk, 3), "1:0 2:1 3:- 4:2");
    // A frame that nobody had logged lies before: later scans lie a frame further on, and the gap stays with its frame.
    apply(&mut desk, put(Extra::Forgotten(UNKNOWN), Spot::Before(1)));
    same("after", &lies(&desk, 4), "5:0 1:1 2:2 3:- 4:3");
    let files: Vec<String> = ["a", "b", "c", "d"].map(str::to_owned).to_vec();
    let scans = names(&line_up(roll_of(&desk, ROLL), 4, &how), &files);
    apply(
        &mut desk,
        Edit::Name {
            roll: ROLL.to_owned(),
            scans,
        },
    );
    apply(&mut desk, put(Extra::Lost, Spot::Before(2)));
    let named: Vec<(u16, String)> = roll_of(&desk, ROLL)
        .frames
        .iter()
        .map(|frame| (frame.id, frame.scan.clone()))
        .collect();
    let expected = [(5, "a"), (1, "b"), (6, ""), (2, "c"), (3, ""), (4, "d")];
    assert_eq!(
        named,
        expected.map(|(id, name)| (id, name.to_owned())),
        "names stay with their frames"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 128, ..ProptestConfig::default() })]

    /// What is put in or moved changes no other frame, and numbers go up by one along the film, whatever the log holds.
    #[test]
    fn other_frames_stay_as_they_are_and_numbers_go_up_by_one(past in ops(30), what in 0_u16..400, at in 0_u16..400) {
        let desk = worked(&past);
        for op in [(12, what, at), (30, what, at)] {
            let mut desk = desk.clone();
            let edit = change_of(desk.book(), op);
            let (Edit::Extra { roll, .. } | Edit::Move { roll, .. }) = &edit else { continue };
            let before = desk.book().find_roll(roll).expect("a roll").clone();
            if desk.apply(&edit).is_err() {
                continue;
            }
            let after = desk.book().find_roll(roll).expect("a roll");
            for frame in &before.frames {
                prop_assert_eq!(after.frame(frame.id), Some(frame));
            }
            let mut numbers: Vec<u16> = after.numbered().into_iter().filter_map(|(number, _)| number).collect();
            numbers.dedup();
            prop_assert!(numbers.windows(2).all(|pair| pair[1] == pair[0] + 1), "{:?}", numbers);
            desk.undo();
            prop_assert_eq!(desk.book().find_roll(roll).expect("a roll"), &before);
        }
    }
}
