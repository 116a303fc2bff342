//! Scans along the film.

use book::{Edit, Extra, Fate, Lineup, Place, Run, Slip, Spot, anchored, line_up, names};

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
            shift: 0,
            gaps,
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
    };
    let text = how.text(&these);
    same(
        "as it is kept",
        &text,
        "stopkeeper line-up 1\nfiles 3 329a03088878b175\nreversed -1\nwithout 3 5\n",
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
