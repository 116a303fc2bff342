//! Containers that the tests write around a block of tags; what they are called and said to be made by is invented.
//!
//! The layouts are those of ITU-T T.81, ISO/IEC 14496-12 and 23008-12, PNG, RFC 1950 and RFC 9649, from memory. By hand, the
//! files were laid before two independent readers of metadata.

use crate::fixture::size;

/// A segment of a JPEG.
pub(crate) fn segment(marker: u8, content: &[u8]) -> Vec<u8> {
    let length = u16::try_from(content.len() + 2).expect("a short segment");
    [&[0xFF, marker], &length.to_be_bytes()[..], content].concat()
}

/// The segment of a JPEG that holds a block.
pub(crate) fn exif_segment(block: &[u8]) -> Vec<u8> {
    segment(0xE1, &[b"Exif\0\0", block].concat())
}

/// A JPEG file with the block as its APP1 segment, and no picture.
pub(crate) fn jpeg(block: &[u8]) -> Vec<u8> {
    jpeg_of(&[exif_segment(block)])
}

/// A JPEG file with these segments, and no picture.
pub(crate) fn jpeg_of(segments: &[Vec<u8>]) -> Vec<u8> {
    [b"\xff\xd8", &segments.concat()[..], b"\xff\xd9"].concat()
}

/// A box of ISO base media.
pub(crate) fn boxed(kind: &[u8; 4], content: &[u8]) -> Vec<u8> {
    [&size(content.len() + 8).to_be_bytes()[..], kind, content].concat()
}

/// The same with version and flags.
fn full(kind: &[u8; 4], version: u8, content: &[u8]) -> Vec<u8> {
    boxed(kind, &[&[version, 0, 0, 0], content].concat())
}

/// How an item of type `Exif` begins.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Lead {
    /// By the standard: the block begins at once.
    AtOnce,
    /// By the standard: six bytes further, after the name that JPEG has.
    Named,
    /// The name is there, and is not counted.
    NamedAndNotCounted,
    /// Marker and length of a JPEG's segment are there, and are counted.
    Segment,
    /// The same, without the four bytes that would say where the block begins.
    BareSegment,
    /// The block alone.
    Bare,
}

pub(crate) const LEADS: [Lead; 6] = [
    Lead::AtOnce,
    Lead::Named,
    Lead::NamedAndNotCounted,
    Lead::Segment,
    Lead::BareSegment,
    Lead::Bare,
];

impl Lead {
    fn item(self, block: &[u8]) -> Vec<u8> {
        let named = [b"Exif\0\0", block].concat();
        let led = |offset: u32, rest: &[u8]| [&offset.to_be_bytes(), rest].concat();
        match self {
            Self::AtOnce => led(0, block),
            Self::Named => led(6, &named),
            Self::NamedAndNotCounted => led(0, &named),
            Self::Segment => led(10, &exif_segment(block)),
            Self::BareSegment => exif_segment(block),
            Self::Bare => block.to_vec(),
        }
    }
}

/// Where the data of the item lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// In the file.
    File,
    /// In a box beside the list of items.
    Own,
    /// In another item.
    Item,
}

/// How the box of the data says where it ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum End {
    Usual,
    Wide,
    OfTheFile,
}

/// A picture in boxes: how it is written.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Heic {
    /// The kinds of picture that the file calls itself.
    pub(crate) brands: &'static [u8],
    /// Version of the places of items, 0 to 2.
    pub(crate) places: u8,
    /// Bytes of offset, length, base and index.
    pub(crate) widths: [u8; 4],
    /// Version of the entry of an item: 2 or 3.
    pub(crate) entries: u8,
    pub(crate) way: Way,
    pub(crate) lead: Lead,
    /// In how many parts the data are.
    pub(crate) parts: usize,
    /// Whether the places stand before the items.
    pub(crate) places_first: bool,
    /// Whether the data stand before the list of items.
    pub(crate) data_first: bool,
    pub(crate) end: End,
}

/// As most phones write it.
pub(crate) const HEIC: Heic = Heic {
    brands: b"heic\0\0\0\0mif1heic",
    places: 1,
    widths: [4, 4, 0, 0],
    entries: 2,
    way: Way::File,
    lead: Lead::Named,
    parts: 1,
    places_first: false,
    data_first: false,
    end: End::Usual,
};

/// A figure of so many bytes.
fn wide(value: usize, bytes: u8) -> Vec<u8> {
    let all = u64::try_from(value).expect("a size").to_be_bytes();
    let skip = 8 - usize::from(bytes);
    assert!(
        all[..skip].iter().all(|byte| *byte == 0),
        "{value} does not fit"
    );
    all[skip..].to_vec()
}

impl Heic {
    pub(crate) fn file(&self, block: &[u8]) -> Vec<u8> {
        self.of_items(&[(49, block)], 1)
    }

