//! From the compiler's wasm file to the script and wasm that browsers load.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

use anyhow::{Context, Result};
use wasm_bindgen_cli_support::Bindgen;

use super::parts::{self, Parts};
use super::split;
use crate::digest;
use crate::project::{Project, files_below, read, read_text};
use crate::run::{find_program, output, run, step};

/// The features that the compiler and wasm-bindgen use, named one by one: with all of them on, newer versions of
/// wasm-opt write modules that browsers refuse.
const FEATURES: [&str; 6] = [
    "--enable-bulk-memory",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
];

/// Version 120 of wasm-opt split `memory.copy` and `memory.fill` off into a feature of their own.
const SPLIT_FEATURE: (u32, &str) = (120, "--enable-bulk-memory-opt");

/// What is noted beside a program in the cache of what it is made of.
const PARTS: &str = "parts.txt";
/// The same for what of it is fetched later.
const LATER_PARTS: &str = "parts-later.txt";

/// What the page loads, before it gets its final names.
#[derive(Debug)]
pub(crate) struct Program {
    pub(crate) script: String,
    pub(crate) wasm: Vec<u8>,
    /// What is fetched later, where something is.
    pub(crate) later: Option<Vec<u8>>,
    /// Scripts that dependencies bring along, by the path at which the main script looks for them.
    pub(crate) snippets: BTreeMap<String, Vec<u8>>,
}

/// Older versions of wasm-opt export the wrong one of the two tables that wasm-bindgen makes, and the page then does not
/// start (seen with version 108).
const SOUND_FROM: u32 = 116;

/// The version line of a wasm-opt that can be used, or `None`.
pub(crate) fn version() -> Option<String> {
    let program = find_program(&["wasm-opt"])?;
    output(Command::new(program).arg("--version")).filter(|line| number(line) >= SOUND_FROM)
}

/// Binds and shrinks, or takes both from the cache when the compiler's output is the same as before.
pub(crate) fn program(
    project: &Project,
    compiled: &Path,
    name: &str,
    piece: Option<&str>,
) -> Result<Program> {
    let version = version();
    let mut key = read(compiled)?;
    key.extend_from_slice(version.as_deref().unwrap_or("none").as_bytes());
    key.extend_from_slice(piece.unwrap_or_default().as_bytes());
    // What binds it, and takes it apart.
    key.extend_from_slice(include_bytes!("optimise.rs"));
    key.extend_from_slice(include_bytes!("split.rs"));
    key.extend_from_slice(&read(&project.root().join("Cargo.lock"))?);
    let kept = project.site_cache().join(format!("program-{name}"));
    let folder = kept.join(digest::hex(&key));
    if !["done", PARTS]
        .iter()
        .all(|file| folder.join(file).is_file())
    {
        // Only the last program is kept: an older one is seldom asked for again.
        if kept.exists() {
            fs::remove_dir_all(&kept)
                .with_context(|| format!("{} cannot be emptied", kept.display()))?;
        }
        step("Binding it to scripts", || {
            bind(compiled, &folder, name, piece)
        })?;
        shrink(&folder.join(format!("{name}_bg.wasm")), version.as_deref())?;
        crate::project::write(&folder.join("done"), "")?;
    }
    let mut snippets = BTreeMap::new();
    if folder.join("snippets").is_dir() {
        for name in files_below(&folder.join("snippets"))? {
            let contents = read(&folder.join("snippets").join(&name))?;
            snippets.insert(format!("snippets/{name}"), contents);
        }
    }
    let later = piece
        .map(|piece| read(&folder.join(format!("{piece}.wasm"))))
        .transpose()?;
    Ok(Program {
        script: read_text(&folder.join(format!("{name}.js")))?,
        later,
        wasm: read(&folder.join(format!("{name}_bg.wasm")))?,
        snippets,
    })
}

