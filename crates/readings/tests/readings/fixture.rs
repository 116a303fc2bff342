//! Photos that the tests write themselves: only metadata, no picture; both byte orders; JPEG, TIFF and HEIC containers.

/// Byte order of a TIFF block.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Order {
    Little,
    Big,
}

pub(crate) const ORDERS: [Order; 2] = [Order::Little, Order::Big];

/// A value of a tag.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Short(u16),
    Long(u32),
    Ratio(u32, u32),
    Signed(i32, i32),
    Text(&'static str),
}

impl Order {
    fn short(self, value: u16) -> [u8; 2] {
        match self {
            Self::Little => value.to_le_bytes(),
            Self::Big => value.to_be_bytes(),
        }
    }

    fn long(self, value: u32) -> [u8; 4] {
        match self {
            Self::Little => value.to_le_bytes(),
            Self::Big => value.to_be_bytes(),
        }
    }
}

fn size(length: usize) -> u32 {
    u32::try_from(length).expect("a short file")
}

/// Tags of the Exif directory, and of the one that holds positions.
#[derive(Debug, Clone, Default)]
pub(crate) struct Tags {
    pub(crate) exif: Vec<(u16, Value)>,
    pub(crate) position: Vec<(u16, Value)>,
}

impl Tags {
    pub(crate) fn new(exif: &[(u16, Value)]) -> Self {
        Self {
            exif: exif.to_vec(),
            position: Vec::new(),
        }
    }
}

/// One directory at an offset: entries, then what does not fit into four bytes.
fn directory(order: Order, at: usize, tags: &[(u16, Value)]) -> Vec<u8> {
    let mut tags = tags.to_vec();
    tags.sort_by_key(|(tag, _)| *tag);
    let mut head = order
        .short(u16::try_from(tags.len()).expect("few tags"))
        .to_vec();
    let mut data = Vec::new();
    let behind = at + 2 + tags.len() * 12 + 4;
    for (tag, value) in &tags {
        let (kind, count, bytes): (u16, usize, Vec<u8>) = match value {
            Value::Short(value) => (3, 1, order.short(*value).to_vec()),
            Value::Long(value) => (4, 1, order.long(*value).to_vec()),
            Value::Ratio(over, under) => (5, 1, [order.long(*over), order.long(*under)].concat()),
            Value::Signed(over, under) => (
                10,
                1,
                [
                    order.long(over.cast_unsigned()),
                    order.long(under.cast_unsigned()),
                ]
                .concat(),
            ),
            Value::Text(text) => {
                let mut bytes = text.as_bytes().to_vec();
                bytes.push(0);
                (2, bytes.len(), bytes)
            }
        };
        head.extend(order.short(*tag));
        head.extend(order.short(kind));
        head.extend(order.long(size(count)));
        if bytes.len() <= 4 {
            let mut field = bytes;
            field.resize(4, 0);
            head.extend(field);
        } else {
            head.extend(order.long(size(behind + data.len())));
            data.extend(bytes);
        }
    }
    head.extend(order.long(0));
    head.extend(data);
    head
}

/// A TIFF block with the tags.
pub(crate) fn tiff(order: Order, tags: &Tags) -> Vec<u8> {
    let mut file = match order {
        Order::Little => b"II*\0".to_vec(),
        Order::Big => b"MM\0*".to_vec(),
    };
    file.extend(order.long(8));
    let has_position = !tags.position.is_empty();
    let first_length = 2 + 12 * (1 + usize::from(has_position)) + 4;
    let exif_at = 8 + first_length;
    let exif = directory(order, exif_at, &tags.exif);
    let mut first = vec![(0x8769, Value::Long(size(exif_at)))];
    if has_position {
        first.push((0x8825, Value::Long(size(exif_at + exif.len()))));
    }
    file.extend(directory(order, 8, &first));
    let position_at = exif_at + exif.len();
    file.extend(exif);
    if has_position {
        file.extend(directory(order, position_at, &tags.position));
    }
    file
}

/// A JPEG file with the block as its APP1 segment, and no picture.
pub(crate) fn jpeg(block: &[u8]) -> Vec<u8> {
    let mut file = b"\xff\xd8".to_vec();
    file.extend(b"\xff\xe1");
    file.extend(u16::try_from(block.len() + 8).expect("short").to_be_bytes());
    file.extend(b"Exif\0\0");
    file.extend(block);
    file.extend(b"\xff\xd9");
    file
}

fn boxed(kind: &[u8; 4], content: &[u8]) -> Vec<u8> {
    let mut made = size(content.len() + 8).to_be_bytes().to_vec();
    made.extend(kind);
    made.extend(content);
    made
}

/// An HEIC file with the block as its item `Exif` (ISO/IEC 23008-12), and no picture.
pub(crate) fn heic(block: &[u8]) -> Vec<u8> {
    let head = boxed(b"ftyp", b"heic\0\0\0\0mif1heic");
    // Version and flags, then one item of number 1 and type Exif.
    let mut entry = b"\x02\0\0\0".to_vec();
    entry.extend(1_u16.to_be_bytes());
    entry.extend(0_u16.to_be_bytes());
    entry.extend(b"Exif\0");
    let mut info = b"\0\0\0\0".to_vec();
    info.extend(1_u16.to_be_bytes());
    info.extend(boxed(b"infe", &entry));
    let info = boxed(b"iinf", &info);
    // The item: four bytes that say where the block begins, then the block itself.
    let mut item = 0_u32.to_be_bytes().to_vec();
    item.extend(block);
    let place = |offset: u32| {
        let mut place = b"\0\0\0\0\x44\0".to_vec();
        place.extend(1_u16.to_be_bytes());
        place.extend(1_u16.to_be_bytes());
        place.extend(0_u16.to_be_bytes());
        place.extend(1_u16.to_be_bytes());
        place.extend(offset.to_be_bytes());
        place.extend(size(item.len()).to_be_bytes());
        boxed(b"iloc", &place)
    };
    let handler = boxed(b"hdlr", b"\0\0\0\0\0\0\0\0pict\0\0\0\0\0\0\0\0\0\0\0\0\0");
    let meta = |offset: u32| {
        let mut content = b"\0\0\0\0".to_vec();
        content.extend(&handler);
        content.extend(&info);
        content.extend(place(offset));
        boxed(b"meta", &content)
    };
    let before = head.len() + meta(0).len() + 8;
    let mut file = head;
    file.extend(meta(size(before)));
    file.extend(boxed(b"mdat", &item));
    file
}

pub(crate) const TIME: u16 = 0x829A;
pub(crate) const F_NUMBER: u16 = 0x829D;
pub(crate) const SENSITIVITY: u16 = 0x8827;
pub(crate) const KIND: u16 = 0x8830;
pub(crate) const OUTPUT: u16 = 0x8831;
pub(crate) const RECOMMENDED: u16 = 0x8832;
pub(crate) const TAKEN: u16 = 0x9003;
pub(crate) const TV: u16 = 0x9201;
pub(crate) const AV: u16 = 0x9202;
pub(crate) const BV: u16 = 0x9203;
pub(crate) const BIAS: u16 = 0x9204;
pub(crate) const METERING: u16 = 0x9207;
pub(crate) const FLASH: u16 = 0x9209;

/// A plain photo: 1/125 f/8 ISO 200.
pub(crate) fn plain() -> Tags {
    Tags::new(&[
        (TIME, Value::Ratio(1, 125)),
        (F_NUMBER, Value::Ratio(8, 1)),
        (SENSITIVITY, Value::Short(200)),
        (BIAS, Value::Signed(0, 1)),
    ])
}
