//! Properties of every edit: the plan stays, undo goes back to the start exactly, and what is written can be read.

use book::{
    Book, Conclusion, Correction, Date, Desk, Development, Device, DeviceSteps, Edit, Extra, Fate,
    FilmTest, Grade, Key, Kind, Lens, Light, Loading, NewScene, Plan, Planned, Run, Scans, Slip,
    Spot, Storage, TestBy, Tick, Unlogged, Verdict, conclude, encode, open, rows,
};
use proptest::prelude::*;

use crate::check::{aperture, corrected, date, light, moment, setting, speed, time, two_rolls};

/// Numbers that an edit is made of; what they mean depends on what is in the book.
pub(crate) type Op = (u8, u16, u16);

pub(crate) fn ops(most: usize) -> impl Strategy<Value = Vec<Op>> {
    prop::collection::vec((0_u8..40, 0_u16..400, 0_u16..400), 0..most)
}

fn pick<T: Clone>(list: &[T], n: u16) -> T {
    list[usize::from(n) % list.len()].clone()
}

fn planned(n: u16) -> Vec<Planned> {
    let all = [
        ("1/250", -12),
        ("1/125", 0),
        ("1/60", 12),
        ("1/30", 24),
        ("1/15, measured 1/13", 36),
    ];
    let first = usize::from(n) % 2;
    let last = 2 + usize::from(n / 2) % 4;
    all[first..last.min(5)]
        .iter()
        .map(|(at, twelfths)| Planned {
            set: setting(at, "f/8"),
            more_light_twelfths: *twelfths,
        })
        .collect()
}

/// Corrections between reading and film, in thousandths.
fn behind(thousandths: &[i32]) -> Vec<Correction> {
    thousandths
        .iter()
        .map(|thousandths| Correction {
            name: format!("Filter “{thousandths}”"),
            thousandths: *thousandths,
            at: None,
        })
        .collect()
}

