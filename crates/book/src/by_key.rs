//! Values by key, in the order of their keys.

use crate::Key;

/// Values by key, in the order of their keys.
///
/// A tree of the standard library is its own copy of two thousand lines for each type of value, and the page loads them.
/// Here the keys lie apart from the values, so that what finds them is there once.
///
/// ```
/// use book::{ByKey, Key, Kind};
/// let mut notes = ByKey::new();
/// notes.insert(Key::new(Kind::Roll, "b"), "second");
/// notes.insert(Key::new(Kind::Roll, "a"), "first");
/// assert_eq!(notes.values(), ["first", "second"]);
/// assert_eq!(notes.remove(&Key::new(Kind::Roll, "a")), Some("first"));
/// assert_eq!(notes.get(&Key::new(Kind::Roll, "b")), Some(&"second"));
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByKey<T> {
    keys: Vec<Key>,
    values: Vec<T>,
}

impl<T> Default for ByKey<T> {
    fn default() -> Self {
        Self::new()
    }
}

/// Where a key lies, or belongs.
fn place(keys: &[Key], key: &Key) -> Result<usize, usize> {
    // Most come in their order.
    if keys.last().is_none_or(|last| last < key) {
        return Err(keys.len());
    }
    keys.binary_search(key)
}

impl<T> ByKey<T> {
    /// Nothing yet.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            keys: Vec::new(),
            values: Vec::new(),
        }
    }

    /// How many there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.keys.len()
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.keys.is_empty()
    }

    /// All keys, in their order.
    #[must_use]
    pub fn keys(&self) -> &[Key] {
        &self.keys
    }

    /// All values, in the order of their keys.
    #[must_use]
    pub fn values(&self) -> &[T] {
        &self.values
    }

    /// The values from a key on.
    #[must_use]
    pub fn from(&self, key: &Key) -> &[T] {
        let (Ok(first) | Err(first)) = place(&self.keys, key);
        &self.values[first..]
    }

    /// Keys with their values.
    pub fn iter(&self) -> impl Iterator<Item = (&Key, &T)> {
        self.keys.iter().zip(&self.values)
    }

    /// Whether there is a value with this key.
    #[must_use]
    pub fn contains(&self, key: &Key) -> bool {
        place(&self.keys, key).is_ok()
    }

    /// The value with this key.
    #[must_use]
    pub fn get(&self, key: &Key) -> Option<&T> {
        let found = place(&self.keys, key).ok()?;
        self.values.get(found)
    }

    /// The value with this key, to be changed.
    pub fn get_mut(&mut self, key: &Key) -> Option<&mut T> {
        let found = place(&self.keys, key).ok()?;
        self.values.get_mut(found)
    }

    /// Puts a value in the place of the one with its key, and returns what was there.
    pub fn insert(&mut self, key: Key, value: T) -> Option<T> {
        match place(&self.keys, &key) {
            Ok(found) => Some(std::mem::replace(&mut self.values[found], value)),
            Err(belongs) => {
                self.keys.insert(belongs, key);
                self.values.insert(belongs, value);
                None
            }
        }
    }

    /// Takes the value with this key out.
    pub fn remove(&mut self, key: &Key) -> Option<T> {
        let found = place(&self.keys, key).ok()?;
        self.keys.remove(found);
        Some(self.values.remove(found))
    }

    /// Keeps what is asked for alone.
    pub fn retain(&mut self, keeps: impl Fn(&Key) -> bool) {
        let mut at = 0;
        while at < self.keys.len() {
            if keeps(&self.keys[at]) {
                at += 1;
            } else {
                self.keys.remove(at);
                self.values.remove(at);
            }
        }
    }
}

impl<T> IntoIterator for ByKey<T> {
    type Item = (Key, T);
    type IntoIter = std::iter::Zip<std::vec::IntoIter<Key>, std::vec::IntoIter<T>>;

    fn into_iter(self) -> Self::IntoIter {
        self.keys.into_iter().zip(self.values)
    }
}
