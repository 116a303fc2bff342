//! Where in a file the metadata of a photo stand: blocks of tags, each a TIFF of its own.
//!
//! Only containers whose structure is public are opened, and by their structure alone: JPEG (ITU-T T.81, segment APP1 by
//! Exif), boxes of ISO base media (ISO/IEC 14496-12, items by ISO/IEC 23008-12), PNG (its third edition, chunk `eXIf`), WebP
//! (RFC 9649), and heads that lead to a JPEG. The layouts are written from memory; files of the tests were laid before two
//! independent readers of metadata by hand.
//!
//! What is cut off or odd is stepped over as far as it can be: a block counts as damaged when the tags in it cannot be read,
//! which is not found out here.

use std::borrow::Cow;

use miniz_oxide::inflate::decompress_to_vec_zlib_with_limit;

use super::tiff;

/// What holds the metadata.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Jpeg,
    Heif,
    JpegXl,
    Tiff,
    Png,
    WebP,
    RawTiff,
    Boxes,
    RawJpeg,
}

impl Kind {
    /// What a person calls it.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG",
            Self::Heif => "HEIF (HEIC, AVIF)",
            Self::JpegXl => "JPEG XL",
            Self::Tiff => "TIFF, or a raw file that is one",
            Self::Png => "PNG",
            Self::WebP => "WebP",
            Self::RawTiff => "raw file built like a TIFF",
            Self::Boxes => "raw file or picture in boxes of ISO base media",
            Self::RawJpeg => "raw file with a JPEG in it",
        }
    }
}

/// Why there are no metadata.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lack {
    /// No byte.
    Empty,
    /// A photo without metadata.
    Nothing,
    /// There are metadata, and nothing in them can be read.
    Damaged,
    /// The file ends before its metadata.
    Cut,
    /// There are metadata, packed in a way that is not read here.
    Packed,
    /// A raw file whose structure is not public or not known.
    Raw,
    /// A TIFF with offsets of eight bytes.
    Wide,
    /// No photo at all.
    NoPhoto,
}

/// Blocks of tags that belong to one photo.
pub(super) type Blocks<'a> = Vec<Cow<'a, [u8]>>;

/// What a file holds: at least one block, the photo that is shown first.
#[derive(Debug)]
pub(super) struct Found<'a> {
    pub(super) kind: Kind,
    pub(super) photos: Vec<Blocks<'a>>,
}

/// Opens a file that is no TIFF.
pub(super) fn open(bytes: &[u8]) -> Result<Found<'_>, Lack> {
    let begins = |start: &[u8]| bytes.starts_with(start);
    let (kind, photos) = if bytes.is_empty() {
        return Err(Lack::Empty);
    } else if begins(JPEG) {
        (Kind::Jpeg, jpeg(bytes)?)
    } else if begins(b"\x89PNG") {
        (Kind::Png, png(bytes)?)
    } else if begins(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        (Kind::WebP, webp(bytes)?)
    } else if Boxes(bytes).take(4).any(|found| found.kind == *b"ftyp") {
        base_media(bytes)?
    } else if let Some(photos) = led_to(bytes) {
        (Kind::RawJpeg, photos)
    } else if begins(b"\xff\x0a") {
        // The code stream of a JPEG XL alone, which has no place for metadata.
        return Err(Lack::Nothing);
    } else if RAW
        .into_iter()
        .any(|(at, mark)| bytes.get(at..at + 4) == Some(mark))
    {
        return Err(Lack::Raw);
    } else {
        return Err(Lack::NoPhoto);
    };
    Ok(Found { kind, photos })
}

/// First bytes of raw files whose structure is not public, and where they stand (from memory).
const RAW: [(usize, &[u8; 4]); 3] = [(6, b"HEAP"), (0, b"\0MRM"), (0, b"FOVb")];

/// How a JPEG begins.
const JPEG: &[u8] = b"\xff\xd8";

