//! Installing what lacks: what the build needs and, apart from it, what the tests need.

use std::env;
use std::process::Command;

use anyhow::{Context, Result, bail};

use crate::browser::{self, Other};
use crate::digest;
use crate::project::{Project, read};
use crate::run::{cargo, find_program, output, run, step};
use crate::toolchain::{DISTRIBUTION_PACKAGES, TARGET, Toolchain};

/// The accessibility checker of the end-to-end tests, and the digest of its script.
const AXE_VERSION: &str = "4.14.1";
const AXE_DIGEST: &str = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c";

/// Firefox's driver.
const GECKODRIVER_VERSION: &str = "0.37.1";

/// Makes sure of what `build` and `serve` need.
///
/// # Errors
///
/// When the compiler's target is missing and cannot be installed.
pub fn for_build(_project: &Project) -> Result<()> {
    if Toolchain::present().is_none() {
        install_target()?;
    }
    if Toolchain::present().is_some_and(|toolchain| !toolchain.can_build_lean()) {
        install_sources();
    }
    Ok(())
}

/// Makes sure of what `test` needs beyond the build.
///
/// # Errors
///
/// When something is missing and cannot be installed.
pub fn for_tests(project: &Project) -> Result<()> {
    component("rustfmt", "fmt")?;
    component("clippy", "clippy")?;
    if browser::find_chromium().is_none() {
        refuse_wrong_variable("CHROMIUM")?;
        install("Chromium", &CHROMIUM)?;
        browser::chromium()?;
    }
    if browser::find_driver().is_none() {
        refuse_wrong_variable("CHROMEDRIVER")?;
        install("chromedriver", &DRIVER)?;
        browser::driver()?;
    }
    axe(project)?;
    // The page is tested in these as well where they can be had; where not, that is printed and no failure.
    for engine in OTHER_ENGINES {
        if let Err(error) = engine.made_sure_of(project) {
            println!("The tests in {} will be skipped: {error:#}.", engine.name);
        }
    }
    Ok(())
}

/// An engine beside Chromium's that the page is tested in.
#[derive(Debug)]
pub struct OtherEngine {
    /// What people call it.
    pub name: &'static str,
    find: fn(&Project) -> Result<Other>,
    install: fn(&Project) -> Result<()>,
}

/// The engines beside Chromium's.
pub const OTHER_ENGINES: [OtherEngine; 2] = [
    OtherEngine {
        name: "Firefox",
        find: browser::firefox,
        install: install_firefox,
    },
    OtherEngine {
        name: "WebKit",
        find: |_| browser::webkit(),
        install: |_| install("WebKit with its driver and a screen for it", &WEBKIT),
    },
];

impl OtherEngine {
    /// Its programs.
    ///
    /// # Errors
    ///
    /// When something is missing: the sentence says what.
    pub fn programs(&self, project: &Project) -> Result<Other> {
        (self.find)(project)
    }

    fn made_sure_of(&self, project: &Project) -> Result<()> {
        if self.programs(project).is_err() {
            (self.install)(project)?;
            self.programs(project)?;
        }
        Ok(())
    }
}

/// No package manager has the driver in a version that knows all commands, so it is compiled, once.
fn install_firefox(project: &Project) -> Result<()> {
    if find_program(&["firefox-esr", "firefox"]).is_none() {
        refuse_wrong_variable("FIREFOX")?;
        install("Firefox", &FIREFOX)?;
    }
    if browser::geckodriver(project).is_file() || find_program(&["geckodriver"]).is_some() {
        return Ok(());
    }
    refuse_wrong_variable("GECKODRIVER")?;
    step(
        &format!("Installing geckodriver {GECKODRIVER_VERSION}"),
        || {
            run(
                cargo()
                    .args(["install", "--quiet", "--locked", "geckodriver"])
                    .args(["--version", GECKODRIVER_VERSION])
                    .arg("--root")
                    .arg(project.tools().join("geckodriver")),
                "geckodriver does not compile",
            )
        },
    )
}

/// Where the accessibility checker's script lies once [`for_tests`] has run.
#[must_use]
pub fn axe_path(project: &Project) -> std::path::PathBuf {
    project
        .tools()
        .join(format!("axe-core-{AXE_VERSION}/package/axe.min.js"))
}