/// What the program in a folder is made of, and what of it is fetched later; nothing where another one was built here last.
pub(crate) fn parts(project: &Project, dir: &Path, name: &str) -> Result<Vec<Parts>> {
    let kept = project.site_cache().join(format!("program-{name}"));
    if !kept.is_dir() {
        return Ok(Vec::new());
    }
    for file in files_below(&kept)? {
        let Some(folder) = file.strip_suffix(&format!("/{name}_bg.wasm")) else {
            continue;
        };
        let wasm = read(&kept.join(&file))?;
        let noted = kept.join(folder).join(PARTS);
        if dir.join(super::hashed(name, "wasm", &wasm)).is_file() && noted.is_file() {
            let later = kept.join(folder).join(LATER_PARTS);
            return [noted, later]
                .iter()
                .filter(|file| file.is_file())
                .map(|file| Ok(parts::read(&read_text(file)?)))
                .collect();
        }
    }
    Ok(Vec::new())
}

fn bind(compiled: &Path, folder: &Path, name: &str, piece: Option<&str>) -> Result<()> {
    let split = piece
        .map(|piece| split::split(compiled, folder, piece))
        .transpose()?;
    let main = split
        .as_ref()
        .map_or(compiled, |split| split.main.as_path());
    let mut output = Bindgen::new()
        .input_path(main)
        // The module that comes later shares what the linker exports.
        .keep_lld_exports(split.is_some())
        .out_name(name)
        .web(true)?
        .typescript(false)
        // The page passes the address of its wasm file; a default would name a file that is not there.
        .omit_default_module_path(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate_output()
        .context("wasm-bindgen refused the compiled page")?;
    drop_unused_classes(output.wasm_mut());
    let parts = parts::written(&parts::of(output.wasm_mut()));
    crate::project::write(&folder.join(PARTS), parts)?;
    output
        .emit(folder)
        .with_context(|| format!("the bound page cannot be written to {}", folder.display()))?;
    if let (Some(piece), Some(split)) = (piece, split) {
        let path = folder.join(format!("{name}.js"));
        let script = split::link(&read_text(&path)?, piece)?;
        crate::project::write(&path, script)?;
        let (later, parts) = without_names(&read(&split.later)?)?;
        crate::project::write(&folder.join(format!("{piece}.wasm")), later)?;
        crate::project::write(&folder.join(LATER_PARTS), parts::written(&parts))?;
    }
    Ok(())
}

/// A module as it is delivered, which has no names, and what it is made of.
fn without_names(module: &[u8]) -> Result<(Vec<u8>, Parts)> {
    let mut module = walrus::ModuleConfig::new()
        .generate_name_section(false)
        .generate_producers_section(false)
        .parse(module)
        .context("what is fetched later cannot be read")?;
    let parts = parts::of(&module);
    Ok((module.emit_wasm(), parts))
}

/// Leptos brings along the classes of streams for calls to a server. This page has none, but an export is never dead code.
fn drop_unused_classes(module: &mut walrus::Module) {
    let unused: Vec<_> = module
        .exports
        .iter()
        .filter(|export| export.name.contains("intounderlying"))
        .map(walrus::Export::id)
        .collect();
    for export in unused {
        module.exports.delete(export);
    }
    walrus::passes::gc::run(module);
}

fn shrink(from: &Path, version: Option<&str>) -> Result<()> {
    let (Some(version), Some(program)) = (version, find_program(&["wasm-opt"])) else {
        println!(
            "No wasm-opt of version {SOUND_FROM} or newer is there: the page stays a little larger."
        );
        return Ok(());
    };
    step("Shrinking it with wasm-opt", || {
        let to = from.with_extension("smaller");
        let mut command = Command::new(program);
        command.arg("-Oz").args(FEATURES);
        if number(version) >= SPLIT_FEATURE.0 {
            command.arg(SPLIT_FEATURE.1);
        }
        command.args(["--strip-producers", "--strip-target-features"]);
        command.arg(from).arg("-o").arg(&to);
        run(
            &mut command,
            "wasm-opt refused the compiled page: use another version of binaryen, or none",
        )?;
        fs::rename(&to, from).with_context(|| format!("{} cannot be written", from.display()))
    })
}

/// The number in `wasm-opt version 108 (...)`.
fn number(version: &str) -> u32 {
    version
        .split_whitespace()
        .find_map(|word| word.parse().ok())
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_the_version_number() {
        assert_eq!(number("wasm-opt version 108"), 108, "bare");
        assert_eq!(number("wasm-opt version 132 (version_132)"), 132, "tagged");
        assert_eq!(number("something else"), 0, "unknown");
    }
}
