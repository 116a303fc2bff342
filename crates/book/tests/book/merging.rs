//! Rolls that two devices changed, merged frame by frame.

use book::{
    Aperture, Book, Desk, Development, Edit, Extra, Fate, Grade, Import, Loading, Roll, Run, Scans,
    Slip, Spot, Storage, Unlogged, Verdict, export, plan_import,
};
use proptest::prelude::*;

use crate::{
    check::{apply, date, judge, light, load, loaded, moment, same, series, slip, speed, time},
    undoing::{Op, change_of, ops, worked},
};

const ROLL: &str = "box-1";

/// A loaded roll with a scene of three frames, as both devices had it.
fn before() -> Desk {
    let mut desk = loaded("400", "100");
    let read = light("100", "1/125", "8", Some("2024-05-01T10:00"));
    let frames = [("1/250", "8", -12), ("1/125", "8", 0), ("1/60", "8", 12)];
    series(&mut desk, ROLL, "pier", read, "100", &frames);
    desk
}

fn document(book: &Book) -> String {
    export(book, date("2026-11-25"))
}

/// What bringing in a book with its rolls merged would do.
#[track_caller]
fn planned(here: &Book, there: &Book) -> Import {
    plan_import(here, &document(there))
        .unwrap_or_else(|error| panic!("{error}"))
        .merging(here, true)
}

#[track_caller]
fn merged(here: &Book, there: &Book) -> Book {
    let mut desk = Desk::new(here.clone());
    apply(&mut desk, Edit::Import(planned(here, there)));
    desk.book().clone()
}

#[track_caller]
fn roll(book: &Book) -> Roll {
    book.find_roll(ROLL).expect("the roll").clone()
}

/// The two sides after a change each.
fn sides(here: &dyn Fn(&mut Desk), there: &dyn Fn(&mut Desk)) -> (Book, Book) {
    let (mut a, mut b) = (before(), before());
    here(&mut a);
    there(&mut b);
    (a.book().clone(), b.book().clone())
}

fn fate(desk: &mut Desk, frame: u16, fate: Fate) {
    slip(desk, ROLL, Run::One(frame), Slip::Fate(fate));
}

fn taken(desk: &mut Desk, frame: u16, at: &str) {
    let edit = Edit::Taken {
        roll: ROLL.to_owned(),
        frame,
        at: Some(moment(at)),
    };
    apply(desk, edit);
}

fn ring(desk: &mut Desk, frame: u16, stop: &str) {
    let stop = Aperture::parse(stop).expect("an aperture");
    slip(desk, ROLL, Run::One(frame), Slip::Aperture(stop));
}

fn note(desk: &mut Desk, frame: u16, text: &str) {
    let edit = Edit::Note {
        roll: ROLL.to_owned(),
        frame,
        note: text.to_owned(),
    };
    apply(desk, edit);
}

#[test]
fn each_side_takes_what_the_other_says_where_it_is_silent_itself() {
    let here = |desk: &mut Desk| {
        taken(desk, 1, "2024-05-01T10:01");
        ring(desk, 1, "f/5.6");
        taken(desk, 2, "2024-05-01T10:02");
    };
    let there = |desk: &mut Desk| {
        ring(desk, 2, "f/11");
        fate(desk, 3, Fate::Lost);
        judge(desk, ROLL, 1, Grade::Liked);
        apply(
            desk,
            Edit::Extra {
                roll: ROLL.to_owned(),
                what: Extra::Slate,
                spot: Spot::Now,
                at: None,
            },
        );
    };
    let (a, b) = sides(&here, &there);
    let import = planned(&a, &b);
    assert_eq!(
        import.says,
        [
            "Adds nothing new.",
            "2 records are here already, exactly so.",
            "“Harbour 1” is merged frame by frame. The file brings what it says of frames 1 to 3 and the new frame 4.",
            "Nothing else that is here is changed, and nothing is removed.",
        ]
    );
    let mut desk = Desk::new(a.clone());
    apply(&mut desk, Edit::Import(import));
    let both = roll(desk.book());
    let shot = |n: usize| &both.frames[n].shot;
    assert_eq!(
        (shot(0).fate, shot(0).at),
        (Fate::Taken, Some(moment("2024-05-01T10:01")))
    );
    assert_eq!(shot(0).aperture.map(Aperture::shown), Some("f/5.6".into()));
    assert!(both.frames[0].verdict.is_some(), "judged there");
    assert_eq!(
        (shot(1).fate, shot(1).at),
        (Fate::Taken, Some(moment("2024-05-01T10:02"))),
        "ticked off here, bumped there"
    );
    assert_eq!(shot(1).aperture.map(Aperture::shown), Some("f/11".into()));
    assert_eq!(shot(2).fate, Fate::Lost);
    assert_eq!(both.frames.len(), 4, "the slate");
    assert_eq!(roll(&merged(&b, &a)), both, "the other way round");
    assert_eq!(desk.book().rolls().count(), 1, "no copy");
    assert_eq!(merged(desk.book(), &b), *desk.book(), "twice adds nothing");
    desk.undo();
    assert_eq!(desk.book(), &a, "one step to undo");
}

