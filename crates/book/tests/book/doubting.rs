//! How far a reading may be off, from the log to the evidence and to paper.

use book::{
    CSV_HEAD, Conclusion, Desk, Development, Edit, Finding, Grade, Light, Record, Roll, Scans,
    as_planned, as_shot, conclude, csv, encode, export, frame_words, lab_slip, open, plan_import,
    rows, xmp,
};
use exposure::Doubt;

use crate::check::{
    aperture, apply, date, judge, light, loaded, roll_of, same, series, speed, take_all, time,
};

const ROLL: &str = "box-1";
const GOLDEN: &str = include_str!("../golden/doubt-3.json");

fn from_a_table() -> Light {
    Light {
        method: "scene table: open shade (invented)".to_owned(),
        ..light("100", "1/125", "8", None).within(Some(Doubt::constant(1.0)))
    }
}

/// A roll rated 100 of a film of 400, with a scene read from a table and one read by a meter, a frame each.
fn logged() -> Desk {
    let mut desk = loaded("400", "100");
    series(
        &mut desk,
        ROLL,
        "pier",
        from_a_table(),
        "100",
        &[("1/125", "8", 0), ("1/60", "8", 12)],
    );
    let metered = light("100", "1/60", "8", None);
    series(&mut desk, ROLL, "lock", metered, "100", &[("1/60", "8", 0)]);
    take_all(&mut desk, ROLL);
    desk
}

fn roll(desk: &Desk) -> &Roll {
    roll_of(desk, ROLL)
}

#[test]
fn a_frame_is_as_sure_as_its_light() {
    let desk = logged();
    let roll = roll(&desk);
    let doubts: Vec<_> = roll
        .frames
        .iter()
        .map(|frame| as_shot(roll, frame).expect("a frame of a scene").doubt)
        .collect();
    let stop = Some(Doubt::constant(1.0));
    assert_eq!(doubts, [stop, stop, None], "as each light was read");
    let planned = as_planned(roll, &roll.frames[0]).expect("planned");
    assert_eq!(planned.doubt, stop, "as planned as well");
    let shot = as_shot(roll, &roll.frames[1]).expect("shot");
    same("EI", &shot.ei_words(), "EI 50, give or take 1 stop");
    // What is counted from the base is of one light, and stands before it.
    same(
        "the frame",
        &frame_words(&shot, Some(speed("400"))),
        "EI 50, 1 stop more light than the base, 3 stops more light than box speed (reading: give or take 1 stop)",
    );
    let metered = as_shot(roll, &roll.frames[2]).expect("shot");
    same(
        "read by a meter",
        &frame_words(&metered, Some(speed("400"))),
        "EI 100, as the base, 2 stops more light than box speed",
    );
    same(
        "the reading",
        &roll.scenes[0].light.read_words(),
        "Read as 1/125, f/8 at ISO 100, give or take 1 stop (scene table: open shade (invented)).",
    );
    // A device that is named, and a sensitivity that was found out, leave it as it is.
    let stood = roll.scenes[0].light.stood_at(speed("200"));
    assert_eq!(stood.doubt(), stop, "at another sensitivity");
}

#[test]
fn what_leaves_on_paper_says_it() {
    let desk = logged();
    let (book, roll) = (desk.book(), roll(&desk));
    let rows = rows(book, roll);
    assert_eq!(
        rows.iter()
            .map(|row| (row.ei.as_str(), row.give_or_take.as_str()))
            .collect::<Vec<_>>(),
        [
            ("EI 100, give or take 1 stop", "1"),
            ("EI 50, give or take 1 stop", "1"),
            ("EI 100", "")
        ],
        "in words, and as a number of stops"
    );
    let column = CSV_HEAD
        .iter()
        .position(|name| name.starts_with("give or take"))
        .expect("a column of its own");
    let table = csv(book, &[roll]);
    // The cells before it that hold commas are quoted: counted from the end.
    let last: Vec<&str> = table
        .lines()
        .map(|line| {
            line.rsplit(',')
                .nth(CSV_HEAD.len() - 1 - column)
                .expect("as many cells")
        })
        .collect();
    assert_eq!(&last[1..], ["1", "1", ""], "{table}");
    let slip = lab_slip(book, roll, Development::Normal).join("\n");
    assert!(
        slip.contains("The light was not known exactly: density may be off, give or take 1 stop."),
        "{slip}"
    );
    let packet = xmp(book, roll, &roll.frames[0]);
    assert!(
        packet.contains("2 stops more light than box speed (reading: give or take 1 stop)"),
        "{packet}"
    );
    for text in [&table, &slip, &packet] {
        assert!(!text.contains('±'), "a sign in {text}");
    }
}

fn thousandths(text: &str) -> Doubt {
    Doubt::of_thousandths(text.parse().expect("a number")).expect("a doubt")
}