fn install_target() -> Result<()> {
    let rustup = find_program(&["rustup"]);
    if let Some(rustup) = &rustup {
        let added = step(
            &format!("Installing the compiler's target {TARGET}"),
            || {
                run(
                    Command::new(rustup).args(["target", "add", TARGET]),
                    "rustup could not install the target",
                )
            },
        );
        match added {
            Ok(()) if Toolchain::present().is_some() => return Ok(()),
            Ok(()) => println!("The compiler on the path is not rustup's, so that did not help."),
            Err(error) => println!("That failed: {error:#}."),
        }
    }
    if Manager::find() == Some(Manager::Apt) {
        let packages = DISTRIBUTION_PACKAGES.join(" ");
        println!("Trying the distribution's compiler instead ({packages}).");
        install(
            "the distribution's compiler for wasm",
            &Packages::only_apt(&DISTRIBUTION_PACKAGES),
        )?;
        if Toolchain::present().is_some() {
            return Ok(());
        }
    }
    bail!(
        "nothing here can compile for {TARGET}: install rustup and run `rustup target add {TARGET}`"
    )
}

/// The standard library's sources, for a smaller page. Without them the page is larger and works as well.
fn install_sources() {
    let Some(rustup) = find_program(&["rustup"]) else {
        return;
    };
    let added = step("Installing the standard library's sources", || {
        run(
            Command::new(rustup).args(["component", "add", "rust-src"]),
            "rustup could not install them",
        )
    });
    if let Err(error) = added {
        println!("That failed: {error:#}.");
    }
}

fn component(component: &str, subcommand: &str) -> Result<()> {
    if output(cargo().args([subcommand, "--version"])).is_some() {
        return Ok(());
    }
    let failure = format!(
        "`cargo {subcommand}` is missing: install it with `rustup component add {component}`"
    );
    let Some(rustup) = find_program(&["rustup"]) else {
        bail!("{failure}");
    };
    step(&format!("Installing {component}"), || {
        run(
            Command::new(rustup).args(["component", "add", component]),
            &failure,
        )
    })
}

fn refuse_wrong_variable(variable: &str) -> Result<()> {
    match env::var_os(variable) {
        None => Ok(()),
        Some(given) => bail!(
            "{variable} names {}, and there is no such file: correct or unset it",
            given.display()
        ),
    }
}

fn axe(project: &Project) -> Result<()> {
    let script = axe_path(project);
    if script.is_file() {
        return check_axe(project);
    }
    let sentence = format!("the accessibility tests need npm to fetch axe-core {AXE_VERSION}");
    if find_program(&["npm"]).is_none() {
        install("npm", &NPM).with_context(|| sentence.clone())?;
    }
    let npm = find_program(&["npm"]).with_context(|| format!("{sentence}: install npm"))?;
    let tar = find_program(&["tar"]).context("unpacking axe-core needs tar: install it")?;
    let folder = project.tools().join(format!("axe-core-{AXE_VERSION}"));
    std::fs::create_dir_all(&folder)
        .with_context(|| format!("{} cannot be made", folder.display()))?;
    step(&format!("Fetching axe-core {AXE_VERSION}"), || {
        run(
            Command::new(npm)
                .args(["pack", "--silent", &format!("axe-core@{AXE_VERSION}")])
                .current_dir(&folder),
            &format!("npm could not fetch axe-core {AXE_VERSION}: is there a network?"),
        )?;
        run(
            Command::new(tar)
                .arg("-xzf")
                .arg(format!("axe-core-{AXE_VERSION}.tgz"))
                .arg("package/axe.min.js")
                .current_dir(&folder),
            "the axe-core package could not be unpacked",
        )
    })?;
    check_axe(project)
}

/// The script runs inside the page under test, so it has to be the one that was looked at.
fn check_axe(project: &Project) -> Result<()> {
    let script = axe_path(project);
    let found = digest::hex(&read(&script)?);
    if found != AXE_DIGEST {
        bail!(
            "{} is not the expected file (its SHA-256 is {found}): delete it and run `cargo xtask setup --tests`",
            script.display()
        );
    }
    Ok(())
}

/// The package managers that the set-up knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Manager {
    Apt,
    Dnf,
    Pacman,
    Brew,
}

impl Manager {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Apt, "apt-get"),
        (Self::Dnf, "dnf"),
        (Self::Pacman, "pacman"),
        (Self::Brew, "brew"),
    ];

    fn find() -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|(_, program)| find_program(&[program]).is_some())
            .map(|(manager, _)| manager)
    }

    fn program(self) -> &'static str {
        match self {
            Self::Apt => "apt-get",
            Self::Dnf => "dnf",
            Self::Pacman => "pacman",
            Self::Brew => "brew",
        }
    }

    fn install_arguments(self) -> &'static [&'static str] {
        match self {
            Self::Apt => &["install", "--yes", "--no-install-recommends"],
            Self::Dnf => &["install", "--assumeyes"],
            Self::Pacman => &["-S", "--needed", "--noconfirm"],
            Self::Brew => &["install"],
        }
    }

    fn needs_root(self) -> bool {
        self != Self::Brew
    }
}

