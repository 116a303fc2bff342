//! What was learned: how it grows, when it comes up again, and that its record loses nothing.

use learn::Day;
use learn::exercise::{Exercise, Kind, Support};
use learn::mastery::{IN_A_ROW, LONGEST_GAP, Learned, Opened, Skill, Standing, Tracing};
use proptest::prelude::{any, prop_assert, prop_assert_eq, proptest};

const TODAY: Day = Day::new(20_784);

fn wrong(exercise: &Exercise) -> usize {
    (exercise.right() + 1) % exercise.choices().len()
}

/// Answers right and without help until it is mastered.
fn master(learned: &mut Learned, kind: Kind, day: Day) {
    for seed in 0.. {
        let exercise = Exercise::new(kind, seed).expect("within range");
        let right = learned.answered(&exercise, Support::Alone, exercise.right(), day);
        assert!(right, "the right answer is right");
        if learned.skill(kind).is_some_and(Skill::is_mastered) {
            break;
        }
        assert!(seed < 20, "a row of right answers is enough");
    }
}

#[test]
fn from_help_to_none() {
    let mut learned = Learned::default();
    let kind = Kind::Equivalent;
    assert_eq!(learned.standing(kind, TODAY), Standing::New);
    let mut seen = Vec::new();
    for seed in 0..6 {
        let support = learned.support(kind);
        seen.push(support);
        let exercise = Exercise::new(kind, seed).unwrap();
        learned.answered(&exercise, support, exercise.right(), TODAY);
    }
    assert_eq!(
        seen,
        [
            Support::Worked,
            Support::LastStep,
            Support::Alone,
            Support::Alone,
            Support::Alone,
            Support::Alone
        ]
    );
    assert_eq!(learned.standing(kind, TODAY), Standing::Known);
    // Two misses bring help back.
    for seed in 10..12 {
        let exercise = Exercise::new(kind, seed).unwrap();
        assert!(!learned.answered(&exercise, Support::Alone, wrong(&exercise), TODAY));
    }
    assert_eq!(learned.standing(kind, TODAY), Standing::Learning);
    assert_eq!(learned.support(kind), Support::LastStep);
    for seed in 12..14 {
        let exercise = Exercise::new(kind, seed).unwrap();
        learned.answered(&exercise, Support::LastStep, wrong(&exercise), TODAY);
    }
    assert_eq!(learned.support(kind), Support::Worked);
}

#[test]
fn a_row_is_needed_beside_the_estimate() {
    let mut learned = Learned::default();
    let exercise = Exercise::new(Kind::Frame, 1).unwrap();
    for count in 1..=IN_A_ROW {
        learned.answered(&exercise, Support::Alone, exercise.right(), TODAY);
        let skill = learned.skill(Kind::Frame).unwrap();
        assert_eq!(skill.is_mastered(), count == IN_A_ROW, "{count}: {skill:?}");
    }
    // Two choices need more, for luck is better.
    master(&mut learned, Kind::Pictures, TODAY);
    assert_eq!(learned.skill(Kind::Pictures).unwrap().asked, 5);
    let of = Tracing::of(&Exercise::new(Kind::Pictures, 1).unwrap(), Support::Alone);
    assert_eq!(of, Tracing::TWO_CHOICES);
}

#[test]
fn gaps_grow_and_fall_back() {
    let mut learned = Learned::default();
    let kind = Kind::Way;
    master(&mut learned, kind, TODAY);
    let mut day = TODAY;
    let mut gaps = Vec::new();
    let exercise = Exercise::new(kind, 77).unwrap();
    for _ in 0..10 {
        let skill = *learned.skill(kind).unwrap();
        gaps.push(skill.gap);
        let due = skill.due().expect("it comes up again");
        let before = Day::new(due.get() - 1);
        assert_eq!(learned.standing(kind, before), Standing::Known, "{skill:?}");
        assert_eq!(learned.standing(kind, due), Standing::Due, "{skill:?}");
        day = due;
        learned.answered(&exercise, Support::Alone, exercise.right(), day);
    }
    assert_eq!(gaps, [1, 2, 4, 8, 16, 32, 64, 128, 128, LONGEST_GAP]);
    // Practised before it is due, the missed 0 gap stays.
    learned.answered(&exercise, Support::Alone, exercise.right(), day.plus(1));
    assert_eq!(learned.skill(kind).unwrap().gap, LONGEST_GAP);
    learned.answered(&exercise, Support::Alone, wrong(&exercise), day.plus(2));
    let skill = learned.skill(kind).unwrap();
    assert_eq!((skill.gap, skill.row, skill.due()), (0, 0, None));
}

#[test]
fn what_comes_next() {
    let mut learned = Learned::default();
    assert_eq!(learned.next(TODAY, None), Some(Kind::Way), "the first one");
    let exercise = Exercise::new(Kind::Way, 1).unwrap();
    learned.answered(&exercise, Support::Worked, exercise.right(), TODAY);
    assert_eq!(
        learned.next(TODAY, Some(Kind::Way)),
        Some(Kind::Equivalent),
        "mixed"
    );
    assert_eq!(learned.next(TODAY, Some(Kind::Equivalent)), Some(Kind::Way));
    for kind in Kind::ALL {
        master(&mut learned, kind, TODAY);
    }
    assert_eq!(
        learned.next(TODAY, None),
        None,
        "all is known and nothing is due"
    );
    let tomorrow = TODAY.plus(1);
    assert!(
        learned.next(tomorrow, None).is_some(),
        "tomorrow it comes up again"
    );
    let said = learned.skill(Kind::Way).unwrap().said(TODAY);
    assert!(
        said.contains("known, ") && said.contains("2026-11-28"),
        "{said}"
    );
}