/// What the two sides do, and whether it can be put together; a text names what cannot.
#[test]
fn where_both_say_different_things_nothing_is_decided_and_the_frames_are_named() {
    type Change<'a> = &'a dyn Fn(&mut Desk);
    let later = |desk: &mut Desk| {
        let edit = Edit::Finish {
            roll: ROLL.to_owned(),
            on: date("2024-05-03"),
        };
        apply(desk, edit);
    };
    let early = |why: &'static str| {
        move |desk: &mut Desk| {
            let edit = Edit::TakeOut {
                roll: ROLL.to_owned(),
                on: date("2024-05-02"),
                why: why.to_owned(),
                goes_on: true,
            };
            apply(desk, edit);
        }
    };
    let again = || Edit::Load {
        roll: ROLL.to_owned(),
        loading: Loading::new("garden box", speed("100"), date("2024-05-03"), 3),
    };
    let sent = |desk: &mut Desk| {
        later(desk);
        let edit = Edit::Send {
            roll: ROLL.to_owned(),
            on: date("2024-05-04"),
            development: Development::PushThirds(2),
        };
        apply(desk, edit);
    };
    let finished_later = |desk: &mut Desk| {
        let edit = Edit::Finish {
            roll: ROLL.to_owned(),
            on: date("2024-05-05"),
        };
        apply(desk, edit);
    };
    let back = |desk: &mut Desk| {
        let edit = Edit::Return {
            roll: ROLL.to_owned(),
            on: date("2024-05-09"),
        };
        apply(desk, edit);
    };
    let found_same = |at: &'static str| {
        move |desk: &mut Desk| {
            let edit = Edit::SameLight {
                roll: ROLL.to_owned(),
                scene: 1,
                at: moment(at),
            };
            apply(desk, edit);
        }
    };
    let named = |name: &'static str| {
        move |desk: &mut Desk| {
            let edit = Edit::Describe {
                roll: ROLL.to_owned(),
                name: name.to_owned(),
                purpose: "boats".to_owned(),
                exposures: 36,
                storage: Some(Storage::Hot),
                note: String::new(),
            };
            apply(desk, edit);
        }
    };
    let scene = |name: &'static str| {
        move |desk: &mut Desk| {
            let read = light("100", "1/60", "8", None);
            series(desk, ROLL, name, read, "100", &[("1/60", "8", 0)]);
        }
    };
    let scanned = |how: Scans| {
        move |desk: &mut Desk| {
            let edit = Edit::ScansMade {
                roll: ROLL.to_owned(),
                how: Some(how),
            };
            apply(desk, edit);
        }
    };
    let verdict = |grade: Grade| {
        move |desk: &mut Desk| {
            let edit = Edit::Judge {
                roll: ROLL.to_owned(),
                frame: 2,
                verdict: Some(Verdict {
                    grade,
                    ticks: Vec::new(),
                }),
            };
            apply(desk, edit);
        }
    };
    let cases: &[(&str, Change<'_>, Change<'_>, Option<&str>)] = &[
        ("nothing", &|_| {}, &|_| {}, None),
        (
            "a ring and a ring that stood elsewhere",
            &|desk| ring(desk, 2, "f/5.6"),
            &|desk| ring(desk, 2, "f/11"),
            Some("frame 2"),
        ),
        (
            "two frames",
            &|desk| {
                ring(desk, 1, "f/5.6");
                note(desk, 2, "a gust");
                ring(desk, 3, "f/5.6");
            },
            &|desk| {
                ring(desk, 1, "f/11");
                note(desk, 3, "a gull");
            },
            Some("frames 1 and 3"),
        ),
        (
            "two different slips of one frame make no third thing that neither side says",
            &|desk| ring(desk, 1, "f/5.6"),
            &|desk| {
                slip(desk, ROLL, Run::One(1), Slip::Time(time("1/60")));
            },
            Some("frame 1"),
        ),
        (
            "the same slip, ticked off on one side",
            &|desk| ring(desk, 1, "f/5.6"),
            &|desk| {
                ring(desk, 1, "f/5.6");
                taken(desk, 1, "2024-05-01T10:01");
            },
            None,
        ),
        (
            "lost and bumped",
            &|desk| fate(desk, 2, Fate::Lost),
            &|desk| ring(desk, 2, "f/11"),
            Some("frame 2"),
        ),
        (
            "as planned and lost",
            &|desk| fate(desk, 2, Fate::Taken),
            &|desk| fate(desk, 2, Fate::Lost),
            None,
        ),
        (
            "ticked off at two times",
            &|desk| taken(desk, 1, "2024-05-01T10:01"),
            &|desk| taken(desk, 1, "2024-05-01T10:05"),
            Some("frame 1"),
        ),
        (
            "the meter and the light",
            &|desk| {
                slip(desk, ROLL, Run::One(1), Slip::Meter(speed("200")));
            },
            &|desk| {
                slip(desk, ROLL, Run::One(1), Slip::LightChanged(true));
            },
            Some("frame 1"),
        ),
        (
            "two verdicts",
            &verdict(Grade::Liked),
            &verdict(Grade::Usable),
            Some("frame 2"),
        ),
        ("one is finished", &later, &|_| {}, None),
        ("taken out early", &early("jam"), &|_| {}, None),
        ("taken out early, and why", &early("jam"), &early(""), None),
        (
            "taken out early for two reasons",
            &early("jam"),
            &early("rain"),
            Some("what it went through"),
        ),
        (
            "taken out early and loaded again, and only taken out",
            &|desk| {
                early("jam")(desk);
                apply(desk, again());
            },
            &early("jam"),
            None,
        ),
        (
            "finished, and taken out early",
            &later,
            &early(""),
            Some("what it went through"),
        ),
        (
            "a frame was moved",
            &|desk| {
                let spot = Spot::Before(1);
                apply(
                    desk,
                    Edit::Move {
                        roll: ROLL.to_owned(),
                        frame: 3,
                        spot,
                    },
                );
            },
            &|_| {},
            Some("the order of its frames"),
        ),
        (
            "a forgotten frame, and a frame ticked off",
            &|desk| {
                let edit = Edit::Extra {
                    roll: ROLL.to_owned(),
                    what: Extra::Forgotten(Unlogged {
                        scene: Some(1),
                        ..Unlogged::default()
                    }),
                    spot: Spot::Before(2),
                    at: None,
                };
                apply(desk, edit);
            },
            &|desk| taken(desk, 2, "2024-05-01T10:02"),
            None,
        ),
        ("one is sent, the other finished", &sent, &later, None),
        (
            "finished on two days",
            &later,
            &finished_later,
            Some("what it went through"),
        ),
        (
            "sent, and finished on another day",
            &sent,
            &finished_later,
            Some("what it went through"),
        ),
        (
            "back, and nobody noted here that it was sent",
            &|desk| {
                sent(desk);
                back(desk);
            },
            &|desk| {
                later(desk);
                back(desk);
            },
            None,
        ),
        (
            "loaded again elsewhere",
            &|desk| load(desk, ROLL, "64"),
            &|desk| load(desk, ROLL, "50"),
            Some("what it went through"),
        ),
        ("loaded again", &|desk| load(desk, ROLL, "64"), &later, None),
        (
            "two names",
            &named("Boats"),
            &named("Ships"),
            Some("its name"),
        ),
        (
            "what it is for, and how it was kept",
            &named("Harbour 1"),
            &|_| {},
            None,
        ),
        (
            "a light that both found to be the same, one after the other",
            &found_same("2024-05-01T10:30"),
            &found_same("2024-05-01T10:50"),
            None,
        ),
        ("a new scene", &scene("lock"), &|_| {}, None),
        ("the same new scene", &scene("lock"), &scene("lock"), None),
        (
            "two new scenes",
            &scene("lock"),
            &|desk| {
                let read = light("100", "1/30", "8", None);
                series(desk, ROLL, "weir", read, "100", &[("1/30", "8", 0)]);
            },
            Some("frame 4 and scene 2"),
        ),
        (
            "two ways of scanning",
            &scanned(Scans::Fixed),
            &scanned(Scans::Corrected),
            Some("how its scans were made"),
        ),
        ("scanned", &scanned(Scans::Fixed), &|_| {}, None),
    ];
    for (what, here, there, apart) in cases {
        let (a, b) = sides(here, there);
        let (ab, ba) = (planned(&a, &b), planned(&b, &a));
        for (import, book) in [(&ab, &a), (&ba, &b)] {
            let mut desk = Desk::new(book.clone());
            apply(&mut desk, Edit::Import(import.clone()));
            let copies = desk.book().rolls().count();
            match apart {
                None => assert_eq!(copies, 1, "{what}: {:?}", import.says),
                Some(words) => {
                    let said =
                        format!("say different things of {words}, so they cannot be merged.");
                    assert!(
                        import.says.iter().any(|line| line.contains(&said)),
                        "{what}: {:?}",
                        import.says
                    );
                    assert_eq!(copies, 2, "{what}: both are kept");
                    assert_eq!(roll(desk.book()), roll(book), "{what}: as it was");
                    assert_eq!(import.mergeable.len(), 0, "{what}: no choice");
                }
            }
        }
        if apart.is_none() {
            assert_eq!(roll(&merged(&a, &b)), roll(&merged(&b, &a)), "{what}");
        }
    }
}

