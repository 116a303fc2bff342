//! Scans along the film.

use book::{
    Edit, Extra, Fate, Lineup, Place, Run, Slip, Spot, anchored, by_names, carried, line_up, lying,
    names, turned,
};

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
            strips: strip.into_iter().collect(),
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
        strips: vec![(0, 1)],
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
    let two = Lineup {
        strips: vec![(0, 1), (3, 9)],
        ..Lineup::default()
    };
    assert!(two.text(&these).ends_with("strip 0 1 3 9\n"), "two strips");
    assert_eq!(Lineup::read(&two.text(&these), &these), Some(two));
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

fn scans(files: impl IntoIterator<Item = usize>) -> Vec<String> {
    let files = files.into_iter();
    files.map(|file| format!("scan {file}.jpg")).collect()
}

#[test]
fn strips_are_turned_by_their_frames_and_back() {
    let desk = roll(8);
    let roll = roll_of(&desk, ROLL);
    let turn = |how: &Lineup, ends| turned(roll, 8, how, ends).expect("two files");
    let one = turn(&Lineup::default(), (2, 4));
    assert_eq!(
        short(&line_up(roll, 8, &one)),
        "1:0 2:3 3:2 4:1 5:4 6:5 7:6 8:7"
    );
    let two = turn(&one, (8, 6));
    assert_eq!(
        short(&line_up(roll, 8, &two)),
        "1:0 2:3 3:2 4:1 5:4 6:7 7:6 8:5",
        "two strips of one roll"
    );
    assert_eq!(two.strips, [(1, 3), (5, 7)]);
    assert_eq!(turn(&turn(&two, (6, 8)), (4, 2)), Lineup::default(), "back");
    let over = turn(&two, (4, 5));
    assert_eq!(
        short(&line_up(roll, 8, &over)),
        "1:0 2:4 3:3 4:2 5:1 6:7 7:6 8:5",
        "from the file at frame 4 to that at frame 5"
    );
    for ends in [(3, 3), (9, 12), (0, 1)] {
        assert_eq!(turned(roll, 8, &one, ends), None, "{ends:?}");
    }
    // What is turned is found again from where the files lie, also where the whole runs the other way.
    for reversed in [false, true] {
        for gaps in [vec![], vec![3]] {
            let how = Lineup {
                reversed,
                gaps,
                ..Lineup::default()
            };
            let how = turn(&turn(&how, (1, 2)), (4, 8));
            let places = line_up(roll, 8, &how);
            let file_of = |number: u16| {
                let mut places = places.iter();
                places.find(|place| place.number == Some(number))?.file
            };
            let found = lying(roll, 8, file_of).expect("a line-up");
            let numbered = |places: &[Place]| -> Vec<Place> {
                let places = places.iter();
                places.filter(|p| p.number.is_some()).cloned().collect()
            };
            assert_eq!(
                numbered(&line_up(roll, 8, &found)),
                numbered(&places),
                "{how:?} by {found:?}"
            );
        }
    }
}

