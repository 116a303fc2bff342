//! The person's reading devices as they lie in the browser, for a program that needs nothing else of the book.

use crate::{
    Device, Key, Kind, Written,
    json::{self, Value},
    past::Past,
    read::{Read, envelope},
};

/// The format of a device's record, and the newest version of it that is read.
const RECORD: (&str, u32) = ("stopkeeper device", 1);
/// The same of the index.
const INDEX: (&str, u64) = ("stopkeeper index", 1);

/// The devices of the kit, in the order of their keys: keys and texts of the index, and what was written and may not be in it
/// yet. What is none of a device, or cannot be read, is left out here: the book reports it.
///
/// ```
/// let record = r#"{"format":"stopkeeper device","version":1,"record":{"id":"old","name":"Old meter","steps":"thirds"}}"#;
/// let written = book::Written::of_old("device.old", record);
/// assert_eq!(book::devices(&[], written)[0].name, "Old meter");
/// ```
#[must_use]
pub fn devices(
    index: &[(String, String)],
    written: impl IntoIterator<Item = Written>,
) -> Vec<Device> {
    let mut found: Vec<Written> = index
        .iter()
        .filter_map(|(key, text)| in_index(Key::parse(key).filter(is_of_a_device)?, text))
        .collect();
    for written in written.into_iter().filter(|it| is_of_a_device(&it.key)) {
        match found.iter_mut().find(|stored| stored.key == written.key) {
            None => found.push(written),
            Some(stored) if is_news(&written, stored) => *stored = written,
            Some(_) => {}
        }
    }
    found.sort_by(|one, other| one.key.cmp(&other.key));
    let texts = found.into_iter().filter_map(|written| written.text);
    texts.filter_map(|text| device(&text)).collect()
}

fn is_of_a_device(key: &Key) -> bool {
    key.kind == Kind::Device
}

/// Whether a writing is taken up, as the book does it: not where what is stored is the same, or goes on from it.
fn is_news(written: &Written, stored: &Written) -> bool {
    stored.text != written.text
        && (written.past.has(&stored.past) || !stored.past.has(&written.past))
}

fn in_index(key: Key, text: &str) -> Option<Written> {
    let Value::Object(record) = json::read(text)? else {
        return None;
    };
    let text = |name: &str| record.get(name)?.as_str();
    let is_known = text("format")? == INDEX.0 && record.get("version")?.as_u64()? == INDEX.1;
    let past = Past::parse(text("past")?)?;
    let text = text("text").map(str::to_owned);
    is_known.then_some(Written { key, past, text })
}

fn device(text: &str) -> Option<Device> {
    let (format, version, value) = envelope(text)?;
    let is_known = format == RECORD.0 && version <= RECORD.1;
    let device: Device = Read::read(value.filter(|_| is_known)?)?;
    (device.check().is_ok() && !device.id.is_empty()).then_some(device)
}

#[cfg(test)]
mod tests {
    use super::devices;
    use crate::{Device, DeviceSteps, Keeper, Key, Kind, Record, Written, encode};

    fn written(page: &str, before: Option<&Written>, device: Option<&Device>) -> Written {
        let key = Key::parse("device.one").expect("a key");
        let mut keeper = Keeper::new(page);
        if let Some(before) = before {
            keeper.take_up(&key, &before.past);
        }
        Written {
            past: keeper.changed(&key),
            text: device.map(|device| encode(&Record::Device(device.clone()))),
            key,
        }
    }

    fn names(index: &Written, journal: &[&Written]) -> Vec<String> {
        let index = [(index.key.text(), index.shelved().0.encode())];
        let found = devices(&index, journal.iter().map(|at| (*at).clone()));
        found.into_iter().map(|device| device.name).collect()
    }

    #[test]
    fn what_goes_on_from_what_is_stored_counts() {
        let named = |name| Device::new("one", name, DeviceSteps::Thirds);
        let first = written("a", None, Some(&named("First")));
        let second = written("a", Some(&first), Some(&named("Second")));
        let gone = written("b", Some(&second), None);
        assert_eq!(names(&first, &[]), ["First"], "from the index");
        assert_eq!(names(&first, &[&second]), ["Second"], "from the journal");
        assert_eq!(names(&second, &[&first]), ["Second"], "an older writing");
        assert!(names(&second, &[&gone]).is_empty(), "it was removed");
        assert!(names(&gone, &[&second]).is_empty(), "and stays so");
        assert_eq!(first.key.kind, Kind::Device, "the kind of its key");
    }

    #[test]
    fn what_is_no_device_of_this_version_is_left_out() {
        let lying = |text: &str| devices(&[], Written::of_old("device.one", text)).len();
        let record = r#"{"format":"stopkeeper device","version":1,"record":{"id":"one","name":"One","steps":"thirds"}}"#;
        assert_eq!(lying(record), 1, "as it is written");
        for (from, to) in [
            ("\"version\":1", "\"version\":2"),
            ("stopkeeper device", "stopkeeper lens"),
            ("thirds", "tenths"),
            ("\"id\":\"one\"", "\"id\":\"\""),
            ("}}", "}"),
        ] {
            assert_eq!(lying(&record.replace(from, to)), 0, "{to}");
        }
        assert!(
            devices(&[], Written::of_old("lens.one", record)).is_empty(),
            "under the key of a lens"
        );
    }
}
