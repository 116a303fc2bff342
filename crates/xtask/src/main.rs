//! `cargo xtask <task>`: reads the task's name and hands the rest of the line to it.

use std::env;
use std::ffi::OsString;
use std::iter::once;
use std::path::PathBuf;
use std::process::ExitCode;

use anyhow::{Context, Result, bail};
use xtask::project::Project;
use xtask::{icons, measure, serve, setup, site, size, test, tidy};

const HELP: &str = "\
Tasks of the project: cargo xtask <task>

  setup [--tests]       install what build and serve need; with --tests also what test needs
  build [--out DIR]     build the optimised page into DIR (dist)
  serve [--port N]      set up, build and serve the page on this machine
  test [STEP ...]       run every check, or only the named steps
  tidy                  check what no linter checks: who may import what, sources, names in the documents
  size                  list the sizes of the built page and of what its programs are made of, and check the limit
  measure [ARGS ...]    build the page and measure it in the browser
  icons                 draw the PNG icons from the SVG ones
  test-runner ...       run one compiled wasm test file (cargo calls this)

Environment: CHROMIUM and CHROMEDRIVER name the browser and its driver where they are not on the path; for the other
engines FIREFOX and GECKODRIVER, MINIBROWSER, WEBKITDRIVER and XVFB do.
";

fn main() -> ExitCode {
    let mut arguments = env::args_os().skip(1);
    let Some(task) = arguments.next() else {
        print!("{HELP}");
        return ExitCode::SUCCESS;
    };
    match dispatch(&task.to_string_lossy(), arguments.collect()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            // `{:#}` is the chain of causes on one line: no backtrace, whatever RUST_BACKTRACE says.
            eprintln!("Error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn dispatch(task: &str, arguments: Vec<OsString>) -> Result<()> {
    if task == "test-runner" {
        let name = once(OsString::from("wasm-bindgen-test-runner"));
        return wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(
            name.chain(arguments),
        );
    }
    if matches!(task, "help" | "--help" | "-h") {
        print!("{HELP}");
        return Ok(());
    }
    let arguments = in_words(arguments)?;
    let project = Project::find()?;
    match task {
        "setup" => {
            let tests = flag(arguments, "--tests")?;
            setup::for_build(&project)?;
            if tests {
                setup::for_tests(&project)?;
            }
            Ok(())
        }
        "build" => {
            let out = value(arguments, "--out")?
                .map_or_else(|| project.dist(), |given| project.root().join(given));
            site::build(&project, &out).map(drop)
        }
        "serve" => {
            let port = match value(arguments, "--port")? {
                None => serve::PORT,
                Some(text) => text.parse().ok().with_context(|| {
                    format!("--port takes a number from 0 to 65535, not \"{text}\"")
                })?,
            };
            serve::serve(&project, port)
        }
        "test" => test::test(&project, &arguments),
        "tidy" => nothing_else(&arguments).and_then(|()| tidy::tidy(&project)),
        "size" => nothing_else(&arguments).and_then(|()| size::size(&project)),
        "icons" => nothing_else(&arguments).and_then(|()| icons::icons(&project)),
        "measure" => measure::measure(&project, &arguments),
        other => bail!("there is no task \"{other}\": cargo xtask alone lists them"),
    }
}

fn in_words(arguments: Vec<OsString>) -> Result<Vec<String>> {
    arguments
        .into_iter()
        .map(|argument| {
            let shown = PathBuf::from(&argument);
            argument
                .into_string()
                .ok()
                .with_context(|| format!("the argument {} is not plain text", shown.display()))
        })
        .collect()
}

fn nothing_else(arguments: &[String]) -> Result<()> {
    match arguments.first() {
        None => Ok(()),
        Some(extra) => bail!("this task takes no arguments, not even \"{extra}\""),
    }
}

fn flag(arguments: Vec<String>, name: &str) -> Result<bool> {
    match arguments.as_slice() {
        [] => Ok(false),
        [given] if given == name => Ok(true),
        _ => bail!("this task takes only {name}"),
    }
}

fn value(arguments: Vec<String>, name: &str) -> Result<Option<String>> {
    match arguments.as_slice() {
        [] => Ok(None),
        [given, value] if given == name => Ok(Some(value.clone())),
        _ => bail!("this task takes only {name} and a value"),
    }
}
