//! `cargo xtask size`: what each file of the built page costs, and the limit of what the first dial needs.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::headers;
use crate::project::files_below;

/// Bytes over the wire for everything that the dial needs.
/// The aim is 113 KB and is missed: DEVELOPERS.md says by how much. Until it is met, this limit stands just above what
/// is reached, so that the page cannot grow unseen; it may only come down.
const LIMIT: u64 = 114 * 1024;

/// Lists the sizes.
///
/// # Errors
///
/// When there is no built page, or what the first dial needs is over the limit.
pub fn size(dist: &Path) -> Result<()> {
    if !dist.join("index.html").is_file() {
        bail!("there is no built page: run `cargo xtask build`");
    }
    println!("{:<28} {:>9} {:>9}", "bytes of the page", "plain", "packed");
    let mut needed = 0;
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
    within(needed)
}

fn length(path: &Path) -> Result<u64> {
    Ok(fs::metadata(path)
        .with_context(|| format!("{} cannot be read", path.display()))?
        .len())
}

/// What the names of the parts begin with that are fetched when they are first opened.
const LATER: [&str; 2] = ["book-", "light-"];

/// Page, scripts, program, styles and manifest; the worker with what registers it, the icons and the other parts come when the dial already turns.
fn is_needed(name: &str) -> bool {
    let kind = name.rsplit('.').next().unwrap_or_default();
    matches!(kind, "html" | "js" | "wasm" | "css" | "webmanifest")
        && !matches!(name, "keep.js" | "sw.js" | headers::NOT_FOUND)
        && !LATER.iter().any(|part| name.starts_with(part))
}

fn within(needed: u64) -> Result<()> {
    if needed > LIMIT {
        bail!(
            "the first dial needs {needed} bytes over the wire, {} more than the limit of {LIMIT}",
            needed - LIMIT
        );
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_is_exact() {
        assert!(within(LIMIT).is_ok(), "the limit itself is fine");
        let error = within(LIMIT + 1).expect_err("one byte over");
        assert!(error.to_string().contains("1 more than"), "{error}");
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
            "light-0123abcd.css",
        ] {
            assert!(!is_needed(name), "{name}");
        }
    }
}
