//! A roll asked and answered at once, and the text between the two programs.

use proptest::prelude::*;
use scans::{
    Measured,
    desk::{Answer, Begin, Doubt, Logged, Otherwise, Question, Seen, Wanted, answer},
    frame::BARS,
    roll::{NEGATIVES, Said},
};

use crate::made::Made;

/// A roll of two scenes, four frames each a stop apart, and a slate behind each.
fn roll(change: impl Fn(usize, Made) -> Made) -> (Question, Vec<Option<Measured>>) {
    let of = [(0, 4), (1, 1), (2, 4), (3, 1)];
    let mut question = Question {
        said: Said::Unknown,
        frames: Vec::new(),
        film: Vec::new(),
        names: Vec::new(),
    };
    let mut files = Vec::new();
    for (series, (scene, count)) in (0_u16..).zip(of) {
        for nth in 0..count {
            let offset = if count == 1 {
                0.0
            } else {
                f64::from(nth) - 1.0
            };
            let number = u16::try_from(files.len() + 1).expect("a short roll");
            if count > 1 {
                question.frames.push(Logged {
                    file: files.len(),
                    number,
                    scene: series,
                    offset,
                });
            }
            question.film.push(Wanted {
                number,
                series,
                offset: Some(offset),
            });
            question.names.push(format!("scan {number}.jpg"));
            let made = change(files.len(), Made::new(scene, offset));
            files.push(Some(made.measured()));
        }
    }
    (question, files)
}

#[test]
fn a_fixed_roll_is_told_as_one() {
    let (question, files) = roll(|_, made| made);
    let told = answer(&question, &files);
    assert!(told.tells_exposure && !told.warns, "{told:?}");
    assert!(
        told.says[0].contains("one fixed setting"),
        "{:?}",
        told.says
    );
    assert_eq!(told.doubts, [], "nothing contradicts");
    assert_eq!(told.otherwise, None, "it lies as logged");
    let bright: Vec<f64> = told
        .files
        .iter()
        .flatten()
        .map(|seen| seen.bright)
        .collect();
    assert!(
        bright[..4].is_sorted(),
        "more light is brighter: {bright:?}"
    );
}

#[test]
fn what_a_person_says_of_the_scans_is_weighed() {
    let (mut question, files) = roll(|_, made| Made {
        corrected: true,
        ..made
    });
    question.said = Said::Fixed;
    let told = answer(&question, &files);
    assert!(!told.tells_exposure && told.warns, "corrected: {told:?}");
    assert_eq!(told.rather, Some(Said::Corrected), "to be noted by one tap");
    assert!(
        told.says.iter().any(|says| says.contains("You said")),
        "the contradiction is said: {:?}",
        told.says
    );
    let (mut question, mut files) = roll(|_, made| made);
    assert_eq!(
        answer(&question, &files).rather,
        Some(Said::Fixed),
        "nothing was said"
    );
    question.said = Said::Corrected;
    assert_eq!(
        answer(&question, &files).rather,
        None,
        "the person knows more"
    );
    question.said = Said::Unknown;
    // Frame 3 is as frame 2.
    files[2] = files[1].clone();
    assert_eq!(
        answer(&question, &files).doubts.len(),
        2,
        "to frame 2 and to frame 4"
    );
    question.said = Said::Corrected;
    let told = answer(&question, &files);
    assert!(
        !told.tells_exposure && told.doubts.is_empty(),
        "nothing about exposure where it was evened out: {told:?}"
    );
    // What contradicts what was said warns, and nothing beside it says the opposite.
    let said = told.says.join(" ");
    assert!(
        said.contains("You said that they were corrected")
            && said.contains("Nothing is concluded about exposure")
            && !said.contains("can be compared"),
        "{said}"
    );
    assert!(told.warns, "{told:?}");
}

/// Of negatives that were not turned positive nothing is said as of pictures, and nothing is moved for them.
#[test]
fn negatives_are_said_to_be_some() {
    let (question, files) = roll(|_, made| Made {
        negative: true,
        ..made
    });
    let told = answer(&question, &files);
    assert!(
        told.negatives && told.warns && !told.tells_exposure,
        "{told:?}"
    );
    assert_eq!(told.otherwise, None, "nothing is turned");
    assert!(
        told.says.iter().any(|says| says == NEGATIVES),
        "{:?}",
        told.says
    );
    assert_eq!((told.begins.len(), told.doubts.len()), (0, 0), "{told:?}");
    let seen: Vec<&Seen> = told.files.iter().flatten().collect();
    assert_eq!(seen.len(), files.len(), "each was measured");
    for seen in seen {
        assert_eq!((seen.bars, seen.words.as_str()), (None, ""), "{seen:?}");
        assert!(seen.bright > 0.0, "how bright it is stays: {seen:?}");
    }
    // Where one of them was not measured, how they lie is not looked at: either reading is said, and nothing of their tones.
    let mut unread = files;
    unread[4] = None;
    let told = answer(&question, &unread);
    assert!(told.negatives, "{told:?}");
    let said = told.says.join(" ");
    assert!(
        said.contains("lie at the wrong frames") && said.contains("negatives"),
        "{said}"
    );
    // Positives from the other end, which the slates tell, are turned.
    let (question, mut files) = roll(|_, made| made);
    files.reverse();
    let told = answer(&question, &files);
    assert!(!told.negatives && told.begins.is_empty(), "{told:?}");
    let other = told.otherwise.expect("turned");
    assert_eq!(other.files[0], (1, 9), "{other:?}");
    assert!(
        other
            .words
            .contains("scan 1.jpg to scan 10.jpg lie the other way round"),
        "{}",
        other.words
    );
    assert!(
        told.files[0]
            .as_ref()
            .is_some_and(|seen| seen.bars.is_some())
    );
}

