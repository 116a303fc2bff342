//! Lists of the dial: rows that are copies of a pattern and are filled, never made anew.
//!
//! One plain function shows all of them. Making rows anew at each mark of a turn would cost time and take the keyboard's
//! place away.

use std::cell::RefCell;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::slots::element;

/// What one row shows.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Row {
    /// Attributes of the row's head: the element of the pattern with `data-row`.
    pub(crate) attributes: Vec<(&'static str, String)>,
    /// Texts of the elements with `data-text`, in their order; of the row itself where it has none.
    pub(crate) texts: Vec<String>,
    /// Length of the bar, or the place of a row that has none.
    pub(crate) bar: String,
    /// Whether the switch is on, where there is one to be seen.
    pub(crate) switch: Option<bool>,
}

/// A list, and the pattern of its rows.
pub(crate) struct Rows {
    list: Option<HtmlElement>,
    pattern: String,
    shown: RefCell<Vec<Row>>,
}

impl Rows {
    /// The list with this id, and the pattern that the document has under another one.
    pub(crate) fn find(list: &str, pattern: &str) -> Self {
        Self {
            list: element(list),
            pattern: element(pattern)
                .map(|pattern| pattern.inner_html())
                .unwrap_or_default(),
            shown: RefCell::new(Vec::new()),
        }
    }

    /// Shows these rows and no others.
    pub(crate) fn show(&self, now: Vec<Row>) {
        if let Some(list) = &self.list {
            let before = self.shown.replace(Vec::new());
            // OK to ignore: the pattern is part of the document, and what it holds is there.
            let _ = fill(list, &self.pattern, &before, &now);
            self.shown.replace(now);
        }
    }
}

/// Shows the rows; what is shown already is not touched.
fn fill(list: &Element, pattern: &str, before: &[Row], now: &[Row]) -> Option<()> {
    for (i, row) in now.iter().enumerate() {
        if before.get(i) == Some(row) {
            continue;
        }
        if i >= before.len() {
            list.insert_adjacent_html("beforeend", pattern).ok()?;
        }
        show(&list.children().item(u32::try_from(i).ok()?)?, i, row)?;
    }
    for _ in now.len()..before.len() {
        list.last_element_child()?.remove();
    }
    Some(())
}

fn show(item: &Element, i: usize, row: &Row) -> Option<()> {
    let find = |selector| item.query_selector(selector).ok().flatten();
    let head = find("[data-row]").unwrap_or_else(|| item.clone());
    head.set_attribute("data-row", &i.to_string()).ok()?;
    for (name, value) in &row.attributes {
        head.set_attribute(name, value).ok()?;
    }
    let texts = item.query_selector_all("[data-text]").ok()?;
    for (at, text) in row.texts.iter().enumerate() {
        match texts.item(u32::try_from(at).ok()?) {
            Some(element) => element.set_text_content(Some(text)),
            None => item.set_text_content(Some(text)),
        }
    }
    if !row.bar.is_empty() {
        let bar = find(".bar-of").unwrap_or_else(|| item.clone());
        let style = bar.unchecked_into::<HtmlElement>().style();
        style.set_property("--bar", &row.bar).ok()?;
    }
    if let Some(switch) = find("input") {
        let switch = switch.unchecked_into::<HtmlInputElement>();
        switch.set_hidden(row.switch.is_none());
        switch.set_checked(row.switch == Some(true));
    }
    Some(())
}
