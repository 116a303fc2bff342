//! A block of tags: a TIFF, whose directories are looked over before the library reads their values.
//!
//! Layout: TIFF 6.0 and its technical note 1 (pointers of a type of their own), Exif (CIPA DC-008); from memory.

use exif::{Context, Exif, Field, In, Reader, Tag, Value};

/// A block whose values can be asked for.
pub(super) struct Block {
    exif: Exif,
    seen: Seen,
}

/// What stands in the directories, whether or not its value can be read.
#[derive(Debug, Default)]
struct Seen {
    /// Directory and number of a tag whose value lies beyond the end of the block.
    beyond: Vec<(u16, u16)>,
    /// Directories that are cut off, or whose directory of the camera is.
    broken: Vec<u16>,
}

/// Directories of one block that are looked at; the library reads as many.
const MOST: u16 = 8;

/// The tag that leads to the directory of the camera.
const CAMERA: u16 = 0x8769;

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

#[derive(Debug, Clone, Copy)]
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

    fn put(self, bytes: &mut [u8], at: usize, value: u16) {
        let value = match self {
            Self::Little => value.to_le_bytes(),
            Self::Big => value.to_be_bytes(),
        };
        if let Some(place) = at.checked_add(2).and_then(|end| bytes.get_mut(at..end)) {
            place.copy_from_slice(&value);
        }
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
    pub(super) fn read(mut bytes: Vec<u8>) -> Option<Self> {
        let order = Order::of(&bytes)?;
        // The library reads nothing else.
        order.put(&mut bytes, 2, PLAIN);
        let seen = Seen::look_over(order, &mut bytes);
        let mut reader = Reader::new();
        reader.continue_on_error(true);
        // What the library holds against a block is not asked for: it refuses what is odd and harmless as well, such as a
        // ninth directory, and does not say which tag it means.
        let exif = reader
            .read_raw(bytes)
            .or_else(|error| error.distill_partial_result(|_| ()))
            .ok()?;
        Some(Self { exif, seen })
    }

    /// The field with this tag: of the directory of the camera, or of the one that leads to it.
    ///
    /// Exif keeps them in the former; scanners, some raw files and TIFF/EP (ISO 12234-2) in the latter.
    pub(super) fn field(&self, tag: Tag, directory: u16) -> Option<&Field> {
        let place = In(directory);
        self.exif
            .get_field(tag, place)
            .or_else(|| self.exif.get_field(Tag(Context::Tiff, tag.number()), place))
    }

    /// Whether the tag stands in the directory of the camera.
    pub(super) fn is_of_the_camera(&self, tag: Tag, directory: u16) -> bool {
        self.exif.get_field(tag, In(directory)).is_some()
    }

    /// Whether the tag stands there and its value cannot be read.
    pub(super) fn is_beyond(&self, tag: Tag, directory: u16) -> bool {
        self.seen.beyond.contains(&(directory, tag.number()))
    }

    /// Whether tags are missing, for the directory or the camera's is cut off.
    pub(super) fn is_broken(&self, directory: u16) -> bool {
        self.seen.broken.contains(&directory)
    }

    /// Whether any directory is cut off.
    pub(super) fn is_broken_somewhere(&self) -> bool {
        !self.seen.broken.is_empty()
    }

    /// JPEG pictures in the block that may have metadata of their own.
    pub(super) fn pictures(&self) -> Vec<&[u8]> {
        let bytes = self.exif.buf();
        let at = |field: &Field| -> Option<usize> {
            match &field.value {
                // OK on every device: an offset of four bytes.
                Value::Undefined(_, offset) => usize::try_from(*offset).ok(),
                value if field.tag.number() == Tag::JPEGInterchangeFormat.number() => {
                    usize::try_from(value.get_uint(0)?).ok()
                }
                _ => None,
            }
        };
        self.exif
            .fields()
            .filter_map(at)
            .filter_map(|at| bytes.get(at..))
            .filter(|inside| inside.starts_with(b"\xff\xd8\xff"))
            .take(MOST.into())
            .collect()
    }
}

impl Seen {
    /// Looks over the directories, and makes pointers of the type that the library knows.
    fn look_over(order: Order, bytes: &mut [u8]) -> Self {
        let mut seen = Self::default();
        let mut next = order.long(bytes, 4);
        let mut visited = Vec::new();
        for directory in 0..MOST {
            let Some(at) = next.filter(|at| *at != 0 && !visited.contains(at)) else {
                break;
            };
            visited.push(at);
            next = seen.directory(order, bytes, at, directory, true);
        }
        seen
    }

    /// One directory; where the next one is, if it says so.
    fn directory(
        &mut self,
        order: Order,
        bytes: &mut [u8],
        at: usize,
        directory: u16,
        mut leads_on: bool,
    ) -> Option<usize> {
        let Some(count) = order.short(bytes, at) else {
            self.broken.push(directory);
            return None;
        };
        let mut at = at + 2;
        for _ in 0..count {
            if bytes.len() < at + 12 {
                self.broken.push(directory);
                return None;
            }
            let tag = order.short(bytes, at)?;
            let kind = order.short(bytes, at + 2)?;
            let count = order.long(bytes, at + 4)?;
            let inside = count.checked_mul(width(kind)).is_some_and(|length| {
                length <= 4
                    || order
                        .long(bytes, at + 8)
                        .and_then(|from| from.checked_add(length))
                        .is_some_and(|end| end <= bytes.len())
            });
            if !inside {
                self.beyond.push((directory, tag));
            }
            if tag == CAMERA && leads_on {
                leads_on = false;
                // A long by another name.
                if kind == 13 {
                    order.put(bytes, at + 2, 4);
                }
                if let Some(camera) = order.long(bytes, at + 8) {
                    self.directory(order, bytes, camera, directory, false);
                }
            }
            at += 12;
        }
        order.long(bytes, at)
    }
}

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
