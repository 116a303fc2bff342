use super::*;

fn source(name: &str, text: &str) -> Source {
    Source {
        name: name.to_owned(),
        text: text.to_owned(),
    }
}

#[test]
fn finds_white_space() {
    assert_eq!(
        white_space(&source("a.md", "good\nbad \n\tgood\nbad\t\nbad\r\nend")),
        [
            "a.md:2: white space at the end of the line",
            "a.md:4: white space at the end of the line",
            "a.md:5: white space at the end of the line",
            "a.md: no line end at the end of the file",
        ],
        "findings"
    );
    assert_eq!(white_space(&source("a.md", "good\n")), [""; 0], "clean");
    assert_eq!(white_space(&source("a.md", "")), [""; 0], "empty");
}

#[test]
fn finds_paths_of_machines() {
    let folder = "home";
    let bad = format!(
        "see /{folder}/someone/file\nsee ./{folder}/page and my/{folder}/page\n\"/{folder}/x\"\n"
    );
    assert_eq!(
        machine_paths(&source("a.md", &bad)),
        [
            "a.md:1: a path of somebody's machine",
            "a.md:3: a path of somebody's machine"
        ],
        "findings"
    );
}

#[test]
fn keeps_the_browser_at_home() {
    let text =
        "use web_sys::Window;\nuse leptos::prelude::*;\n// web_sys\nuse wasm_bindgen_test::*;\n";
    assert_eq!(
        browser_homes(&source("web/src/strip/mod.rs", text)),
        [
            "web/src/strip/mod.rs:1: `web_sys` belongs in web/src/browser/ or web/src/dial/pointer.rs"
        ],
        "a component"
    );
    assert_eq!(
        browser_homes(&source(
            "crates/panel/src/lib.rs",
            "use leptos::mount;\nuse gloo_storage::X;\n"
        )),
        [
            "crates/panel/src/lib.rs:1: `leptos` belongs in web/",
            "crates/panel/src/lib.rs:2: `gloo_storage` belongs in web/src/browser/ or web/src/dial/pointer.rs",
        ],
        "a pure crate"
    );
    for home in [
        "web/src/browser/storage.rs",
        "web/src/dial/pointer.rs",
        "web/tests/a.rs",
    ] {
        assert_eq!(browser_homes(&source(home, text)), [""; 0], "{home}");
    }
}

#[test]
fn wants_a_source_at_the_head_of_each_table() {
    let name = "crates/exposure/tests/tables/a.csv";
    assert_eq!(
        table_sources(&source(name, "# Times\n# Source: a standard\n1,2\n")),
        [""; 0],
        "with source"
    );
    for text in ["1,2\n", "# Times\n1,2\n# Source: too late\n"] {
        assert_eq!(table_sources(&source(name, text)).len(), 1, "{text}");
    }
    assert_eq!(
        table_sources(&source("web/a.csv", "1\n")),
        [""; 0],
        "elsewhere"
    );
}

const MANIFEST: &str = "\
[package]
name = \"x\"

[dependencies]
exposure.workspace = true
web = { path = \"../web\" }
serde = { version = \"1\" }

[dependencies.web-sys]
features = [\"Storage\"]

[target.'cfg(unix)'.dependencies]
libc = \"1\"

[dev-dependencies]
panel.workspace = true

[lints]
workspace = true
";

#[test]
fn reads_dependencies_in_each_form() {
    let found: Vec<_> = dependencies(MANIFEST)
        .into_iter()
        .map(|dependency| format!("{} {}", dependency.section, dependency.name))
        .collect();
    assert_eq!(
        found,
        [
            "dependencies exposure",
            "dependencies web",
            "dependencies serde",
            "dependencies web-sys",
            "dependencies libc",
            "dev-dependencies panel",
        ],
        "dependencies"
    );
}

#[test]
fn arrows_point_one_way() {
    assert_eq!(
        arrows(&source("crates/panel/Cargo.toml", MANIFEST)),
        ["crates/panel/Cargo.toml: may not depend on `web`"],
        "panel"
    );
    assert_eq!(
        arrows(&source("crates/exposure/Cargo.toml", MANIFEST)).len(),
        5,
        "exposure may have no dependency at all"
    );
}

#[test]
fn wants_each_dependency_explained() {
    assert_eq!(
        explained_dependencies(&source("a/Cargo.toml", MANIFEST), "`serde`, `web-sys`"),
        ["a/Cargo.toml: `libc` has no line in DEVELOPERS.md"],
        "findings"
    );
}

#[test]
fn wants_each_intent_explained() {
    let text = "\
/// All.
pub enum Intent {
    /// Turn.
    Turn(Control, usize),
    /// Settle.
    Settle,
    /// Save.
    Save {
        /// Inner.
        Inner: u8,
    },
}

pub enum Other {
    Elsewhere,
}
";
    assert_eq!(
        variants(text, "Intent"),
        ["Turn", "Settle", "Save"],
        "variants"
    );
    assert_eq!(
        explained_intents(
            &source(INTENTS, text),
            "`Turn(dial, mark)`, `Settled`, Intent::Save."
        ),
        ["crates/panel/src/intent.rs: `Settle` has no line in DEVELOPERS.md"],
        "findings"
    );
    assert_eq!(
        explained_intents(&source(INTENTS, "pub enum Intent{}"), "").len(),
        1,
        "an unreadable enum is a finding"
    );
}
