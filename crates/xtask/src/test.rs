//! `cargo xtask test`: every check in one order, each with a name by which it can be run alone.

use std::env;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail};

use crate::browser;
use crate::project::{Project, write};
use crate::run::{cargo, run, seconds};
use crate::toolchain::{TARGET, Toolchain};
use crate::{setup, site, size, tidy};

/// One check.
struct Step {
    name: &'static str,
    what: &'static str,
    work: fn(&Project, &Path) -> Result<()>,
}

const STEPS: [Step; 11] = [
    Step {
        name: "setup",
        what: "what the checks need is there",
        work: |project, _| {
            setup::for_build(project)?;
            setup::for_tests(project)
        },
    },
    Step {
        name: "fmt",
        what: "the code is formatted",
        work: |project, _| fmt(project),
    },
    Step {
        name: "tidy",
        what: "what no linter checks",
        work: |project, _| tidy::tidy(project),
    },
    Step {
        name: "clippy",
        what: "lints, for the host and for wasm",
        work: |project, _| clippy(project),
    },
    Step {
        name: "unit",
        what: "unit tests and examples of the documentation",
        work: |project, _| unit(project),
    },
    Step {
        name: "docs",
        what: "the documentation builds without warnings",
        work: |project, _| docs(project),
    },
    Step {
        name: "components",
        what: "tests of the page's parts in the browser",
        work: components,
    },
    Step {
        name: "build",
        what: "the optimised page",
        work: |project, _| site::build(project, &project.dist()),
    },
    Step {
        name: "e2e",
        what: "the built page, used as a person uses it",
        work: |project, _| end_to_end(project),
    },
    Step {
        name: "engines",
        what: "the main job in the other engines",
        work: |project, _| engines(project),
    },
    Step {
        name: "size",
        what: "the page is within its limit",
        work: |project, _| size::size(project),
    },
];

/// Runs every check, or those named, in order, up to the first that fails; then says how each went.
///
/// # Errors
///
/// When a check fails, or a name is not one of a check.
pub fn test(project: &Project, names: &[String]) -> Result<()> {
    for name in names {
        if STEPS.iter().all(|step| step.name != name) {
            let known: Vec<_> = STEPS.iter().map(|step| step.name).collect();
            bail!(
                "there is no check \"{name}\": they are {}",
                known.join(", ")
            );
        }
    }
    // Read now: a check may build this program anew, and then its own path reads as deleted.
    let runner = env::current_exe().context("this program's own path cannot be read")?;
    let chosen = |step: &&Step| names.is_empty() || names.iter().any(|name| step.name == name);
    let mut done: Vec<(&Step, Duration)> = Vec::new();
    let mut failed = None;
    for step in STEPS.iter().filter(chosen) {
        println!("\n== {}: {}", step.name, step.what);
        let start = Instant::now();
        let result = (step.work)(project, &runner);
        done.push((step, start.elapsed()));
        if let Err(error) = result {
            failed = Some((step.name, error));
            break;
        }
    }
    println!("\n== summary");
    for (step, took) in &done {
        let failed = failed.as_ref().is_some_and(|(name, _)| *name == step.name);
        let result = if failed { "FAILED" } else { "ok" };
        println!("{:<12}{result:<8}{:>9}", step.name, seconds(*took));
    }
    for step in STEPS.iter().filter(chosen).skip(done.len()) {
        println!("{:<12}not run", step.name);
    }
    match failed {
        None => Ok(()),
        Some((name, error)) => Err(error.context(format!("the check \"{name}\" failed"))),
    }
}

fn fmt(project: &Project) -> Result<()> {
    run(
        cargo()
            .args(["fmt", "--all", "--check"])
            .current_dir(project.root()),
        "the code is not formatted: run `cargo fmt --all`",
    )
}

/// Lints of a library hold for its tests as well, but for two: a test may unwrap, and nobody reads its documentation.
const FOR_CODE: [&str; 2] = ["-D", "warnings"];
const FOR_TESTS: [&str; 6] = [
    "-D",
    "warnings",
    "-A",
    "clippy::unwrap_used",
    "-A",
    "missing_docs",
];

fn clippy(project: &Project) -> Result<()> {
    let failure = "clippy has something to say";
    let host = |arguments: &[&str], lints: &[&str]| {
        run(
            cargo()
                .args(["clippy", "--quiet"])
                .args(arguments)
                .arg("--")
                .args(lints)
                .current_dir(project.root()),
            failure,
        )
    };
    host(&[], &FOR_CODE)?;
    host(&["--tests"], &FOR_TESTS)?;
    let toolchain = Toolchain::required()?;
    if toolchain == Toolchain::Distribution {
        println!(
            "The distribution's compiler comes without clippy: the page's lints are left out."
        );
        host(&["--package", "tests"], &FOR_CODE)?;
        return host(&["--package", "tests", "--tests"], &FOR_TESTS);
    }
    let page = |arguments: &[&str], lints: &[&str]| {
        run(
            toolchain
                .cargo(project, "clippy")
                .args(["--quiet", "--package", "web"])
                .args(arguments)
                .arg("--")
                .args(lints),
            failure,
        )
    };
    page(&[], &FOR_CODE)?;
    page(&site::DIAL, &FOR_CODE)?;
    page(&["--tests"], &FOR_TESTS)?;
    host(&["--package", "tests"], &FOR_CODE)?;
    host(&["--package", "tests", "--tests"], &FOR_TESTS)
}