/// What a program's package is called by each manager; empty where it has none.
#[derive(Debug)]
struct Packages<'a> {
    apt: &'a [&'a str],
    dnf: &'a [&'a str],
    pacman: &'a [&'a str],
    brew: &'a [&'a str],
}

const CHROMIUM: Packages<'_> = Packages {
    apt: &["chromium", "chromium-driver"],
    dnf: &["chromium", "chromedriver"],
    pacman: &["chromium"],
    brew: &["--cask", "chromium"],
};

const DRIVER: Packages<'_> = Packages {
    apt: &["chromium-driver"],
    dnf: &["chromedriver"],
    pacman: &["chromium"],
    brew: &["--cask", "chromedriver"],
};

const FIREFOX: Packages<'_> = Packages {
    apt: &["firefox-esr"],
    dnf: &["firefox"],
    pacman: &["firefox"],
    brew: &["--cask", "firefox"],
};

const WEBKIT: Packages<'_> = Packages::only_apt(&["webkit2gtk-driver", "xvfb"]);

const NPM: Packages<'_> = Packages {
    apt: &["npm"],
    dnf: &["npm"],
    pacman: &["npm"],
    brew: &["node"],
};

impl<'a> Packages<'a> {
    const fn only_apt(apt: &'a [&'a str]) -> Self {
        Packages {
            apt,
            dnf: &[],
            pacman: &[],
            brew: &[],
        }
    }

    fn of(&self, manager: Manager) -> &'a [&'a str] {
        match manager {
            Manager::Apt => self.apt,
            Manager::Dnf => self.dnf,
            Manager::Pacman => self.pacman,
            Manager::Brew => self.brew,
        }
    }
}

fn install(what: &str, packages: &Packages<'_>) -> Result<()> {
    let by_hand = format!("{what} is missing, install it by hand");
    let manager = Manager::find()
        .with_context(|| format!("{by_hand}: there is no package manager that this task knows"))?;
    let names = packages.of(manager);
    if names.is_empty() {
        bail!("{by_hand}: {} has no package of it", manager.program());
    }
    let line = format!("{} install {}", manager.program(), names.join(" "));
    let lead: &[&str] = if !manager.needs_root() || is_root() {
        &[]
    } else if sudo_without_asking() {
        &["sudo", "-n"]
    } else {
        bail!(
            "{what} is missing, and installing it takes the administrator's rights: run `sudo {line}`"
        );
    };
    step(&format!("Installing {what} ({line})"), || {
        if manager == Manager::Apt {
            run(
                &mut command(lead, manager, &["update", "--quiet=2"]),
                "apt-get could not read its lists of packages: is there a network?",
            )?;
        }
        let mut command = command(lead, manager, manager.install_arguments());
        command.args(names).env("DEBIAN_FRONTEND", "noninteractive");
        run(
            &mut command,
            &format!("`{line}` failed: install {what} by hand"),
        )
    })
}

fn command(lead: &[&str], manager: Manager, arguments: &[&str]) -> Command {
    let mut words = lead
        .iter()
        .copied()
        .chain([manager.program()])
        .chain(arguments.iter().copied());
    // OK because the program's name is always among the words.
    let mut command = Command::new(words.next().unwrap_or(manager.program()));
    command.args(words);
    command
}

fn is_root() -> bool {
    output(Command::new("id").arg("-u")).as_deref() == Some("0")
}

fn sudo_without_asking() -> bool {
    output(Command::new("sudo").args(["-n", "true"])).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_command_begins_with_what_lends_the_rights() {
        let plain = command(&[], Manager::Apt, &["update"]);
        assert_eq!(plain.get_program(), "apt-get", "root needs no help");
        let lent = command(&["sudo", "-n"], Manager::Dnf, &["install"]);
        assert_eq!(lent.get_program(), "sudo", "others ask sudo");
        assert!(
            lent.get_args().eq(["-n", "dnf", "install"]),
            "the rest follows"
        );
    }

    #[test]
    fn every_manager_has_the_browser() {
        for (manager, program) in Manager::ALL {
            assert_eq!(manager.program(), program, "one name");
            assert!(!CHROMIUM.of(manager).is_empty(), "{program}");
            assert!(!DRIVER.of(manager).is_empty(), "{program}");
        }
    }
}
