//! Lists of the dial: rows that are copies of a pattern and are filled, never made anew.
//!
//! One plain function shows all of them. A view for each kind of row would cost the framework's code once for each of its
//! elements, and making rows anew at each mark of a turn costs time and takes the keyboard's place away.

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement};

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

/// Keeps a list filled; `list` is the element as soon as it is there.
pub(crate) fn keep(
    pattern: &'static str,
    list: impl Fn() -> Option<Element> + 'static,
    rows: impl Fn() -> Vec<Row> + 'static,
) {
    keep_filled(pattern, Box::new(list), Box::new(rows));
}

fn keep_filled(
    pattern: &'static str,
    list: Box<dyn Fn() -> Option<Element>>,
    rows: Box<dyn Fn() -> Vec<Row>>,
) {
    let mut shown = Vec::new();
    let effect = RenderEffect::new(move |_: Option<()>| {
        let now = rows();
        if let Some(list) = list() {
            // OK to ignore: patterns are literals, and what they hold is there.
            let _ = fill(&list, pattern, &shown, &now);
            shown = now;
        }
    });
    // The lists are part of the page as long as it is open.
    std::mem::forget(effect);
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
        let bar = find(".bar").unwrap_or_else(|| item.clone());
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