#[test]
fn nothing_is_merged_unless_it_is_asked_for_and_the_choice_is_named() {
    let (a, b) = sides(&|_| {}, &|desk| ring(desk, 2, "f/11"));
    let plan = plan_import(&a, &document(&b)).expect("an export");
    assert_eq!(plan.mergeable, ["Harbour 1"]);
    assert_eq!(plan.conflicts.len(), 1, "kept both without a word");
    same(
        "offered",
        &plan.says[3],
        "“Harbour 1” can be merged frame by frame instead: the file brings what it says of frame 2, and nothing is contradicted.",
    );
    let chosen = plan.merging(&a, true);
    assert_eq!((chosen.conflicts.len(), chosen.mergeable.len()), (0, 1));
    assert_eq!(chosen.merging(&a, false), plan, "and back");
    // What is here says more than the file: there is nothing to bring in.
    let older = planned(&b, &a);
    same(
        "older",
        &older.says[2],
        "“Harbour 1” in the file says nothing that is not here as well.",
    );
    same(
        "so",
        &older.says[3],
        "Nothing that is here is changed or removed.",
    );
    assert_eq!(merged(&b, &a), b, "nothing changes");
}

#[test]
fn frames_that_were_put_in_on_one_side_keep_their_place() {
    let put_in = |desk: &mut Desk| {
        let edit = Edit::Extra {
            roll: ROLL.to_owned(),
            what: Extra::Lost,
            spot: Spot::Before(2),
            at: None,
        };
        apply(desk, edit);
    };
    let (a, b) = sides(&|desk| ring(desk, 3, "f/11"), &put_in);
    let both = roll(&merged(&a, &b));
    let ids: Vec<u16> = both.frames.iter().map(|frame| frame.id).collect();
    assert_eq!(ids, [1, 4, 2, 3], "the lost frame comes second");
    assert_eq!(both, roll(&merged(&b, &a)), "the other way round");
}

