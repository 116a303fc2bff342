//! Choices from a list, as the document has them.

use std::fmt::Write as _;

/// Keys and names to choose from.
pub(crate) type Options = Vec<(String, String)>;

/// The entries of a list of choices as text, with the one that is chosen where nothing else says it.
pub(crate) fn entries<'a>(
    options: impl Iterator<Item = (&'a str, &'a str)>,
    chosen: Option<&str>,
) -> String {
    let mut all = String::new();
    for (key, name) in options {
        let selected = if chosen == Some(key) { " selected" } else { "" };
        let (key, name) = (escaped(key), escaped(name));
        // OK to ignore: writing to a text does not fail.
        let _ = write!(all, "<option value=\"{key}\"{selected}>{name}</option>");
    }
    all
}

/// A text as it stands in a document, between tags or in quotes.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '"' => out.push_str("&quot;"),
            _ => out.push(c),
        }
    }
    out
}
