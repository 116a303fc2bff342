//! The browsers that a test runs in. It is written once; what one of them or its driver lacks is skipped by name.

use std::{env, fmt};

use anyhow::{Result, bail};

/// A browser engine, with its browser and its driver.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// Chromium: every test runs in it.
    Chromium,
    /// Firefox.
    Firefox,
    /// `WebKit`, in the browser that its library for GTK brings along.
    WebKit,
}

impl fmt::Display for Engine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Chromium => "Chromium",
            Self::Firefox => "Firefox",
            Self::WebKit => "WebKit",
        })
    }
}

/// What a test may need of a browser or its driver.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ability {
    /// Touches that arrive as those of a finger.
    Fingers,
    /// A window of a phone's width.
    Narrow,
    /// Forbidding a page to store anything.
    ForbidStorage,
    /// What the browser knows of the page as something to install.
    Install,
    /// A list of every request that the page makes, also those that are stopped.
    Requests,
    /// Folders that a page may open again.
    Folders,
}

impl Ability {
    const fn name(self) -> &'static str {
        match self {
            Self::Fingers => "touches that are not those of a mouse",
            Self::Narrow => "a window of a phone's width",
            Self::ForbidStorage => "forbidding storage",
            Self::Install => "what the browser knows about installing",
            Self::Requests => "every request on record, with those that were stopped",
            Self::Folders => "folders that a page may open again",
        }
    }
}

impl Engine {
    /// The one that the environment names: `STOPKEEPER_ENGINE`, or Chromium.
    ///
    /// # Errors
    ///
    /// Fails where the name is none of theirs.
    pub fn chosen() -> Result<Self> {
        let name = env::var("STOPKEEPER_ENGINE").unwrap_or_else(|_| "chromium".to_owned());
        Ok(match name.as_str() {
            "chromium" => Self::Chromium,
            "firefox" => Self::Firefox,
            "webkit" => Self::WebKit,
            other => bail!("STOPKEEPER_ENGINE is {other:?}: chromium, firefox or webkit"),
        })
    }

    const fn lacks(self) -> &'static [Ability] {
        match self {
            Self::Chromium => &[],
            Self::Firefox => &[Ability::Install, Ability::Requests, Ability::Folders],
            Self::WebKit => &[
                Ability::Fingers,
                Ability::Narrow,
                Ability::ForbidStorage,
                Ability::Install,
                Ability::Requests,
                Ability::Folders,
            ],
        }
    }

    /// Whether it can do this; if not, that something is skipped is printed, with its name.
    #[must_use]
    pub fn can(self, ability: Ability) -> bool {
        let lacks = self.lacks().contains(&ability);
        if lacks {
            println!("skipped in {self}: {}", ability.name());
        }
        !lacks
    }
}
