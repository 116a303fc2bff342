//! Checks that all tests share; every failure says what came, what was expected, and how far apart they are.

use core::fmt::Display;

use exposure::{Control, Ev, words};
use readings::Found;

/// The last digits of floating point.
pub(crate) const EXACT: f64 = 1e-9;

#[track_caller]
pub(crate) fn close(what: impl Display, actual: f64, expected: f64, tolerance: f64) {
    let difference = actual - expected;
    assert!(
        difference.abs() <= tolerance,
        "{what}: got {actual}, expected {expected}, difference {difference:e}, allowed {tolerance:e}"
    );
}

/// The marks of a reading as text: `1/125 f/8 ISO 100`.
pub(crate) fn marks(found: &Found) -> String {
    Control::ALL
        .map(|control| words::value(found.reading.mark(control)))
        .join(" ")
}

#[track_caller]
pub(crate) fn ev(value: f64) -> Ev {
    Ev::new(value).expect("a level")
}

/// What has to hold for every reading that is found: figures of the dial's series, lines that add up, words without signs.
#[track_caller]
pub(crate) fn sound(found: &Found) {
    for mark in found.reading.marks() {
        assert!(
            mark.nominal().is_some(),
            "{} is no standard mark",
            words::value(mark)
        );
    }
    let lines: f64 = found
        .lines
        .iter()
        .filter(|line| line.on)
        .map(|line| line.effect.get())
        .sum();
    close(
        "marks and lines together",
        found.reading.light().get() + lines,
        found.light().get(),
        EXACT,
    );
    for line in &found.lines {
        assert!(!line.effect.is_even(), "{} has no effect", line.name);
        assert!(
            !line.name.is_empty() && !line.name.contains(['+', '−']),
            "{}",
            line.name
        );
    }
    for text in found
        .lines
        .iter()
        .map(|line| &line.name)
        .chain([&found.from])
    {
        assert!(
            text.chars().count() <= readings::LONGEST,
            "“{text}” is longer than a setting keeps"
        );
    }
    for text in [&found.from, &found.uncertainty, &found.sentence()] {
        assert!(!text.trim().is_empty(), "a text is missing");
    }
    // How far it may be off is in front, in words, and no word of it can be taken for a direction of the light.
    let sure = found.how_sure();
    let (first, _) = sure.split_once(". ").expect("and why");
    match found.doubt {
        Some(doubt) => {
            assert!(doubt > exposure::Doubt::NONE, "nothing is beyond doubt");
            assert_eq!(
                first.to_lowercase(),
                words::give_or_take(doubt).to_lowercase(),
                "the figure stands in front"
            );
        }
        None => assert_eq!(
            first, "How far it may be off nobody can say",
            "said where there is no figure"
        ),
    }
    assert!(
        !first.contains(['±', '+', '−']) && !first.contains("more") && !first.contains("less"),
        "{first}"
    );
}

/// Rows of a table: head lines with `# Source: `, a line of column names, rows of cells.
#[track_caller]
pub(crate) fn rows(name: &str, text: &'static str) -> Vec<Vec<&'static str>> {
    assert!(
        text.lines().any(|line| line.starts_with("# Source: ")),
        "the head of {name} has no source"
    );
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let columns = lines.next().expect("column names").split(',').count();
    let rows: Vec<Vec<_>> = lines.map(|line| line.split(',').collect()).collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    for row in &rows {
        assert!(row.len() == columns, "{name}: {row:?}");
    }
    rows
}

#[track_caller]
pub(crate) fn number(text: &str) -> f64 {
    text.parse()
        .unwrap_or_else(|_| panic!("“{text}” is no number"))
}