/// Makes an edit of numbers; it may well be refused.
pub(crate) fn change_of(book: &Book, (what, a, b): Op) -> Edit {
    let rolls: Vec<&book::Roll> = book.rolls().collect();
    let Some(chosen) = (!rolls.is_empty()).then(|| rolls[usize::from(a) % rolls.len()]) else {
        return Edit::Rolls {
            batch: "box".to_owned(),
            count: 2,
            exposures: 36,
        };
    };
    let roll = chosen.id.clone();
    let frame = chosen
        .frames
        .get(usize::from(b) % chosen.frames.len().max(1))
        .map_or(b, |frame| frame.id);
    let on: Date = date(pick(
        &["2024-05-01", "2024-05-20", "2024-06-20", "2025-01-01"],
        b,
    ));
    let text = pick(&["", "pier, \"east\"", "<&>\u{1}", "Käse\n", "\\u0000"], b).to_owned();
    let other = chosen
        .frames
        .get(usize::from(a) % chosen.frames.len().max(1))
        .map_or(a, |frame| frame.id);
    let spot = pick(&[Spot::Now, Spot::Before(other), Spot::Behind(other)], b);
    // Every other one goes on where the film stands, or a frame or two beyond.
    let first_frame = if b % 2 == 0 {
        chosen.film_number() + b % 3
    } else {
        b % 3
    };
    let rating = speed(pick(&["64", "100"], b));
    let known = pick(&[None, Some("own-folder"), Some("own-box")], a).map(str::to_owned);
    let loading =
        Loading::new(pick(&["folder", "box"], b), rating, on, first_frame).known_as(known);
    let unlogged = Unlogged {
        scene: pick(&[None, Some(1), Some(2)], a),
        time: pick(&[None, Some(time("1/60"))], b),
        aperture: pick(&[None, Some(aperture("f/4"))], b / 2),
    };
    let fate = pick(
        &[
            Fate::Waiting,
            Fate::Taken,
            Fate::Lost,
            Fate::Double,
            Fate::LeftOut,
        ],
        a,
    );
    let run = match b % 4 {
        3 => Run::Waiting,
        0 => Run::One(frame),
        1 => Run::Numbers {
            from: b % 12,
            to: None,
        },
        _ => Run::Numbers {
            from: b % 12,
            to: Some(b % 12 + a % 5),
        },
    };
    let slip = match a % 7 {
        0 => Slip::Time(time(pick(&["1/60", "1/100 as engraved", "4s, by hand"], b))),
        1 => Slip::Aperture(aperture(pick(&["f/5.6", "f/9.5 in halves", "f/7.7"], b))),
        2 => Slip::Meter(speed(pick(&["ISO 400", "ISO 64"], b))),
        3 => Slip::AsPlanned,
        4 => Slip::LightChanged(b % 2 == 0),
        _ => Slip::Fate(pick(
            &[
                Fate::Waiting,
                Fate::Taken,
                Fate::Lost,
                Fate::Double,
                Fate::LeftOut,
            ],
            b,
        )),
    };
    match what {
        0 => Edit::Rolls {
            batch: "box".to_owned(),
            count: 1 + u8::from(b % 2 == 0),
            exposures: pick(&[12, 16, 24, 36, 72], b),
        },
        1 => Edit::Describe {
            roll,
            name: format!("Roll {text}{b}"),
            purpose: text,
            exposures: 1 + b % 72,
            storage: pick(&[None, Some(Storage::Hot), Some(Storage::Frozen)], a),
            note: String::new(),
        },
        2 | 3 => Edit::Load { roll, loading },
        4 => Edit::Finish { roll, on },
        5 => Edit::Send {
            roll,
            on,
            development: pick(
                &[
                    Development::Normal,
                    Development::PushThirds(3),
                    Development::PullThirds(2),
                ],
                b,
            ),
        },
        6 => Edit::Return { roll, on },
        7 => Edit::ScansMade {
            roll,
            how: pick(
                &[
                    None,
                    Some(Scans::Fixed),
                    Some(Scans::Corrected),
                    Some(Scans::Unknown),
                    Some(Scans::LightTable),
                ],
                b,
            ),
        },
        8..=10 => Edit::Series {
            roll,
            scene: Box::new(NewScene {
                name: text,
                light: Light {
                    // One of them is out of range and refused, here as there.
                    corrections: pick(
                        &[vec![], vec![], behind(&[-3000, 83]), behind(&[20_001])],
                        a,
                    ),
                    // Nought and what is beyond ten stops are refused.
                    give_or_take_thousandths: pick(
                        &[None, Some(728), None, Some(0), None, Some(10_001), Some(1)],
                        b / 2,
                    ),
                    ..corrected(
                        light(
                            "100",
                            "1/125",
                            "8",
                            pick(&[None, Some("2024-05-01T10:00")], b),
                        ),
                        pick(&[0, 12, -4, 5, 121], b),
                    )
                },
                rating: speed("100"),
                base: setting("1/125", "f/8"),
            }),
            frames: planned(a),
        },
        11 => Edit::More {
            roll,
            scene: 1 + b % 3,
            frames: planned(b),
        },
        12 => Edit::Extra {
            roll,
            what: pick(
                &[
                    Extra::Slate,
                    Extra::Capped,
                    Extra::Lost,
                    Extra::Forgotten(unlogged),
                    Extra::Double(unlogged),
                ],
                b / 3,
            ),
            spot,
            at: None,
        },
        13 | 14 => Edit::Taken {
            roll,
            frame,
            at: Some(moment("2024-05-01T10:01")),
        },
        15 | 16 => Edit::Slip { roll, run, slip },
        17 => Edit::Note {
            roll,
            frame,
            note: text,
        },
        18 => Edit::Name {
            roll,
            scans: vec![(frame, text)],
        },
        19 => Edit::Judge {
            roll,
            frame,
            verdict: pick(
                &[
                    None,
                    Some(Verdict {
                        grade: Grade::Liked,
                        ticks: vec![Tick::Fog, Tick::ShadowTexture],
                    }),
                    Some(Verdict {
                        grade: Grade::Rejected,
                        ticks: vec![],
                    }),
                ],
                b,
            ),
        },
        20 => Edit::Rule {
            id: pick(&["decade", "bw_most"], a).to_owned(),
            value: pick(&[None, Some(60), Some(-5)], b),
        },
        21 => Edit::Remove(pick(
            &[
                Key::new(Kind::Roll, &roll),
                Key::new(Kind::Batch, "box"),
                Key::new(Kind::Stock, "harbour"),
            ],
            b,
        )),
        22 => match book.group_of(chosen).map(|group| conclude(book, &group)) {
            Some(Conclusion::Found(found)) => {
                Edit::Found(found.finding(&book.new_id(Kind::Finding, "found"), on))
            }
            _ => Edit::AddExample,
        },
        23 if b % 3 == 0 => match book.group_of(chosen) {
            Some(group) => Edit::Tested(FilmTest {
                id: pick(&["first", "second", ""], a).to_owned(),
                group,
                on,
                box_speed: speed("400"),
                metered: speed("400"),
                by: pick(&[TestBy::Tablet, TestBy::Frames], a),
                steps: Vec::new(),
                fog_thousandths: pick(&[None, Some(300), Some(6001)], b / 3),
                speed: pick(&[None, Some(speed("100"))], a),
                contrast_thousandths: None,
                conditions: text,
            }),
            None => Edit::AddExample,
        },
        23 => {
            if b % 2 == 0 {
                Edit::AddExample
            } else {
                Edit::RemoveExample
            }
        }
        24 => Edit::Device(Device {
            correction_twelfths: pick(&[4, 0, -12, -1, 120, -121], b),
            note: text,
            ..Device::new(
                pick(&["clip", "spot"], a),
                pick(&["Old clip-on", "Spot meter", ""], b / 2),
                pick(&[DeviceSteps::Thirds, DeviceSteps::Halves], a),
            )
        }),
        25 => Edit::Lens(Lens {
            id: pick(&["fifty", "wide"], a).to_owned(),
            name: pick(&["Fifty", "Wide one"], b).to_owned(),
            focal_mm: pick(&[50, 1, 2000, 0, 2001], b),
            widest: aperture(pick(&["f/2", "f/3.5 as engraved"], a)),
            smallest: aperture(pick(&["f/16", "f/9.5 in halves", "f/2", "f/1.4"], b / 2)),
            fits: text,
            note: String::new(),
        }),
        27 => Edit::SameLight {
            roll,
            scene: 1 + b % 2,
            // One of them is before the reading was taken and refused.
            at: moment(pick(
                &["2024-05-01T10:30", "2024-05-01T09:30", "2024-05-02T10:30"],
                a,
            )),
        },
        28 => Edit::TakeOver {
            roll,
            loading,
            goes_on: a % 2 == 0,
        },
        29 => Edit::TakeOut {
            roll,
            on,
            why: text,
            goes_on: a % 3 != 0,
        },
        30 => Edit::Move { roll, frame, spot },
        31 | 32 => Edit::Shot {
            roll,
            frame,
            time: unlogged.time,
            aperture: unlogged.aperture,
            fate,
            note: text,
            at: Some(moment("2024-05-01T10:02")),
        },
        35 => Edit::DescribeScene {
            roll,
            scene: 1 + b % 3,
            name: text.clone(),
            note: text,
        },
        36..=38 => Edit::Compare {
            roll,
            pair: [1 + a % 4, 1 + b % 4],
            better: pick(&[None, Some(1 + a % 4), Some(1 + b % 4), Some(9)], a / 4),
            taken_back: b % 5 == 0,
        },
        39 => Edit::ForgetPairs {
            roll,
            scene: 1 + b % 3,
        },
        33 if b % 40 == 0 => Edit::RemoveBatch("box".to_owned()),
        34 if b % 40 == 0 => Edit::RemoveAll,
        _ => Edit::Remove(pick(
            &[
                Key::new(Kind::Device, "clip"),
                Key::new(Kind::Device, "spot"),
                Key::new(Kind::Lens, "fifty"),
            ],
            b,
        )),
    }
}