#[test]
fn a_missing_slate_is_proposed_and_a_file_that_cannot_be_read_is_not_taken_for_one() {
    let (question, mut files) = roll(|_, made| made);
    let mut unread = files.clone();
    unread[4] = None;
    let told = answer(&question, &unread);
    assert_eq!(told.otherwise, None, "its place is known");
    assert_eq!(told.files[4], None, "it has no measure");
    files.remove(4);
    let told = answer(&question, &files);
    let other = told.otherwise.expect("one file too few");
    let wanted: Vec<(u16, usize)> = (1..=4)
        .map(|number| (number, usize::from(number) - 1))
        .chain((6..=10).map(|number| (number, usize::from(number) - 2)))
        .collect();
    assert_eq!(other.files, wanted, "{}", other.words);
}

#[test]
fn nothing_measured_is_nothing_said() {
    let (question, files) = roll(|_, made| made);
    let none = vec![None; files.len()];
    let told = answer(&question, &none);
    assert!(told.says.is_empty() && !told.tells_exposure, "{told:?}");
}

/// Any sentence; tabs part the fields and are no part of one.
fn sentence() -> impl Strategy<Value = String> {
    "[^\\r\\t\\x00]{0,30}"
}

proptest! {
    #[test]
    fn a_question_reads_back(
        frames in prop::collection::vec((0_usize..99, 1_u16..99, 0_u16..9, -9.0_f64..9.0), 0..9),
        film in prop::collection::vec((1_u16..99, 0_u16..9, prop::option::of(-9.0_f64..9.0)), 0..9),
        names in prop::collection::vec(sentence(), 0..5),
        said in prop::sample::select(vec![Said::Fixed, Said::Corrected, Said::Unknown]),
    ) {
        let question = Question {
            said,
            frames: frames.into_iter().map(|(file, number, scene, offset)| Logged { file, number, scene, offset }).collect(),
            film: film.into_iter().map(|(number, series, offset)| Wanted { number, series, offset }).collect(),
            names,
        };
        prop_assert_eq!(Question::read(&question.text()), Ok(question));
    }

    #[test]
    fn an_answer_reads_back(
        tells in any::<[bool; 3]>(),
        rather in prop::option::of(prop::sample::select(vec![Said::Fixed, Said::Corrected, Said::Unknown])),
        says in prop::collection::vec(sentence(), 0..4),
        doubts in prop::collection::vec((1_u16..99, 1_u16..99, sentence()), 0..4),
        files in prop::collection::vec((1_u16..99, 0_usize..99), 0..9),
        other in prop::option::of(sentence()),
        begins in prop::collection::vec((0_u16..9, 1_u16..99, -9.0_f64..9.0, any::<[bool; 2]>(), sentence()), 0..4),
        seen in prop::collection::vec(prop::option::of((0.0_f64..1.0, any::<bool>(), sentence())), 0..4),
    ) {
        let answer = Answer {
            tells_exposure: tells[0],
            warns: tells[1],
            negatives: tells[2],
            rather,
            says,
            doubts: doubts.into_iter().map(|(less, more, words)| Doubt { less, more, words }).collect(),
            otherwise: other.map(|words| Otherwise { words, files }),
            begins: begins.into_iter().map(|(scene, number, offset, [to_more, clips], words)| Begin {
                scene, number, offset, to_more, clips, words,
            }).collect(),
            files: seen.into_iter().map(|seen| seen.map(|(bright, told, words)| Seen {
                bars: told.then_some([bright / 3.0; BARS]), bright, words,
            })).collect(),
        };
        prop_assert_eq!(Answer::read(&answer.text()), Ok(answer));
    }

    #[test]
    fn any_text_is_read_or_refused(text in "(said|frame|film|name|tells|says|doubt|lies|begins|file)?(\\t[0-9a-z .,-]{0,5}){0,5}\n?") {
        let _ = Question::read(&text);
        let _ = Answer::read(&text);
    }
}
