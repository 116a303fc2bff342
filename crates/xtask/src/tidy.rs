//! `cargo xtask tidy`: what no linter checks. Each finding is one line with the file, and the line where there is one.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use anyhow::{Result, bail};

use crate::project::{Project, files_below, read_text};
use crate::run::output;

/// The only homes of the browser's interfaces.
const BROWSER_HOMES: [&str; 5] = [
    "web/src/browser/",
    "web/src/browser.rs",
    "web/src/dial/pointer.rs",
    // Tests of components look at the document as the browser has it.
    "web/tests/",
    "web/src/tests",
];

/// Who may depend on whom inside the project: arrows point one way.
const ARROWS: [(&str, &[&str]); 9] = [
    ("crates/exposure/Cargo.toml", &[]),
    ("crates/book/Cargo.toml", &["exposure"]),
    ("crates/readings/Cargo.toml", &["exposure"]),
    ("crates/scenes/Cargo.toml", &["exposure"]),
    ("crates/learn/Cargo.toml", &["exposure", "scenes"]),
    ("crates/scans/Cargo.toml", &["exposure"]),
    ("crates/panel/Cargo.toml", &["exposure", "book"]),
    ("crates/xtask/Cargo.toml", &[]),
    (
        "web/Cargo.toml",
        &["exposure", "book", "readings", "learn", "scans", "panel"],
    ),
];

const OWN: [&str; 10] = [
    "exposure", "book", "readings", "scenes", "learn", "scans", "panel", "web", "tests", "xtask",
];

const DOCUMENT: &str = "DEVELOPERS.md";
const INTENTS: &str = "crates/panel/src/intent.rs";

/// One file of the project.
struct Source {
    name: String,
    text: String,
}

/// Checks everything and lists all findings.
///
/// # Errors
///
/// When there is a finding, or a file cannot be read.
pub fn tidy(project: &Project) -> Result<()> {
    let sources = sources(project)?;
    let document = sources
        .iter()
        .find(|source| source.name == DOCUMENT)
        .map_or("", |source| source.text.as_str());
    let mut findings = Vec::new();
    for source in &sources {
        findings.extend(white_space(source));
        findings.extend(machine_paths(source));
        findings.extend(browser_homes(source));
        findings.extend(table_sources(source));
        findings.extend(ramp(source));
        findings.extend(arrows(source));
        findings.extend(explained_dependencies(source, document));
        findings.extend(explained_intents(source, document));
    }
    findings.extend(forgotten_suites(&sources));
    for finding in &findings {
        println!("{finding}");
    }
    match findings.len() {
        0 => Ok(()),
        1 => bail!("one place is not tidy"),
        many => bail!("{many} places are not tidy"),
    }
}

/// The text files that belong to the project: those that git knows or would take, or without git all but the results
/// of builds.
fn sources(project: &Project) -> Result<Vec<Source>> {
    let listed = output(
        Command::new("git")
            .args(["ls-files", "--cached", "--others", "--exclude-standard"])
            .current_dir(project.root()),
    );
    let names: BTreeSet<String> = match listed {
        Some(text) => text.lines().map(str::to_owned).collect(),
        None => files_below(project.root())?
            .into_iter()
            .filter(|name| {
                !["target/", "dist/", ".git/"]
                    .iter()
                    .any(|out| name.starts_with(out))
            })
            .collect(),
    };
    let mut sources = Vec::new();
    for name in names {
        // A file that git still lists may have been deleted; one that is not UTF-8 is a picture.
        if let Ok(text) = fs::read_to_string(project.root().join(&name)) {
            sources.push(Source { name, text });
        }
    }
    if sources.is_empty() {
        bail!("no file of the project can be read");
    }
    // The one file that several checks lean on.
    read_text(&project.root().join(INTENTS))?;
    Ok(sources)
}

fn numbered(source: &Source) -> impl Iterator<Item = (usize, &str)> {
    (1..).zip(source.text.lines())
}

fn white_space(source: &Source) -> Vec<String> {
    let name = &source.name;
    let mut findings = Vec::new();
    for (number, line) in (1..).zip(source.text.split('\n')) {
        if line.ends_with([' ', '\t', '\r']) {
            findings.push(format!(
                "{name}:{number}: white space at the end of the line"
            ));
        }
    }
    if !source.text.is_empty() && !source.text.ends_with('\n') {
        findings.push(format!("{name}: no line end at the end of the file"));
    }
    findings
}