#[test]
fn the_record() {
    let mut learned = Learned::default();
    let exercise = Exercise::new(Kind::Equivalent, 4).unwrap();
    learned.answered(&exercise, Support::Alone, exercise.right(), TODAY);
    let text = learned.write();
    let tracing = Tracing::of(&exercise, Support::Alone);
    let known = (tracing.after(tracing.known, true) * 1e6).round();
    assert_eq!(
        text,
        format!(
            "stopkeeper learned 1\nequivalent known {known} asked 1 right 1 row 1 missed 0 gap 0 last 2026-11-27\n"
        )
    );
    let table = learned.table(TODAY);
    let lines: Vec<&str> = table.split("\r\n").collect();
    assert_eq!(lines.len(), 3, "{table}");
    assert_eq!(
        lines[0].split(',').count(),
        lines[1].split(',').count(),
        "{table}"
    );
    assert!(lines[1].ends_with(",1,1,1,2026-11-27,"), "{table}");
}

/// The golden record of version 1: as long as there is anybody's, it is read.
#[test]
fn the_golden_record() {
    let text = "stopkeeper learned 1\nway known 999961 asked 9 right 8 row 6 missed 0 gap 4 last 2026-11-27\nslip known 250000 asked 1 right 0 row 0 missed 1 gap 0 last 2026-11-20\n";
    let Opened::Whole(learned) = Learned::open(text) else {
        panic!("it is read");
    };
    assert_eq!(learned.write(), text);
    assert_eq!(
        learned.skill(Kind::Way).unwrap().due(),
        Some(Day::new(20_788))
    );
    assert_eq!(learned.standing(Kind::Slip, TODAY), Standing::Learning);
}

#[test]
fn damaged_and_newer_records_lose_nothing() {
    let good = "way known 999961 asked 9 right 8 row 6 missed 0 gap 4 last 2026-11-27";
    for bad in [
        "way known",
        "stroll known 5 asked 1 right 1 row 1 missed 0 gap 1 last 2026-11-27",
        "slip known 1000001 asked 1 right 1 row 1 missed 0 gap 1 last 2026-11-27",
        "slip known 5 asked 1 right 1 row 1 missed 1 gap 1 last 2026-11-27",
        "slip known 5 asked 1 right 2 row 1 missed 0 gap 1 last 2026-11-27",
        "slip known 5 asked 1 right 1 row 2 missed 0 gap 1 last 2026-11-27",
        "slip known 5 asked 1 right 1 row 1 missed 0 gap 999 last 2026-11-27",
        "slip known 5 asked 1 right 1 row 1 missed 0 gap 1 last 2026-02-30",
        "slip known 05 asked 1 right 1 row 1 missed 0 gap 1 last 2026-11-27",
        "slip known 5 asked 1 right 1 row 1 missed 0 gap 1 last 2026-11-27 and more",
        "ä\u{0}",
        good,
    ] {
        let text = format!("stopkeeper learned 1\n{good}\n{bad}\n");
        let Opened::Partly(learned, said) = Learned::open(&text) else {
            panic!("{bad} is damaged");
        };
        assert!(said.contains("kept as it is"), "{said}");
        assert_eq!(learned.write(), text, "nothing is lost");
    }
    for (text, word) in [
        ("stopkeeper learned 2\nanything", "newer"),
        ("stopkeeper learned 99\n", "newer"),
        ("stopkeeper learned x\n", "cannot be read"),
        ("stopkeeper learned 0\n", "cannot be read"),
        ("", "cannot be read"),
        ("{}", "cannot be read"),
    ] {
        let Opened::Not(said) = Learned::open(text) else {
            panic!("{text} is not read");
        };
        assert!(said.contains(word), "{said}");
    }
}

proptest! {
    /// Whatever was answered, the record is read as it was written.
    #[test]
    fn round_trips(answers in proptest::collection::vec((0..9_usize, any::<bool>(), 0..3_usize, 0..400_u16), 0..60)) {
        let exercises = Kind::ALL.map(|kind| Exercise::new(kind, 3).unwrap());
        let mut learned = Learned::default();
        let mut day = TODAY;
        for (kind, right, support, later) in answers {
            day = day.plus(later);
            let exercise = &exercises[kind];
            let answer = if right { exercise.right() } else { wrong(exercise) };
            prop_assert_eq!(learned.answered(exercise, Support::ALL[support], answer, day), right);
            let skill = learned.skill(exercise.kind()).unwrap();
            prop_assert!(skill.row <= skill.right && skill.right <= skill.asked);
            prop_assert!(skill.due().is_none_or(|due| due > day));
        }
        let text = learned.write();
        prop_assert_eq!(Learned::open(&text), Opened::Whole(learned.clone()));
        prop_assert_eq!(learned.table(day).lines().count(), learned.skills().len() + 1);
    }

    /// Nothing panics on any text, and what is taken is written again.
    #[test]
    fn any_text(text in "(stopkeeper learned [0-2]\n)?([a-z0-9 \n-]{0,80})") {
        match Learned::open(&text) {
            Opened::Whole(learned) | Opened::Partly(learned, _) => {
                let again = learned.write();
                prop_assert_eq!(Learned::open(&again), Learned::open(&text));
            }
            Opened::Not(said) => prop_assert!(!said.is_empty()),
        }
    }
}
