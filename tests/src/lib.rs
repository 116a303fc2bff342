//! End-to-end tests: the built page in a real Chromium, used as a person uses it.
//!
//! The [`harness`] finds things by role and accessible name, acts with finger, mouse, wheel and keys, and reads what is
//! on the screen. It knows nothing of the page's Rust types. The suites are in `tests/e2e`.
//!
//! `cargo xtask test` builds the page and sets the environment: `STOPKEEPER_DIST` (the built page), `STOPKEEPER_AXE`
//! (axe-core's script), and optionally `CHROMIUM` and `CHROMEDRIVER` (else they are looked for on the path).

pub mod harness;
