//! Frames that were compared two at a time: kept, put together, counted by offset.

use book::{
    Book, Desk, Edit, Extra, Film, Key, Kind, Pair, Scans, Shelved, Spot, Storage, Written, encode,
    export, next_pair, pair_wins, paired_offsets, plan_import,
};
use proptest::prelude::*;

use crate::check::{apply, bag, close, date, light, load, loaded, roll_of, same, series};

const GOLDEN: &str = include_str!("../golden/pairs-6.json");
const ROLL: &str = "box-1";

/// A roll with two scenes of three frames, one of them a stop faster read: its base lies at another offset.
fn shot() -> Desk {
    let mut desk = loaded("400", "100");
    for (name, time) in [("pier", "1/125"), ("boats", "1/125")] {
        let read = light("100", time, "8", Some("2024-05-01T10:00"));
        let frames = [("1/250", "8", -12), ("1/125", "8", 0), ("1/60", "8", 12)];
        series(&mut desk, ROLL, name, read, "100", &frames);
    }
    crate::check::take_all(&mut desk, ROLL);
    desk
}

fn compare(desk: &mut Desk, pair: [u16; 2], better: Option<u16>) {
    let edit = Edit::Compare {
        roll: ROLL.to_owned(),
        pair,
        better,
        taken_back: false,
    };
    apply(desk, edit);
}

fn document(book: &Book) -> String {
    export(book, date("2026-11-25"))
}

fn brought_in(into: &Book, document: &str) -> Book {
    let import = plan_import(into, document)
        .unwrap_or_else(|error| panic!("{error}"))
        .merging(into, true);
    let mut desk = Desk::new(into.clone());
    apply(&mut desk, Edit::Import(import));
    desk.book().clone()
}

fn pairs(book: &Book) -> Vec<Pair> {
    book.find_roll(ROLL).expect("the roll").pairs.clone()
}

#[test]
fn golden_compared_pairs_are_read_and_written_to_the_letter() {
    let book = brought_in(&Book::new(), GOLDEN);
    same("written again", &document(&book), GOLDEN);
    let kept = pairs(&book);
    assert_eq!(kept.len(), 2, "two pairs");
    assert_eq!(kept[0].times(), 3, "three comparisons of the first");
    // A roll without comparisons stays as older pages read it.
    let mut desk = Desk::new(book);
    apply(
        &mut desk,
        Edit::ForgetPairs {
            roll: ROLL.to_owned(),
            scene: 1,
        },
    );
    let older = document(desk.book());
    assert!(older.contains("\"version\":1,\"written\""), "{older}");
}

#[test]
fn comparisons_are_counted_undone_and_taken_away_by_scene() {
    let mut desk = shot();
    compare(&mut desk, [2, 1], Some(2));
    compare(&mut desk, [1, 2], Some(1));
    compare(&mut desk, [1, 2], None);
    compare(&mut desk, [4, 6], Some(6));
    let roll = roll_of(&desk, ROLL).clone();
    assert_eq!(
        pair_wins(&roll, &[1, 2, 3]),
        [[0.0, 1.5, 0.0], [1.5, 0.0, 0.0], [0.0, 0.0, 0.0]],
        "half a win each where no difference is seen"
    );
    let back = Edit::Compare {
        roll: ROLL.to_owned(),
        pair: [6, 4],
        better: Some(6),
        taken_back: true,
    };
    apply(&mut desk, back.clone());
    assert_eq!(roll_of(&desk, ROLL).pairs.len(), 1, "taken back");
    let refused = desk.apply(&back).expect_err("once only");
    same(
        "why",
        &refused.to_string(),
        "this comparison is taken back already",
    );
    desk.undo().expect("undone");
    assert_eq!(roll_of(&desk, ROLL), &roll, "as it was");
    desk.undo().expect("undone");
    assert_eq!(
        roll_of(&desk, ROLL).pairs.len(),
        1,
        "the last one is undone"
    );
    desk.redo().expect("done again");
    apply(
        &mut desk,
        Edit::ForgetPairs {
            roll: ROLL.to_owned(),
            scene: 1,
        },
    );
    let left = &roll_of(&desk, ROLL).pairs;
    assert_eq!((left.len(), left[0].one), (1, 4), "the other scene stays");
}

#[test]
fn only_frames_of_one_scene_are_compared() {
    let mut desk = shot();
    apply(
        &mut desk,
        Edit::Extra {
            roll: ROLL.to_owned(),
            what: Extra::Slate,
            spot: Spot::Now,
            at: None,
        },
    );
    let before = desk.book().clone();
    for (pair, better) in [
        ([1, 1], Some(1)),
        ([1, 4], Some(1)),
        ([1, 2], Some(3)),
        ([1, 99], Some(1)),
        ([7, 7], None),
        ([1, 7], None),
    ] {
        let edit = Edit::Compare {
            roll: ROLL.to_owned(),
            pair,
            better,
            taken_back: false,
        };
        let refused = desk.apply(&edit).expect_err("refused");
        same(
            "why",
            &refused.to_string(),
            "two frames of one scene are compared",
        );
    }
    assert_eq!(desk.book(), &before, "nothing changed");
}

