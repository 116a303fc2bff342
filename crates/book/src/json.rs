//! Reading JSON: one small parser that makes a tree of any text, or finds where a value ends.
//!
//! The library that writes records could read them as well. Its reader knows every type that there is and says of each text
//! what is wrong with it and where; nothing here asks for that, and the page would load it.

/// So deep a value may lie in others: what is written here lies six deep.
const DEEPEST: usize = 100;

/// A value.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A whole number.
    Whole(i64),
    /// Any other number, as it is written.
    Decimal(String),
    /// A text.
    String(String),
    /// A list.
    Array(Vec<Self>),
    /// Fields by name.
    Object(Fields),
}

/// Fields by name. Of two with one name the later counts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Fields(Vec<(String, Value)>);

impl Fields {
    fn place(&self, name: &str) -> Option<usize> {
        self.0.iter().position(|(known, _)| known == name)
    }

    /// The field of this name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Value> {
        Some(&self.0[self.place(name)?].1)
    }

    /// Takes the field of this name out.
    pub fn remove(&mut self, name: &str) -> Option<Value> {
        Some(self.0.remove(self.place(name)?).1)
    }

    /// Whether there is a field of this name.
    #[must_use]
    pub fn contains_key(&self, name: &str) -> bool {
        self.place(name).is_some()
    }

    /// Whether there is no field.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn insert(&mut self, name: String, value: Value) {
        match self.place(&name) {
            Some(place) => self.0[place].1 = value,
            None => self.0.push((name, value)),
        }
    }
}

impl IntoIterator for Fields {
    type Item = (String, Value);
    type IntoIter = std::vec::IntoIter<(String, Value)>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter()
    }
}

impl Value {
    /// The text that it is.
    #[must_use]
    pub fn as_str(&self) -> Option<&str> {
        match self {
            Self::String(text) => Some(text),
            _ => None,
        }
    }

    /// Whether it is `true`.
    #[must_use]
    pub const fn as_bool(&self) -> Option<bool> {
        match self {
            Self::Bool(is) => Some(*is),
            _ => None,
        }
    }

    /// The whole number that it is.
    #[must_use]
    pub const fn as_i64(&self) -> Option<i64> {
        match self {
            Self::Whole(number) => Some(*number),
            _ => None,
        }
    }

    /// The same, from nought on.
    #[must_use]
    pub fn as_u64(&self) -> Option<u64> {
        u64::try_from(self.as_i64()?).ok()
    }

    /// The number that it is, where it has fifteen digits or fewer and no power of ten beyond 22: such are exact here.
    #[must_use]
    pub fn as_f64(&self) -> Option<f64> {
        match self {
            Self::Whole(number) => decimal(&number.to_string()),
            Self::Decimal(text) => decimal(text),
            _ => None,
        }
    }
}

fn decimal(text: &str) -> Option<f64> {
    let (text, power) = match text.split_once(['e', 'E']) {
        Some((text, power)) => (text, power.parse::<i32>().ok()?),
        None => (text, 0),
    };
    let (negative, size) = match text.strip_prefix('-') {
        Some(size) => (true, size),
        None => (false, text),
    };
    let (whole, part) = size.split_once('.').unwrap_or((size, ""));
    let digits = format!("{whole}{part}").parse::<u64>().ok()?;
    let power = power.checked_sub(i32::try_from(part.len()).ok()?)?;
    if digits >= 1_000_000_000_000_000 || power.unsigned_abs() > 22 {
        return None;
    }
    // Both are whole numbers that are exact, so what comes of them is as near as can be.
    #[expect(clippy::cast_precision_loss, reason = "fifteen digits are exact")]
    let digits = digits as f64;
    let tens = (0..power.unsigned_abs()).fold(1.0, |tens, _| tens * 10.0);
    let size = if power < 0 {
        digits / tens
    } else {
        digits * tens
    };
    Some(if negative { -size } else { size })
}

/// Reads a text that is one value; none for any other.
///
/// ```
/// use book::json;
/// let read = json::read(r#"{"frames": [1, 2.5], "note": "f\/8"}"#);
/// let Some(json::Value::Object(mut fields)) = read else { panic!("it is an object") };
/// assert_eq!(fields.remove("note").as_ref().and_then(json::Value::as_str), Some("f/8"));
/// assert_eq!(json::read("{} {}"), None);
/// ```
#[must_use]
pub fn read(text: &str) -> Option<Value> {
    let mut cursor = Cursor::new(text);
    let value = cursor.value(0)?;
    cursor.is_at_end().then_some(value)
}

