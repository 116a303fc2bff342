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
fn keeps_sizes_of_type_on_the_ramp() {
    let text = ".a {\n  font-size: 15px;\n  font: 600 1.3rem/1.2 var(--figures);\n  font-size: var(--type-2);\n  \
                font: var(--type-2)/1rem var(--figures);\n  font: 600 min(27vw, 240px) / 1 var(--figures);\n  \
                font-size: 0;\n  padding: 15px;\n}\n";
    let finding = |line| {
        format!(
            "web/style/a.css:{line}: a size of type beside the ramp of web/style/00-measures.css"
        )
    };
    assert_eq!(
        ramp(&source("web/style/a.css", text)),
        [finding(2), finding(3)],
        "findings"
    );
    assert_eq!(
        ramp(&source("tests/plain/style.css", text)),
        [""; 0],
        "another page's"
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

#[test]
fn finds_a_suite_that_no_list_of_modules_names() {
    let main = "//! All.\n\nmod check;\npub(crate) mod lining;\n// mod correcting;\nmod correcting_more;\nmod inner { mod log; }\n";
    let listed = |folder: &str, main: &str| {
        let files = ["check", "correcting", "correcting_more", "lining", "log"];
        let mut sources = vec![source(&format!("{folder}/main.rs"), main)];
        for file in files {
            sources.push(source(&format!("{folder}/{file}.rs"), ""));
        }
        // What is no module of it: another suite, a table, a folder below, a suite of one file.
        for other in [
            "crates/book/tests/other/stray.rs",
            "crates/book/tests/alone.rs",
            &format!("{folder}/deeper/part.rs"),
            &format!("{folder}/table.csv"),
        ] {
            sources.push(source(other, ""));
        }
        forgotten_suites(&sources)
    };
    for folder in [
        "crates/book/tests/book",
        "tests/tests/e2e",
        "web/tests/parts",
    ] {
        assert_eq!(
            listed(folder, main),
            ["correcting", "log"].map(|name| format!(
                "{folder}/{name}.rs: no `mod {name};` in {folder}/main.rs, so nothing in it runs"
            )),
            "{folder}"
        );
        let all = "mod check;\nmod correcting;\nmod correcting_more;\nmod lining;\nmod log;\n";
        assert_eq!(listed(folder, all), [""; 0], "{folder}, all named");
    }
    assert_eq!(listed("crates/book/src/bin", ""), [""; 0], "no suite");
}

/// The suite of corrections in the log lay beside this list, which did not name it.
#[test]
fn every_suite_of_this_project_is_run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut sources = Vec::new();
    for part in ["crates", "tests", "web"] {
        for name in files_below(&root.join(part)).expect("the files of a part") {
            let name = format!("{part}/{name}");
            if name.ends_with(".rs") {
                let text = read_text(&root.join(&name)).expect("a text");
                sources.push(source(&name, &text));
            }
        }
    }
    assert_eq!(forgotten_suites(&sources), [""; 0], "as it is");
    let main = sources
        .iter_mut()
        .find(|source| source.name == "crates/book/tests/book/main.rs")
        .expect("the list of the book's suites");
    main.text = main.text.replace("mod correcting;\n", "");
    assert_eq!(
        forgotten_suites(&sources),
        [
            "crates/book/tests/book/correcting.rs: no `mod correcting;` in crates/book/tests/book/main.rs, so nothing in it runs"
        ],
        "as it was"
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
