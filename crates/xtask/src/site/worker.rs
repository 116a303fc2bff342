//! The service worker's two generated lines.

use anyhow::{Context, Result};

use crate::{digest, headers};

/// The service worker in the site's folder.
pub(crate) const FILE: &str = "sw.js";

const VERSION_LINE: &str = "const VERSION = ";
const FILES_LINE: &str = "const FILES = ";

/// Whether the page needs the file without a network: not the packed copies, not the worker itself, and not the PNG
/// icons, which the system fetches once when the page is installed, nor what is there for the host.
pub(crate) fn is_kept_offline(name: &str) -> bool {
    let packed = name.ends_with(".br");
    let icon = name.ends_with(".png");
    let system = matches!(name, FILE | "icon-maskable.svg" | "robots.txt");
    let host = matches!(name, headers::FILE | headers::NOT_FOUND);
    !(packed || icon || system || host)
}

/// Writes version and files into the worker's text and returns it with the version, which follows from the files alone.
pub(crate) fn fill(text: &str, files: &[(String, String)]) -> Result<(String, String)> {
    let rows: Vec<String> = files
        .iter()
        .map(|(name, integrity)| {
            // The page is asked for by its folder: hosts answer /index.html with a redirect.
            let address = if name == "index.html" { "./" } else { name };
            format!("[\"{address}\",\"{integrity}\"]")
        })
        .collect();
    let list = format!("[{}]", rows.join(","));
    let version = digest::short(list.as_bytes());
    let text = replace_line(text, VERSION_LINE, &format!("\"{version}\";"))?;
    let text = replace_line(&text, FILES_LINE, &format!("{list};"))?;
    Ok((text, version))
}

fn replace_line(text: &str, beginning: &str, rest: &str) -> Result<String> {
    let mut found = false;
    let lines: Vec<String> = text
        .lines()
        .map(|line| {
            if line.starts_with(beginning) {
                found = true;
                format!("{beginning}{rest}\n")
            } else {
                format!("{line}\n")
            }
        })
        .collect();
    found
        .then(|| lines.concat())
        .with_context(|| format!("the service worker has no line that begins with \"{beginning}\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "const VERSION = \"unbuilt\";\nconst FILES = [];\nrest();\n";

    fn files(integrity: &str) -> Vec<(String, String)> {
        vec![
            ("boot.js".to_owned(), "sha256-a".to_owned()),
            ("index.html".to_owned(), integrity.to_owned()),
        ]
    }

    #[test]
    fn fills_both_lines_and_can_do_it_again() {
        let (once, version) = fill(TEXT, &files("sha256-b")).expect("both lines");
        assert_eq!(
            once,
            format!(
                "const VERSION = \"{version}\";\n\
                 const FILES = [[\"boot.js\",\"sha256-a\"],[\"./\",\"sha256-b\"]];\n\
                 rest();\n"
            ),
            "filled"
        );
        let (again, same) = fill(&once, &files("sha256-b")).expect("both lines");
        assert_eq!((again, same), (once.clone(), version.clone()), "stable");
        let (_, other) = fill(&once, &files("sha256-c")).expect("both lines");
        assert_ne!(other, version, "another file is another version");
    }

    #[test]
    fn refuses_a_worker_without_the_lines() {
        let error = fill("const FILES = [];\n", &files("x")).expect_err("no version");
        assert!(error.to_string().contains("const VERSION"), "{error}");
    }

    #[test]
    fn keeps_what_the_page_needs() {
        for name in [
            "index.html",
            "boot.js",
            "app-0123abcd.wasm",
            "manifest.webmanifest",
            "icon.svg",
            "snippets/a/b.js",
        ] {
            assert!(is_kept_offline(name), "{name}");
        }
        for name in [
            "sw.js",
            "app-0123abcd.wasm.br",
            "icons/icon-192.png",
            "_headers",
            "404.html",
        ] {
            assert!(!is_kept_offline(name), "{name}");
        }
    }
}