#[test]
fn a_merge_that_was_planned_is_worked_out_anew_when_it_is_done() {
    let (a, b) = sides(&|_| {}, &|desk| ring(desk, 2, "f/11"));
    let import = planned(&a, &b);
    let mut desk = Desk::new(a);
    // Between the plan and the word, something else is said of the same frame here.
    ring(&mut desk, 2, "f/5.6");
    let here = roll(desk.book());
    let done = apply(&mut desk, Edit::Import(import));
    assert!(done.said.contains("cannot be merged"), "{}", done.said);
    assert_eq!(roll(desk.book()), here, "not gone over");
    assert_eq!(desk.book().rolls().count(), 2, "both are kept");
}

/// Two books that come from one, changed a little on each side.
fn grown(past: &[Op], here: &[Op], there: &[Op]) -> (Book, Book) {
    let start = worked(past);
    let grow = |ops: &[Op]| {
        let mut desk = start.clone();
        for op in ops {
            let edit = change_of(desk.book(), *op);
            let _ = desk.apply(&edit);
        }
        desk.book().clone()
    };
    (grow(here), grow(there))
}

/// Changes of what is in a log, and of what a roll goes through.
fn small_changes() -> impl Strategy<Value = Vec<Op>> {
    let what = prop_oneof![4_u8..20, Just(27_u8), 28_u8..33];
    prop::collection::vec((what, 0_u16..400, 0_u16..400), 0..4)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 192, ..ProptestConfig::default() })]

    #[test]
    fn merging_is_the_same_either_way_round_and_loses_nothing(
        past in ops(20),
        here in small_changes(),
        there in small_changes(),
    ) {
        let (a, b) = grown(&past, &here, &there);
        let (ab, ba) = (merged(&a, &b), merged(&b, &a));
        for mine in a.rolls() {
            let Some(theirs) = b.roll(&mine.id) else { continue };
            let (one, two) = (ab.roll(&mine.id).unwrap(), ba.roll(&mine.id).unwrap());
            if one != two {
                prop_assert_eq!(one, mine, "nothing is decided here");
                prop_assert_eq!(two, theirs, "nor there");
            }
            // Every frame of both sides is there, and keeps its plan.
            let copies: Vec<&Roll> = ab.rolls().filter(|roll| roll.id.starts_with(&mine.id)).collect();
            for frame in mine.frames.iter().chain(&theirs.frames) {
                prop_assert!(
                    copies.iter().any(|roll| roll.frame(frame.id).is_some_and(|kept| kept.plan == frame.plan
                        && (frame.verdict.is_none() || kept.verdict == frame.verdict)
                        && (frame.scan.is_empty() || kept.scan == frame.scan)
                        && (frame.shot.note.is_empty() || kept.shot.note == frame.shot.note)
                        && (frame.shot.time.is_none() || kept.shot.time == frame.shot.time)
                        && (frame.shot.aperture.is_none() || kept.shot.aperture == frame.shot.aperture)
                        && (frame.shot.meter.is_none() || kept.shot.meter == frame.shot.meter)
                        && (frame.shot.at.is_none() || kept.shot.at == frame.shot.at)
                        && (!frame.shot.light_changed || kept.shot.light_changed)
                        && (frame.shot.fate == Fate::Waiting || kept.shot.fate != Fate::Waiting))),
                    "{:?} is lost", frame
                );
            }
        }
        prop_assert_eq!(&merged(&ab, &b), &ab, "the same file twice adds nothing");
        let mut desk = Desk::new(a.clone());
        apply(&mut desk, Edit::Import(planned(&a, &b)));
        desk.undo();
        prop_assert_eq!(desk.book(), &a, "undone to the letter");
        prop_assert_eq!(merged(&a, &a), a, "with itself nothing changes");
    }
}
