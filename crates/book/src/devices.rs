//! The person's reading devices as they lie in the browser, for a program that needs nothing else of the book.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::{
    Device, Key, Kind, Written,
    past::Past,
    read::{Read, envelope},
};

/// The format of a device's record, and the newest version of it that is read.
const RECORD: (&str, u32) = ("stopkeeper device", 1);
/// The same of the index.
const INDEX: (&str, u64) = ("stopkeeper index", 1);

/// What lies under a key: what it goes on from, and the text; none where the record was removed.
type Lying = (Past, Option<String>);

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
    let mut found: BTreeMap<Key, Lying> = index
        .iter()
        .filter_map(|(key, text)| Some((of_a_device(Key::parse(key)?)?, in_index(text)?)))
        .collect();
    for Written { key, past, text } in written {
        let Some(key) = of_a_device(key) else {
            continue;
        };
        let is_news = found.get(&key).is_none_or(|(stored, stands)| {
            // As the book takes it up: not where the same is there, or goes on from it.
            *stands != text && (past.has(stored) || !stored.has(&past))
        });
        if is_news {
            found.insert(key, (past, text));
        }
    }
    let texts = found.into_values().filter_map(|(_, text)| text);
    texts.filter_map(|text| device(&text)).collect()
}

fn of_a_device(key: Key) -> Option<Key> {
    (key.kind == Kind::Device).then_some(key)
}

fn in_index(text: &str) -> Option<Lying> {
    let record: Value = serde_json::from_str(text).ok()?;
    let text = |name: &str| record.get(name)?.as_str();
    let is_known = text("format")? == INDEX.0 && record.get("version")?.as_u64()? == INDEX.1;
    let past = Past::parse(text("past")?)?;
    is_known.then(|| (past, text("text").map(str::to_owned)))
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