/// How far into what should be a block its head is looked for: some phones leave the marker and the length of a JPEG's
/// segment in front of it, some leave out the figure that says where it begins.
const HEAD_WITHIN: usize = 64;

/// Bytes between segments of a JPEG that are stepped over.
const MOST_JUNK: usize = 1 << 16;

/// Bytes of a text in a PNG that are unpacked.
const MOST_TEXT: usize = 1 << 22;

/// Items, parts of an item and inner pictures that are looked at; no file that was seen has more than two.
const MOST_OF_A_KIND: usize = 16;

/// Bytes of an item that is put together of parts.
const MOST_OF_AN_ITEM: usize = 1 << 24;

/// How deep boxes are opened.
const DEEPEST: u8 = 4;

/// The block in what should be one.
fn block(bytes: &[u8]) -> Option<&[u8]> {
    (0..HEAD_WITHIN.min(bytes.len()))
        .map(|at| &bytes[at..])
        .find(|rest| tiff::is_plain(rest))
}

/// The same where four bytes before it say where it begins, which not all writers do, and some wrongly.
fn led_block(bytes: &[u8]) -> Option<&[u8]> {
    let mut rest = Bytes(bytes);
    let said = rest
        .size(4)
        .and_then(|offset| rest.0.get(offset..))
        .filter(|block| tiff::is_plain(block));
    said.or_else(|| block(bytes))
}

/// Each of them a photo, or why there is none: what should have been one was there, or the file was cut off.
fn photos(found: Vec<&[u8]>, spoilt: bool, cut: bool) -> Result<Vec<Blocks<'_>>, Lack> {
    if found.is_empty() {
        return Err(if cut {
            Lack::Cut
        } else if spoilt {
            Lack::Damaged
        } else {
            Lack::Nothing
        });
    }
    Ok(found
        .into_iter()
        .map(|block| vec![Cow::Borrowed(block)])
        .collect())
}

/// The segments before the picture.
pub(super) fn jpeg(bytes: &[u8]) -> Result<Vec<Blocks<'_>>, Lack> {
    let mut rest = Bytes(bytes);
    let (mut found, mut spoilt, mut cut) = (Vec::new(), false, true);
    while let Some(marker) = marker(&mut rest) {
        // Without a length: stuffing, restarts, and the beginning.
        if matches!(marker, 0x00 | 0x01 | 0xD0..=0xD8) {
            continue;
        }
        // The picture or the end: nothing behind it is about this photo.
        if matches!(marker, 0xDA | 0xD9) {
            cut = false;
            break;
        }
        let Some(length) = rest.size(2) else { break };
        let Some(length) = length.checked_sub(2) else {
            continue;
        };
        let segment = rest.up_to(length);
        if marker == 0xE1 && segment.starts_with(b"Exif\0") {
            match block(segment) {
                Some(block) => found.push(block),
                None => spoilt = true,
            }
        }
    }
    photos(found, spoilt, cut)
}

/// The next marker of a JPEG, with what stands before it stepped over.
fn marker(rest: &mut Bytes<'_>) -> Option<u8> {
    let at = rest
        .0
        .iter()
        .take(MOST_JUNK)
        .position(|byte| *byte == 0xFF)?;
    rest.up_to(at);
    let fill = rest.0.iter().take_while(|byte| **byte == 0xFF).count();
    rest.up_to(fill);
    rest.up_to(1).first().copied()
}

/// A JPEG that the head of a file leads to, by an offset in its first 512 bytes.
fn led_to(bytes: &[u8]) -> Option<Vec<Blocks<'_>>> {
    let head = bytes.get(..512.min(bytes.len()))?;
    // Not at the beginning, which would be the file itself.
    let offsets = head.chunks_exact(4).flat_map(|four| {
        let four = [four[0], four[1], four[2], four[3]];
        [u32::from_be_bytes(four), u32::from_le_bytes(four)]
    });
    offsets
        .filter_map(|offset| usize::try_from(offset).ok())
        .filter(|offset| *offset > 0)
        .filter_map(|offset| bytes.get(offset..))
        .filter(|inside| inside.starts_with(b"\xff\xd8\xff"))
        .take(MOST_OF_A_KIND)
        .find_map(|inside| jpeg(inside).ok())
}

