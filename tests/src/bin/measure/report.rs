//! What was found, as text for people.

use std::{
    collections::BTreeSet,
    fmt::{self, Formatter},
};

use crate::{
    Compared,
    drive::{Findings, Pace},
    native::Native,
    numbers::{median, p99},
    wire::{Tally, total},
};

/// Most that may go over the wire until the dial answers, in bytes.
const WIRE_AIM: usize = 113 * 1024;
/// Most that the first visit may take, in times of the hand-written page; and slowed.
const FIRST_AIM: [f64; 2] = [1.7, 2.0];
/// The same for later visits.
const LATER_AIM: f64 = 1.3;
/// The same for a mark that the dial crosses by keys, and in a drag.
const MARK_AIM: [f64; 2] = [1.15, 1.2];
/// The same for the end of a turn.
const SETTLE_AIM: f64 = 1.2;
/// Most script time for a mark in milliseconds, without slowdown: median and 99 of 100.
const MARK_TIMES: [f64; 2] = [1.0, 4.0];
/// Most nanoseconds for a linked solve, without a browser.
const SOLVE_AIM: f64 = 100.0;
/// Where the same arithmetic differs by more than this factor from page to page, something else disturbed them.
const DISTURBED: f64 = 1.1;

/// Everything that was found.
#[derive(Debug)]
pub(crate) struct Report<'a> {
    pub(crate) compared: &'a [Compared],
    pub(crate) native: &'a Native,
    pub(crate) rounds: usize,
}

impl fmt::Display for Report<'_> {
    fn fmt(&self, out: &mut Formatter<'_>) -> fmt::Result {
        let Self {
            compared,
            native,
            rounds,
        } = self;
        writeln!(out, "\nThe built page beside the hand-written one")?;
        writeln!(
            out,
            "{rounds} rounds in turns, each in a fresh browser (later visits in the same one); medians; 1 KB is 1024 bytes."
        )?;
        wire(out, compared)?;
        for one in *compared {
            pace(out, one)?;
        }
        calculation(out, native)?;
        quiet(out, compared)?;
        aims(out, compared, native)
    }
}

fn wire(out: &mut Formatter<'_>, compared: &[Compared]) -> fmt::Result {
    let Some((built, plain)) = compared
        .first()
        .and_then(|one| one.built.first().zip(one.plain.first()))
    else {
        return Ok(());
    };
    writeln!(
        out,
        "\nOver the wire on the first visit, heads of the answers included; both are packed with brotli"
    )?;
    writeln!(out, "{:<34}{:>14}{:>14}", "", "until it", "until kept")?;
    writeln!(out, "{:<34}{:>14}{:>14}", "", "answers", "for offline")?;
    for (name, findings) in [("built page", built), ("hand-written page", plain)] {
        writeln!(out, "{name}")?;
        for path in findings.kept.keys() {
            let row = [&findings.needed, &findings.kept].map(|tally| in_kilobytes(tally, path));
            writeln!(out, "  {path:<32}{:>14}{:>14}", row[0], row[1])?;
        }
        let sums = [&findings.needed, &findings.kept].map(|tally| kilobytes(total(tally)));
        writeln!(out, "  {:<32}{:>14}{:>14}", "together", sums[0], sums[1])?;
    }
    Ok(())
}

fn in_kilobytes(tally: &Tally, path: &str) -> String {
    match tally.get(path) {
        None => "—".to_owned(),
        Some(carried) if carried.times == 1 => kilobytes(carried.bytes),
        Some(carried) => format!("{}x, {}", carried.times, kilobytes(carried.bytes)),
    }
}

fn kilobytes(bytes: usize) -> String {
    #[expect(clippy::cast_precision_loss, reason = "a page is far below 2^52 bytes")]
    let kilobytes = bytes as f64 / 1024.0;
    format!("{kilobytes:.1} KB")
}

fn name_of(pace: Pace) -> &'static str {
    match pace {
        Pace::Plain => "as the machine is",
        Pace::Slowed => "slowed",
    }
}

