//! Whether the built page still fits its sources.

use std::path::{Path, PathBuf};

use anyhow::Result;

use crate::digest;
use crate::project::{Project, files_below, read, write};
use crate::toolchain::Toolchain;

use super::optimise;

/// A digest of everything that the page is made from: sources, settings, and the versions of the tools.
pub(crate) fn inputs(project: &Project, toolchain: Toolchain) -> Result<String> {
    let root = project.root();
    let mut names = vec![
        "Cargo.toml".to_owned(),
        "Cargo.lock".to_owned(),
        ".cargo/config.toml".to_owned(),
    ];
    for folder in ["crates", "web"] {
        names.extend(
            files_below(&root.join(folder))?
                .into_iter()
                .map(|name| format!("{folder}/{name}"))
                .filter(|name| is_input(name)),
        );
    }
    let mut text = format!(
        "{}\n{}\n",
        toolchain.version(),
        optimise::version().unwrap_or_else(|| "no wasm-opt".to_owned())
    );
    for name in names {
        let path = root.join(&name);
        if path.is_file() {
            text.push_str(&line(&name, &read(&path)?));
        }
    }
    Ok(digest::hex(text.as_bytes()))
}

/// Tests are no part of the page; everything else in the crates may be.
fn is_input(name: &str) -> bool {
    !name
        .split('/')
        .any(|part| part == "tests" || part == "target" || part.starts_with('.'))
}

/// Whether the folder holds exactly what the last build from these inputs left there.
pub(crate) fn is_current(project: &Project, out: &Path, inputs: &str) -> Result<bool> {
    let path = record_path(project, out);
    if !path.is_file() || !out.is_dir() {
        return Ok(false);
    }
    Ok(read(&path)? == contents(out, inputs)?.as_bytes())
}

/// Remembers what a build from these inputs left in the folder.
pub(crate) fn record(project: &Project, out: &Path, inputs: &str) -> Result<()> {
    write(&record_path(project, out), contents(out, inputs)?)
}

/// The record lies outside of the folder, which holds nothing but the page.
fn record_path(project: &Project, out: &Path) -> PathBuf {
    let name = digest::short(out.as_os_str().as_encoded_bytes());
    project.site_cache().join(format!("built-{name}.txt"))
}

fn contents(out: &Path, inputs: &str) -> Result<String> {
    let mut text = format!("{inputs}\n");
    for name in files_below(out)? {
        text.push_str(&line(&name, &read(&out.join(&name))?));
    }
    Ok(text)
}

fn line(name: &str, contents: &[u8]) -> String {
    format!("{} {name}\n", digest::hex(contents))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::{env, fs, process};

    #[test]
    fn tests_and_targets_are_no_inputs() {
        for name in [
            "crates/panel/src/link.rs",
            "web/style/dial.css",
            "web/src/dial/mod.rs",
        ] {
            assert!(is_input(name), "{name}");
        }
        for name in ["crates/panel/tests/a.rs", "web/target/x", "web/.swap"] {
            assert!(!is_input(name), "{name}");
        }
    }

    #[test]
    fn a_record_notices_each_kind_of_change() {
        let folder = env::temp_dir().join(format!("stopkeeper-record-{}", process::id()));
        let page = |name: &str| folder.join(name);
        write(&page("index.html"), "page").expect("a test file");
        write(&page("app.js"), "app").expect("a test file");
        let first = contents(&folder, "inputs").expect("contents");
        assert_eq!(
            contents(&folder, "inputs").expect("contents"),
            first,
            "nothing changed"
        );
        assert_ne!(
            contents(&folder, "others").expect("contents"),
            first,
            "other inputs"
        );
        write(&page("app.js"), "App").expect("a test file");
        assert_ne!(
            contents(&folder, "inputs").expect("contents"),
            first,
            "a changed file"
        );
        write(&page("app.js"), "app").expect("a test file");
        write(&page("extra.js"), "").expect("a test file");
        assert_ne!(
            contents(&folder, "inputs").expect("contents"),
            first,
            "a file too many"
        );
        fs::remove_file(page("extra.js")).expect("removal");
        fs::remove_file(page("app.js")).expect("removal");
        assert_ne!(
            contents(&folder, "inputs").expect("contents"),
            first,
            "a file too few"
        );
        fs::remove_dir_all(&folder).expect("removal");
    }
}