fn png(bytes: &[u8]) -> Result<Vec<Blocks<'_>>, Lack> {
    let mut rest = Bytes(bytes.get(8..).unwrap_or_default());
    let (mut chunks, mut texts) = (Vec::new(), Vec::new());
    let (mut spoilt, mut cut) = (false, true);
    while let (Some(length), Some(kind)) = (rest.size(4), rest.take(4)) {
        let data = rest.up_to(length);
        // The sum over the chunk is not checked: it says nothing that the tags themselves do not.
        rest.up_to(4);
        match kind {
            b"IEND" => {
                cut = false;
                break;
            }
            b"eXIf" => match block(data) {
                Some(block) => chunks.push(block),
                None => spoilt = true,
            },
            b"tEXt" | b"zTXt" => match profile(data, kind == b"zTXt") {
                Some(Some(text)) => texts.push(vec![Cow::Owned(text)]),
                Some(None) => spoilt = true,
                None => {}
            },
            _ => {}
        }
    }
    if chunks.is_empty() && !texts.is_empty() {
        return Ok(texts);
    }
    photos(chunks, spoilt, cut)
}

/// The block of a text that carries a profile as hexadecimal figures, as converters wrote it before there was a chunk for
/// it: a line with its name, one with its length, then the figures. The outer `None`: it is another text.
fn profile(data: &[u8], packed: bool) -> Option<Option<Vec<u8>>> {
    let end = data.iter().position(|byte| *byte == 0)?;
    let (name, rest) = (&data[..end], &data[end + 1..]);
    if !matches!(name, b"Raw profile type exif" | b"Raw profile type APP1") {
        return None;
    }
    let text = if packed {
        // One byte says how it is packed; there is one way only.
        decompress_to_vec_zlib_with_limit(rest.get(1..)?, MOST_TEXT).ok()
    } else {
        Some(rest.to_vec())
    };
    Some(text.and_then(|text| unpacked(&text)))
}

fn unpacked(text: &[u8]) -> Option<Vec<u8>> {
    let digits = text
        .split(u8::is_ascii_whitespace)
        .filter(|word| !word.is_empty())
        .skip(2)
        .flatten();
    let half = |byte: u8| {
        char::from(byte)
            .to_digit(16)
            .and_then(|x| u8::try_from(x).ok())
    };
    let halves: Vec<u8> = digits.map_while(|byte| half(*byte)).collect();
    let bytes: Vec<u8> = halves
        .chunks_exact(2)
        .map(|pair| pair[0] << 4 | pair[1])
        .collect();
    block(&bytes).map(<[u8]>::to_vec)
}

fn webp(bytes: &[u8]) -> Result<Vec<Blocks<'_>>, Lack> {
    let mut rest = Bytes(bytes.get(12..).unwrap_or_default());
    let (mut found, mut spoilt, mut cut) = (Vec::new(), false, false);
    while let Some(kind) = rest.take(4) {
        let Some(length) = rest
            .take(4)
            .and_then(|four| four.try_into().ok().map(u32::from_le_bytes))
            .and_then(|length| usize::try_from(length).ok())
        else {
            cut = true;
            break;
        };
        cut |= length > rest.0.len();
        let data = rest.up_to(length);
        rest.up_to(length % 2);
        if kind == b"EXIF" {
            match block(data) {
                Some(block) => found.push(block),
                None => spoilt = true,
            }
        }
    }
    photos(found, spoilt, cut)
}

/// A box of ISO base media.
struct Box<'a> {
    kind: [u8; 4],
    body: &'a [u8],
    /// Whether it is said to go on beyond what holds it.
    cut: bool,
}

