//! Measures the built page beside a hand-written one that does the same work.
//!
//! `cargo xtask measure` builds the page and runs this. Both pages are driven in Chromium, in turns, each time in a fresh
//! browser: a first visit, later visits from the worker's cache, and a dial turned mark by mark with keys and with a drag;
//! all of it as the machine is, and once more with the processor and the network slowed down.
//! The calculation alone is timed without a browser.
//! It prints what it found and how that stands to the aims. Missing an aim is no failure; not being able to measure is.

mod book;
mod drive;
mod learn;
mod meter;
mod native;
mod numbers;
mod report;
mod wire;

use std::{env, fs, path::Path, process::ExitCode};

use ::tests::harness::{Folder, Site};
use anyhow::{Context, Result, bail, ensure};
use xtask::{project::Project, site};

use drive::{Findings, Pace};
use report::Report;

const HELP: &str = "\
cargo xtask measure [--rounds N]

  --rounds N   how often each page is measured at each pace, 1 to 50 (4 where not said; fewer is only a look)";

/// Rounds where the command line does not say.
const ROUNDS: usize = 4;
/// How often a dial is turned out and back in each round.
const CYCLES: usize = 4;
/// What the browser opens on, before it is sent to the page that is measured.
const WAITING_ROOM: &str =
    "<!doctype html><title>Waiting room</title><script>performance.mark('app-mounted')</script>";

/// What was found out on both pages at one pace, one entry a round.
#[derive(Debug)]
pub(crate) struct Compared {
    pub(crate) pace: Pace,
    pub(crate) built: Vec<Findings>,
    pub(crate) plain: Vec<Findings>,
}

fn main() -> ExitCode {
    match measure() {
        Ok(()) => ExitCode::SUCCESS,
        Err(problem) => {
            eprintln!("Could not measure: {problem:#}.");
            ExitCode::FAILURE
        }
    }
}

fn measure() -> Result<()> {
    let Some(rounds) = rounds(env::args().skip(1))? else {
        println!("{HELP}");
        return Ok(());
    };
    let runtime = tokio::runtime::Runtime::new()?;
    println!("The calculation alone ...");
    let native = native::native()?;
    let compared = runtime.block_on(compare(rounds))?;
    let report = Report {
        compared: &compared,
        native: &native,
        rounds,
    };
    println!("{report}");
    println!("The film book ...");
    let book = runtime.block_on(book::measure(rounds))?;
    println!("{}", book.words());
    println!("The live camera ...");
    let meter = runtime.block_on(meter::measure(rounds))?;
    println!("{}", meter.words());
    println!("What teaches ...");
    let learn = runtime.block_on(learn::measure(rounds))?;
    println!("{}", learn.words());
    Ok(())
}

/// The number of rounds, or nothing where help is asked for.
fn rounds(mut arguments: impl Iterator<Item = String>) -> Result<Option<usize>> {
    match (arguments.next().as_deref(), arguments.next()) {
        (None, _) => Ok(Some(ROUNDS)),
        (Some("--help" | "-h"), None) => Ok(None),
        (Some("--rounds"), Some(number)) => {
            let rounds = number
                .parse()
                .ok()
                .filter(|rounds| (1..=50).contains(rounds));
            rounds
                .map(Some)
                .context("--rounds takes a whole number from 1 to 50")
        }
        _ => bail!("this takes nothing but --rounds and a number"),
    }
}

async fn compare(rounds: usize) -> Result<[Compared; 2]> {
    let waiting_room = Folder::new("waiting-room")?;
    fs::write(waiting_room.path().join("index.html"), WAITING_ROOM)?;
    let waiting_site = Site::start().await?;
    waiting_site.publish(waiting_room.path());
    let built = waiting_site.tools.dist.clone();
    let plain = copy_of_plain()?;

    let nothing = |pace| Compared {
        pace,
        built: Vec::new(),
        plain: Vec::new(),
    };
    let mut compared = [nothing(Pace::Plain), nothing(Pace::Slowed)];
    for round in 1..=rounds {
        println!("Round {round} of {rounds} ...");
        for Compared {
            pace,
            built: of_built,
            plain: of_plain,
        } in &mut compared
        {
            // The two change places from round to round, so that neither always runs first.
            for turn in [round, round + 1] {
                let (name, folder, findings) = if turn % 2 == 0 {
                    ("the hand-written page", plain.path(), &mut *of_plain)
                } else {
                    ("the built page", built.as_path(), &mut *of_built)
                };
                let found = drive::session(&waiting_site, folder, *pace, CYCLES).await;
                findings.push(found.with_context(|| format!("{name}, round {round}"))?);
            }
            let shown = [&of_built, &of_plain].map(|findings| findings.last().map(|f| &f.shown));
            ensure!(
                shown[0] == shown[1],
                "the pages do not show the same: {shown:#?}"
            );
        }
    }
    Ok(compared)
}

/// The hand-written page in a folder of its own, packed like the built one: a host does that for any page.
fn copy_of_plain() -> Result<Folder> {
    let project = Project::find()?;
    let from = project.root().join("tests/plain");
    let copy = Folder::new("plain")?;
    copy_files(&from, copy.path())
        .with_context(|| format!("{} could not be copied", from.display()))?;
    site::pack(&project, copy.path())?;
    Ok(copy)
}

fn copy_files(from: &Path, to: &Path) -> Result<()> {
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        fs::copy(entry.path(), to.join(entry.file_name()))?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(arguments: &[&str]) -> Result<Option<usize>> {
        rounds(arguments.iter().map(|&argument| argument.to_owned()))
    }

    #[test]
    fn the_command_line_is_read() {
        assert_eq!(
            given(&[]).expect("nothing is fine"),
            Some(ROUNDS),
            "nothing"
        );
        assert_eq!(
            given(&["--rounds", "3"]).expect("three is fine"),
            Some(3),
            "three"
        );
        assert_eq!(given(&["--help"]).expect("help is fine"), None, "help");
        for wrong in [
            &["--rounds"][..],
            &["--rounds", "0"],
            &["--rounds", "51"],
            &["faster"],
        ] {
            assert!(given(wrong).is_err(), "{wrong:?} is refused");
        }
    }
}
