//! Copies of what stands in the dial's document, for another part of the page.

use super::sheet::Element;

/// The ids that a thing has, and those that it points to.
const IDS: [&str; 3] = ["id", "aria-describedby", "aria-controls"];

/// Puts a copy of what has this id into something; `before` stands before each id in it. None where it is not there.
pub(crate) fn put_into(there: &Element, id: &str, before: &str) -> Option<()> {
    let document = web_sys::window()?.document()?;
    let copy = document
        .get_element_by_id(id)?
        .clone_node_with_deep(true)
        .ok()?;
    there.append_child(&copy).ok()?;
    for name in IDS {
        let named = there.query_selector_all(&format!("[{name}]")).ok()?;
        for i in 0..named.length() {
            let node: web_sys::Element = wasm_bindgen::JsCast::dyn_into(named.item(i)?).ok()?;
            let ids = node.get_attribute(name).unwrap_or_default();
            node.set_attribute(name, &format!("{before}{ids}")).ok()?;
        }
    }
    // What was filled is filled anew.
    let filled = there.query_selector_all("[data-row]").ok()?;
    for i in (0..filled.length()).rev() {
        let node = filled.item(i)?;
        node.parent_node()?.remove_child(&node).ok()?;
    }
    Some(())
}