fn unit(project: &Project) -> Result<()> {
    run(
        cargo().arg("test").current_dir(project.root()),
        "a unit test or an example fails",
    )
}

fn docs(project: &Project) -> Result<()> {
    run(
        cargo()
            .args(["doc", "--quiet", "--no-deps"])
            .args(["--package", "exposure", "--package", "panel"])
            .env("RUSTDOCFLAGS", "-D warnings")
            .current_dir(project.root()),
        "the documentation has a fault",
    )
}

fn components(project: &Project, runner: &Path) -> Result<()> {
    let capabilities = project.site_cache().join("webdriver.json");
    write(&capabilities, webdriver(&browser::chromium()?))?;
    let mut command = Toolchain::required()?.cargo(project, "test");
    command
        .args(["--package", "web", "--config"])
        // An array, so that a space in the path does not split it.
        .arg(format!(
            "target.{TARGET}.runner=[{}, \"test-runner\"]",
            quoted(&runner.display().to_string())
        ))
        .env("CHROMEDRIVER", browser::driver()?)
        .env("WASM_BINDGEN_TEST_WEBDRIVER_JSON", capabilities);
    run(&mut command, "a test of the page's parts fails")
}

/// The browser's capabilities for the component tests.
fn webdriver(chromium: &Path) -> String {
    let switches: Vec<String> = browser::SWITCHES
        .iter()
        .map(|switch| quoted(switch))
        .collect();
    format!(
        "{{\"goog:chromeOptions\":{{\"binary\":{},\"args\":[{}]}}}}\n",
        quoted(&chromium.display().to_string()),
        switches.join(",")
    )
}

/// A string as both JSON and TOML write it.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

fn end_to_end(project: &Project) -> Result<()> {
    let mut command = cargo();
    command.args(["test", "--package", "tests"]);
    browser_environment(project, &mut command)?;
    command.current_dir(project.root());
    run(&mut command, "an end-to-end test fails")
}

/// What runs in every engine: the main job and its faults, without a network, and from one version to the next. Chromium
/// runs it among all the others.
const IN_EVERY_ENGINE: [&str; 4] = [
    "everywhere::",
    "offline::",
    "update::",
    "storage::with_storage_forbidden",
];

/// One engine after the other: all at once they would only make each other late.
fn engines(project: &Project) -> Result<()> {
    for engine in &setup::OTHER_ENGINES {
        let programs = match engine.programs(project) {
            Ok(programs) => programs,
            Err(error) => {
                println!("skipped: {} ({error:#})", engine.name);
                continue;
            }
        };
        println!("-- {}", engine.name);
        let mut command = cargo();
        // What a test skips is printed, also where it passes.
        command
            .args([
                "test",
                "--quiet",
                "--package",
                "tests",
                "--test",
                "e2e",
                "--",
            ])
            .arg("--show-output")
            .args(IN_EVERY_ENGINE);
        page_environment(project, &mut command);
        command
            .env("STOPKEEPER_ENGINE", programs.engine)
            .envs(programs.programs)
            .current_dir(project.root());
        run(
            &mut command,
            &format!("an end-to-end test fails in {}", engine.name),
        )?;
    }
    Ok(())
}

/// Tells the end-to-end tests where the page, the browser and the accessibility checker are.
///
/// # Errors
///
/// When the browser or its driver is missing.
pub fn browser_environment(project: &Project, command: &mut Command) -> Result<()> {
    page_environment(project, command);
    command
        .env("CHROMIUM", browser::chromium()?)
        .env("CHROMEDRIVER", browser::driver()?);
    Ok(())
}

fn page_environment(project: &Project, command: &mut Command) {
    command
        .env("STOPKEEPER_DIST", project.dist())
        .env("STOPKEEPER_AXE", setup::axe_path(project));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_unknown_check_is_named() {
        let project = Project::find().expect("tests run inside the project");
        let error = test(&project, &["everything".to_owned()]).expect_err("no such check");
        let text = error.to_string();
        assert!(text.contains("\"everything\""), "{text}");
        assert!(text.contains("fmt, tidy, clippy"), "{text}");
    }

    #[test]
    fn paths_are_quoted() {
        assert_eq!(quoted(r#"C:\a "b""#), r#""C:\\a \"b\"""#, "quoted");
    }
}