#[test]
fn each_pair_is_asked_once_before_any_is_asked_again() {
    let mut desk = shot();
    let frames = [1, 2, 3];
    let mut first = Vec::new();
    for round in 0..3 {
        let mut asked = Vec::new();
        for done in 0..3 {
            let now = next_pair(roll_of(&desk, ROLL), &frames, 77).expect("a pair");
            assert_eq!(
                (now.pairs, now.rounds, now.done),
                (3, round, done),
                "how far"
            );
            let [a, b] = now.next;
            let key = (a.min(b), a.max(b));
            assert!(!asked.contains(&key), "{key:?} again in round {round}");
            asked.push(key);
            first.push(a < b);
            compare(&mut desk, now.next, Some(a));
        }
    }
    assert!(
        first.contains(&true) && first.contains(&false),
        "which lies first changes: {first:?}"
    );
    assert_eq!(next_pair(roll_of(&desk, ROLL), &[1], 77), None, "one frame");
}

#[test]
fn offsets_of_all_scenes_count_together() {
    let mut desk = shot();
    // By the rating of 100 on a film of 400, the base lies two stops over box speed.
    compare(&mut desk, [1, 2], Some(2));
    compare(&mut desk, [2, 3], Some(2));
    compare(&mut desk, [4, 5], Some(5));
    compare(&mut desk, [5, 6], None);
    let group = desk.book().group_of(roll_of(&desk, ROLL)).expect("a group");
    let found = paired_offsets(desk.book(), &group).expect("compared");
    assert_eq!(found.scenes, 2, "two scenes");
    assert_eq!(found.offsets.len(), 3, "three offsets");
    for (offset, wanted) in found.offsets.iter().zip([1.0, 2.0, 3.0]) {
        close("offset", offset.get(), wanted, 0.1);
    }
    assert_eq!(
        found.wins,
        [[0.0, 0.0, 0.0], [2.0, 0.0, 1.5], [0.0, 0.5, 0.0]],
        "both scenes"
    );
    apply(
        &mut desk,
        Edit::ScansMade {
            roll: ROLL.to_owned(),
            how: Some(Scans::Corrected),
        },
    );
    assert_eq!(
        paired_offsets(desk.book(), &group),
        None,
        "scans that were evened out say nothing of it"
    );
}

#[test]
fn a_roll_that_was_compared_and_not_judged_is_read_for_its_group() {
    let mut desk = shot();
    compare(&mut desk, [1, 2], Some(2));
    let record = desk
        .book()
        .get(&Key::new(Kind::Roll, ROLL))
        .expect("a roll");
    let written = Written::of_old("roll.box-1", &encode(record)).expect("a roll");
    let (shelved, _) = written.shelved();
    let text = shelved.encode();
    assert!(text.contains("\"judged\":2"), "{text}");
    assert!(
        !text.contains("pairs"),
        "the log lies beside the index: {text}"
    );
    assert_eq!(Shelved::decode(&text).expect("read again"), shelved);
}

#[test]
fn a_group_without_comparisons_says_nothing() {
    let mut desk = bag(Film::BlackAndWhite, "400", "1994-06", Storage::Unknown, 1);
    load(&mut desk, ROLL, "400");
    let group = desk.book().group_of(roll_of(&desk, ROLL)).expect("a group");
    assert_eq!(paired_offsets(desk.book(), &group), None);
}

proptest! {
    #[test]
    fn two_devices_that_compared_count_nothing_twice(
        common in prop::collection::vec((1_u16..4, 1_u16..4, 0_u16..3), 0..6),
        here in prop::collection::vec((1_u16..4, 1_u16..4, 0_u16..3), 0..6),
        there in prop::collection::vec((1_u16..4, 1_u16..4, 0_u16..3), 0..6),
    ) {
        let mut both = shot();
        let run = |desk: &mut Desk, all: &[(u16, u16, u16)]| {
            for &(a, b, how) in all {
                if a != b {
                    compare(desk, [a, b], [None, Some(a), Some(b)][usize::from(how)]);
                }
            }
        };
        run(&mut both, &common);
        let (mut one, mut two) = (Desk::new(both.book().clone()), Desk::new(both.book().clone()));
        run(&mut one, &here);
        run(&mut two, &there);
        let a = brought_in(one.book(), &document(two.book()));
        let b = brought_in(two.book(), &document(one.book()));
        prop_assert_eq!(pairs(&a), pairs(&b), "whichever copy is which");
        let again = brought_in(&a, &document(two.book()));
        prop_assert_eq!(pairs(&again), pairs(&a), "once more changes nothing");
        let times = |book: &Book| pairs(book).iter().map(|pair| pair.times()).sum::<u32>();
        prop_assert!(times(&a) >= times(one.book()).max(times(two.book())), "nothing is lost");
        prop_assert!(times(&a) <= times(one.book()) + times(two.book()) - times(both.book()), "nothing counts twice");
    }
}
