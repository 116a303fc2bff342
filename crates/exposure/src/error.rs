use core::fmt;

/// Why a value could not be taken.
///
/// One type for the whole crate: callers show the sentence, or ask [`is_range`](Self::is_range) and
/// [`is_parse`](Self::is_parse).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error {
    kind: Kind,
    text: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Range,
    Parse,
}

impl Error {
    pub(crate) fn range(text: impl Into<String>) -> Self {
        Self {
            kind: Kind::Range,
            text: text.into(),
        }
    }

    pub(crate) fn parse(text: impl Into<String>) -> Self {
        Self {
            kind: Kind::Parse,
            text: text.into(),
        }
    }

    /// The text was understood, but the value is outside what can be used.
    #[must_use]
    pub const fn is_range(&self) -> bool {
        matches!(self.kind, Kind::Range)
    }

    /// The text was not understood.
    #[must_use]
    pub const fn is_parse(&self) -> bool {
        matches!(self.kind, Kind::Parse)
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl core::error::Error for Error {}

/// Why a crate that builds on this one could not take something: one sentence for the person, which says what would be
/// accepted.
///
/// ```
/// let refused = exposure::Refused::new("the camera needs a name");
/// assert_eq!(refused.to_string(), "the camera needs a name");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused(String);

impl Refused {
    /// Takes the sentence.
    #[must_use]
    pub fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl core::error::Error for Refused {}

impl From<Error> for Refused {
    fn from(error: Error) -> Self {
        Self(error.text)
    }
}