/// The boxes in a stretch of bytes, one after another.
struct Boxes<'a>(&'a [u8]);

impl<'a> Iterator for Boxes<'a> {
    type Item = Box<'a>;

    fn next(&mut self) -> Option<Box<'a>> {
        let mut rest = Bytes(self.0);
        let length = rest.uint(4)?;
        let kind = rest.take(4)?.try_into().ok()?;
        let length = match length {
            0 => u64::MAX,
            1 => rest.uint(8)?,
            length => length,
        };
        let to_the_end = length == u64::MAX;
        let head = self.0.len() - rest.0.len();
        let length = usize::try_from(length).unwrap_or(usize::MAX);
        let cut = !to_the_end && length > self.0.len();
        // Shorter than its own head: nothing behind it can be found.
        let body = self
            .0
            .get(head..length.min(self.0.len()))
            .unwrap_or_default();
        self.0 = if length < head {
            &[]
        } else {
            self.0.get(length..).unwrap_or_default()
        };
        Some(Box { kind, body, cut })
    }
}

fn base_media(bytes: &[u8]) -> Result<(Kind, Vec<Blocks<'_>>), Lack> {
    let (mut items, mut single, mut nested) = (Items::default(), Vec::new(), Vec::new());
    let (mut image, mut packed, mut cut, mut whole) = (false, false, false, false);
    for found in Boxes(bytes) {
        cut |= found.cut;
        match &found.kind {
            b"ftyp" => image |= shows_a_picture(found.body),
            b"meta" => {
                whole |= !found.cut;
                items.collect(found.body, bytes);
            }
            b"Exif" => single.extend(led_block(found.body)),
            b"brob" => packed |= found.body.starts_with(b"Exif"),
            b"moov" | b"uuid" => blocks_in(&found, DEEPEST, &mut nested),
            _ => {}
        }
    }
    if !items.photos.is_empty() {
        return Ok((Kind::Heif, items.photos));
    }
    if !single.is_empty() {
        return Ok((Kind::JpegXl, photos(single, false, false)?));
    }
    if !nested.is_empty() {
        return Ok((Kind::Boxes, vec![nested]));
    }
    Err(if packed {
        Lack::Packed
    } else if items.cut || (cut && !whole) {
        Lack::Cut
    } else if items.listed {
        Lack::Damaged
    } else if image {
        Lack::Nothing
    } else {
        Lack::NoPhoto
    })
}

/// Whether a file calls itself a picture, by the beginnings of the kinds that are registered for pictures (from memory).
fn shows_a_picture(kinds: &[u8]) -> bool {
    const PICTURES: [&[u8; 3]; 9] = [
        b"mif", b"msf", b"mia", b"hei", b"hev", b"avi", b"jp2", b"jpx", b"jxl",
    ];
    let (kinds, _) = kinds.as_chunks::<4>();
    kinds.iter().any(|kind| {
        PICTURES
            .into_iter()
            .any(|picture| kind.starts_with(picture))
    })
}

/// Boxes in a film's head, and in what is marked by a number of its own, whose whole content is a block.
fn blocks_in<'a>(outer: &Box<'a>, deep: u8, found: &mut Blocks<'a>) {
    // What is in a box of its own kind begins with a number of 16 bytes.
    let inner = match &outer.kind {
        b"uuid" => outer.body.get(16..).unwrap_or_default(),
        _ => outer.body,
    };
    if tiff::is_plain(inner) {
        found.push(Cow::Borrowed(inner));
        return;
    }
    if !matches!(&outer.kind, b"moov" | b"trak" | b"udta" | b"uuid") {
        return;
    }
    if deep > 0 {
        for inner in Boxes(inner) {
            blocks_in(&inner, deep - 1, found);
        }
    }
}

/// Items of a picture in boxes that hold metadata.
#[derive(Default)]
struct Items<'a> {
    photos: Vec<Blocks<'a>>,
    /// Whether one is listed at all.
    listed: bool,
    /// Whether one lies beyond the end of the file.
    cut: bool,
}

