use std::{
    env, fs,
    path::{Path, PathBuf},
    process,
    sync::atomic::{AtomicU32, Ordering},
    thread,
    time::{Duration, Instant},
};

use anyhow::{Context, Result, ensure};
use xtask::digest;

/// A folder of its own, removed when it is dropped.
#[derive(Debug)]
pub struct Folder(PathBuf);

impl Folder {
    /// Makes an empty folder among the system's temporary files.
    ///
    /// # Errors
    ///
    /// Fails where it cannot be made.
    pub fn new(purpose: &str) -> Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = env::temp_dir().join(format!("stopkeeper-{purpose}-{}-{number}", process::id()));
        fs::create_dir_all(&path).with_context(|| format!("could not make {}", path.display()))?;
        Ok(Self(path))
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // A browser that was just closed may still be writing its last files. OK to leave the folder behind after that:
        // it is among the system's temporary files.
        let began = Instant::now();
        while fs::remove_dir_all(&self.0).is_err()
            && self.0.exists()
            && began.elapsed() < Duration::from_secs(2)
        {
            thread::yield_now();
        }
    }
}

/// A copy of the built page that tells where each of its parts comes from: another build of the same page.
///
/// The document carries the name of the build as `data-release`, the style as the property `--release`, and the script
/// that starts the page as the global `release`. The list in the service worker is brought up to date as a build does it.
#[derive(Debug)]
pub struct Release {
    folder: Folder,
    style: String,
}

impl Release {
    /// Makes one.
    ///
    /// # Errors
    ///
    /// Fails where the built page is not as expected.
    pub fn of(dist: &Path, name: &str) -> Result<Self> {
        let folder = Folder::new(&format!("release-{name}"))?;
        copy(dist, folder.path())?;
        let release = Self {
            style: style_of(folder.path())?,
            folder,
        };
        release.mark(name)
    }

    fn mark(mut self, name: &str) -> Result<Self> {
        let old_style = self.read(&self.style)?;
        let style = format!("{old_style}:root{{--release:{name}}}");
        let style_name = format!("app-{}.css", digest::short(style.as_bytes()));
        let document = self.read("index.html")?.replace(&self.style, &style_name);
        let document = document.replace(
            &digest::integrity(old_style.as_bytes()),
            &digest::integrity(style.as_bytes()),
        );
        let marked = document.replacen("<html ", &format!("<html data-release=\"{name}\" "), 1);
        ensure!(document != marked, "the document has no <html> to mark");
        let start = self.read("boot.js")? + &format!("\nglobalThis.release = \"{name}\";\n");
        let mut worker = self.read("sw.js")?;
        let renamed = self.style.clone();
        for (file, new_file, text) in [
            (renamed.as_str(), style_name.as_str(), &style),
            ("index.html", "index.html", &marked),
            ("boot.js", "boot.js", &start),
        ] {
            let old = digest::integrity(self.read(file)?.as_bytes());
            ensure!(worker.contains(&old), "the worker does not list {file}");
            worker = worker
                .replace(&old, &digest::integrity(text.as_bytes()))
                .replace(file, new_file);
            self.remove(file)?;
            fs::write(self.path().join(new_file), text)?;
        }
        let (before, after) = worker
            .split_once("VERSION = \"")
            .context("the worker names no version")?;
        let (_, after) = after
            .split_once('"')
            .context("the worker names no version")?;
        let version = digest::short(worker.as_bytes());
        let worker = format!("{before}VERSION = \"{version}\"{after}");
        self.remove("sw.js")?;
        fs::write(self.path().join("sw.js"), worker)?;
        self.style = style_name;
        Ok(self)
    }

    /// Damages one file, as an upload that was cut short does.
    ///
    /// # Errors
    ///
    /// Fails where it cannot be written.
    pub fn corrupt(&self) -> Result<()> {
        let style = self.read(&self.style)?;
        fs::write(self.path().join(&self.style), &style[..style.len() / 2])?;
        Ok(())
    }

    /// The name of its styles.
    #[must_use]
    pub fn style(&self) -> &str {
        &self.style
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    fn read(&self, file: &str) -> Result<String> {
        let path = self.path().join(file);
        fs::read_to_string(&path).with_context(|| format!("could not read {}", path.display()))
    }

    /// Removes a file with its compressed copy.
    fn remove(&self, file: &str) -> Result<()> {
        fs::remove_file(self.path().join(file))?;
        let compressed = self.path().join(format!("{file}.br"));
        if compressed.exists() {
            fs::remove_file(compressed)?;
        }
        Ok(())
    }
}

fn style_of(folder: &Path) -> Result<String> {
    let mut names =
        fs::read_dir(folder)?.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    let style = |name: &String| {
        name.starts_with("app-")
            && Path::new(name)
                .extension()
                .is_some_and(|kind| kind == "css")
    };
    names.find(style).context("the built page has no style")
}

pub(super) fn copy(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
