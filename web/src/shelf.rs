//! Lists of rows.

use crate::parts::{Element, el};

/// A list of rows.
pub(crate) fn shelves(label: &'static str, rows: Vec<Element>) -> Element {
    el("ul").class("shelves").named(label).all(rows)
}