/// Every number of that kind from every round.
fn all(findings: &[Findings], of: impl Fn(&Findings) -> Vec<f64>) -> Vec<f64> {
    findings.iter().flat_map(of).collect()
}

/// Both pages' numbers of one kind, boiled down to one each.
fn both(one: &Compared, of: impl Fn(&Findings) -> Vec<f64>, down: fn(&[f64]) -> f64) -> [f64; 2] {
    [&one.built, &one.plain].map(|findings| down(&all(findings, &of)))
}

fn pace(out: &mut Formatter<'_>, one: &Compared) -> fmt::Result {
    match one.pace {
        Pace::Plain => writeln!(out, "\nAs the machine is, in ms")?,
        Pace::Slowed => writeln!(
            out,
            "\nSlowed: a fourth of the processor; for visits also 1.6 Mbit/s and 150 ms; in ms"
        )?,
    }
    writeln!(
        out,
        "{:<38}{:>10}{:>14}{:>8}",
        "", "built", "hand-written", "ratio"
    )?;
    let mut row = |name: &str, pair: [f64; 2]| {
        let [built, plain] = pair;
        let ratio = if plain > 0.0 {
            format!("{:.2}", built / plain)
        } else {
            "—".to_owned()
        };
        writeln!(out, "{name:<38}{built:>10.3}{plain:>14.3}{ratio:>8}")
    };
    row(
        "first visit: something is painted",
        both(one, |f| f.first_paint.into_iter().collect(), median),
    )?;
    row(
        "first visit: the dial answers",
        both(one, |f| vec![f.first], median),
    )?;
    row(
        "later visit: the dial answers",
        both(one, |f| f.later.clone(), median),
    )?;
    row(
        "a mark by keys, median",
        both(one, |f| f.keys.marks.clone(), median),
    )?;
    row(
        "a mark by keys, 99 of 100",
        both(one, |f| f.keys.marks.clone(), p99),
    )?;
    row(
        "a mark in a drag, median",
        both(one, |f| f.drag.marks.clone(), median),
    )?;
    row(
        "a mark in a drag, 99 of 100",
        both(one, |f| f.drag.marks.clone(), p99),
    )?;
    row(
        "settling after a key, median",
        both(one, |f| f.keys.settles.clone(), median),
    )?;
    let names: BTreeSet<&str> = one
        .built
        .iter()
        .flat_map(|f| f.keys.counted.keys().copied())
        .collect();
    for name in names {
        let counted = |f: &Findings| f.drag.counted.get(name).copied().into_iter().collect();
        row(
            &format!("the browser's count, drag: {name}"),
            both(one, counted, median),
        )?;
    }
    row(
        "a fixed piece of arithmetic",
        both(one, |f| vec![f.arithmetic], median),
    )?;
    row(
        "elements in the document",
        both(one, |f| vec![f.elements], median),
    )?;

    let marks: BTreeSet<&String> = one.built.iter().flat_map(|f| f.marks.keys()).collect();
    if marks.len() > 1 {
        let at = |name: &String| {
            median(&all(&one.built, |f| {
                f.marks.get(name).copied().into_iter().collect()
            }))
        };
        let mut ways: Vec<(f64, &String)> =
            marks.into_iter().map(|name| (at(name), name)).collect();
        ways.sort_by(|a, b| a.0.total_cmp(&b.0));
        let ways: Vec<String> = ways
            .iter()
            .map(|(at, name)| format!("{name} {at:.0}"))
            .collect();
        writeln!(
            out,
            "the built page's marks on its first visit: {}",
            ways.join(", ")
        )?;
    }
    Ok(())
}

fn calculation(out: &mut Formatter<'_>, native: &Native) -> fmt::Result {
    writeln!(
        out,
        "\nThe calculation alone, without a browser, in nanoseconds"
    )?;
    writeln!(out, "{:<58}{:>10}{:>10}", "", "typical", "best")?;
    for timing in std::iter::once(&native.solve).chain(&native.tables) {
        let (typical, best) = (timing.typical, timing.best);
        writeln!(out, "{:<58}{typical:>10.0}{best:>10.0}", timing.what)?;
    }
    Ok(())
}

