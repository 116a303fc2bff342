//! The optimised page: compile, bind, shrink, name by contents, seal.

mod fingerprint;
mod optimise;
mod pack;
mod parts;
mod slim;
mod split;
mod template;
mod worker;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail};

use crate::project::{Project, files_below, read, read_text, write};
use crate::run::{run, step};
use crate::toolchain::Toolchain;
use crate::{digest, headers};

use optimise::Program;
pub(crate) use parts::Parts;

/// The page's programs: what the compiler calls each, what its files are called, and the folders of its styles.
const PROGRAMS: [(&str, &str, &[&str]); 6] = [
    ("web", "app", &["style"]),
    ("film-book", "book", &["style-parts", "style-book"]),
    (
        "light",
        "light",
        &["style-parts", "style-light", "style-find"],
    ),
    (
        "bench",
        "bench",
        &["style-parts", "style-light", "style-bench"],
    ),
    ("learn", "learn", &["style-parts", "style-learn"]),
    // It shows nothing.
    ("measure", "measure", &[]),
];

/// The dial is built without the library that draws the parts: what a library exports is never dead code, used or not.
pub(crate) const DIAL: [&str; 5] = ["--bin", "web", "--bin", "measure", "--no-default-features"];

/// Scans are measured in the program beside the page, which is one of those two and built for speed. The parts have of it only what says
/// and works out a few figures: they are built small.
const SMALL_SCANS: [&str; 2] = ["--config", "profile.page.package.scans.opt-level=\"z\""];

/// Programs of which something is fetched when it is first wanted: the name of each, and that of the function at which it is taken
/// apart, by which the file is called.
const LATER: [(&str, &str); 3] = [("book", "scans"), ("light", "photo"), ("learn", "lessons")];

/// The build profile of the page.
const PROFILE: &str = "page";
/// The sheet of measures, which a build writes in place of their names.
const MEASURES: &str = "00-measures.css";

/// Sees to it that the folder holds the page as the sources stand now; does nothing when it does already.
///
/// # Errors
///
/// When a step fails, or the folder holds something that is not a built page.
pub fn build(project: &Project, out: &Path) -> Result<()> {
    let toolchain = Toolchain::required()?;
    let inputs = fingerprint::inputs(project, toolchain)?;
    if fingerprint::is_current(project, out, &inputs)? {
        println!("The page in {} is up to date.", shown(project, out));
        return Ok(());
    }
    refuse_foreign_folder(out)?;
    step("Compiling the page", || compile(project, toolchain))?;
    let compiled = toolchain.output_folder(project, PROFILE);
    let programs = PROGRAMS
        .iter()
        .map(|(binary, name, _)| {
            let compiled = compiled.join(format!("{binary}.wasm"));
            optimise::program(project, &compiled, name, later(name))
        })
        .collect::<Result<Vec<_>>>()?;
    step(
        &format!("Laying out the page in {}", shown(project, out)),
        || {
            let files = lay_out(project, &programs)?;
            replace_folder(out, &files)?;
            seal(out)?;
            let names = files.keys().map(String::as_str);
            write(&out.join(headers::FILE), headers::written(names))?;
            pack::pack(project, out)
        },
    )?;
    fingerprint::record(project, out, &inputs)
}

/// Writes the service worker's version and list of files anew, after files in a built page have changed, and returns
/// the version. Packed copies of changed files are not touched: remove them or pack again.
///
/// # Errors
///
/// When the folder is not a built page or cannot be written.
pub fn seal(dir: &Path) -> Result<String> {
    let mut listed = Vec::new();
    for name in files_below(dir)? {
        if worker::is_kept_offline(&name) {
            listed.push((name.clone(), digest::integrity(&read(&dir.join(&name))?)));
        }
    }
    let path = dir.join(worker::FILE);
    let (text, version) = worker::fill(&read_text(&path)?, &listed)?;
    write(&path, text)?;
    Ok(version)
}

/// The programs by the names of their files, and what each is made of; none of one that was not built here as it lies there.
///
/// # Errors
///
/// When a file cannot be read.
pub(crate) fn parts(project: &Project, dir: &Path) -> Result<Vec<(&'static str, Parts)>> {
    let mut all = Vec::new();
    for (_, name, _) in PROGRAMS {
        let names = [name].into_iter().chain(later(name));
        all.extend(names.zip(optimise::parts(project, dir, name)?));
    }
    Ok(all)
}

/// Writes a packed copy beside every file that is worth it, as a build does.
///
/// # Errors
///
/// When a file cannot be read, packed or written.
pub fn pack(project: &Project, dir: &Path) -> Result<()> {
    pack::pack(project, dir)
}

fn compile(project: &Project, toolchain: Toolchain) -> Result<()> {
    if !toolchain.can_build_lean() {
        println!(
            "The standard library's sources are not there (`rustup component add rust-src`): the page gets about a fifth larger."
        );
    }
    let build = |binaries: &[&str]| {
        let mut command = toolchain.page_cargo(project, "build");
        command.args(["--quiet", "--package", "web", "--profile", PROFILE]);
        command.args(binaries);
        run(&mut command, "the page does not compile")
    };
    build(&DIAL)?;
    let others: Vec<&str> = PROGRAMS
        .iter()
        .filter(|(binary, ..)| !DIAL.contains(binary))
        .flat_map(|(binary, ..)| ["--bin", *binary])
        .chain(SMALL_SCANS)
        .collect();
    build(&others)
}

