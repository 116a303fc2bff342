//! `cargo xtask serve`.

use anyhow::Result;

use crate::project::Project;
use crate::server::Server;
use crate::{setup, site};

/// The port when none is named.
pub const PORT: u16 = 8124;

/// Sets up, builds, and serves until stopped.
///
/// # Errors
///
/// When a step fails or the port is taken.
pub fn serve(project: &Project, port: u16) -> Result<()> {
    setup::for_build(project)?;
    site::build(project, &project.dist())?;
    let server = Server::start(&project.dist(), port)?;
    println!("Stopkeeper is at {} (Ctrl+C stops it).", server.url());
    server.wait();
    Ok(())
}