    /// A file with several items of metadata, the picture that is shown, and another one; `primary` is the number of the
    /// former. Each item describes the picture whose number is 48 less.
    pub(crate) fn of_items(&self, items: &[(u16, &[u8])], primary: u16) -> Vec<u8> {
        let items: Vec<(u16, Vec<u8>)> = items
            .iter()
            .map(|(number, block)| (*number, self.lead.item(block)))
            .collect();
        let data: Vec<u8> = items.iter().flat_map(|(_, item)| item.clone()).collect();
        let head = boxed(b"ftyp", self.brands);
        let stored = match self.end {
            End::Usual => boxed(b"mdat", &data),
            End::Wide => {
                let length = u64::try_from(data.len() + 16).expect("short");
                [
                    &1_u32.to_be_bytes(),
                    &b"mdat"[..],
                    &length.to_be_bytes(),
                    &data,
                ]
                .concat()
            }
            End::OfTheFile => [&0_u32.to_be_bytes(), &b"mdat"[..], &data].concat(),
        };
        let before_data = stored.len() - data.len();
        let own = if self.way == Way::Own {
            &data[..]
        } else {
            b"pixels"
        };
        if self.data_first {
            let meta = self.meta(&items, own, head.len() + before_data, primary);
            return [head, stored, meta].concat();
        }
        let length = self.meta(&items, own, 0, primary).len();
        let meta = self.meta(&items, own, head.len() + length + before_data, primary);
        [head, meta, stored].concat()
    }

    fn meta(&self, items: &[(u16, Vec<u8>)], own: &[u8], data_at: usize, primary: u16) -> Vec<u8> {
        let mut references: Vec<Vec<u8>> = items
            .iter()
            .map(|(number, _)| reference(b"cdsc", *number, number - 48))
            .collect();
        if self.way == Way::Item {
            references.extend(
                items
                    .iter()
                    .map(|(number, _)| reference(b"iloc", *number, 90)),
            );
        }
        let entry = |number: u16, kind: &[u8; 4]| {
            let number = wide(number.into(), if self.entries == 2 { 2 } else { 4 });
            full(
                b"infe",
                self.entries,
                &[&number[..], &[0, 0], kind, b"\0"].concat(),
            )
        };
        let mut entries = vec![entry(1, b"hvc1"), entry(2, b"hvc1"), entry(90, b"mime")];
        entries.extend(items.iter().map(|(number, _)| entry(*number, b"Exif")));
        let count = u16::try_from(entries.len()).expect("few items");
        let info = full(
            b"iinf",
            0,
            &[&count.to_be_bytes()[..], &entries.concat()].concat(),
        );
        let places = self.places(items, data_at);
        let mut boxes = vec![
            full(b"hdlr", 0, b"\0\0\0\0pict\0\0\0\0\0\0\0\0\0\0\0\0\0"),
            full(b"pitm", 0, &primary.to_be_bytes()),
        ];
        if self.places_first {
            boxes.extend([places, info]);
        } else {
            boxes.extend([info, places]);
        }
        boxes.push(full(b"iref", 0, &references.concat()));
        boxes.push(boxed(b"idat", own));
        full(b"meta", 0, &boxes.concat())
    }

    fn places(&self, items: &[(u16, Vec<u8>)], data_at: usize) -> Vec<u8> {
        let [offset_wide, length_wide, base_wide, index_wide] = self.widths;
        let number_wide = if self.places < 2 { 2 } else { 4 };
        let index_wide = if self.places == 0 { 0 } else { index_wide };
        let mut content = vec![offset_wide << 4 | length_wide, base_wide << 4 | index_wide];
        let place = |number: u16, way: u8, base: usize, parts: &[(usize, usize)]| {
            let mut one = wide(number.into(), number_wide);
            if self.places > 0 {
                one.extend([0, way]);
            }
            // The file itself.
            one.extend([0, 0]);
            // Without a base of its own, it is part of the offset.
            let (base, more) = if base_wide == 0 { (0, base) } else { (base, 0) };
            one.extend(wide(base, base_wide));
            one.extend(wide(parts.len(), 2));
            for (offset, length) in parts {
                one.extend(wide(usize::from(index_wide > 0), index_wide));
                one.extend(wide(offset + more, offset_wide));
                one.extend(wide(*length, length_wide));
            }
            one
        };
        let total: usize = items.iter().map(|(_, item)| item.len()).sum();
        let mut all = vec![
            place(1, 0, data_at, &[(0, 4)]),
            place(2, 0, data_at, &[(0, 4)]),
            place(90, 0, data_at, &[(0, total)]),
        ];
        let mut from = 0;
        for (number, item) in items {
            let (way, base) = match self.way {
                Way::File => (0, data_at),
                Way::Own => (1, 0),
                Way::Item => (2, 0),
            };
            // A base that says all, where no offset has a place.
            let (base, start) = if offset_wide == 0 {
                (base + from, 0)
            } else {
                (base, from)
            };
            let each = item.len().div_ceil(self.parts);
            let parts: Vec<(usize, usize)> = (0..self.parts)
                .map(|i| {
                    let at = (i * each).min(item.len());
                    (start + at, each.min(item.len() - at))
                })
                .collect();
            all.push(place(*number, way, base, &parts));
            from += item.len();
        }
        content.extend(wide(all.len(), number_wide));
        content.extend(all.concat());
        full(b"iloc", self.places, &content)
    }
}

