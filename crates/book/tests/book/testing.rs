//! Film-speed tests as records and as rules, and where the evidence lies on its axis.

use book::{
    Book, Conclusion, Desk, Edit, EvidencePlot, Film, FilmTest, Grade, Group, Key, Kind, Record,
    Scans, Source, Storage, TestBy, TestStep, Verdict, conclude, encode, evidence_plot, export,
    open, plan_import, start_for, tests_of,
};

use crate::check::{
    apply, bag, close, date, judge, light, load, roll_of, same, series, speed, take_all,
};

const GOLDEN: &str = include_str!("../golden/test-5.json");
const ROLL: &str = "box-1";

fn test(desk: &Desk, id: &str) -> FilmTest {
    let group = desk.book().group_of(roll_of(desk, ROLL)).expect("a group");
    FilmTest {
        id: id.to_owned(),
        group,
        on: date("2026-11-20"),
        box_speed: speed("400"),
        metered: speed("400"),
        by: TestBy::Frames,
        steps: vec![
            TestStep {
                more_thousandths: -4000,
                density_thousandths: 310,
            },
            TestStep {
                more_thousandths: 0,
                density_thousandths: 900,
            },
        ],
        fog_thousandths: Some(300),
        speed: Some(speed("100")),
        contrast_thousandths: Some(745),
        conditions: "Own developer, 9 min at 20 °C.".to_owned(),
    }
}

fn aged() -> Desk {
    bag(Film::BlackAndWhite, "400", "1994-06", Storage::Unknown, 2)
}

fn imported(text: &str) -> Book {
    let import = plan_import(&Book::new(), text).expect("a document");
    let mut desk = Desk::new(Book::new());
    desk.apply(&Edit::Import(import)).expect("taken over");
    desk.book().clone()
}

#[test]
fn golden_tests_are_written_to_the_letter() {
    let book = imported(GOLDEN);
    same("written again", &export(&book, date("2026-11-25")), GOLDEN);
    let group = Group {
        stock: "harbour".to_owned(),
        batch: "box".to_owned(),
        storage: Storage::Room,
    };
    let tests = tests_of(&book, &group);
    assert_eq!(tests.len(), 2, "both are of this group");
    close(
        "from box",
        tests[0].from_box().expect("a speed").get(),
        2.0,
        1e-9,
    );
    same(
        "in words",
        &tests[0].words(),
        "EI 100 by the 0.10 rule, 2 stops more light than box speed; density 0.75 over the following 1.30. Conditions: Own developer, 9 \
         min at 20 °C.",
    );
    same(
        "without a speed",
        &tests[1].words(),
        "no speed could be read off it. Conditions were not noted.",
    );
    let other = Group {
        storage: Storage::Fridge,
        ..group
    };
    assert!(tests_of(&book, &other).is_empty(), "and of no other");
}

#[test]
fn a_test_is_written_undone_and_goes_with_its_batch() {
    let mut desk = aged();
    let before = desk.book().clone();
    let first = test(&desk, "first");
    apply(&mut desk, Edit::Tested(first));
    assert_eq!(desk.book().tests().count(), 1, "written");
    desk.undo();
    assert_eq!(*desk.book(), before, "undone");
    desk.redo();
    let key = Key::new(Kind::Test, "first");
    assert!(desk.book().get(&key).is_some(), "done again");
    let edit = Edit::RemoveBatch("box".to_owned());
    let said = book::would_remove(desk.book(), &edit);
    assert!(said.contains("1 film-speed test"), "{said}");
    apply(&mut desk, edit);
    assert!(desk.book().get(&key).is_none(), "gone with its batch");
    desk.undo();
    assert!(desk.book().get(&key).is_some(), "and back with it");
    apply(&mut desk, Edit::Remove(key.clone()));
    assert!(desk.book().get(&key).is_none(), "removed by itself");
}