impl<'a> Items<'a> {
    fn collect(&mut self, body: &'a [u8], file: &'a [u8]) {
        // Four bytes of version and flags, which a related format leaves out.
        let body = match body.get(4..8) {
            Some(b"hdlr") => body,
            _ => body.get(4..).unwrap_or_default(),
        };
        let one = |kind: &[u8; 4]| Boxes(body).find(|inner| inner.kind == *kind);
        let mut listed = one(b"iinf")
            .map(|list| exif_items(list.body))
            .unwrap_or_default();
        self.listed |= !listed.is_empty();
        let primary = one(b"pitm").and_then(|primary| {
            let mut rest = Bytes(primary.body);
            let version = rest.uint(4)? >> 24;
            rest.uint(if version == 0 { 2 } else { 4 })
        });
        let references = one(b"iref")
            .map(|list| references(list.body))
            .unwrap_or_default();
        // What describes the picture that is shown goes first.
        listed.sort_by_key(|item| {
            !references.iter().any(|reference| {
                reference.kind == *b"cdsc"
                    && reference.from == *item
                    && primary.is_some_and(|primary| reference.to.contains(&primary))
            })
        });
        let Some(places) = one(b"iloc").map(|list| list.body) else {
            return;
        };
        let store = Store {
            places,
            file,
            own: one(b"idat").map(|data| data.body).unwrap_or_default(),
            references: &references,
        };
        for item in listed {
            match store.item(item, 1) {
                Some(Cow::Borrowed(data)) => {
                    let block = led_block(data).map(|block| vec![Cow::Borrowed(block)]);
                    self.photos.extend(block);
                }
                Some(Cow::Owned(data)) => {
                    let block = led_block(&data).map(|block| vec![Cow::Owned(block.to_vec())]);
                    self.photos.extend(block);
                }
                None => self.cut = true,
            }
        }
    }
}

/// The numbers of all items of type `Exif`.
fn exif_items(list: &[u8]) -> Vec<u64> {
    let mut rest = Bytes(list);
    let Some(version) = rest.uint(4).map(|head| head >> 24) else {
        return Vec::new();
    };
    rest.up_to(if version == 0 { 2 } else { 4 });
    Boxes(rest.0)
        .filter(|entry| entry.kind == *b"infe")
        .filter_map(|entry| {
            let mut rest = Bytes(entry.body);
            let version = rest.uint(4)? >> 24;
            // Older entries have no type.
            let item = match version {
                0 | 1 => return None,
                2 => rest.uint(2)?,
                _ => rest.uint(4)?,
            };
            rest.take(2)?;
            (rest.take(4)? == b"Exif").then_some(item)
        })
        .take(MOST_OF_A_KIND)
        .collect()
}

/// That an item says something of others.
struct Reference {
    kind: [u8; 4],
    from: u64,
    to: Vec<u64>,
}

fn references(list: &[u8]) -> Vec<Reference> {
    let mut rest = Bytes(list);
    let Some(version) = rest.uint(4).map(|head| head >> 24) else {
        return Vec::new();
    };
    let wide = if version == 0 { 2 } else { 4 };
    Boxes(rest.0)
        .filter_map(|entry| {
            let mut rest = Bytes(entry.body);
            let from = rest.uint(wide)?;
            let count = rest.size(2)?;
            let to = (0..count).map_while(|_| rest.uint(wide)).collect();
            Some(Reference {
                kind: entry.kind,
                from,
                to,
            })
        })
        .collect()
}

/// Where the data of items lie.
struct Store<'a, 'b> {
    places: &'a [u8],
    file: &'a [u8],
    own: &'a [u8],
    references: &'b [Reference],
}

