//! `cargo xtask measure`: the built page and a plain one in the browser, side by side.

use anyhow::Result;

use crate::project::Project;
use crate::run::{cargo, run};
use crate::{setup, site, test};

/// Builds, then hands over to the measuring program with the rest of the line.
///
/// # Errors
///
/// When a step fails.
pub fn measure(project: &Project, arguments: &[String]) -> Result<()> {
    setup::for_build(project)?;
    setup::for_tests(project)?;
    site::build(project, &project.dist())?;
    let mut command = cargo();
    command
        .args(["run", "--release", "--quiet", "--package", "tests"])
        .args(["--bin", "measure", "--"])
        .args(arguments)
        .current_dir(project.root());
    test::browser_environment(project, &mut command)?;
    run(&mut command, "the measurement did not end well")
}
