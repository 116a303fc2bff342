//! Small copies of scans that go along with a saved book: lines of its document, and never records of the book.

use base64ct::{Base64, Encoding as _};
use exposure::words;

use crate::{
    json::Cursor,
    read::{envelope, object, take},
    text,
};

/// A copy whose picture has more bytes is not taken from a file: those that are made here have at most 60 000.
pub const LARGEST_COPY: usize = 200_000;
/// The version that a document with copies has.
pub(crate) const IN_DOCUMENT: u32 = 6;
/// The newest version of a copy.
const VERSION: u32 = 1;
const FORMAT: &str = "stopkeeper copy";
/// The pictures that a copy may be. They are shown by every browser, and hold nothing but a picture.
const KINDS: [&str; 4] = ["image/jpeg", "image/webp", "image/png", "image/avif"];

/// A small copy of a scan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SmallCopy {
    /// Id of the roll.
    pub roll: String,
    /// Name of the file that it is a copy of.
    pub name: String,
    /// What kind of picture it is.
    pub kind: String,
    /// The picture.
    pub picture: Vec<u8>,
    /// The record of what was measured; empty where there is none.
    pub measured: String,
}

fn quoted(text: &str) -> String {
    serde_json::to_string(text).expect("a text always has a JSON form")
}

impl SmallCopy {
    /// Whether it can go along.
    fn is_sound(&self) -> bool {
        !self.roll.is_empty()
            && !self.name.is_empty()
            && KINDS.contains(&self.kind.as_str())
            && (1..=LARGEST_COPY).contains(&self.picture.len())
    }

    /// Its line in a document, with the comma that divides it from what is before it; none where it would not be read again.
    #[must_use]
    pub fn line(&self) -> Option<String> {
        self.is_sound().then(|| self.written())
    }

    fn written(&self) -> String {
        let [roll, name, kind] = [&self.roll, &self.name, &self.kind].map(|text| quoted(text));
        let picture = Base64::encode_string(&self.picture);
        let measured = quoted(&self.measured);
        format!(
            ",\n{{\"format\":\"{FORMAT}\",\"version\":{VERSION},\"record\":{{\"roll\":{roll},\"name\":{name},\"kind\":{kind},\"picture\":\"{picture}\",\"measured\":{measured}}}}}"
        )
    }

    /// Whether a piece of a document is meant to be a copy, whole or not.
    pub(crate) fn is_meant(text: &str) -> bool {
        let format = || {
            let mut cursor = Cursor::new(text);
            cursor.eats(b'{').then_some(())?;
            (cursor.name()? == "format").then_some(())?;
            cursor.value(0)
        };
        format().is_some_and(|format| format.as_str() == Some(FORMAT))
    }

    /// Reads a line; none where it is damaged, no picture, or too large.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let (_, version, record) = envelope(text)?;
        let mut record = object(record.filter(|_| version <= VERSION)?)?;
        let picture: String = take(&mut record, "picture")?;
        (picture.len() <= LARGEST_COPY.div_ceil(3) * 4).then_some(())?;
        let copy = Self {
            roll: take(&mut record, "roll")?,
            name: take(&mut record, "name")?,
            kind: take(&mut record, "kind")?,
            picture: Base64::decode_vec(&picture).ok()?,
            measured: take(&mut record, "measured")?,
        };
        (record.is_empty() && copy.is_sound()).then_some(copy)
    }
}

/// So many bytes in words: `340 kB`, `1.9 MB`.
#[must_use]
pub fn bytes_words(bytes: f64) -> String {
    if bytes < 1e6 {
        format!("{} kB", words::decimal(bytes / 1e3, 0))
    } else {
        format!("{} MB", words::decimal(bytes / 1e6, 1))
    }
}

/// What small copies a document has.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Copies {
    count: usize,
    bytes: usize,
    /// The ids of their rolls, each once.
    rolls: Vec<String>,
    /// How many could not be read.
    damaged: usize,
}

impl Copies {
    /// Counts a copy; one that could not be read is none.
    pub(crate) fn count(&mut self, copy: Option<&SmallCopy>) {
        let Some(copy) = copy else {
            self.damaged += 1;
            return;
        };
        self.count += 1;
        self.bytes += copy.picture.len();
        // The copies of a roll stand together.
        if self.rolls.last() != Some(&copy.roll) && !self.rolls.contains(&copy.roll) {
            self.rolls.push(copy.roll.clone());
        }
    }

    /// What comes of them, in sentences.
    pub(crate) fn words(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.count > 0 {
            let copies = match self.count {
                1 => "1 small copy of a scan".to_owned(),
                count => format!("{count} small copies of scans"),
            };
            #[expect(clippy::cast_precision_loss, reason = "bytes of a file")]
            let bytes = bytes_words(self.bytes as f64);
            let rolls = text::counted(self.rolls.len(), "roll");
            out.push(format!("Brings {copies} for {rolls}, {bytes}."));
        }
        if self.damaged > 0 {
            out.push(match self.damaged {
                1 => "1 small copy of a scan could not be read and is left out.".to_owned(),
                count => {
                    format!("{count} small copies of scans could not be read and are left out.")
                }
            });
        }
        out
    }
}