/// The verdict says how far its readings may be off, and what is written to the group keeps it scene by scene.
#[test]
fn the_evidence_says_how_its_light_was_read() {
    let mut desk = logged();
    for (id, grade) in [(1, Grade::Usable), (2, Grade::Liked), (3, Grade::Liked)] {
        judge(&mut desk, ROLL, id, grade);
    }
    let fixed = Edit::ScansMade {
        roll: ROLL.to_owned(),
        how: Some(Scans::Fixed),
    };
    apply(&mut desk, fixed);
    let group = desk.book().group_of(roll(&desk)).expect("a group");
    let Conclusion::Found(found) = conclude(desk.book(), &group) else {
        panic!("two scenes with liked frames");
    };
    assert!(
        found.words.iter().any(|line| line.starts_with(
            "The light of 1 of 2 scenes was read give or take 1 stop, and the rating may be off as far"
        )),
        "{:?}",
        found.words
    );
    let of = |name: &str| {
        let scene = found.evidence.iter().find(|scene| scene.name == name);
        scene.expect(name).words("Harbour 1")
    };
    assert!(
        of("pier").ends_with("light about EV 13 at ISO 100, give or take 1 stop."),
        "{}",
        of("pier")
    );
    assert!(
        of("lock").ends_with("light about EV 12 at ISO 100."),
        "{}",
        of("lock")
    );
    let finding = found.finding("first", date("2024-07-01"));
    assert_eq!(finding.evidence[0].doubt(), Some(thousandths("1000")));
    apply(&mut desk, Edit::Found(finding.clone()));
    let again = open(&[(
        "finding.first".to_owned(),
        encode(&Record::Finding(finding.clone())),
    )]);
    let kept: Vec<&Finding> = again.book.findings().collect();
    assert_eq!(kept, [&finding], "as it was written");
}

#[track_caller]
fn taken_over(document: &str) -> Desk {
    let import = plan_import(&book::Book::new(), document).expect("an export");
    let mut desk = Desk::new(book::Book::new());
    apply(&mut desk, Edit::Import(import));
    desk
}

#[test]
fn golden_how_far_a_reading_may_be_off_is_read_and_written_to_the_letter() {
    let desk = taken_over(GOLDEN);
    same(
        "written again",
        &export(desk.book(), date("2026-11-25")),
        GOLDEN,
    );
    assert_eq!(desk.book().asides().count(), 0, "all of it is read");
    assert_eq!(
        roll(&desk).scenes[0].light.doubt(),
        Some(thousandths("728")),
        "the light"
    );
    let finding = desk.book().findings().next().expect("a rating");
    assert_eq!(
        finding.evidence[0].doubt(),
        Some(thousandths("728")),
        "the evidence"
    );
    let text = encode(&Record::Roll(Box::new(roll(&desk).clone())));
    assert!(
        text.starts_with("{\"format\":\"stopkeeper roll\",\"version\":3,"),
        "{text}"
    );
    for (from, to) in [
        ("728", "0"),
        ("728", "10001"),
        ("728", "-1"),
        ("728", "0.5"),
        ("728", "\"728\""),
        ("give_or_take", "give_and_take"),
    ] {
        let changed = text.replacen(from, to, 1);
        assert_ne!(changed, text, "{from}");
        let opened = open(&[(format!("roll.{ROLL}"), changed)]);
        assert_eq!(opened.set_aside.len(), 1, "{from} to {to}");
    }
    // Without it, the roll is written as it always was.
    let mut plain = roll(&desk).clone();
    plain.scenes[0].light.give_or_take_thousandths = None;
    let plain = encode(&Record::Roll(Box::new(plain)));
    assert!(plain.contains("\"version\":1,"), "{plain}");
}

/// One copy of a roll says how far its reading may be off, the other does not know: together they say it, either way round.
#[test]
fn two_copies_that_meet_keep_it() {
    let knows = taken_over(GOLDEN);
    // The first is the one of the roll; the rating keeps its own.
    let silence = GOLDEN.replacen(",\"give_or_take_thousandths\":728", "", 1);
    let mut silent = taken_over(&silence);
    assert_eq!(roll(&silent).scenes[0].light.doubt(), None, "silent");
    let noted = Edit::Describe {
        roll: ROLL.to_owned(),
        name: "Harbour 1".to_owned(),
        purpose: String::new(),
        exposures: 36,
        storage: None,
        note: "found in the other pocket".to_owned(),
    };
    apply(&mut silent, noted);
    for (here, there) in [(knows.book(), silent.book()), (silent.book(), knows.book())] {
        let document = export(there, date("2026-11-25"));
        let import = plan_import(here, &document)
            .expect("an export")
            .merging(here, true);
        let mut desk = Desk::new(here.clone());
        apply(&mut desk, Edit::Import(import));
        let met = roll(&desk);
        assert_eq!(
            met.scenes[0].light.doubt(),
            Some(thousandths("728")),
            "kept"
        );
        assert_eq!(met.note, "found in the other pocket", "merged");
    }
    let light = Light::of(time("1/125"), aperture("8"), speed("100"));
    assert_eq!(
        light.within(Some(Doubt::NONE)).give_or_take_thousandths,
        None,
        "nothing to say"
    );
}
