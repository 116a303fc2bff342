//! Photos that the tests write themselves: only metadata, no picture; both byte orders; the TIFF blocks; what holds them is in `wrapped`.

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
    /// Bytes that only the maker understands.
    Bytes(Vec<u8>),
    /// A value of a type and a count that lies beyond the end of the file.
    Lost(u16, u32),
    /// Where a directory is, by the type that technical note 1 of TIFF gives to it.
    Place(u32),
}

impl Order {
    pub(crate) fn short(self, value: u16) -> [u8; 2] {
        match self {
            Self::Little => value.to_le_bytes(),
            Self::Big => value.to_be_bytes(),
        }
    }

    pub(crate) fn long(self, value: u32) -> [u8; 4] {
        match self {
            Self::Little => value.to_le_bytes(),
            Self::Big => value.to_be_bytes(),
        }
    }
}

pub(crate) fn size(length: usize) -> u32 {
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

/// One directory at an offset: entries, where the next one is, then what does not fit into four bytes.
fn directory(order: Order, at: usize, tags: &[(u16, Value)], next: u32) -> Vec<u8> {
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
            Value::Bytes(bytes) => (7, bytes.len(), bytes.clone()),
            Value::Place(place) => (13, 1, order.long(*place).to_vec()),
            Value::Lost(kind, count) => (
                *kind,
                usize::try_from(*count).expect("a count"),
                order.long(0xFFFF_FF00).to_vec(),
            ),
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
    head.extend(order.long(next));
    head.extend(data);
    head
}

/// A TIFF laid out freely: the camera's directory stands before the others.
#[derive(Debug, Clone)]
pub(crate) struct Laid {
    pub(crate) order: Order,
    /// The number after the byte order.
    pub(crate) number: u16,
    /// The camera's directory; none at all where it is empty.
    pub(crate) camera: Vec<(u16, Value)>,
    /// What the camera's directory says of a next one.
    pub(crate) camera_next: u32,
    /// Whether the first directory leads to the camera's by the newer type of pointer.
    pub(crate) newer_pointer: bool,
    /// The directories in a row.
    pub(crate) directories: Vec<Vec<(u16, Value)>>,
}

impl Laid {
    pub(crate) fn new(order: Order, camera: &[(u16, Value)]) -> Self {
        Self {
            order,
            number: 42,
            camera: camera.to_vec(),
            camera_next: 0,
            newer_pointer: false,
            directories: vec![vec![(WIDTH, Value::Short(60))]],
        }
    }

    pub(crate) fn file(&self) -> Vec<u8> {
        let order = self.order;
        let mut file = match order {
            Order::Little => b"II".to_vec(),
            Order::Big => b"MM".to_vec(),
        };
        file.extend(order.short(self.number));
        let camera = directory(order, 8, &self.camera, self.camera_next);
        let first = if self.camera.is_empty() {
            8
        } else {
            8 + camera.len()
        };
        file.extend(order.long(size(first)));
        if !self.camera.is_empty() {
            file.extend(camera);
        }
        let last = self.directories.len() - 1;
        for (i, tags) in self.directories.iter().enumerate() {
            let mut tags = tags.clone();
            if i == 0 && !self.camera.is_empty() {
                let pointer = if self.newer_pointer {
                    Value::Place(8)
                } else {
                    Value::Long(8)
                };
                tags.push((0x8769, pointer));
            }
            let at = file.len();
            let next = at + directory(order, at, &tags, 0).len();
            let next = if i == last { 0 } else { size(next) };
            file.extend(directory(order, at, &tags, next));
        }
        file
    }
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
    let exif = directory(order, exif_at, &tags.exif, 0);
    let mut first = vec![(0x8769, Value::Long(size(exif_at)))];
    if has_position {
        first.push((0x8825, Value::Long(size(exif_at + exif.len()))));
    }
    file.extend(directory(order, 8, &first, 0));
    let position_at = exif_at + exif.len();
    file.extend(exif);
    if has_position {
        file.extend(directory(order, position_at, &tags.position, 0));
    }
    file
}

pub(crate) const WIDTH: u16 = 0x0100;
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
pub(crate) const MAKER: u16 = 0x927C;

/// A plain photo: 1/125 f/8 ISO 200.
pub(crate) fn plain() -> Tags {
    Tags::new(&[
        (TIME, Value::Ratio(1, 125)),
        (F_NUMBER, Value::Ratio(8, 1)),
        (SENSITIVITY, Value::Short(200)),
        (BIAS, Value::Signed(0, 1)),
    ])
}