fn machine_paths(source: &Source) -> Vec<String> {
    // Put together here, so that this file does not find itself.
    let needles = ["home", "root", "work"].map(|folder| format!("/{folder}/"));
    numbered(source)
        .filter(|(_, line)| needles.iter().any(|needle| is_absolute(line, needle)))
        .map(|(number, _)| format!("{}:{number}: a path of somebody's machine", source.name))
        .collect()
}

/// Whether the needle stands in the line as the beginning of a path, not as a part of a longer one.
fn is_absolute(line: &str, needle: &str) -> bool {
    line.match_indices(needle).any(|(at, _)| {
        !line[..at].chars().next_back().is_some_and(|before| {
            before.is_alphanumeric() || matches!(before, '.' | '_' | '-' | '~' | '}')
        })
    })
}

fn browser_homes(source: &Source) -> Vec<String> {
    let name = &source.name;
    let page = name.starts_with("web/");
    let logic = name.starts_with("crates/") && !name.starts_with("crates/xtask/");
    if !name.ends_with(".rs") || !(page || logic) {
        return Vec::new();
    }
    let home = BROWSER_HOMES.iter().any(|home| name.starts_with(home));
    let mut findings = Vec::new();
    for (number, line) in numbered(source) {
        if line.trim_start().starts_with("//") {
            continue;
        }
        for word in words(line) {
            let browser =
                matches!(word, "web_sys" | "js_sys" | "wasm_bindgen") || word.starts_with("gloo");
            let framework = word == "leptos" || word.starts_with("leptos_");
            if browser && !home {
                findings.push(format!(
                    "{name}:{number}: `{word}` belongs in web/src/browser/ or web/src/dial/pointer.rs"
                ));
            }
            if framework && !page {
                findings.push(format!("{name}:{number}: `{word}` belongs in web/"));
            }
        }
    }
    findings
}

fn words(line: &str) -> impl Iterator<Item = &str> {
    line.split(|character: char| !character.is_alphanumeric() && character != '_')
        .filter(|word| !word.is_empty())
}

/// Sizes of type beside the ramp; those that follow the window are its own.
fn ramp(source: &Source) -> Vec<String> {
    let name = &source.name;
    if !name.starts_with("web/style") || !name.ends_with(".css") {
        return Vec::new();
    }
    let is_size = |word: &str| {
        let number = word.strip_suffix("px").or_else(|| word.strip_suffix("rem"));
        number.is_some_and(|number| number.parse::<f64>().is_ok())
    };
    let beside = |line: &str| {
        let rule = line.trim_start();
        let value = rule
            .strip_prefix("font:")
            .or_else(|| rule.strip_prefix("font-size:"));
        let plain = value.filter(|value| !value.contains("min(") && !value.contains("clamp("));
        // What stands behind the stroke is the height of the line.
        let before_the_stroke = |word: &str| word.split('/').next().is_some_and(is_size);
        plain.is_some_and(|value| {
            value
                .trim_end_matches(';')
                .split_whitespace()
                .any(before_the_stroke)
        })
    };
    numbered(source)
        .filter(|(_, line)| beside(line))
        .map(|(number, _)| {
            format!("{name}:{number}: a size of type beside the ramp of web/style/00-measures.css")
        })
        .collect()
}

fn table_sources(source: &Source) -> Vec<String> {
    let name = &source.name;
    let is_table =
        name.starts_with("crates/") && name.contains("/tests/") && name.ends_with(".csv");
    let has_source = source
        .text
        .lines()
        .take_while(|line| line.starts_with('#'))
        .any(|line| line.to_lowercase().contains("source"));
    if is_table && !has_source {
        return vec![format!(
            "{name}: no `# Source: ...` at the head of the table"
        )];
    }
    Vec::new()
}

/// A file beside the `main.rs` of a suite is compiled only where a `mod` line of that names it; otherwise none of its tests run.
fn forgotten_suites(sources: &[Source]) -> Vec<String> {
    let split = |source: &Source| {
        let (folder, file) = source.name.rsplit_once('/')?;
        let (of, suite) = folder.rsplit_once("/tests/")?;
        let is_suite = (of.starts_with("crates/") || of == "tests" || of == "web")
            && !suite.contains('/')
            && file.ends_with(".rs");
        is_suite.then(|| (folder.to_owned(), file.to_owned()))
    };
    let mut findings = Vec::new();
    for main in sources {
        let Some((folder, _)) = split(main).filter(|(_, file)| file == "main.rs") else {
            continue;
        };
        let named: BTreeSet<&str> = main.text.lines().filter_map(module).collect();
        for source in sources {
            let Some((_, file)) = split(source).filter(|(beside, _)| *beside == folder) else {
                continue;
            };
            let name = file.trim_end_matches(".rs");
            if name != "main" && !named.contains(name) {
                findings.push(format!(
                    "{}: no `mod {name};` in {}, so nothing in it runs",
                    source.name, main.name
                ));
            }
        }
    }
    findings
}