/// A desk after some edits, refused ones left out.
pub(crate) fn worked(ops: &[Op]) -> Desk {
    let mut desk = two_rolls();
    for op in ops {
        let edit = change_of(desk.book(), *op);
        let _ = desk.apply(&edit);
    }
    desk
}

fn plans(book: &Book) -> Vec<(String, u16, Plan)> {
    book.rolls()
        .flat_map(|roll| {
            roll.frames
                .iter()
                .map(|frame| (roll.id.clone(), frame.id, frame.plan.clone()))
        })
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn no_edit_touches_a_plan(ops in ops(30)) {
        let mut desk = two_rolls();
        for op in ops {
            let before = plans(desk.book());
            let edit = change_of(desk.book(), op);
            let removes = matches!(
                edit,
                Edit::Remove(_) | Edit::RemoveBatch(_) | Edit::RemoveAll | Edit::RemoveExample
            );
            if desk.apply(&edit).is_ok() && !removes {
                let after = plans(desk.book());
                for plan in before {
                    prop_assert!(after.contains(&plan), "{edit:?} changed {plan:?}");
                }
            }
        }
    }

    #[test]
    fn undo_goes_back_to_the_start_exactly_and_redo_to_the_end(ops in ops(40)) {
        let end = worked(&ops);
        let mut desk = end.clone();
        let mut steps = 0;
        let mut seen = vec![desk.book().clone()];
        while desk.undo().is_some() {
            steps += 1;
            seen.push(desk.book().clone());
        }
        prop_assert!(desk.book().is_empty(), "at the start there was nothing");
        prop_assert!(steps >= 3, "stock, batch and rolls at least");
        for before in seen.iter().rev().skip(1) {
            prop_assert!(desk.redo().is_some());
            prop_assert_eq!(desk.book(), before);
        }
        prop_assert_eq!(desk, end);
    }

    #[test]
    fn an_edit_names_every_record_it_touches(ops in ops(25)) {
        let mut desk = two_rolls();
        for op in ops {
            let before = desk.book().clone();
            let edit = change_of(desk.book(), op);
            let Ok(done) = desk.apply(&edit) else { continue };
            let after = desk.book();
            for key in before.records().chain(after.records()).map(book::Record::key) {
                let changed = before.get(&key) != after.get(&key);
                prop_assert!(!changed || done.touched.contains(&key), "{edit:?} changed {key:?} without saying so");
            }
        }
    }

    #[test]
    fn whatever_is_in_the_book_is_read_back_as_it_was(ops in ops(40)) {
        let desk = worked(&ops);
        let kept: Vec<(String, String)> =
            desk.book().records().map(|record| (record.key().text(), encode(record))).collect();
        let opened = open(&kept);
        prop_assert_eq!(&opened.notices, &Vec::<String>::new());
        prop_assert_eq!(&opened.book, desk.book());
        for roll in desk.book().rolls() {
            prop_assert_eq!(rows(desk.book(), roll).len(), roll.frames.len());
        }
    }
}