#[test]
fn scans_that_come_beside_others_find_the_free_frames() {
    let desk = roll(6);
    let roll = roll_of(&desk, ROLL);
    let plain = Lineup::default();
    let shifted = |shift| Lineup {
        shift,
        ..Lineup::default()
    };
    let reversed = |shift| Lineup {
        reversed: true,
        ..shifted(shift)
    };
    let gap = |frame| Lineup {
        gaps: vec![frame],
        ..Lineup::default()
    };
    for (what, how, before, now, expected) in [
        (
            "after them",
            &plain,
            vec![0, 1],
            vec![0, 1, 2, 3],
            "1:0 2:1 3:2 4:3 5:- 6:-",
        ),
        (
            "before them, where the film has room",
            &shifted(2),
            vec![2, 3],
            vec![0, 1, 2, 3],
            "1:0 2:1 3:2 4:3 5:- 6:-",
        ),
        (
            "before them, where it has none",
            &plain,
            vec![2, 3],
            vec![1, 2, 3],
            "-:0 1:1 2:2 3:- 4:- 5:- 6:-",
        ),
        (
            "one that was missing",
            &gap(2),
            vec![0, 2],
            vec![0, 1, 2],
            "1:0 2:1 3:2 4:- 5:- 6:-",
        ),
        (
            "one that lies between and has no frame",
            &plain,
            vec![0, 2],
            vec![0, 1, 2],
            "1:0 -:1 2:2 3:- 4:- 5:- 6:-",
        ),
        (
            "one frame is still without",
            &Lineup {
                gaps: vec![2, 3],
                ..Lineup::default()
            },
            vec![0, 2],
            vec![0, 1, 2, 3],
            "1:0 2:1 3:- 4:2 5:3 6:-",
        ),
        (
            "the other way, after them in the list",
            &reversed(2),
            vec![0, 1],
            vec![0, 1, 2, 3],
            "1:3 2:2 3:1 4:0 5:- 6:-",
        ),
        (
            "the other way, before them in the list",
            &reversed(0),
            vec![2, 3],
            vec![0, 1, 2, 3],
            "1:3 2:2 3:1 4:0 5:- 6:-",
        ),
    ] {
        let how = carried(roll, how, &scans(before), &scans(now.clone())).expect(what);
        assert_eq!(
            short(&line_up(roll, now.len(), &how)),
            expected,
            "{what}: {how:?}"
        );
    }
    assert_eq!(
        carried(roll, &plain, &[], &scans([0])),
        None,
        "none lay anywhere"
    );
    assert_eq!(
        carried(roll, &shifted(-2), &scans([0, 1]), &scans([0, 1, 2])),
        None,
        "none lay at a frame"
    );
}

/// Whichever come later: what lay at a frame lies there still, and no file is lost.
#[test]
fn whichever_scans_come_later_the_others_stay_where_they_are() {
    let desk = roll(5);
    let roll = roll_of(&desk, ROLL);
    let now = scans(0..5);
    let mut seen = 0;
    for chosen in 1_usize..31 {
        let before = scans((0..5).filter(|file| chosen >> file & 1 == 1));
        for reversed in [false, true] {
            for shift in -1..3 {
                for gaps in [vec![], vec![2], vec![1, 4]] {
                    for skipped in [vec![], vec![0], vec![1]] {
                        for strips in [vec![], vec![(0, 1)], vec![(0, 1), (2, 3)], vec![(1, 3)]] {
                            let how = Lineup {
                                reversed,
                                shift,
                                gaps: gaps.clone(),
                                skipped: skipped.clone(),
                                strips,
                            };
                            let lay: Vec<(u16, &String)> = line_up(roll, before.len(), &how)
                                .iter()
                                .filter_map(|place| Some((place.number?, &before[place.file?])))
                                .collect();
                            let Some(then) = carried(roll, &how, &before, &now) else {
                                assert_eq!(lay, [], "{before:?} {how:?}");
                                continue;
                            };
                            seen += 1;
                            let places = line_up(roll, now.len(), &then);
                            for (number, name) in lay {
                                let place =
                                    places.iter().find(|place| place.number == Some(number));
                                let file = place.and_then(|place| place.file);
                                assert_eq!(
                                    file.map(|file| &now[file]),
                                    Some(name),
                                    "{number} of {before:?} by {how:?}, then by {then:?}"
                                );
                            }
                            for left_out in how.skipped.iter().filter_map(|file| before.get(*file))
                            {
                                let is_it = |place: &&Place| {
                                    place.file.is_some_and(|file| now[file] == *left_out)
                                };
                                let place = places.iter().find(is_it).expect("it is there");
                                assert_eq!(place.number, None, "{left_out} of {how:?} by {then:?}");
                            }
                            let mut all: Vec<usize> =
                                places.iter().filter_map(|place| place.file).collect();
                            all.sort_unstable();
                            assert!(all.into_iter().eq(0..5), "every file once: {then:?}");
                        }
                    }
                }
            }
        }
    }
    assert!(seen > 5_000, "{seen} of them lay at a frame");
}

