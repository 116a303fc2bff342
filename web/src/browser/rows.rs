//! Lists of the dial: rows that are copies of a pattern and are filled, never made anew.
//!
//! One plain function shows all of them. Making rows anew at each mark of a turn would cost time and take the keyboard's
//! place away.

use std::cell::RefCell;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlTemplateElement, Node};

use super::slots::{Slot, What, element};

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
    pattern: Option<Node>,
    rows: RefCell<Vec<Filled>>,
}

/// A row of the document, and the elements of it that are filled.
struct Filled {
    row: Element,
    head: Slot,
    texts: Vec<Slot>,
    bar: Slot,
    switch: Option<Slot>,
    shown: Row,
}

impl Rows {
    /// The list with this id, and the pattern that the document has under another one.
    pub(crate) fn find(list: &str, pattern: &str) -> Self {
        let pattern = element(pattern).map(JsCast::unchecked_into::<HtmlTemplateElement>);
        Self {
            list: element(list),
            pattern: pattern.map(|pattern| pattern.content().into()),
            rows: RefCell::new(Vec::new()),
        }
    }

    /// Shows these rows and no others; what is shown already is not touched.
    pub(crate) fn show(&self, now: Vec<Row>) {
        // Taken out, for what is taken away may give the keyboard away, and call back.
        let mut rows = self.rows.take();
        let kept = now.len().min(rows.len());
        for gone in rows.drain(kept..) {
            gone.row.remove();
        }
        for (i, row) in now.into_iter().enumerate() {
            if i >= rows.len() {
                // OK to leave out: the list and its pattern are in the document, which a test looks for.
                rows.extend(self.copy(i));
            }
            if let Some(filled) = rows.get_mut(i) {
                filled.show(row);
            }
        }
        self.rows.replace(rows);
    }

    fn copy(&self, i: usize) -> Option<Filled> {
        let copy = self.pattern.as_ref()?.clone_node_with_deep(true).ok()?;
        let list = self.list.as_ref()?;
        list.append_child(&copy).ok()?;
        let row = list.last_element_child()?;
        let find = |selector| row.query_selector(selector).ok().flatten();
        let slot = |element: &Element| Slot::of(Some(element));
        let head = find("[data-row]").unwrap_or_else(|| row.clone());
        head.set_attribute("data-row", &i.to_string()).ok()?;
        let all = row.query_selector_all("[data-text]").ok()?;
        let mut texts: Vec<Slot> = (0..all.length())
            .filter_map(|at| all.item(at))
            .map(|node| Slot::of(Some(&node)))
            .collect();
        if texts.is_empty() {
            texts.push(slot(&row));
        }
        Some(Filled {
            head: slot(&head),
            texts,
            bar: slot(&find(".bar-of").unwrap_or_else(|| row.clone())),
            switch: find("input").as_ref().map(slot),
            row,
            shown: Row::default(),
        })
    }
}

impl Filled {
    fn show(&mut self, now: Row) {
        if self.shown == now {
            return;
        }
        for (name, value) in &now.attributes {
            self.head.put(What::Attribute(name), value);
        }
        for (slot, text) in self.texts.iter().zip(&now.texts) {
            slot.put(What::Text, text);
        }
        if !now.bar.is_empty() {
            self.bar.put(What::Style("--bar"), &now.bar);
        }
        if let Some(switch) = &self.switch {
            let set = |on| if on { "on" } else { "" };
            switch.put(What::Flag("hidden"), set(now.switch.is_none()));
            switch.put(What::Ticked, set(now.switch == Some(true)));
        }
        self.shown = now;
    }
}