impl<'a> Store<'a, '_> {
    /// The data of an item; none where they are not in the file. `deep`: how often data may lie in another item.
    fn item(&self, wanted: u64, deep: u8) -> Option<Cow<'a, [u8]>> {
        let mut rest = Bytes(self.places);
        let version = rest.uint(4)? >> 24;
        let widths = rest.size(2)?;
        let (offset_wide, length_wide, base_wide) =
            (widths >> 12 & 15, widths >> 8 & 15, widths >> 4 & 15);
        let index_wide = if version == 0 { 0 } else { widths & 15 };
        let number_wide = if version < 2 { 2 } else { 4 };
        for _ in 0..rest.uint(number_wide)? {
            let number = rest.uint(number_wide)?;
            let way = if version == 0 { 0 } else { rest.uint(2)? & 15 };
            // Whose file it is: of other files nothing is here, and all that was seen means this one.
            rest.take(2)?;
            let base = rest.uint(base_wide)?;
            let count = rest.size(2)?;
            let wide = index_wide + offset_wide + length_wide;
            if number != wanted {
                rest.take(count * wide)?;
                continue;
            }
            let mut data = Cow::Borrowed(&[][..]);
            for _ in 0..count.min(MOST_OF_A_KIND) {
                let index = rest.uint(index_wide)?;
                let offset = base.checked_add(rest.uint(offset_wide)?)?;
                let length = rest.uint(length_wide)?;
                let part = self.part(wanted, way, (index, offset, length), deep)?;
                if data.is_empty() {
                    data = part;
                } else if data.len() + part.len() <= MOST_OF_AN_ITEM {
                    data.to_mut().extend_from_slice(&part);
                }
            }
            return Some(data);
        }
        None
    }

    fn part(
        &self,
        item: u64,
        way: u64,
        (index, offset, length): (u64, u64, u64),
        deep: u8,
    ) -> Option<Cow<'a, [u8]>> {
        let (offset, length) = (usize::try_from(offset).ok()?, usize::try_from(length).ok()?);
        let within = |data: &'a [u8]| match length {
            0 => data.get(offset..),
            length => data.get(offset..offset.checked_add(length)?),
        };
        match way {
            0 => within(self.file).map(Cow::Borrowed),
            1 => within(self.own).map(Cow::Borrowed),
            2 if deep > 0 => {
                // In another item: the one that is named at this place, counted from one, or the only one.
                let place = usize::try_from(index).ok()?.saturating_sub(1);
                let other = self
                    .references
                    .iter()
                    .filter(|reference| reference.kind == *b"iloc" && reference.from == item)
                    .flat_map(|reference| &reference.to)
                    .nth(place)?;
                match self.item(*other, deep - 1)? {
                    Cow::Borrowed(data) => within(data).map(Cow::Borrowed),
                    Cow::Owned(data) => {
                        let end = if length == 0 {
                            data.len()
                        } else {
                            offset.checked_add(length)?
                        };
                        data.get(offset..end).map(|part| Cow::Owned(part.to_vec()))
                    }
                }
            }
            _ => None,
        }
    }
}

/// Bytes that are read one figure after another, the highest byte first.
struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    fn take(&mut self, count: usize) -> Option<&'a [u8]> {
        let (taken, rest) = self.0.split_at_checked(count)?;
        self.0 = rest;
        Some(taken)
    }

    /// As many as there are.
    fn up_to(&mut self, count: usize) -> &'a [u8] {
        let (taken, rest) = self.0.split_at(count.min(self.0.len()));
        self.0 = rest;
        taken
    }

    /// A figure of up to eight bytes; one of none is nought.
    fn uint(&mut self, wide: usize) -> Option<u64> {
        if wide > 8 {
            return None;
        }
        let bytes = self.take(wide)?;
        Some(
            bytes
                .iter()
                .fold(0, |sum, byte| sum << 8 | u64::from(*byte)),
        )
    }

    fn size(&mut self, wide: usize) -> Option<usize> {
        usize::try_from(self.uint(wide)?).ok()
    }
}