#[test]
fn files_find_the_frames_that_keep_their_names() {
    let at = |scans: &[&str], files: &[&str], on: bool| -> Option<String> {
        let mut desk = roll(u16::try_from(scans.len()).expect("a few"));
        let named = (1..).zip(scans).map(|(id, name)| (id, (*name).to_owned()));
        apply(
            &mut desk,
            Edit::Name {
                roll: ROLL.to_owned(),
                scans: named.collect(),
            },
        );
        let files: Vec<String> = files.iter().map(|name| (*name).to_owned()).collect();
        let roll = roll_of(&desk, ROLL);
        let how = by_names(roll, &files, on)?;
        Some(short(&line_up(roll, files.len(), &how)))
    };
    for (what, scans, files, expected) in [
        (
            "as they lie",
            &["a", "b", "c"][..],
            &["a", "b", "c"][..],
            "1:0 2:1 3:2",
        ),
        (
            "the other way round",
            &["c", "b", "a"],
            &["a", "b", "c"],
            "1:2 2:1 3:0",
        ),
        (
            "a file before the log and a frame that was left without",
            &["b", "", "c"],
            &["a", "b", "c"],
            "-:0 1:1 2:- 3:2",
        ),
        (
            "a file between, and a frame that was left without",
            &["a", "", "c"],
            &["a", "b", "c"],
            "1:0 2:- -:1 3:2",
        ),
        ("one file of three", &["a", "b", "c"], &["b"], "1:- 2:0 3:-"),
        (
            "a strip the other way round",
            &["a", "c", "b"],
            &["a", "b", "c"],
            "1:0 2:2 3:1",
        ),
        (
            "two strips the other way round",
            &["b", "a", "c", "e", "d"],
            &["a", "b", "c", "d", "e"],
            "1:1 2:0 3:2 4:4 5:3",
        ),
        (
            "a file that is no frame",
            &["a", "b", "d"],
            &["a", "b", "c", "d"],
            "1:0 2:1 -:2 3:3",
        ),
    ] {
        for on in [false, true] {
            assert_eq!(at(scans, files, on).as_deref(), Some(expected), "{what}");
        }
    }
    for (what, scans, files, alone, on) in [
        (
            "scans that came since",
            &["a", "b", "", ""][..],
            &["a", "b", "c", "d"][..],
            "1:0 2:1 3:- 4:- -:2 -:3",
            "1:0 2:1 3:2 4:3",
        ),
        (
            "the other way, from the middle",
            &["", "b", "a", ""],
            &["a", "b", "c"],
            "-:2 1:- 2:1 3:0 4:-",
            "1:2 2:1 3:0 4:-",
        ),
        (
            "a frame that keeps the name of a file that is not here",
            &["a", "b", "c", ""],
            &["a", "b", "d"],
            "1:0 2:1 3:- 4:- -:2",
            "1:0 2:1 3:- 4:2",
        ),
        (
            "the same before the others",
            &["", "x", "c", "d"],
            &["b", "c", "d"],
            "-:0 1:- 2:- 3:1 4:2",
            "1:0 2:- 3:1 4:2",
        ),
    ] {
        assert_eq!(at(scans, files, false).as_deref(), Some(alone), "{what}");
        assert_eq!(at(scans, files, true).as_deref(), Some(on), "{what}");
    }
    for (scans, files) in [
        (&["b", "d", "a", "c"][..], &["a", "b", "c", "d"][..]),
        (&["", "", ""], &["a"]),
        (&["x", "y"], &["a"]),
    ] {
        assert_eq!(at(scans, files, true), None, "{scans:?} of {files:?}");
    }
}
