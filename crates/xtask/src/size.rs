//! `cargo xtask size`: what each file of the built page costs, what its programs are made of, and the limit of what the first
//! dial needs.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::headers;
use crate::project::{Project, files_below};
use crate::site::{self, Parts};

/// Bytes over the wire for everything that the dial needs.
/// The limit stands just above what is reached, so that the page cannot grow unseen; it may only come down.
const LIMIT: u64 = 110 * 1024;

/// Bytes over the wire of each part's program at its first opening: again just above what is reached.
const PART_LIMITS: [(&str, u64); 4] = [
    ("book-", 284_000),
    ("light-", 175_000),
    ("bench-", 164_000),
    ("learn-", 152_000),
];

/// A part that has fewer bytes in each of the programs is counted with the others.
const SMALL: u64 = 3 * 1024;

/// Lists the sizes.
///
/// # Errors
///
/// When there is no built page, or what the first dial or a part needs is over its limit.
pub fn size(project: &Project) -> Result<()> {
    let dist = &project.dist();
    if !dist.join("index.html").is_file() {
        bail!("there is no built page: run `cargo xtask build`");
    }
    println!("{:<28} {:>9} {:>9}", "bytes of the page", "plain", "packed");
    let mut needed = 0;
    let mut parts = Vec::new();
    for name in files_below(dist)? {
        if name.ends_with(".br") {
            continue;
        }
        let plain = length(&dist.join(&name))?;
        let packed = dist.join(format!("{name}.br"));
        let packed = if packed.is_file() {
            length(&packed)?
        } else {
            plain
        };
        parts.extend(part_limit(&name).map(|limit| (name.clone(), packed, limit)));
        let first = is_needed(&name);
        if first {
            needed += packed;
        }
        let note = if first {
            ""
        } else {
            "  (not for the first dial)"
        };
        println!("{name:<28} {plain:>9} {packed:>9}{note}");
    }
    println!("{:<28} {:>9} {needed:>9}", "for the first dial", "");
    let programs = site::parts(project, dist)?;
    if programs.is_empty() {
        println!("What its programs are made of is not known: they were built elsewhere.");
    } else {
        println!("\n{}", table(&programs));
    }
    within("the first dial", needed, LIMIT)?;
    for (name, packed, limit) in parts {
        within(&name, packed, limit)?;
    }
    Ok(())
}

/// The limit of a part's program.
fn part_limit(name: &str) -> Option<u64> {
    let program = name.strip_suffix(".wasm")?;
    let found = PART_LIMITS
        .iter()
        .find(|(part, _)| program.starts_with(part));
    found.map(|(_, limit)| *limit)
}

/// What each large part costs in each program, before compression, largest first.
fn table(programs: &[(&str, Parts)]) -> String {
    let of = |parts: &Parts, part: &str| parts.get(part).copied().unwrap_or(0);
    let most = |part: &str| programs.iter().map(|(_, parts)| of(parts, part)).max();
    let names: BTreeSet<&str> = programs
        .iter()
        .flat_map(|(_, parts)| parts.keys().map(String::as_str))
        .collect();
    let (mut large, small): (Vec<&str>, Vec<&str>) = names
        .into_iter()
        .partition(|part| most(part) >= Some(SMALL));
    large.sort_by_key(|part| std::cmp::Reverse(most(part)));
    let row = |name: &str, of: &dyn Fn(&Parts) -> u64| {
        let mut row = format!("{name:<28}");
        for (_, parts) in programs {
            row.push_str(&format!(" {:>9}", of(parts)));
        }
        row + "\n"
    };
    let mut table = format!("{:<28}", "plain bytes of each program");
    for (name, _) in programs {
        table.push_str(&format!(" {name:>9}"));
    }
    table.push('\n');
    for part in large {
        table.push_str(&row(part, &|parts| of(parts, part)));
    }
    let together = |parts: &Parts| small.iter().map(|part| of(parts, part)).sum();
    table.push_str(&row("smaller parts", &together));
    table.push_str(&row("all", &|parts| parts.values().sum()));
    table
}

fn length(path: &Path) -> Result<u64> {
    Ok(fs::metadata(path)
        .with_context(|| format!("{} cannot be read", path.display()))?
        .len())
}

/// What the names of the parts begin with that are fetched when they are first opened.
const LATER: [&str; 8] = [
    "book-", "scans-", "light-", "photo-", "bench-", "learn-", "lessons-", "measure",
];

/// Page, scripts, program, styles and manifest; the worker with what registers it, the icons and the other parts come when the dial already turns.
fn is_needed(name: &str) -> bool {
    let kind = name.rsplit('.').next().unwrap_or_default();
    matches!(kind, "html" | "js" | "wasm" | "css" | "webmanifest")
        && !matches!(name, "keep.js" | "sw.js" | headers::NOT_FOUND)
        && !LATER.iter().any(|part| name.starts_with(part))
}

fn within(what: &str, needed: u64, limit: u64) -> Result<()> {
    if needed > limit {
        bail!(
            "{what} needs {needed} bytes over the wire, {} more than the limit of {limit}",
            needed - limit
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_is_exact() {
        assert!(within("it", 10, 10).is_ok(), "the limit itself is fine");
        let error = within("it", 11, 10).expect_err("one byte over");
        assert!(error.to_string().contains("1 more than"), "{error}");
    }

    #[test]
    fn programs_of_parts_have_limits_and_nothing_else_does() {
        assert_eq!(part_limit("book-0123abcd.wasm"), Some(PART_LIMITS[0].1));
        for name in [
            "book-0123abcd.js",
            "scans-0123abcd.wasm",
            "app-0123abcd.wasm",
        ] {
            assert_eq!(part_limit(name), None, "{name}");
        }
    }

    #[test]
    fn large_parts_come_first_and_small_ones_together() {
        let parts = |parts: &[(&str, u64)]| -> Parts {
            parts
                .iter()
                .map(|(part, bytes)| ((*part).to_owned(), *bytes))
                .collect()
        };
        let programs = [
            (
                "app",
                parts(&[("core", 5_000), ("std", 10), ("panel::store", 9_000)]),
            ),
            ("book", parts(&[("core", 9_500), ("std", 20)])),
        ];
        let table = table(&programs);
        let rows: Vec<Vec<&str>> = table
            .lines()
            .skip(1)
            .map(|line| line.split_whitespace().collect())
            .collect();
        assert_eq!(
            rows,
            [
                vec!["core", "5000", "9500"],
                vec!["panel::store", "9000", "0"],
                vec!["smaller", "parts", "10", "20"],
                vec!["all", "14010", "9520"],
            ]
        );
    }

    #[test]
    fn icons_and_the_worker_come_later() {
        for name in [
            "index.html",
            "boot.js",
            "app-0123abcd.wasm",
            "snippets/a.js",
        ] {
            assert!(is_needed(name), "{name}");
        }
        for name in [
            "keep.js",
            "sw.js",
            "404.html",
            "icon.svg",
            "icons/icon-192.png",
            "book-0123abcd.wasm",
            "light-0123abcd.wasm",
            "scans-0123abcd.wasm",
            "light-0123abcd.css",
        ] {
            assert!(!is_needed(name), "{name}");
        }
    }
}
