//! What a program is made of: the bytes of its code by the part of the project, or the library, that they come from.
//!
//! Names go from a program before it is delivered, so a build notes beside it in the cache what each part costs; the bytes are
//! those before compression and before wasm-opt.

use std::collections::BTreeMap;

use walrus::{FunctionKind, Module};

/// The project's own crates, which are told apart by their modules.
const OWN: [&str; 5] = ["book", "exposure", "panel", "readings", "web"];

/// What is no code: texts and tables.
const DATA: &str = "texts and tables";

/// Bytes by part.
pub(crate) type Parts = BTreeMap<String, u64>;

/// The bytes of each part of a module that was bound.
pub(crate) fn of(module: &Module) -> Parts {
    let mut parts = Parts::new();
    let mut add = |part: String, bytes: usize| *parts.entry(part).or_default() += bytes as u64;
    for function in module.funcs.iter() {
        let FunctionKind::Local(local) = &function.kind else {
            continue;
        };
        let bytes = local
            .original_range
            .as_ref()
            .map_or(0, ExactSizeIterator::len);
        let name = function.name.as_deref().unwrap_or_default();
        add(part_of(&rustc_demangle::demangle(name).to_string()), bytes);
    }
    for data in module.data.iter() {
        add(DATA.to_owned(), data.value.len());
    }
    parts
}

/// The part that a function belongs to: what is made from a pattern for one of the project's own types counts for the module of
/// that type, for without it the function would not be there; everything else for its crate.
fn part_of(name: &str) -> String {
    let is_in_word = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let own = |at: usize, krate: &str| {
        let before = name[..at].chars().next_back();
        let starts = before.is_none_or(|c| !is_in_word(c) && c != ':');
        let rest = name[at..].strip_prefix(krate)?;
        // A crate's name is followed by what tells it from another one of that name: `panel[2f4e]::store`.
        let hash = rest.strip_prefix('[').and_then(|rest| rest.split_once(']'));
        let rest = hash.map_or(rest, |(_, rest)| rest).strip_prefix("::")?;
        let module: String = rest.chars().take_while(|c| is_in_word(*c)).collect();
        (starts && !module.is_empty()).then(|| format!("{krate}::{module}"))
    };
    let found = name
        .char_indices()
        .find_map(|(at, _)| OWN.iter().find_map(|krate| own(at, krate)));
    found.unwrap_or_else(|| {
        let first: String = name
            .trim_start_matches(|c| !is_in_word(c))
            .chars()
            .take_while(|c| is_in_word(*c))
            .collect();
        if name.contains("::") && !first.is_empty() {
            first
        } else {
            "others".to_owned()
        }
    })
}

/// One part to a line: bytes, a tab, the name.
pub(crate) fn written(parts: &Parts) -> String {
    parts
        .iter()
        .map(|(part, bytes)| format!("{bytes}\t{part}\n"))
        .collect()
}

/// What was written; lines that are no part are passed over.
pub(crate) fn read(text: &str) -> Parts {
    let part = |line: &str| {
        let (bytes, part) = line.split_once('\t')?;
        Some((part.to_owned(), bytes.parse().ok()?))
    };
    text.lines().filter_map(part).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn belongs(name: &str, part: &str) {
        assert_eq!(part_of(name), part, "{name}");
    }

    #[test]
    fn a_function_belongs_to_the_first_own_module_that_its_name_tells() {
        belongs("panel::store::json", "panel::store");
        belongs(
            "<book::roll::Roll as core::clone::Clone>::clone",
            "book::roll",
        );
        belongs(
            "core::ptr::drop_in_place<panel::state::State>",
            "panel::state",
        );
        belongs("<&mut dyn web::parts::Part>::call", "web::parts");
        belongs("panel[2f4e9]::store::json", "panel::store");
        belongs("<web[7]::app::Page>::told", "web::app");
        belongs(
            "core[3a]::ptr::drop_in_place::<book[1]::roll::Roll>",
            "book::roll",
        );
        belongs("alloc[5f]::raw_vec::finish_grow", "alloc");
        belongs("alloc::raw_vec::finish_grow", "alloc");
        belongs(
            "<alloc::string::String as core::fmt::Write>::write_str",
            "alloc",
        );
        belongs("serde_json::read::notebook::open", "serde_json");
        belongs("__wbindgen_malloc", "others");
        belongs("", "others");
    }

    #[test]
    fn what_is_noted_is_read() {
        let parts = Parts::from([("panel::store".to_owned(), 12), (DATA.to_owned(), 3)]);
        assert_eq!(read(&written(&parts)), parts);
        assert_eq!(read("nothing\nx\ty\n"), Parts::new());
    }

    #[test]
    fn code_and_texts_are_counted() {
        // One function of four bytes: its length, no locals, a constant, the end.
        let text: &[u8] = &[
            0, 0x61, 0x73, 0x6d, 1, 0, 0, 0, // head
            1, 4, 1, 0x60, 0, 0, // a type
            3, 2, 1, 0, // a function of it
            7, 5, 1, 1, b'f', 0, 0, // its name outside
            10, 6, 1, 4, 0, 1, 1, 0x0b, // its code: two times nothing
            0, 14, 4, b'n', b'a', b'm', b'e', 1, 7, 1, 0, 4, b'a', b':', b':', b'b',
        ];
        let module = Module::from_buffer(text).expect("a module");
        let parts = of(&module);
        assert_eq!(parts.keys().collect::<Vec<_>>(), ["a"], "its crate");
        assert!((3..=5).contains(&parts["a"]), "{parts:?}");
    }
}
