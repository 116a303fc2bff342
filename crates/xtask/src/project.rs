//! Where things are.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};

/// The project's folder, found at run time so that a moved checkout keeps working.
#[derive(Debug, Clone)]
pub struct Project {
    root: PathBuf,
}

impl Project {
    /// Finds the project upwards from the current folder.
    ///
    /// # Errors
    ///
    /// When no folder above is the project.
    pub fn find() -> Result<Self> {
        let here = env::current_dir().context("the current folder cannot be read")?;
        for folder in here.ancestors() {
            if folder.join("crates/xtask/Cargo.toml").is_file() {
                return Ok(Self {
                    root: folder.to_path_buf(),
                });
            }
        }
        bail!("run this inside the project's folder")
    }

    /// The folder with the workspace's `Cargo.toml`.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The built page.
    #[must_use]
    pub fn dist(&self) -> PathBuf {
        self.root.join("dist")
    }

    /// Target folder of everything compiled for wasm: apart from the host's, so that neither throws the other away.
    #[must_use]
    pub fn wasm_target(&self) -> PathBuf {
        self.root.join("target/wasm")
    }

    /// Caches and records of the site build.
    #[must_use]
    pub fn site_cache(&self) -> PathBuf {
        self.root.join("target/site")
    }

    /// Tools fetched for the tests.
    #[must_use]
    pub fn tools(&self) -> PathBuf {
        self.root.join("target/tools")
    }
}

/// Every file below a folder, as paths relative to it with `/` between the parts, sorted.
///
/// # Errors
///
/// When a folder cannot be read.
pub fn files_below(folder: &Path) -> Result<Vec<String>> {
    let mut found = Vec::new();
    collect(folder, "", &mut found)?;
    found.sort();
    Ok(found)
}

fn collect(folder: &Path, prefix: &str, found: &mut Vec<String>) -> Result<()> {
    let unreadable = || format!("the folder {} cannot be read", folder.display());
    for entry in fs::read_dir(folder).with_context(unreadable)? {
        let entry = entry.with_context(unreadable)?;
        let name = entry.file_name();
        let path = format!("{prefix}{}", name.to_string_lossy());
        if entry.file_type().with_context(unreadable)?.is_dir() {
            collect(&entry.path(), &format!("{path}/"), found)?;
        } else {
            found.push(path);
        }
    }
    Ok(())
}

/// Reads a file, naming it in the error.
///
/// # Errors
///
/// When the file cannot be read.
pub fn read(path: &Path) -> Result<Vec<u8>> {
    fs::read(path).with_context(|| format!("{} cannot be read", path.display()))
}

/// Reads a text file, naming it in the error.
///
/// # Errors
///
/// When the file cannot be read or is not UTF-8.
pub fn read_text(path: &Path) -> Result<String> {
    fs::read_to_string(path).with_context(|| format!("{} cannot be read", path.display()))
}

/// Writes a file and the folders above it, naming it in the error.
///
/// # Errors
///
/// When the file cannot be written.
pub fn write(path: &Path, contents: impl AsRef<[u8]>) -> Result<()> {
    let unwritable = || format!("{} cannot be written", path.display());
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder).with_context(unwritable)?;
    }
    fs::write(path, contents).with_context(unwritable)
}