/// Every file of the page except the packed copies and the service worker's list, by name.
fn lay_out(project: &Project, programs: &[Program]) -> Result<BTreeMap<String, Vec<u8>>> {
    let web = project.root().join("web");
    let measures = read_text(&web.join("style").join(MEASURES))?;
    let measures = slim::measures(&measures);
    let mut files = BTreeMap::new();
    let mut names = Vec::new();
    // The parts are named in a file of their own, which comes with the first of them: a digest cannot be packed.
    let mut parts_named = Vec::new();
    for ((binary, name, folders), program) in PROGRAMS.iter().zip(programs) {
        let style = folders
            .iter()
            .map(|folder| styles(&web.join(folder)))
            .collect::<Result<String>>()?;
        let parts = [
            ("js", slim::script(&program.script).into_bytes()),
            ("wasm", program.wasm.clone()),
            (
                "css",
                slim::settled(&slim::css(&style), &measures).into_bytes(),
            ),
        ];
        for (extension, contents) in parts {
            if contents.is_empty() {
                continue;
            }
            let hashed = hashed(name, extension, &contents);
            let integrity = digest::integrity(&contents);
            if *binary == DIAL[1] {
                names.push((format!("{name}.{extension} digest"), integrity));
                names.push((format!("{name}.{extension}"), hashed.clone()));
            } else {
                let role = role_of(extension);
                parts_named.push(format!("[\"{name}-{role}\",\"{hashed}\",\"{integrity}\"]"));
            }
            files.insert(hashed, contents);
        }
        if let (Some(piece), Some(contents)) = (later(name), &program.later) {
            let file = hashed(piece, "wasm", contents);
            let integrity = digest::integrity(contents);
            parts_named.push(format!("[\"{piece}-program\",\"{file}\",\"{integrity}\"]"));
            files.insert(file, contents.clone());
        }
        files.extend(program.snippets.clone());
    }
    let contents = format!("[{}]\n", parts_named.join(",")).into_bytes();
    let parts = hashed("parts", "json", &contents);
    names.push(("parts.json digest".to_owned(), digest::integrity(&contents)));
    names.push(("parts.json".to_owned(), parts.clone()));
    files.insert(parts, contents);
    let page = read_text(&web.join("index.html"))?;
    let page = template::fill(&page, &names).context("web/index.html")?;
    files.insert("index.html".to_owned(), slim::html(&page).into_bytes());
    let site = web.join("site");
    for name in files_below(&site)? {
        let mut contents = read(&site.join(&name))?;
        if name.ends_with(".js") {
            contents = slim::script(&read_text(&site.join(&name))?).into_bytes();
        }
        files.insert(name, contents);
    }
    Ok(files)
}

/// What of a program is fetched later.
fn later(name: &str) -> Option<&'static str> {
    let found = LATER.iter().find(|(whole, _)| *whole == name);
    found.map(|(_, piece)| *piece)
}

/// What a file of a part is to the start script, by the ending of its name.
fn role_of(extension: &str) -> &'static str {
    match extension {
        "js" => "script",
        "wasm" => "program",
        _ => "styles",
    }
}

/// The style sheets one after the other, in the order of their names.
fn styles(folder: &Path) -> Result<String> {
    let mut all = String::new();
    if !folder.is_dir() {
        return Ok(all);
    }
    for name in files_below(folder)? {
        if name.ends_with(".css") && name != MEASURES {
            all.push_str(&read_text(&folder.join(name))?);
            all.push('\n');
        }
    }
    Ok(all)
}

fn hashed(stem: &str, extension: &str, contents: &[u8]) -> String {
    let name = format!("{stem}-{}.{extension}", digest::short(contents));
    debug_assert!(
        digest::is_in_name(&name),
        "the server has to know {name} as hashed"
    );
    name
}

/// The old page is deleted whole, so a folder that is anything else is left alone.
fn refuse_foreign_folder(out: &Path) -> Result<()> {
    let built = out.join(worker::FILE).is_file() && out.join("index.html").is_file();
    let empty = !out.exists() || files_below(out).is_ok_and(|files| files.is_empty());
    if built || empty {
        return Ok(());
    }
    bail!(
        "{} holds something that is not a built page: name an empty folder with --out",
        out.display()
    )
}

fn replace_folder(out: &Path, files: &BTreeMap<String, Vec<u8>>) -> Result<()> {
    if out.exists() {
        fs::remove_dir_all(out).with_context(|| format!("{} cannot be emptied", out.display()))?;
    }
    for (name, contents) in files {
        write(&out.join(name), contents)?;
    }
    Ok(())
}

fn shown(project: &Project, path: &Path) -> String {
    path.strip_prefix(project.root())
        .unwrap_or(path)
        .display()
        .to_string()
}
