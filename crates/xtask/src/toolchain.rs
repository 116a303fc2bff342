//! The compiler for the page.
//!
//! The usual one is stable Rust with its own `wasm32-unknown-unknown` target. Where that target cannot be had, Debian's
//! packages of a recent compiler build the standard library from source; the switches for it are set on the child cargo
//! alone, because they are part of every fingerprint and would make each task rebuild the other's work. The page that is
//! served is built with such switches in either way, where the compiler has the library's sources.

use std::env;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Result, bail};

use crate::project::Project;
use crate::run::{cargo, find_program, output};

/// The page's compilation target.
pub const TARGET: &str = "wasm32-unknown-unknown";

/// Debian's packages of the second way.
pub const DISTRIBUTION_PACKAGES: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld-19"];

/// What makes a build lean. Panics end the page at once, without a text.
const LEAN_FLAGS: [&str; 4] = [
    "-Zunstable-options",
    "-Cpanic=immediate-abort",
    "-Zlocation-detail=none",
    "-Zfmt-debug=none",
];

const DISTRIBUTION_RUSTC: &str = "/usr/bin/rustc";
const DISTRIBUTION_CARGO: &str = "/usr/bin/cargo";
const DISTRIBUTION_LINKER: &str = "wasm-ld-19";

/// A compiler that can build the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Toolchain {
    /// The compiler in use has the target.
    Usual,
    /// The distribution's compiler builds the target's standard library first.
    Distribution,
}

impl Toolchain {
    /// What is there now, or `None`.
    #[must_use]
    pub fn present() -> Option<Self> {
        if usual() {
            Some(Self::Usual)
        } else if distribution() {
            Some(Self::Distribution)
        } else {
            None
        }
    }

    /// What is there now.
    ///
    /// # Errors
    ///
    /// When nothing can build for the target: the sentence says what to run.
    pub fn required() -> Result<Self> {
        match Self::present() {
            Some(toolchain) => Ok(toolchain),
            None => bail!("the compiler lacks the target {TARGET}: run `cargo xtask setup`"),
        }
    }

    /// A cargo command for the page: `cargo <subcommand> --target ... --target-dir ...`.
    #[must_use]
    pub fn cargo(self, project: &Project, subcommand: &str) -> Command {
        let mut command = match self {
            Self::Usual => cargo(),
            Self::Distribution => {
                let mut command = Command::new(DISTRIBUTION_CARGO);
                command
                    .env("RUSTC", DISTRIBUTION_RUSTC)
                    .env("RUSTC_BOOTSTRAP", "1")
                    .env("CARGO_UNSTABLE_BUILD_STD", "std,panic_abort")
                    .env(
                        "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER",
                        DISTRIBUTION_LINKER,
                    );
                command
            }
        };
        let target_dir = match self {
            Self::Usual => project.wasm_target(),
            Self::Distribution => project.root().join("target/wasm-distribution"),
        };
        command
            .arg(subcommand)
            .args(["--target", TARGET])
            .arg("--target-dir")
            .arg(target_dir)
            .current_dir(project.root())
            .env("CARGO_ENCODED_RUSTFLAGS", flags(project));
        command
    }

    /// A cargo command for the page as it is served.
    ///
    /// Where the compiler can, it builds the standard library anew without what a page never shows: texts of panics, their
    /// places in the sources, and the ways to print values for programmers. That saves about a seventh on the wire.
    #[must_use]
    pub fn page_cargo(self, project: &Project, subcommand: &str) -> Command {
        let mut command = self.cargo(project, subcommand);
        if self.can_build_lean() {
            command
                .env("RUSTC_BOOTSTRAP", "1")
                .env("CARGO_UNSTABLE_BUILD_STD", "std,panic_abort")
                .env("CARGO_UNSTABLE_BUILD_STD_FEATURES", "optimize_for_size")
                .env(
                    "CARGO_ENCODED_RUSTFLAGS",
                    format!("{}\u{1f}{}", flags(project), LEAN_FLAGS.join("\u{1f}")),
                );
        }
        command
    }

    /// Whether the compiler has the standard library's sources and knows the switches of a lean build.
    #[must_use]
    pub fn can_build_lean(self) -> bool {
        let rustc = self.rustc();
        let sources =
            output(Command::new(&rustc).args(["--print", "sysroot"])).is_some_and(|root| {
                Path::new(&root)
                    .join("lib/rustlib/src/rust/library/std/Cargo.toml")
                    .is_file()
            });
        let switches = || {
            let mut ask = Command::new(&rustc);
            ask.args(LEAN_FLAGS).args(["--print", "cfg"]);
            output(ask.env("RUSTC_BOOTSTRAP", "1")).is_some()
        };
        sources && switches()
    }

    fn rustc(self) -> OsString {
        match self {
            Self::Usual => rustc(),
            Self::Distribution => OsString::from(DISTRIBUTION_RUSTC),
        }
    }

    /// The folder with what a profile's build leaves.
    #[must_use]
    pub fn output_folder(self, project: &Project, profile: &str) -> PathBuf {
        let target_dir = match self {
            Self::Usual => project.wasm_target(),
            Self::Distribution => project.root().join("target/wasm-distribution"),
        };
        target_dir.join(TARGET).join(profile)
    }

    /// The compiler's own version line, for fingerprints.
    #[must_use]
    pub fn version(self) -> String {
        let version = output(Command::new(self.rustc()).arg("-vV")).unwrap_or_default();
        format!("{version}\nlean: {}", self.can_build_lean())
    }
}

fn rustc() -> OsString {
    env::var_os("RUSTC").unwrap_or_else(|| OsString::from("rustc"))
}

fn usual() -> bool {
    let asked =
        output(Command::new(rustc()).args(["--print", "target-libdir", "--target", TARGET]));
    asked.is_some_and(|folder| has_library(Path::new(&folder)))
}

fn has_library(folder: &Path) -> bool {
    folder.read_dir().is_ok_and(|entries| {
        entries.flatten().any(|entry| {
            let name = entry.file_name();
            let name = name.to_string_lossy();
            name.starts_with("libstd-") && name.ends_with(".rlib")
        })
    })
}

fn distribution() -> bool {
    let Some(sysroot) = output(Command::new(DISTRIBUTION_RUSTC).args(["--print", "sysroot"]))
    else {
        return false;
    };
    Path::new(DISTRIBUTION_CARGO).is_file()
        && Path::new(&sysroot)
            .join("lib/rustlib/src/rust/library/std/Cargo.toml")
            .is_file()
        && find_program(&[DISTRIBUTION_LINKER]).is_some()
}

/// The compiler's flags, in cargo's encoding: the names of this machine's folders stay out of the texts of panics.
fn flags(project: &Project) -> String {
    let mut renamed = Vec::new();
    let home = env::var_os("HOME").or_else(|| env::var_os("USERPROFILE"));
    let cargo_home = env::var_os("CARGO_HOME").map(PathBuf::from);
    if let Some(home) = home {
        let cargo_home = cargo_home.unwrap_or_else(|| Path::new(&home).join(".cargo"));
        renamed.push((PathBuf::from(home), "~"));
        renamed.push((cargo_home, "cargo"));
    } else if let Some(cargo_home) = cargo_home {
        renamed.push((cargo_home, "cargo"));
    }
    // The last match wins: the project may lie in the home folder.
    renamed.push((project.root().to_path_buf(), "stopkeeper"));
    renamed
        .iter()
        .map(|(from, to)| format!("--remap-path-prefix={}={to}", from.display()))
        .collect::<Vec<_>>()
        .join("\u{1f}")
}
