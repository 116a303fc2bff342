//! A browser, a server, and hands and eyes for the page.

mod act;
mod browser;
mod check;
mod driver;
mod engine;
mod find;
mod folder;
mod hands;
mod media;
pub mod shelf;

pub use act::{Arc, Point, Way};
pub use anyhow::{Context, Error, Result, bail, ensure};
pub use browser::{Page, Screen, Setup, Site, Tools};
pub use check::{Letters, Paper};
pub use engine::{Ability, Engine};
pub use fantoccini::key::Key;
pub use find::Found;
pub use folder::{Folder, Release};
pub use media::{FAKE_CAMERA, Metadata};
pub use serde_json::{Value, json};
pub use xtask::server::Fault;

/// A broad screen at a desk.
pub const DESK: Screen = Screen {
    width: 1280,
    height: 800,
    touch: false,
};
/// A phone held upright.
pub const PHONE: Screen = Screen {
    width: 390,
    height: 844,
    touch: true,
};
/// The smallest phone that the page is laid out for.
pub const SMALL_PHONE: Screen = Screen {
    width: 320,
    height: 568,
    touch: true,
};
