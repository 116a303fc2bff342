//! Takes apart a program of which something is fetched when it is first wanted.
//!
//! What only one function reaches goes into a module of its own. The two share memory and table, so the program does not know
//! the difference once the module is there.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, anyhow, bail};
use wasm_split_cli_support::{Options, transform};

use crate::project::read;

/// The name under which the main module asks for the script that fetches the others.
const LINK: &str = "./split.js";

/// What a program was taken apart into.
#[derive(Debug)]
pub(super) struct Split {
    /// The module that starts.
    pub(super) main: PathBuf,
    /// The one that is fetched later.
    pub(super) later: PathBuf,
}

/// Takes a compiled program apart at the function of that name, before it is bound.
///
/// # Errors
///
/// When it cannot be, or comes apart otherwise than into those two.
pub(super) fn split(compiled: &Path, folder: &Path, piece: &str) -> Result<Split> {
    let folder = folder.join("split");
    fs::create_dir_all(&folder).with_context(|| format!("{} cannot be made", folder.display()))?;
    let input = read(compiled)?;
    let main = folder.join("main.wasm");
    let mut options = Options::new(&input);
    options.output_dir = &folder;
    options.main_out_path = &main;
    options.link_name = LINK;
    let made = transform(options)
        .map_err(|error| anyhow!("{error:#}"))
        .context("the program cannot be taken apart")?;
    let [later] = <[PathBuf; 1]>::try_from(made.split_modules)
        .map_err(|all| anyhow!("the program came apart into {} modules", all.len() + 1))?;
    if later
        .file_stem()
        .is_none_or(|stem| stem != format!("split_{piece}").as_str())
    {
        bail!(
            "the program came apart at {} instead of {piece}",
            later.display()
        );
    }
    Ok(Split { main, later })
}

/// The bound script with what fetches the later module in place of the import of a script that would: the start script fetches and
/// checks it like every file of the page.
///
/// # Errors
///
/// When the script does not import what it should.
pub(super) fn link(script: &str, piece: &str) -> Result<String> {
    let import = script
        .lines()
        .find(|line| line.starts_with("import ") && line.contains(LINK))
        .ok_or_else(|| anyhow!("the bound script does not ask for {LINK}"))?;
    let names = import
        .strip_prefix("import * as ")
        .and_then(|rest| rest.split_once(" from "))
        .ok_or_else(|| {
            anyhow!("the bound script asks for {LINK} in a way that is not known: {import}")
        })?
        .0;
    let fetches = format!(
        "let fetching;\n\
         const {names} = {{ __wasm_split_load_{piece}: async (call, data) => {{\n\
         let came = true;\n\
         try {{\n\
         await (fetching ??= window.stopkeeperCompile('{piece}-program').then((module) => \
         WebAssembly.instantiate(module, {{ __wasm_split: wasm }})));\n\
         }} catch (error) {{\n\
         console.warn(error);\n\
         fetching = undefined;\n\
         came = false;\n\
         }}\n\
         wasm.__indirect_function_table.get(call)(data, came);\n\
         }} }};\n"
    );
    Ok(script.replace(import, &fetches))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_later_module_is_asked_for_through_the_start_script() {
        let script = "import * as import7 from \"./split.js\"\nlet wasm;\n";
        let linked = link(script, "scans").expect("it is linked");
        assert!(!linked.contains("split.js"), "{linked}");
        assert!(
            linked.contains("const import7 = { __wasm_split_load_scans: async"),
            "{linked}"
        );
        assert!(
            linked.contains("stopkeeperCompile('scans-program')"),
            "{linked}"
        );
        assert!(linked.ends_with("let wasm;\n"), "{linked}");
    }

    #[test]
    fn the_start_script_has_what_is_asked() {
        let start = include_str!("../../../../web/site/boot.js");
        assert!(start.contains("window.stopkeeperCompile = async (id)"));
    }

    #[test]
    fn a_script_that_asks_otherwise_is_refused() {
        for script in ["let wasm;\n", "import { a } from \"./split.js\"\n"] {
            let error = link(script, "scans").expect_err(script);
            assert!(error.to_string().contains("split.js"), "{error}");
        }
    }
}
