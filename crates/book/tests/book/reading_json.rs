//! The reader of JSON takes and makes of any text what the library that writes records does.

use book::json::{self, Value};
use proptest::prelude::*;
use serde_json::{Number, from_str};

fn as_the_library_has_it(value: Value) -> serde_json::Value {
    match value {
        Value::Null => serde_json::Value::Null,
        Value::Bool(is) => is.into(),
        Value::Whole(number) => number.into(),
        Value::Decimal(ref text) => Number::from_f64(value.as_f64().expect(text)).into(),
        Value::String(text) => text.into(),
        Value::Array(items) => items.into_iter().map(as_the_library_has_it).collect(),
        Value::Object(fields) => fields
            .into_iter()
            .map(|(name, value)| (name, as_the_library_has_it(value)))
            .collect(),
    }
}

fn same(text: &str) {
    let library: Option<serde_json::Value> = from_str(text).ok();
    let here = json::read(text).map(as_the_library_has_it);
    assert_eq!(here, library, "{text:?}");
}

#[test]
fn what_can_be_written_is_read() {
    for text in [
        "",
        "null",
        " true\n",
        "falsetto",
        "-12",
        "01",
        "1.",
        ".5",
        "-2.50",
        "1e3",
        "25E-2",
        "1e",
        "9223372036854775807",
        "[]",
        "[1,]",
        "[1 2]",
        "[[],[{}]]",
        "{\"a\":1,\"a\":2}",
        "{\"a\" : [1, \"b\"] , \"c\":{}}",
        "{\"a\":1,}",
        "{a:1}",
        "{\"a\":1} 2",
        "\"a\\u00e9\\ud83d\\ude00\\\"\\\\\\/\\b\\f\\n\\r\\t\"",
        "\"\\ud83d\"",
        "\"\\ude00\"",
        "\"\\ud83dx\"",
        "\"\\u+123\"",
        "\"\\x\"",
        "\"a\nb\"",
        "\"end",
        "é",
        "\"é–😀\"",
        "\"\\u00é\"",
    ] {
        same(text);
    }
}

#[test]
fn nothing_lies_too_deep_to_be_refused() {
    assert_eq!(json::read(&"[".repeat(1_000_000)), None, "lists");
    assert_eq!(json::read(&"{\"a\":".repeat(1_000_000)), None, "fields");
}

proptest! {
    #[test]
    fn any_text_is_read_as_the_library_reads_it(
        text in r#"([{}\[\],:"\\ntfu0-9a-d. +-]|"a"|null|true|\[1\]|\{"a":1\}|\\u[0-9a-f]{4}){0,12}"#,
    ) {
        // Nought with a sign is a decimal for the library, and no record holds it.
        if !text.contains("-0") {
            same(&text);
        }
    }

    #[test]
    fn a_damaged_record_is_read_as_the_library_reads_it(
        at in 0..400_usize, with in r#"[{}\[\],:"\\a1 ]{0,2}"#, take in 0..3_usize,
    ) {
        let record = include_str!("../golden/roll-3.json");
        let ends: Vec<usize> = record.char_indices().map(|(at, _)| at).collect();
        let (from, to) = (ends[at.min(ends.len() - 4)], ends[at.min(ends.len() - 4) + take]);
        same(&format!("{}{with}{}", &record[..from], &record[to..]));
    }
}
