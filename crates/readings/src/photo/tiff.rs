//! A block of tags: a TIFF. Its directories are looked over once, and a value is read when it is asked for.
//!
//! Layout: TIFF 6.0 and its technical note 1 (pointers of a type of their own), Exif (CIPA DC-008); from memory.

use super::tag::{self, Tag};

/// A block of tags.
pub(super) struct Block {
    bytes: Vec<u8>,
    order: Order,
    entries: Vec<Entry>,
    /// Directories that are cut off, or whose directory of the camera is.
    broken: Vec<u16>,
}

/// A tag that stands in a directory.
struct Entry {
    directory: u16,
    /// Whether it stands in the directory of the camera that this one leads to.
    of_the_camera: bool,
    tag: Tag,
    kind: u16,
    count: usize,
    /// Where its values begin; none where they lie beyond the end of the block.
    at: Option<usize>,
}

/// A tag with values in the block.
pub(super) struct Field<'a> {
    block: &'a Block,
    entry: &'a Entry,
    at: usize,
}

/// A number as a tag holds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Number {
    /// A number.
    Is(f64),
    /// A ratio.
    Ratio(i64, i64),
    /// Something else.
    None,
}

/// Directories of one block that are looked at.
pub(super) const MOST: u16 = 8;

/// Numbers after the byte order: a TIFF, and raw files that are laid out like one (from memory).
const PLAIN: u16 = 42;
const RAW: [u16; 3] = [0x4F52, 0x5352, 0x0055];
/// A TIFF with offsets of eight bytes.
const WIDE: u16 = 43;

/// What the first bytes of a file say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Head {
    /// A TIFF.
    Plain,
    /// A raw file that is laid out like one.
    Raw,
    /// One with offsets of eight bytes.
    Wide,
    /// The byte order of a TIFF, and bytes that are no text.
    Unknown,
    /// Something else.
    Other,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    Little,
    Big,
}

impl Order {
    fn of(bytes: &[u8]) -> Option<Self> {
        match bytes.get(..2)? {
            b"II" => Some(Self::Little),
            b"MM" => Some(Self::Big),
            _ => None,
        }
    }

    fn short(self, bytes: &[u8], at: usize) -> Option<u16> {
        let two = bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(match self {
            Self::Little => u16::from_le_bytes(two),
            Self::Big => u16::from_be_bytes(two),
        })
    }

    fn long(self, bytes: &[u8], at: usize) -> Option<usize> {
        let four = bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        let value = match self {
            Self::Little => u32::from_le_bytes(four),
            Self::Big => u32::from_be_bytes(four),
        };
        usize::try_from(value).ok()
    }
}

/// Whether bytes begin as a TIFF.
pub(super) fn is_plain(bytes: &[u8]) -> bool {
    head(bytes) == Head::Plain
}

/// What the first bytes of a file say.
pub(super) fn head(bytes: &[u8]) -> Head {
    let number = Order::of(bytes).and_then(|order| order.short(bytes, 2));
    // Text has no byte below a tabulator.
    let is_text = || bytes.iter().take(64).all(|byte| *byte >= b'\t');
    match number {
        Some(PLAIN) => Head::Plain,
        Some(number) if RAW.contains(&number) && !is_text() => Head::Raw,
        Some(WIDE) => Head::Wide,
        Some(_) if !is_text() => Head::Unknown,
        _ => Head::Other,
    }
}

impl Block {
    /// Reads a block; none where it is no TIFF, or is cut off before its first directory.
    pub(super) fn read(bytes: Vec<u8>) -> Option<Self> {
        let order = Order::of(&bytes)?;
        let mut next = Some(order.long(&bytes, 4)?);
        let mut block = Self {
            bytes,
            order,
            entries: Vec::new(),
            broken: Vec::new(),
        };
        let mut visited = Vec::new();
        for directory in 0..MOST {
            let Some(at) = next.filter(|at| *at != 0 && !visited.contains(at)) else {
                break;
            };
            visited.push(at);
            next = block.look_over(at, directory, false);
        }
        Some(block)
    }

    /// Looks over one directory; where the next one is, if it says so.
    fn look_over(&mut self, at: usize, directory: u16, of_the_camera: bool) -> Option<usize> {
        let mut camera = None;
        let next = self.entries_at(at, directory, of_the_camera, &mut camera);
        if next.is_none() {
            self.broken.push(directory);
        }
        if let Some(camera) = camera.filter(|_| !of_the_camera) {
            self.look_over(camera, directory, true);
        }
        next.flatten()
    }

    /// The entries of a directory, and where it leads to: to the one of the camera, and to the next; none where it is cut off.
    fn entries_at(
        &mut self,
        at: usize,
        directory: u16,
        of_the_camera: bool,
        camera: &mut Option<usize>,
    ) -> Option<Option<usize>> {
        let (bytes, order) = (&self.bytes, self.order);
        let count = order.short(bytes, at)?;
        let mut at = at + 2;
        for _ in 0..count {
            if bytes.len() < at + 12 {
                return None;
            }
            let kind = order.short(bytes, at + 2)?;
            let count = order.long(bytes, at + 4)?;
            let entry = Entry {
                directory,
                of_the_camera,
                tag: Tag(order.short(bytes, at)?),
                kind,
                count,
                at: self.place(at + 8, kind, count),
            };
            if entry.tag == tag::CAMERA && camera.is_none() {
                *camera = order.long(bytes, at + 8);
            }
            self.entries.push(entry);
            at += 12;
        }
        // Where nothing follows, the block may end here.
        Some(order.long(bytes, at))
    }

