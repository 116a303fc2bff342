//! Finding the browsers and their drivers.

use std::env;
use std::path::PathBuf;

use anyhow::{Context, Result};

use crate::project::Project;
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

/// A browser of another engine with all that its tests need: its name, and the variables that tell the tests where.
#[derive(Debug, Clone)]
pub struct Other {
    /// As `STOPKEEPER_ENGINE` names it.
    pub engine: &'static str,
    /// Variables and program files.
    pub programs: Vec<(&'static str, PathBuf)>,
}

/// Firefox: `FIREFOX` and `GECKODRIVER`, or what is on the path; the driver also from the project's tools.
///
/// # Errors
///
/// When something is missing: the sentence says what.
pub fn firefox(project: &Project) -> Result<Other> {
    let firefox = find("FIREFOX", &["firefox-esr", "firefox"], &[]);
    let driver = find("GECKODRIVER", &["geckodriver"], &[])
        .or_else(|| Some(geckodriver(project)).filter(|path| path.is_file()));
    Ok(Other {
        engine: "firefox",
        programs: vec![
            ("FIREFOX", firefox.context("there is no Firefox")?),
            ("GECKODRIVER", driver.context("there is no geckodriver")?),
        ],
    })
}

/// Where the project's own copy of Firefox's driver is installed.
#[must_use]
pub fn geckodriver(project: &Project) -> PathBuf {
    let name = format!("bin/geckodriver{}", env::consts::EXE_SUFFIX);
    project.tools().join("geckodriver").join(name)
}

/// `WebKit` for GTK with its small browser: `MINIBROWSER`, `WEBKITDRIVER` and `XVFB`, or where distributions put them.
///
/// # Errors
///
/// When something is missing: the sentence says what.
pub fn webkit() -> Result<Other> {
    let browser = find("MINIBROWSER", &["MiniBrowser"], &[]).or_else(minibrowser);
    let driver = find("WEBKITDRIVER", &["WebKitWebDriver"], &[]);
    let screen = find("XVFB", &["Xvfb"], &[]);
    Ok(Other {
        engine: "webkit",
        programs: vec![
            (
                "MINIBROWSER",
                browser.context("there is no MiniBrowser of WebKitGTK")?,
            ),
            (
                "WEBKITDRIVER",
                driver.context("there is no WebKitWebDriver")?,
            ),
            ("XVFB", screen.context("there is no Xvfb")?),
        ],
    })
}

/// It lies among the library's own files: `/usr/lib/<machine>/webkit2gtk-4.1/MiniBrowser`.
fn minibrowser() -> Option<PathBuf> {
    let below = |folder: PathBuf| folder.read_dir().into_iter().flatten().flatten();
    ["/usr/lib", "/usr/libexec", "/usr/lib64"]
        .iter()
        .flat_map(|root| {
            let root = PathBuf::from(root);
            below(root.clone()).map(|entry| entry.path()).chain([root])
        })
        .flat_map(below)
        .filter(|entry| {
            entry
                .file_name()
                .to_string_lossy()
                .starts_with("webkit2gtk-4")
        })
        .map(|entry| entry.path().join("MiniBrowser"))
        .find(|path| path.is_file())
}

fn find(variable: &str, names: &[&str], files: &[&str]) -> Option<PathBuf> {
    match env::var_os(variable) {
        // A wrong value is not replaced in silence by another browser: it counts as missing.
        Some(given) => Some(PathBuf::from(given)).filter(|path| path.is_file()),
        None => find_program(names)
            .or_else(|| files.iter().map(PathBuf::from).find(|path| path.is_file())),
    }
}
