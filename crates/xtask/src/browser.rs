//! Finding the browser and its driver.

use std::env;
use std::path::PathBuf;

use anyhow::{Context, Result};

use crate::run::find_program;

const BROWSERS: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

const BROWSER_FILES: [&str; 2] = [
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
];

const DRIVER_FILES: [&str; 3] = [
    "/usr/lib/chromium/chromedriver",
    "/usr/lib/chromium-browser/chromedriver",
    "/usr/lib64/chromium-browser/chromedriver",
];

/// Switches for a browser without a window that talks to nobody but the page under test.
pub const SWITCHES: [&str; 9] = [
    "--headless=new",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    // A container's root user cannot have the browser's sandbox; the only pages shown are the project's own.
    "--no-sandbox",
];

/// The browser: `CHROMIUM`, or what is on the path.
#[must_use]
pub fn find_chromium() -> Option<PathBuf> {
    find("CHROMIUM", &BROWSERS, &BROWSER_FILES)
}

/// Its driver: `CHROMEDRIVER`, or what is on the path.
#[must_use]
pub fn find_driver() -> Option<PathBuf> {
    find("CHROMEDRIVER", &["chromedriver"], &DRIVER_FILES)
}

/// The browser.
///
/// # Errors
///
/// When there is none: the sentence says what to do.
pub fn chromium() -> Result<PathBuf> {
    find_chromium().context(
        "there is no Chromium: run `cargo xtask setup --tests`, or set CHROMIUM to its program file",
    )
}

/// The browser's driver.
///
/// # Errors
///
/// When there is none: the sentence says what to do.
pub fn driver() -> Result<PathBuf> {
    find_driver().context(
        "there is no chromedriver: run `cargo xtask setup --tests`, or set CHROMEDRIVER to its program file",
    )
}

fn find(variable: &str, names: &[&str], files: &[&str]) -> Option<PathBuf> {
    match env::var_os(variable) {
        // A wrong value is not replaced in silence by another browser: it counts as missing.
        Some(given) => Some(PathBuf::from(given)).filter(|path| path.is_file()),
        None => find_program(names)
            .or_else(|| files.iter().map(PathBuf::from).find(|path| path.is_file())),
    }
}