    /// Where values begin: short ones in the entry itself, others where it says; none beyond the end.
    fn place(&self, within: usize, kind: u16, count: usize) -> Option<usize> {
        let length = count.checked_mul(width(kind))?;
        if length <= 4 {
            return Some(within);
        }
        let from = self.order.long(&self.bytes, within)?;
        (from.checked_add(length)? <= self.bytes.len()).then_some(from)
    }

    /// The entry with this tag: of the directory of the camera, or of the one that leads to it.
    ///
    /// Exif keeps them in the former; scanners, some raw files and TIFF/EP (ISO 12234-2) in the latter.
    fn entry(&self, tag: Tag, directory: u16) -> Option<&Entry> {
        let found = |of_the_camera: bool| {
            self.entries.iter().find(|entry| {
                entry.tag == tag
                    && entry.directory == directory
                    && entry.of_the_camera == of_the_camera
                    && entry.at.is_some()
            })
        };
        found(true).or_else(|| found(false))
    }

    /// The field with this tag, where its values are in the block.
    pub(super) fn field(&self, tag: Tag, directory: u16) -> Option<Field<'_>> {
        let entry = self.entry(tag, directory)?;
        Some(Field {
            block: self,
            entry,
            at: entry.at?,
        })
    }

    /// Whether the tag stands in the directory of the camera.
    pub(super) fn is_of_the_camera(&self, tag: Tag, directory: u16) -> bool {
        self.entry(tag, directory)
            .is_some_and(|entry| entry.of_the_camera)
    }

    /// Whether the tag stands there and its value cannot be read.
    pub(super) fn is_beyond(&self, tag: Tag, directory: u16) -> bool {
        self.entries
            .iter()
            .any(|entry| entry.tag == tag && entry.directory == directory && entry.at.is_none())
    }

    /// Whether tags are missing, for the directory or the camera's is cut off.
    pub(super) fn is_broken(&self, directory: u16) -> bool {
        self.broken.contains(&directory)
    }

    /// Whether any directory is cut off.
    pub(super) fn is_broken_somewhere(&self) -> bool {
        !self.broken.is_empty()
    }

    /// JPEG pictures in the block that may have metadata of their own.
    pub(super) fn pictures(&self) -> Vec<&[u8]> {
        let at = |entry: &Entry| match (entry.kind, entry.tag) {
            (UNDEFINED, _) => entry.at,
            (_, tag::PICTURE) => self.order.long(&self.bytes, entry.at?),
            _ => None,
        };
        self.entries
            .iter()
            .filter_map(at)
            .filter_map(|at| self.bytes.get(at..))
            .filter(|inside| inside.starts_with(b"\xff\xd8\xff"))
            .take(MOST.into())
            .collect()
    }
}

impl<'a> Field<'a> {
    /// Its first value as a number.
    pub(super) fn number(&self) -> Number {
        self.first().unwrap_or(Number::None)
    }

    fn first(&self) -> Option<Number> {
        if self.entry.count == 0 {
            return None;
        }
        let ratio = |of: fn([u8; 4]) -> i64| {
            let over = self.figure(0)?;
            Some(Number::Ratio(of(over), of(self.figure(4)?)))
        };
        Some(match self.entry.kind {
            RATIO => ratio(|four| u32::from_be_bytes(four).into())?,
            SIGNED_RATIO => ratio(|four| i32::from_be_bytes(four).into())?,
            FLOAT => Number::Is(f32::from_be_bytes(self.figure(0)?).into()),
            DOUBLE => Number::Is(f64::from_be_bytes(self.figure(0)?)),
            _ => Number::Is(self.uint()?.into()),
        })
    }

    /// Its first value as a whole number without a sign.
    pub(super) fn uint(&self) -> Option<u32> {
        if self.entry.count == 0 {
            return None;
        }
        Some(match self.entry.kind {
            BYTE => u8::from_be_bytes(self.figure(0)?).into(),
            SHORT => u16::from_be_bytes(self.figure(0)?).into(),
            LONG => u32::from_be_bytes(self.figure(0)?),
            _ => return None,
        })
    }

    /// Its text, up to the end of its first line.
    pub(super) fn text(&self) -> Option<&'a [u8]> {
        let bytes = self.block.bytes.get(self.at..)?.get(..self.entry.count)?;
        let text = (self.entry.kind == TEXT).then_some(bytes)?;
        text.split(|byte| *byte == 0).next()
    }

    /// Bytes of a value, the highest first.
    fn figure<const N: usize>(&self, from: usize) -> Option<[u8; N]> {
        let bytes = self.block.bytes.get(self.at.checked_add(from)?..)?;
        let mut bytes = *bytes.first_chunk::<N>()?;
        if self.block.order == Order::Little {
            bytes.reverse();
        }
        Some(bytes)
    }
}

/// Types of values.
const BYTE: u16 = 1;
const TEXT: u16 = 2;
const SHORT: u16 = 3;
const LONG: u16 = 4;
const RATIO: u16 = 5;
const UNDEFINED: u16 = 7;
const SIGNED_RATIO: u16 = 10;
const FLOAT: u16 = 11;
const DOUBLE: u16 = 12;

/// Bytes of one value of a type.
const fn width(kind: u16) -> usize {
    match kind {
        1 | 2 | 6 | 7 => 1,
        3 | 8 => 2,
        4 | 9 | 11 | 13 => 4,
        5 | 10 | 12 => 8,
        _ => 0,
    }
}