#[test]
fn a_record_from_another_tab_is_taken_and_what_touched_it_is_not_undone() {
    let mut desk = worked(&[(2, 0, 0), (8, 0, 0)]);
    let key = Key::new(Kind::Roll, "box-1");
    let mut theirs = desk.book().find_roll("box-1").expect("a roll").clone();
    theirs.note = "from the other tab".to_owned();
    let record = book::Record::Roll(Box::new(theirs.clone()));
    desk.refresh(&key, Some(record.clone()));
    assert_eq!(
        desk.book().find_roll("box-1").expect("a roll"),
        &theirs,
        "taken"
    );
    assert_eq!(
        desk.undo(),
        None,
        "every step up to the last that touched it is forgotten"
    );
    desk.refresh(&Key::new(Kind::Roll, "box-2"), Some(record));
    assert_ne!(
        desk.book().find_roll("box-2").expect("a roll").id,
        "box-1",
        "a record is never put under another key"
    );
}

#[test]
fn an_edit_that_would_make_an_unreadable_record_is_refused() {
    let mut desk = worked(&[(8, 0, 1)]);
    let mut roll = desk.book().find_roll("box-1").expect("a roll").clone();
    roll.frames[0].id = u16::MAX;
    desk.refresh(
        &Key::new(Kind::Roll, "box-1"),
        Some(book::Record::Roll(Box::new(roll.clone()))),
    );
    let capped = Edit::Extra {
        roll: "box-1".to_owned(),
        what: Extra::Capped,
        spot: Spot::Now,
        at: None,
    };
    assert!(desk.apply(&capped).is_err(), "there is no id left for it");
    assert_eq!(
        desk.book().find_roll("box-1").expect("a roll"),
        &roll,
        "nothing changed"
    );
}