#[test]
fn what_cannot_be_kept_is_refused_or_set_aside() {
    let mut desk = aged();
    let good = test(&desk, "first");
    for bad in [
        FilmTest {
            id: String::new(),
            ..good.clone()
        },
        FilmTest {
            fog_thousandths: Some(-1),
            ..good.clone()
        },
        FilmTest {
            steps: vec![good.steps[0]; 61],
            ..good.clone()
        },
        FilmTest {
            conditions: "x".repeat(301),
            ..good.clone()
        },
        FilmTest {
            steps: vec![TestStep {
                more_thousandths: 31_000,
                density_thousandths: 0,
            }],
            ..good.clone()
        },
    ] {
        assert!(desk.apply(&Edit::Tested(bad.clone())).is_err(), "{bad:?}");
    }
    let text = encode(&Record::Test(good));
    let key = "test.first".to_owned();
    let damaged = text.replace(
        "\"density_thousandths\":310",
        "\"density_thousandths\":-310",
    );
    let opened = open(&[(key.clone(), damaged)]);
    assert_eq!(opened.set_aside.len(), 1, "damaged ones are set aside");
    let opened = open(&[(key.clone(), text.replace("\"on\":", "\"colour\":1,\"on\":"))]);
    assert_eq!(opened.set_aside.len(), 1, "and such with what nobody knows");
    let newer = text.replacen("\"version\":1", "\"version\":2", 1);
    let opened = open(&[(key.clone(), newer)]);
    assert!(
        opened.notices[0].contains("newer version"),
        "{:?}",
        opened.notices
    );
    assert_eq!(
        open(&[(key, text)]).book.tests().count(),
        1,
        "the sound one is read"
    );
}

#[test]
fn a_test_is_a_rule_beside_the_others_for_its_group_only() {
    let mut desk = aged();
    let on = date("2026-11-25");
    let said = |desk: &Desk| {
        start_for(desk.book(), roll_of(desk, ROLL), on, false).expect("a roll of the book")
    };
    let before = said(&desk);
    assert!(
        before.says.iter().all(|row| row.source != Source::Tested),
        "no test yet"
    );
    let first = test(&desk, "first");
    apply(&mut desk, Edit::Tested(first.clone()));
    let found = said(&desk);
    let row = found
        .says
        .iter()
        .find(|row| row.id == "tested")
        .expect("the rule");
    same("name", &row.name, "Film-speed test of 2026-11-20");
    close("least", row.least.get(), 2.0, 1e-9);
    close("most", row.most.get(), 2.0, 1e-9);
    assert!(
        row.counts && row.statement.contains("Own developer"),
        "{row:?}"
    );
    assert_eq!(found.says.len(), before.says.len() + 1, "the others stay");
    // Kept another way, the same batch is another group.
    let mut elsewhere = aged();
    let other = FilmTest {
        group: Group {
            storage: Storage::Hot,
            ..first.group.clone()
        },
        ..first.clone()
    };
    apply(&mut elsewhere, Edit::Tested(other));
    assert!(
        said(&elsewhere)
            .says
            .iter()
            .all(|row| row.source != Source::Tested),
        "not this group"
    );
    // Without a speed it says nothing, and that is said.
    let mut silent = aged();
    apply(
        &mut silent,
        Edit::Tested(FilmTest {
            speed: None,
            contrast_thousandths: None,
            ..first
        }),
    );
    let found = said(&silent);
    assert!(
        found
            .silent
            .iter()
            .any(|(name, _)| *name == "Film-speed test"),
        "{:?}",
        found.silent
    );
}

/// Two scenes, the brighter one logged first: frames at box speed and a stop and two stops more.
fn bracketed() -> Desk {
    let mut desk = bag(Film::ColourNegative, "400", "2004-06", Storage::Unknown, 2);
    load(&mut desk, ROLL, "400");
    for (name, stop, liked) in [("quay", "16", 1), ("shed", "4", 2)] {
        let frames = [("1/250", stop, 0), ("1/125", stop, 12), ("1/60", stop, 24)];
        let first = u16::try_from(roll_of(&desk, ROLL).frames.len()).expect("few") + 1;
        series(
            &mut desk,
            ROLL,
            name,
            light("400", "1/250", stop, None),
            "400",
            &frames,
        );
        take_all(&mut desk, ROLL);
        for at in 0..3 {
            let grade = match i32::from(at) - liked {
                0 => Grade::Liked,
                -1 | 1 => Grade::Usable,
                _ => Grade::Rejected,
            };
            judge(&mut desk, ROLL, first + at, grade);
        }
    }
    apply(
        &mut desk,
        Edit::ScansMade {
            roll: ROLL.to_owned(),
            how: Some(Scans::Fixed),
        },
    );
    desk
}

fn plot(desk: &Desk) -> EvidencePlot {
    let group = desk.book().group_of(roll_of(desk, ROLL)).expect("a group");
    match conclude(desk.book(), &group) {
        Conclusion::Found(suggestion) => evidence_plot(desk.book(), &suggestion),
        other => panic!("expected a suggestion, got {other:?}"),
    }
}

