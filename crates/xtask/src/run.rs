//! Running programs and telling what happens.

use std::env;
use std::ffi::{OsStr, OsString};
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

/// Below this a step is not worth a word about its time.
const SLOW: Duration = Duration::from_secs(2);

/// Says what is being done, does it, and says how long it took when that was long.
///
/// # Errors
///
/// Those of the work.
pub fn step<T>(what: &str, work: impl FnOnce() -> Result<T>) -> Result<T> {
    println!("{what} ...");
    let start = Instant::now();
    let result = work()?;
    let took = start.elapsed();
    if took >= SLOW {
        println!("  took {}", seconds(took));
    }
    Ok(result)
}

/// A duration in seconds with one decimal.
#[must_use]
pub fn seconds(duration: Duration) -> String {
    format!("{:.1} s", duration.as_secs_f64())
}

/// Runs a command with its output on the screen.
///
/// # Errors
///
/// When it cannot be started or ends with a failure: `failure` is then the sentence.
pub fn run(command: &mut Command, failure: &str) -> Result<()> {
    let status = command
        .status()
        .with_context(|| format!("{} cannot be started", name(command)))?;
    if !status.success() {
        bail!("{failure}");
    }
    Ok(())
}

/// Runs a command and returns what it prints, or `None` when it is missing or fails.
#[must_use]
pub fn output(command: &mut Command) -> Option<String> {
    let output = command.stderr(Stdio::null()).output().ok()?;
    output
        .status
        .success()
        .then(|| String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// The cargo that runs this task, or the one on the path.
#[must_use]
pub fn cargo() -> Command {
    Command::new(env::var_os("CARGO").unwrap_or_else(|| OsString::from("cargo")))
}

/// The first of the programs that is on the path.
#[must_use]
pub fn find_program(names: &[&str]) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    names.iter().find_map(|name| {
        env::split_paths(&path)
            .map(|folder| folder.join(format!("{name}{}", env::consts::EXE_SUFFIX)))
            .find(|candidate| candidate.is_file())
    })
}

fn name(command: &Command) -> String {
    OsStr::to_string_lossy(command.get_program()).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_program_is_no_output() {
        assert_eq!(
            output(&mut Command::new("a-program-that-nobody-has")),
            None,
            "missing program"
        );
    }

    #[test]
    fn a_failure_is_the_given_sentence() {
        let error = run(
            cargo()
                .arg("a-subcommand-that-nobody-has")
                .stderr(Stdio::null()),
            "the sentence",
        )
        .expect_err("cargo has no such subcommand");
        assert_eq!(error.to_string(), "the sentence", "message");
    }
}