#[test]
fn what_was_undone_is_not_done_again_after_something_else() {
    let mut desk = worked(&[(2, 0, 0)]);
    assert!(
        desk.would_undo()
            .is_some_and(|said| said.contains("is in the folder")),
        "{:?}",
        desk.would_undo()
    );
    let undone = desk.undo().expect("a step");
    assert!(undone.said.starts_with("Undone: "), "{}", undone.said);
    assert_eq!(
        undone.touched,
        [Key::new(Kind::Roll, "box-1")],
        "what is to be kept again"
    );
    desk.apply(&Edit::Rule {
        id: "decade".to_owned(),
        value: Some(60),
    })
    .expect("another edit");
    assert_eq!(desk.redo(), None, "the way forward is another one now");
}

#[test]
fn the_example_comes_and_goes_without_a_trace() {
    let mut desk = worked(&[]);
    let before = desk.book().clone();
    desk.apply(&Edit::AddExample).expect("added");
    assert!(desk.apply(&Edit::AddExample).is_err(), "not twice");
    let invented = desk
        .book()
        .stocks()
        .filter(|stock| stock.name.contains("invented"))
        .count();
    assert_eq!(invented, 1, "it says that it is invented");
    desk.apply(&Edit::Rolls {
        batch: "example.shoebox".to_owned(),
        count: 2,
        exposures: 36,
    })
    .expect("rolls added to the example");
    desk.apply(&Edit::RemoveExample).expect("removed");
    assert_eq!(
        desk.book(),
        &before,
        "no trace, also of what was added to it"
    );
    assert!(
        desk.apply(&Edit::RemoveExample).is_err(),
        "nothing to remove"
    );
}

#[test]
fn the_example_is_not_removed_from_under_a_batch_of_ones_own() {
    let mut desk = worked(&[]);
    desk.apply(&Edit::AddExample).expect("added");
    let own = book::Batch::new("own", "example.harbour-200", None, Storage::Room);
    desk.apply(&Edit::Batch(own))
        .expect("a batch of the example's stock");
    assert!(
        desk.apply(&Edit::RemoveExample).is_err(),
        "what was typed is not lost"
    );
}

#[test]
fn the_example_shows_a_slip_a_rating_and_a_roll_that_waits() {
    let book = book::example();
    let first = book.find_roll("example.roll-1").expect("a roll");
    let words = book::series(first, 2).words;
    assert!(
        words.contains("Missing: 1 stop more light (1/60, f/5.6)"),
        "{words}"
    );
    assert_eq!(book.findings().count(), 1, "a rating was found");
    let second = book.find_roll("example.roll-2").expect("a roll");
    assert!(
        book::series(second, 1).words.contains("Still to shoot"),
        "a series waits"
    );
}