#[test]
fn the_evidence_lies_where_it_was_shot() {
    let plot = plot(&bracketed());
    let names: Vec<&str> = plot.rows.iter().map(|row| row.name.as_str()).collect();
    assert_eq!(
        names,
        ["Harbour 1, scene 2 (shed)", "Harbour 1, scene 1 (quay)"],
        "the darker scene first"
    );
    for row in &plot.rows {
        let offsets: Vec<f64> = row.marks.iter().map(|mark| mark.offset.get()).collect();
        for (offset, expected) in offsets.iter().zip([0.0, 1.0, 2.0]) {
            close(&row.name, *offset, expected, 1e-6);
        }
        close("tried from", row.tried.0.get(), 0.0, 1e-6);
        close("tried to", row.tried.1.get(), 2.0, 1e-6);
        for mark in &row.marks {
            assert!(plot.axis.holds(mark.offset.get()), "on the axis: {mark:?}");
        }
    }
    let grades =
        |row: usize| -> Vec<Grade> { plot.rows[row].marks.iter().map(|mark| mark.grade).collect() };
    assert_eq!(grades(0), [Grade::Rejected, Grade::Usable, Grade::Liked]);
    assert_eq!(grades(1), [Grade::Usable, Grade::Liked, Grade::Usable]);
    // The shed's best frame lies at the end of its bracket: at least.
    let (liked, limits) = plot.rows[0].liked.expect("liked");
    close("liked", liked.get(), 2.0, 1e-6);
    assert!(
        limits.least.is_some() && limits.most.is_none(),
        "{limits:?}"
    );
    assert!(
        plot.rows[1].liked.expect("liked").1.is_found(),
        "the quay's was found"
    );
    close("median", plot.median.get(), 1.5, 1e-3);
    let (least, most) = plot.usable.expect("usable in both");
    close("usable from", least.get(), 1.0, 1e-3);
    close("usable to", most.get(), 2.0, 1e-3);
    assert!(
        plot.rows[0]
            .words
            .contains("best at least 2 stops more light than box speed"),
        "{}",
        plot.rows[0].words
    );
    for words in plot.rows.iter().map(|row| &row.words).chain([&plot.words]) {
        assert!(!words.contains('+') && !words.contains('−'), "{words}");
    }
}

#[test]
fn a_frame_that_does_not_count_is_not_drawn() {
    let mut desk = bracketed();
    let before: usize = plot(&desk).rows.iter().map(|row| row.marks.len()).sum();
    apply(
        &mut desk,
        Edit::Judge {
            roll: ROLL.to_owned(),
            frame: 1,
            verdict: None,
        },
    );
    let after = plot(&desk);
    let marks: usize = after.rows.iter().map(|row| row.marks.len()).sum();
    assert_eq!(marks, before - 1, "a frame without a verdict");
    // A scene in which nothing is liked stays, and says so.
    for frame in [4, 5, 6] {
        apply(
            &mut desk,
            Edit::Judge {
                roll: ROLL.to_owned(),
                frame,
                verdict: Some(Verdict {
                    grade: Grade::Rejected,
                    ticks: Vec::new(),
                }),
            },
        );
    }
    let after = plot(&desk);
    let shed = after
        .rows
        .iter()
        .find(|row| row.scene == 2)
        .expect("still there");
    assert!(
        shed.liked.is_none() && shed.words.contains("nothing liked"),
        "{}",
        shed.words
    );
}

#[test]
fn marks_that_lie_close_to_one_another_have_lanes_of_their_own() {
    let wide = plot(&bracketed());
    assert!(
        wide.rows
            .iter()
            .flat_map(|row| &row.marks)
            .all(|mark| mark.lane == 0),
        "a stop apart is far enough"
    );
    // The same frame shot twice lies on itself.
    let mut desk = bracketed();
    apply(
        &mut desk,
        Edit::Slip {
            roll: ROLL.to_owned(),
            run: book::Run::One(2),
            slip: book::Slip::Time(crate::check::time("1/60")),
        },
    );
    let close = plot(&desk);
    let quay = close
        .rows
        .iter()
        .find(|row| row.scene == 1)
        .expect("still there");
    let lanes: Vec<usize> = quay.marks.iter().map(|mark| mark.lane).collect();
    assert_eq!(lanes, [0, 0, 1], "{quay:?}");
    for (i, mark) in quay.marks.iter().enumerate() {
        for other in &quay.marks[i + 1..] {
            let apart = close.axis.share(other.offset.get()) - close.axis.share(mark.offset.get());
            assert!(
                mark.lane != other.lane || apart >= 0.11,
                "{mark:?} and {other:?}"
            );
        }
    }
}