/// Says whether the machine was slowed as it should be, and quiet enough for the numbers to mean something.
fn quiet(out: &mut Formatter<'_>, compared: &[Compared]) -> fmt::Result {
    let arithmetic = |f: &Findings| vec![f.arithmetic];
    let taken: Vec<[f64; 2]> = compared
        .iter()
        .map(|one| both(one, arithmetic, median))
        .collect();
    writeln!(out)?;
    if let [plain, slowed] = taken.as_slice() {
        let [built, hand_written] = [0, 1].map(|i| slowed[i] / plain[i]);
        writeln!(
            out,
            "The slowdown made the same arithmetic {built:.1} times (built) and {hand_written:.1} times (hand-written) as long."
        )?;
    }
    let apart = taken
        .iter()
        .map(|[built, plain]| (built / plain).ln().abs())
        .fold(0.0, f64::max);
    if apart > DISTURBED.ln() {
        writeln!(
            out,
            "The machine was busy with something else: the same arithmetic took {:.0} % longer beside one page than \
             beside the other. Measure again when it is quiet.",
            (apart.exp() - 1.0) * 100.0
        )?;
    }
    Ok(())
}

fn aims(out: &mut Formatter<'_>, compared: &[Compared], native: &Native) -> fmt::Result {
    writeln!(out, "\nAims")?;
    let mut verdict = |what: &str, found: String, aim: String, met: bool| {
        let word = if met { "met   " } else { "missed" };
        writeln!(out, "  {word}  {what}: {found}, aim at most {aim}")
    };
    if let Some(found) = compared.first().and_then(|one| one.built.first()) {
        let bytes = total(&found.needed);
        verdict(
            "bytes until the dial answers",
            kilobytes(bytes),
            kilobytes(WIRE_AIM),
            bytes <= WIRE_AIM,
        )?;
    }
    for one in compared {
        let pace = name_of(one.pace);
        let mut against = |what: &str, [built, plain]: [f64; 2], aim: f64| {
            let ratio = built / plain;
            let found = format!("{ratio:.2} times the hand-written page");
            verdict(
                &format!("{what}, {pace}"),
                found,
                format!("{aim}"),
                ratio <= aim,
            )
        };
        against(
            "first visit",
            both(one, |f| vec![f.first], median),
            FIRST_AIM[usize::from(one.pace == Pace::Slowed)],
        )?;
        against(
            "later visit",
            both(one, |f| f.later.clone(), median),
            LATER_AIM,
        )?;
        against(
            "a mark by keys",
            both(one, |f| f.keys.marks.clone(), median),
            MARK_AIM[0],
        )?;
        against(
            "a mark in a drag",
            both(one, |f| f.drag.marks.clone(), median),
            MARK_AIM[1],
        )?;
        against(
            "settling",
            both(one, |f| f.keys.settles.clone(), median),
            SETTLE_AIM,
        )?;
        if one.pace == Pace::Plain {
            let marks = |f: &Findings| [f.keys.marks.clone(), f.drag.marks.clone()].concat();
            for (name, down, aim) in [
                ("median", median as fn(&[f64]) -> f64, MARK_TIMES[0]),
                ("99 of 100", p99, MARK_TIMES[1]),
            ] {
                let [built, _] = both(one, marks, down);
                let what = format!("script time of a mark, {name}, {pace}");
                verdict(
                    &what,
                    format!("{built:.2} ms"),
                    format!("{aim} ms"),
                    built <= aim,
                )?;
            }
        }
    }
    let solve = native.solve.typical;
    verdict(
        "a linked solve without a browser",
        format!("{solve:.0} ns"),
        format!("{SOLVE_AIM} ns"),
        solve <= SOLVE_AIM,
    )
}
