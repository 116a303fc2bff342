//! The tasks of the project, one module each, and the test server that the end-to-end tests share with `serve`.
//!
//! `cargo xtask` without arguments lists the tasks.

pub mod browser;
pub mod digest;
pub mod headers;
pub mod icons;
pub mod measure;
pub mod project;
pub mod run;
pub mod serve;
pub mod server;
pub mod setup;
pub mod site;
pub mod size;
pub mod test;
pub mod tidy;
pub mod toolchain;