fn reference(kind: &[u8; 4], from: u16, to: u16) -> Vec<u8> {
    boxed(
        kind,
        &[from.to_be_bytes(), 1_u16.to_be_bytes(), to.to_be_bytes()].concat(),
    )
}

/// A PNG of one grey pixel, with more chunks before or after the picture.
pub(crate) fn png(before: &[Vec<u8>], after: &[Vec<u8>]) -> Vec<u8> {
    [
        b"\x89PNG\r\n\x1a\n".to_vec(),
        chunk(b"IHDR", &[0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]),
        before.concat(),
        chunk(b"IDAT", &stored(&[0, 118])),
        after.concat(),
        chunk(b"IEND", b""),
    ]
    .concat()
}

/// A chunk of a PNG, with its sum (CRC-32).
pub(crate) fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let sum = [kind, data].concat().iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            if sum & 1 == 1 {
                sum >> 1 ^ 0xEDB8_8320
            } else {
                sum >> 1
            }
        })
    });
    [
        &size(data.len()).to_be_bytes()[..],
        kind,
        data,
        &(!sum).to_be_bytes(),
    ]
    .concat()
}

/// Bytes as a stream by RFC 1950 that packs nothing.
pub(crate) fn stored(bytes: &[u8]) -> Vec<u8> {
    let length = u16::try_from(bytes.len()).expect("short");
    let (a, b) = bytes.iter().fold((1_u32, 0_u32), |(a, b), byte| {
        let a = (a + u32::from(*byte)) % 65521;
        (a, (b + a) % 65521)
    });
    [
        &[0x78, 0x01, 0x01],
        &length.to_le_bytes()[..],
        &(!length).to_le_bytes(),
        bytes,
        &(b << 16 | a).to_be_bytes(),
    ]
    .concat()
}

/// A block as converters wrote it into a text before PNG had a chunk for it.
pub(crate) fn profile_text(block: &[u8]) -> Vec<u8> {
    let bytes = [b"Exif\0\0", block].concat();
    let mut text = format!("\nexif\n{:8}\n", bytes.len());
    for line in bytes.chunks(36) {
        text.extend(line.iter().map(|byte| format!("{byte:02x}")));
        text.push('\n');
    }
    text.into_bytes()
}

/// A WebP file with these chunks, the one for its features among them.
pub(crate) fn webp(chunks: &[(&[u8; 4], &[u8])]) -> Vec<u8> {
    let mut content = b"WEBP".to_vec();
    for (kind, data) in chunks {
        content.extend(*kind);
        content.extend(size(data.len()).to_le_bytes());
        content.extend(*data);
        content.extend(vec![0; data.len() % 2]);
    }
    [&b"RIFF"[..], &size(content.len()).to_le_bytes(), &content].concat()
}

/// A raw file in boxes: in the head of a film, under a number of its own, blocks whose first directory is all they have.
pub(crate) fn raw_boxes(blocks: &[Vec<u8>]) -> Vec<u8> {
    let mut content = b"an invented kind".to_vec();
    content.extend(boxed(b"NAME", b"an invented camera"));
    for (i, block) in blocks.iter().enumerate() {
        let kind = [b'T', b'A', b'G', b'1' + u8::try_from(i).expect("few")];
        content.extend(boxed(&kind, block));
    }
    let head = [boxed(b"uuid", &content), boxed(b"mvhd", &[0; 100])].concat();
    [
        boxed(b"ftyp", b"wild\0\0\0\x01wildisom"),
        boxed(b"moov", &head),
        boxed(b"mdat", &[0x5A; 400]),
    ]
    .concat()
}

/// A raw file whose head, 16 letters and figures of its own, leads to a JPEG at its 84th byte.
pub(crate) fn raw_with_jpeg(jpeg: &[u8]) -> Vec<u8> {
    let mut file = b"AN INVENTED RAW 0201".to_vec();
    file.resize(84, 0);
    file.extend(160_u32.to_be_bytes());
    file.extend(size(jpeg.len()).to_be_bytes());
    file.resize(160, 0);
    file.extend(jpeg);
    file.extend([0x5A; 400]);
    file
}