/// A place in a text that is read on from there.
#[derive(Debug)]
pub(crate) struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Cursor<'a> {
    pub(crate) const fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    /// How far it was read.
    pub(crate) const fn at(&self) -> usize {
        self.at
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    pub(crate) fn space(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    /// Whether this comes next, behind white space; goes on behind it.
    pub(crate) fn eats(&mut self, byte: u8) -> bool {
        self.space();
        let is_next = self.peek() == Some(byte);
        self.at += usize::from(is_next);
        is_next
    }

    pub(crate) fn is_at_end(&mut self) -> bool {
        self.space();
        self.at == self.text.len()
    }

    fn word(&mut self, word: &str, value: Value) -> Option<Value> {
        let is_next = self.text.as_bytes()[self.at..].starts_with(word.as_bytes());
        self.at += word.len();
        is_next.then_some(value)
    }

    /// The value that comes next.
    pub(crate) fn value(&mut self, depth: usize) -> Option<Value> {
        self.space();
        match self.peek()? {
            b'n' => self.word("null", Value::Null),
            b't' => self.word("true", Value::Bool(true)),
            b'f' => self.word("false", Value::Bool(false)),
            b'"' => self.string().map(Value::String),
            b'[' => {
                let mut items = Vec::new();
                self.items(b']', depth, &mut |cursor, depth| {
                    items.push(cursor.value(depth)?);
                    Some(())
                })?;
                Some(Value::Array(items))
            }
            b'{' => {
                let mut fields = Fields::default();
                self.items(b'}', depth, &mut |cursor, depth| {
                    let name = cursor.name()?;
                    fields.insert(name, cursor.value(depth)?);
                    Some(())
                })?;
                Some(Value::Object(fields))
            }
            _ => self.number(),
        }
    }

    /// Passes over the value that comes next.
    pub(crate) fn skip(&mut self, depth: usize) -> Option<()> {
        self.space();
        match self.peek()? {
            b'[' => self.items(b']', depth, &mut Self::skip),
            b'{' => self.items(b'}', depth, &mut |cursor, depth| {
                cursor.name()?;
                cursor.skip(depth)
            }),
            _ => self.value(depth).map(drop),
        }
    }

    /// What stands between two brackets, of which the first comes next, with commas between.
    fn items(
        &mut self,
        closes: u8,
        depth: usize,
        item: &mut dyn FnMut(&mut Self, usize) -> Option<()>,
    ) -> Option<()> {
        self.at += 1;
        if depth == DEEPEST {
            return None;
        }
        if self.eats(closes) {
            return Some(());
        }
        loop {
            item(self, depth + 1)?;
            if self.eats(closes) {
                return Some(());
            }
            if !self.eats(b',') {
                return None;
            }
        }
    }

    /// A list of which each value is passed over: where they lie.
    pub(crate) fn places(&mut self) -> Option<Vec<std::ops::Range<usize>>> {
        let mut places = Vec::new();
        self.space();
        (self.peek()? == b'[').then_some(())?;
        self.items(b']', 0, &mut |cursor, depth| {
            cursor.space();
            let start = cursor.at;
            cursor.skip(depth)?;
            places.push(start..cursor.at);
            Some(())
        })?;
        Some(places)
    }

    /// The name of a field, and the colon behind it.
    pub(crate) fn name(&mut self) -> Option<String> {
        self.space();
        let name = self.string()?;
        self.eats(b':').then_some(name)
    }

    fn string(&mut self) -> Option<String> {
        if !self.eats(b'"') {
            return None;
        }
        let mut out = String::new();
        loop {
            let start = self.at;
            while !matches!(self.peek()?, b'"' | b'\\' | 0..b' ') {
                self.at += 1;
            }
            out.push_str(&self.text[start..self.at]);
            let end = self.peek()?;
            self.at += 1;
            match end {
                b'"' => return Some(out),
                b'\\' => out.push(self.escaped()?),
                _ => return None,
            }
        }
    }

    /// What stands behind a backslash.
    fn escaped(&mut self) -> Option<char> {
        let kind = self.peek()?;
        self.at += 1;
        Some(match kind {
            b'"' | b'\\' | b'/' => char::from(kind),
            b'b' => '\u{8}',
            b'f' => '\u{c}',
            b'n' => '\n',
            b'r' => '\r',
            b't' => '\t',
            b'u' => {
                let first = self.sixteen()?;
                if !(0xd800..0xdc00).contains(&first) {
                    return char::from_u32(first);
                }
                let is_pair = self.text.as_bytes()[self.at..].starts_with(b"\\u");
                self.at += 2;
                let second = self.sixteen().filter(|_| is_pair)?.checked_sub(0xdc00)?;
                let high = (first - 0xd800) << 10;
                return char::from_u32(0x1_0000 + high + second).filter(|_| second < 0x400);
            }
            _ => return None,
        })
    }

    fn sixteen(&mut self) -> Option<u32> {
        let digits = self.text.get(self.at..self.at + 4)?;
        self.at += 4;
        // A sign would be taken for a part of the number.
        let is_plain = digits.bytes().all(|byte| byte.is_ascii_hexdigit());
        u32::from_str_radix(digits, 16).ok().filter(|_| is_plain)
    }

    fn digits(&mut self) -> usize {
        let start = self.at;
        while self.peek().is_some_and(|byte| byte.is_ascii_digit()) {
            self.at += 1;
        }
        self.at - start
    }

    fn number(&mut self) -> Option<Value> {
        let start = self.at;
        self.at += usize::from(self.peek() == Some(b'-'));
        let first = self.peek();
        let whole = self.digits();
        // No nought stands before other digits.
        if whole == 0 || (whole > 1 && first == Some(b'0')) {
            return None;
        }
        let mut is_whole = true;
        if self.peek() == Some(b'.') {
            self.at += 1;
            (self.digits() > 0).then_some(())?;
            is_whole = false;
        }
        if matches!(self.peek(), Some(b'e' | b'E')) {
            self.at += 1;
            self.at += usize::from(matches!(self.peek(), Some(b'+' | b'-')));
            (self.digits() > 0).then_some(())?;
            is_whole = false;
        }
        let text = &self.text[start..self.at];
        let whole = text.parse().ok().filter(|_| is_whole);
        Some(whole.map_or_else(|| Value::Decimal(text.to_owned()), Value::Whole))
    }
}