/// The module whose file a line takes in: `mod name;`, whoever may see it.
fn module(line: &str) -> Option<&str> {
    let line = line.strip_suffix(';')?;
    let (before, name) = line.split_once("mod ")?;
    let seen = before.is_empty() || before == "pub " || before == "pub(crate) ";
    seen.then_some(name)
}

fn arrows(source: &Source) -> Vec<String> {
    let Some((name, allowed)) = ARROWS.iter().find(|(name, _)| *name == source.name) else {
        return Vec::new();
    };
    let pure = source.name == "crates/exposure/Cargo.toml";
    dependencies(&source.text)
        .into_iter()
        .filter(|dependency| dependency.section == "dependencies")
        .map(|dependency| dependency.name)
        .filter(|dependency| {
            pure || (OWN.contains(&dependency.as_str()) && !allowed.contains(&dependency.as_str()))
        })
        .map(|dependency| format!("{name}: may not depend on `{dependency}`"))
        .collect()
}

fn explained_dependencies(source: &Source, document: &str) -> Vec<String> {
    if Path::new(&source.name)
        .file_name()
        .is_none_or(|name| name != "Cargo.toml")
    {
        return Vec::new();
    }
    let names: BTreeSet<String> = dependencies(&source.text)
        .into_iter()
        .map(|dependency| dependency.name)
        .filter(|name| !OWN.contains(&name.as_str()))
        .collect();
    names
        .into_iter()
        .filter(|name| !document.contains(&format!("`{name}`")))
        .map(|name| format!("{}: `{name}` has no line in {DOCUMENT}", source.name))
        .collect()
}

fn explained_intents(source: &Source, document: &str) -> Vec<String> {
    if source.name != INTENTS {
        return Vec::new();
    }
    let found = variants(&source.text, "Intent");
    if found.is_empty() {
        return vec![format!(
            "{INTENTS}: there is no `pub enum Intent` that this check can read"
        )];
    }
    found
        .into_iter()
        .filter(|name| !is_named(document, name))
        .map(|name| format!("{INTENTS}: `{name}` has no line in {DOCUMENT}"))
        .collect()
}

/// Whether the document has the name as code: `` `Name` `` or with its arguments, or after `Intent::`.
fn is_named(document: &str, name: &str) -> bool {
    ["`", "Intent::"].iter().any(|before| {
        let needle = format!("{before}{name}");
        document.match_indices(&needle).any(|(at, found)| {
            !document[at + found.len()..]
                .chars()
                .next()
                .is_some_and(char::is_alphanumeric)
        })
    })
}

/// The variants of an enum as rustfmt lays it out: four spaces and a capital letter.
fn variants(text: &str, name: &str) -> Vec<String> {
    let beginning = format!("pub enum {name} {{");
    text.lines()
        .skip_while(|line| *line != beginning)
        .skip(1)
        .take_while(|line| *line != "}")
        .filter_map(|line| line.strip_prefix("    "))
        .filter(|line| line.starts_with(|first: char| first.is_ascii_uppercase()))
        .filter_map(|line| words(line).next().map(str::to_owned))
        .collect()
}

#[derive(Debug, PartialEq, Eq)]
struct Dependency {
    /// `dependencies`, `dev-dependencies` or `build-dependencies`.
    section: String,
    name: String,
}

/// The dependencies of a `Cargo.toml`, in either form: a line of a table, or a table of its own.
fn dependencies(text: &str) -> Vec<Dependency> {
    let mut found = Vec::new();
    let mut section = None;
    for line in text.lines() {
        if let Some(header) = line.strip_prefix('[') {
            let parts: Vec<&str> = header.trim_end().trim_end_matches(']').split('.').collect();
            let at = parts.iter().position(|part| part.ends_with("dependencies"));
            section = None;
            match at.map(|at| (parts[at], parts.get(at + 1))) {
                Some((kind, None)) => section = Some(kind.to_owned()),
                Some((kind, Some(name))) => found.push(Dependency {
                    section: kind.to_owned(),
                    name: name.trim_matches('"').to_owned(),
                }),
                None => {}
            }
        } else if let Some(section) = &section {
            let name: String = line
                .chars()
                .take_while(|character| {
                    character.is_ascii_alphanumeric() || matches!(character, '-' | '_')
                })
                .collect();
            if !name.is_empty() {
                found.push(Dependency {
                    section: section.clone(),
                    name,
                });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests;
