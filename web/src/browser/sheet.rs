//! Where a page of a sheet was left: how far it was scrolled, what had the keyboard, and what was unfolded.
//!
//! A page is made anew when one comes back to it, so what had the keyboard is found again by its id or its words.

use wasm_bindgen::JsCast;
pub(crate) use web_sys::HtmlElement as Element;
use web_sys::{
    Document, Element as Node, FocusOptions, HtmlDialogElement, NodeList, ScrollIntoViewOptions,
    ScrollLogicalPosition,
};

use super::{
    events::listen_to_window,
    later::{request_animation_frame, spawn_local, tick},
    picture,
};

/// What can have the keyboard.
const TAKES_FOCUS: &str = "a[href], button, input, select, textarea, summary, [tabindex]";
const UNFOLDED: &str = ".sheet-body details[open] > summary";
const FOLDED: &str = ".sheet-body details:not([open]) > summary";

/// Opens a dialog over the page; whether it was not open already.
pub(crate) fn open(dialog: &Element) -> bool {
    if dialog.has_attribute("open") {
        return false;
    }
    // What lies uppermost is the last one in the document as well: so it is found, and read out last.
    if let Some(body) = document().and_then(|document| document.body()) {
        // OK to ignore: where it cannot be put it stays.
        let _ = body.append_child(dialog);
    }
    dialog
        .unchecked_ref::<HtmlDialogElement>()
        .show_modal()
        .is_ok()
}

/// Closes a dialog.
pub(crate) fn close(dialog: &Element) {
    dialog.unchecked_ref::<HtmlDialogElement>().close();
}

/// The open dialog of a class, if there is one.
fn open_of(class: &str) -> Option<Element> {
    let found = document()?.query_selector(&format!(".{class}[open]"));
    found.ok().flatten()?.dyn_into().ok()
}

/// Whether a dialog of this class is open.
pub(crate) fn is_open(class: &str) -> bool {
    open_of(class).is_some()
}

/// Closes the dialog of this class.
pub(crate) fn close_part(class: &str) {
    if let Some(dialog) = open_of(class) {
        close(&dialog);
    }
}

/// Where a page was left.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Left {
    /// How far it was scrolled.
    top: i32,
    /// What had the keyboard, and how many of the same came before it.
    focus: Option<(String, usize)>,
    /// The titles of what was unfolded.
    unfolded: Vec<String>,
}

fn document() -> Option<Document> {
    web_sys::window()?.document()
}

fn all(list: Result<NodeList, wasm_bindgen::JsValue>) -> Vec<Element> {
    let Ok(list) = list else {
        return Vec::new();
    };
    (0..list.length())
        .filter_map(|i| list.item(i)?.dyn_into().ok())
        .collect()
}

/// What a thing is known by.
fn known_by(thing: &Node) -> String {
    let id = thing.id();
    if id.is_empty() {
        let name = thing.get_attribute("aria-label");
        let words = name.or_else(|| thing.text_content()).unwrap_or_default();
        format!("{} {words}", thing.tag_name())
    } else {
        format!("#{id}")
    }
}

/// What may be scrolled: the body of the sheet, or a part of it where something stands under that.
fn scrolled(sheet: &Node) -> Vec<Element> {
    all(sheet.query_selector_all(".sheet-body, .scrolls"))
}

/// Gives something the keyboard, and leaves it to others where the page is scrolled to.
fn focus(thing: &Element) {
    let still = FocusOptions::new();
    still.set_prevent_scroll(true);
    // OK to ignore: what takes no focus leaves it where it is.
    let _ = thing.focus_with_options(&still);
}

fn focus_heading(sheet: &Node) {
    let heading = sheet.query_selector(".sheet-head h2").ok().flatten();
    if let Some(heading) = heading.and_then(|heading| heading.dyn_into().ok()) {
        focus(&heading);
    }
}

/// Whether something on the sheet has the keyboard, and can be seen.
fn has_focus(sheet: &Node) -> bool {
    let active = document().and_then(|document| document.active_element());
    active.is_some_and(|active| {
        let place = active.get_bounding_client_rect();
        sheet.contains(Some(&active)) && place.width() > 0.0 && !active.has_attribute("disabled")
    })
}

impl Left {
    /// How the page of an open sheet stands.
    pub(crate) fn of(sheet: &Node) -> Self {
        let active = document().and_then(|document| document.active_element());
        let active = active.filter(|active| sheet.contains(Some(active)));
        // A form that was sent is done with: it is folded, and its title has the keyboard.
        let pressed = active
            .as_ref()
            .filter(|active| active.tag_name() == "BUTTON");
        let sent = pressed.and_then(|pressed| {
            let form = pressed.closest(".form").ok().flatten()?;
            let details = form.closest("details").ok().flatten()?;
            details.query_selector("summary").ok().flatten()
        });
        let unfolded = all(sheet.query_selector_all(UNFOLDED))
            .iter()
            .filter(|title| !title.is_same_node(sent.as_deref()))
            .filter_map(|title| title.text_content())
            .collect();
        let focus = sent.or(active).map(|active| {
            let known = known_by(&active);
            let before = all(sheet.query_selector_all(TAKES_FOCUS))
                .iter()
                .take_while(|other| !other.is_same_node(Some(&active)))
                .filter(|other| known_by(other) == known)
                .count();
            (known, before)
        });
        Self {
            top: scrolled(sheet)
                .iter()
                .map(|body| body.scroll_top())
                .max()
                .unwrap_or(0),
            focus,
            unfolded,
        }
    }

