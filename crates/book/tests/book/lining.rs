//! Scans along the film.

use book::{Edit, Extra, Fate, Lineup, Place, Run, Slip, Spot, anchored, line_up, lying, names};

use crate::check::{apply, loaded, roll_of, same, slip};

const ROLL: &str = "box-1";

/// A roll of so many capped frames.
fn roll(frames: u16) -> book::Desk {
    let mut desk = loaded("200", "100");
    for _ in 0..frames {
        let capped = Edit::Extra {
            roll: ROLL.to_owned(),
            what: Extra::Capped,
            spot: Spot::Now,
            at: None,
        };
        apply(&mut desk, capped);
    }
    desk
}

/// Number on the film and file, in short: `1:0 2:- -:4`.
fn short(places: &[Place]) -> String {
    places
        .iter()
        .map(|place| {
            let number = place.number.map_or("-".to_owned(), |n| n.to_string());
            let file = place.file.map_or("-".to_owned(), |n| n.to_string());
            format!("{number}:{file}")
        })
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn scans_are_shifted_reversed_and_spread_over_gaps() {
    let desk = roll(4);
    let roll = roll_of(&desk, ROLL);
    for (files, reversed, shift, gaps, expected) in [
        (4, false, 0, vec![], "1:0 2:1 3:2 4:3"),
        (4, true, 0, vec![], "1:3 2:2 3:1 4:0"),
        (4, false, 1, vec![], "1:- 2:0 3:1 4:2 -:3"),
        (4, false, -1, vec![], "-:0 1:1 2:2 3:3 4:-"),
        (3, false, 0, vec![2], "1:0 2:- 3:1 4:2"),
        (3, true, 0, vec![2], "1:2 2:- 3:1 4:0"),
        (5, false, 0, vec![], "1:0 2:1 3:2 4:3 -:4"),
        (0, false, 0, vec![], "1:- 2:- 3:- 4:-"),
        (2, false, -9, vec![], "-:0 -:1 1:- 2:- 3:- 4:-"),
        (2, false, 9, vec![], "1:- 2:- 3:- 4:- -:0 -:1"),
    ] {
        let how = Lineup {
            reversed,
            shift,
            gaps,
            ..Lineup::default()
        };
        assert_eq!(
            short(&line_up(roll, files, &how)),
            expected,
            "{files} files, {how:?}"
        );
    }
}

#[test]
fn one_anchor_puts_the_rest_into_place() {
    let desk = roll(6);
    let roll = roll_of(&desk, ROLL);
    for (reversed, gaps, file, number) in [
        (false, vec![], 2, 4),
        (true, vec![], 2, 4),
        (false, vec![2], 0, 3),
        (true, vec![1, 5], 0, 6),
        (false, vec![], 3, 1),
    ] {
        let how = Lineup {
            reversed,
            gaps,
            ..Lineup::default()
        };
        let found = anchored(roll, 4, &how, file, number).expect("a place on the film");
        let places = line_up(roll, 4, &found);
        let place = places
            .iter()
            .find(|place| place.number == Some(number))
            .expect("on the film");
        assert_eq!(
            place.file,
            Some(file),
            "{how:?}, file {file} at {number}: {}",
            short(&places)
        );
    }
    assert_eq!(
        anchored(roll, 4, &Lineup::default(), 4, 1),
        None,
        "no such file"
    );
    assert_eq!(
        anchored(roll, 4, &Lineup::default(), 1, 9),
        None,
        "no such number"
    );
}

/// Files that are no frame of the log lie where they lie in the list, and move nothing; a strip lies the other way round.
#[test]
fn files_are_skipped_and_strips_turned() {
    let desk = roll(4);
    let roll = roll_of(&desk, ROLL);
    for (files, reversed, shift, gaps, skipped, strip, expected) in [
        (5, false, 0, vec![], vec![2], None, "1:0 2:1 -:2 3:3 4:4"),
        (
            6,
            false,
            0,
            vec![],
            vec![2, 3],
            None,
            "1:0 2:1 -:2 -:3 3:4 4:5",
        ),
        (5, true, 0, vec![], vec![2], None, "1:4 2:3 -:2 3:1 4:0"),
        (
            5,
            false,
            0,
            vec![3],
            vec![1],
            None,
            "1:0 -:1 2:2 3:- 4:3 -:4",
        ),
        (5, false, 0, vec![], vec![0], None, "-:0 1:1 2:2 3:3 4:4"),
        (
            5,
            false,
            -1,
            vec![],
            vec![2],
            None,
            "-:0 1:1 -:2 2:3 3:4 4:-",
        ),
        (
            5,
            false,
            -2,
            vec![],
            vec![0],
            None,
            "-:0 -:1 -:2 1:3 2:4 3:- 4:-",
        ),
        (
            5,
            false,
            1,
            vec![],
            vec![1],
            None,
            "1:- 2:0 -:1 3:2 4:3 -:4",
        ),
        (5, false, 0, vec![], vec![4, 9], None, "1:0 2:1 3:2 4:3 -:4"),
        (4, false, 0, vec![], vec![], Some((1, 2)), "1:0 2:2 3:1 4:3"),
        (4, true, 0, vec![], vec![], Some((0, 1)), "1:3 2:2 3:0 4:1"),
        (
            5,
            false,
            0,
            vec![],
            vec![2],
            Some((1, 3)),
            "1:0 2:3 -:2 3:1 4:4",
        ),
        (4, false, 0, vec![], vec![], Some((2, 9)), "1:0 2:1 3:2 4:3"),
        (4, false, 0, vec![], vec![], Some((3, 1)), "1:0 2:1 3:2 4:3"),
    ] {
        let how = Lineup {
            reversed,
            shift,
            gaps,
            skipped,
            strip,
        };
        let places = line_up(roll, files, &how);
        assert_eq!(short(&places), expected, "{files} files, {how:?}");
        let mut all: Vec<usize> = places.iter().filter_map(|place| place.file).collect();
        all.sort_unstable();
        assert!(all.into_iter().eq(0..files), "every file once: {how:?}");
        // No frame takes its name from a file that is none.
        let names_of: Vec<String> = (0..files).map(|file| file.to_string()).collect();
        for (_, name) in names(&places, &names_of) {
            assert!(
                !how.skipped
                    .iter()
                    .any(|skipped| skipped.to_string() == name),
                "{name} by {how:?}"
            );
        }
        // Where it lies is found again from the files alone.
        let file_of = |number: u16| {
            let mut places = places.iter();
            places.find(|place| place.number == Some(number))?.file
        };
        let found = lying(roll, files, file_of).expect("some lineup");
        for place in line_up(roll, files, &found) {
            if let Some(number) = place.number {
                assert_eq!(
                    place.file,
                    file_of(number),
                    "{number} of {how:?} by {found:?}"
                );
            }
        }
    }
}

#[test]
fn a_skipped_file_that_is_laid_at_a_frame_is_one_again() {
    let desk = roll(4);
    let roll = roll_of(&desk, ROLL);
    let how = Lineup {
        skipped: vec![1],
        ..Lineup::default()
    };
    let found = anchored(roll, 5, &how, 1, 2).expect("a place on the film");
    assert_eq!(found, Lineup::default(), "it is counted again");
    let found = anchored(roll, 5, &how, 3, 3).expect("a place on the film");
    assert_eq!(found, how, "another one lies there already");
}

#[test]
fn names_go_to_frames_and_a_double_exposure_shares_its_scan() {
    let mut desk = roll(3);
    slip(&mut desk, ROLL, Run::One(2), Slip::Fate(Fate::Double));
    let roll = roll_of(&desk, ROLL);
    let files = ["a.jpg".to_owned(), "b.jpg".to_owned()];
    let named = names(&line_up(roll, 2, &Lineup::default()), &files);
    let expected =
        [(1, "a.jpg"), (2, "a.jpg"), (3, "b.jpg")].map(|(id, name)| (id, name.to_owned()));
    assert_eq!(named, expected, "frames 1 and 2 are on the same film");
    apply(
        &mut desk,
        Edit::Name {
            roll: ROLL.to_owned(),
            scans: named,
        },
    );
    assert_eq!(roll_of(&desk, ROLL).frames[2].scan, "b.jpg", "kept");
}

#[test]
fn a_line_up_is_kept_for_the_files_that_lay_so_and_for_no_others() {
    let files =
        |names: &[&str]| -> Vec<String> { names.iter().map(|name| (*name).to_owned()).collect() };
    let these = files(&["scan 1.jpg", "scan 2.jpg", "scan 3.jpg"]);
    let how = Lineup {
        reversed: true,
        shift: -1,
        gaps: vec![3, 5],
        skipped: vec![0, 2],
        strip: Some((0, 1)),
    };
    let text = how.text(&these);
    same(
        "as it is kept",
        &text,
        "stopkeeper line-up 1\nfiles 3 329a03088878b175\nreversed -1\nwithout 3 5\nskipped 0 2\nstrip 0 1\n",
    );
    for how in [how, Lineup::default()] {
        let read = Lineup::read(&how.text(&these), &these);
        assert_eq!(read, Some(how), "as it lay");
    }
    for others in [
        &["scan 1.jpg", "scan 2.jpg"][..],
        &["scan 1.jpg", "scan 3.jpg", "scan 2.jpg"],
        &["scan 1.jpg", "scan 2.jpg", "scan 4.jpg"],
        &[],
    ] {
        assert_eq!(Lineup::read(&text, &files(others)), None, "{others:?}");
    }
    for (from, to) in [
        ("line-up 1", "line-up 2"),
        ("reversed", "sideways"),
        ("-1", "--1"),
        ("-1", "99999999999"),
        ("without 3", "without  3"),
        ("without 3", "without 70000"),
        ("without 3 5", ""),
        ("skipped 0", "skipped  0"),
        ("strip 0 1", "strip 0"),
        ("strip 0 1", "strip"),
        ("files 3", "files 03"),
        ("\nreversed", "\r\nreversed"),
    ] {
        let damaged = text.replacen(from, to, 1);
        assert_ne!(damaged, text, "{from} is in it");
        assert_eq!(Lineup::read(&damaged, &these), None, "{damaged:?}");
    }
    for end in 0..text.len() {
        assert_eq!(Lineup::read(&text[..end], &these), None, "cut at {end}");
    }
    assert_eq!(Lineup::read("", &[]), None, "nothing");
}
