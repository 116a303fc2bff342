use core::fmt;

/// Why no reading could be made, as a sentence for the person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Error(String);

impl Error {
    pub(crate) fn new(text: impl Into<String>) -> Self {
        Self(text.into())
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl core::error::Error for Error {}

impl From<exposure::Error> for Error {
    fn from(error: exposure::Error) -> Self {
        Self(error.to_string())
    }
}