    /// Puts an open sheet back to where it was left.
    pub(crate) fn restore(&self, sheet: &Node) {
        for title in all(sheet.query_selector_all(FOLDED)) {
            let known = title.text_content();
            if known.is_some_and(|known| self.unfolded.contains(&known))
                && let Some(details) = title.parent_element()
            {
                // OK to ignore: the name is a valid one.
                let _ = details.set_attribute("open", "");
            }
        }
        for body in scrolled(sheet) {
            body.set_scroll_top(self.top);
        }
        let found = self.focus.as_ref().and_then(|(known, before)| {
            all(sheet.query_selector_all(TAKES_FOCUS))
                .into_iter()
                .filter(|thing| known_by(thing) == *known)
                .nth(*before)
        });
        match found {
            Some(found) => focus(&found),
            None => focus_heading(sheet),
        }
    }
}

/// Shows the page that a sheet was turned to as it was left, as soon as it is made; one that was not open before from its top,
/// with the keyboard on its heading.
pub(crate) fn turned(sheet: Element, left: Left) {
    spawn_local(async move {
        tick().await;
        left.restore(&sheet);
    });
}

/// Takes the keyboard to the heading where what had it is gone from a sheet.
pub(crate) fn keep_focus(sheet: Element) {
    if !sheet.has_attribute("open") {
        return;
    }
    request_animation_frame(move || {
        // Something over it, such as a picture shown large, has it then, and keys are heard there.
        let open = document().map(|d| all(d.query_selector_all("dialog[open]")));
        let over = open.unwrap_or_default().pop();
        match over.filter(|over| !over.is_same_node(Some(&sheet))) {
            Some(over) if has_focus(&over) => {}
            Some(over) => focus(&over),
            None if has_focus(&sheet) => {}
            None => focus_heading(&sheet),
        }
    });
}

/// Prints the page of a sheet, while it is open, as any other document: over as many pages of paper as it takes.
///
/// A dialog lies over the document, where some browsers cut it off at the end of the first page. So a copy of what it shows is
/// put into the document for as long as the browser prints; the styles for paper show that alone.
pub(crate) fn prints(sheet: impl Fn() -> Option<Element> + 'static) {
    let take_away = || {
        let copy = document().and_then(|d| d.query_selector(".print-copy").ok().flatten());
        if let Some(copy) = copy {
            copy.remove();
        }
    };
    listen_to_window("beforeprint", move |_| {
        // Where it is not open, a copy may be that of another program.
        if let Some(sheet) = sheet().filter(|sheet| sheet.has_attribute("open")) {
            take_away();
            // OK to ignore: without a copy the sheet itself is printed, as far as the browser does it.
            let _ = copy(&sheet);
        }
    });
    listen_to_window("afterprint", move |_| take_away());
}

fn copy(sheet: &Node) -> Option<()> {
    let document = document()?;
    let copy = document.create_element("div").ok()?;
    let kind = sheet.get_attribute("class")?;
    copy.set_attribute("class", &format!("{kind} print-copy"))
        .ok()?;
    for part in [".sheet-head", ".sheet-body"] {
        let part = sheet.query_selector(part).ok()??;
        copy.append_child(&part.clone_node_with_deep(true).ok()?)
            .ok()?;
    }
    // What is painted is no part of the document, and is painted once more.
    let painted = |within: &Node| all(within.query_selector_all("canvas"));
    for (from, to) in painted(sheet).iter().zip(&painted(&copy)) {
        // OK to ignore: what cannot be painted stays white.
        let _ = picture::copy(from, to);
    }
    document.body()?.append_child(&copy).ok().map(drop)
}

/// Scrolls as little as it takes to show something whole, or from its top, once it has been drawn.
pub(crate) fn show(selector: &'static str) {
    when_drawn(selector, |_| {});
}

/// The same, and gives it the keyboard.
pub(crate) fn turn_to(selector: &'static str) {
    when_drawn(selector, focus);
}

/// Gives something that is there the keyboard, at once.
pub(crate) fn give(selector: &'static str) {
    let found = document().and_then(|d| d.query_selector(selector).ok().flatten());
    if let Some(found) = found.and_then(|found| found.dyn_into().ok()) {
        focus(&found);
    }
}

fn when_drawn(selector: &'static str, then: fn(&Element)) {
    request_animation_frame(move || {
        let found = document().and_then(|d| d.query_selector(selector).ok().flatten());
        let Some(found) = found.and_then(|found| found.dyn_into().ok()) else {
            return;
        };
        let how = ScrollIntoViewOptions::new();
        let found: Element = found;
        let room = found
            .closest(".scrolls, .sheet-body")
            .ok()
            .flatten()
            .map_or(0.0, |body| body.get_bounding_client_rect().height());
        let fits = found.get_bounding_client_rect().height() < room;
        how.set_block(if fits {
            ScrollLogicalPosition::Nearest
        } else {
            ScrollLogicalPosition::Start
        });
        found.scroll_into_view_with_scroll_into_view_options(&how);
        then(&found);
    });
}
