//! The page's parts in a real browser, with the real panel behind them.
//!
//! Each test mounts the whole page into an element of its own and does what a person does: keys, pointer, typed text.

#![cfg(target_arch = "wasm32")]

use leptos::mount::{UnmountHandle, mount_to};
use leptos::task::tick;
use wasm_bindgen::JsCast;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::{
    Document, Element, Event, EventInit, HtmlElement, HtmlInputElement, HtmlSelectElement,
    KeyboardEvent, KeyboardEventInit, PointerEvent, PointerEventInit, Storage,
};

wasm_bindgen_test_configure!(run_in_browser);

/// The style that the dials' geometry comes from.
const STYLE: &str = concat!(
    include_str!("../style/00-tokens.css"),
    include_str!("../style/10-base.css"),
    include_str!("../style/30-dial.css"),
);
/// Degrees per stop in that style.
const PITCH: f64 = 12.0;

fn document() -> Document {
    web_sys::window()
        .expect("a browser")
        .document()
        .expect("a document")
}

fn storage() -> Storage {
    web_sys::window()
        .expect("a browser")
        .local_storage()
        .expect("storage is allowed")
        .expect("there is storage")
}

/// A mounted page; taken away when it is dropped.
struct Page {
    root: HtmlElement,
    // Declared after `root` and dropped with it: unmounts the page.
    _handle: Box<dyn std::any::Any>,
}

impl Page {
    /// The page as on a first visit.
    async fn first_visit() -> Self {
        storage().clear().expect("storage can be cleared");
        Self::again().await
    }

    /// The page with what an earlier one has kept.
    async fn again() -> Self {
        let root: HtmlElement = document()
            .create_element("div")
            .expect("an element")
            .unchecked_into();
        let style = document().create_element("style").expect("an element");
        style.set_text_content(Some(STYLE));
        root.append_child(&style).expect("the style goes in");
        // As wide as a phone whatever the test browser's window is.
        root.style()
            .set_property("width", "390px")
            .expect("a valid width");
        document()
            .body()
            .expect("a body")
            .append_child(&root)
            .expect("the root goes in");
        let handle: UnmountHandle<_> = mount_to(root.clone(), web::App);
        tick().await;
        Self {
            root,
            _handle: Box::new(handle),
        }
    }

    fn one(&self, selector: &str) -> HtmlElement {
        self.root
            .query_selector(selector)
            .expect("a valid selector")
            .unwrap_or_else(|| panic!("there is no {selector}"))
            .unchecked_into()
    }

    fn named(&self, name: &str) -> HtmlElement {
        self.one(&format!("[aria-label=\"{name}\"]"))
    }

    fn dial(&self, name: &str) -> HtmlInputElement {
        self.one(&format!("input[type=range][aria-label=\"{name}\"]"))
            .unchecked_into()
    }

    fn spoken(&self, name: &str) -> String {
        self.dial(name)
            .get_attribute("aria-valuetext")
            .unwrap_or_default()
    }

    fn three(&self) -> [String; 3] {
        ["Time", "Aperture", "Sensitivity"].map(|name| self.spoken(name))
    }

    /// Where the face of a dial stands, in thousandths of a stop.
    fn place(&self, name: &str) -> i32 {
        let disc: HtmlElement = self
            .dial(name)
            .parent_element()
            .expect("a window")
            .query_selector(".dial-disc")
            .expect("a valid selector")
            .expect("a disc")
            .unchecked_into();
        let place = disc
            .style()
            .get_property_value("--place")
            .expect("the disc has a place");
        let (whole, part) = place.trim().split_once('.').expect("three decimals");
        let size = whole
            .trim_start_matches('-')
            .parse::<i32>()
            .expect("digits")
            * 1000
            + part.parse::<i32>().expect("digits");
        if whole.starts_with('-') { -size } else { size }
    }

    async fn key(&self, dial: &str, key: &str) {
        let range = self.dial(dial);
        for kind in ["keydown", "keyup"] {
            let init = KeyboardEventInit::new();
            init.set_key(key);
            init.set_bubbles(true);
            init.set_cancelable(true);
            let event =
                KeyboardEvent::new_with_keyboard_event_init_dict(kind, &init).expect("an event");
            range.dispatch_event(&event).expect("it is dispatched");
        }
        tick().await;
    }

    async fn press(&self, name: &str) {
        self.named(name).click();
        tick().await;
    }

    async fn type_into(&self, id: &str, text: &str) {
        let field: HtmlInputElement = self.one(&format!("#{id}")).unchecked_into();
        field.set_value(text);
        change(&field).await;
    }

    fn value(&self, id: &str) -> String {
        self.one(&format!("#{id}"))
            .unchecked_into::<HtmlInputElement>()
            .value()
    }

    async fn choose(&self, id: &str, key: &str) {
        let field: HtmlSelectElement = self.one(&format!("#{id}")).unchecked_into();
        field.set_value(key);
        change(&field).await;
    }

    fn status(&self) -> String {
        self.one("[role=status]").inner_text()
    }

    fn frames(&self) -> u32 {
        self.named("Bracket").children().length()
    }

    /// Sends a pointer to a place on the ring, so many degrees clockwise of the index.
    async fn point(&self, dial: &str, kind: &str, degrees: f64, pointer: i32) {
        let ring: Element = self
            .dial(dial)
            .parent_element()
            .expect("a window")
            .query_selector(".dial-grip")
            .expect("a valid selector")
            .expect("a ring");
        let bounds = ring.get_bounding_client_rect();
        let radius = bounds.width() / 2.0 - 30.0;
        let (sin, cos) = degrees.to_radians().sin_cos();
        let whole = |pixels: f64| {
            #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
            let pixels = pixels.round() as i32;
            pixels
        };
        let init = PointerEventInit::new();
        init.set_pointer_id(pointer);
        init.set_is_primary(pointer == 1);
        init.set_pointer_type("touch");
        init.set_button(0);
        init.set_bubbles(true);
        init.set_cancelable(true);
        init.set_client_x(whole(bounds.left() + bounds.width() / 2.0 + radius * sin));
        init.set_client_y(whole(bounds.top() + bounds.height() / 2.0 - radius * cos));
        let event = PointerEvent::new_with_event_init_dict(kind, &init).expect("an event");
        ring.dispatch_event(&event).expect("it is dispatched");
        tick().await;
    }

    /// Turns a dial by stops, in small movements, without letting go.
    async fn turn(&self, dial: &str, from: f64, to: f64) {
        let parts = 20;
        for part in 1..=parts {
            let degrees = (from + (to - from) * f64::from(part) / f64::from(parts)) * PITCH;
            self.point(dial, "pointermove", degrees, 1).await;
        }
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        self.root.remove();
    }
}

async fn change(field: &Element) {
    let init = EventInit::new();
    init.set_bubbles(true);
    let event = Event::new_with_event_init_dict("change", &init).expect("an event");
    field.dispatch_event(&event).expect("it is dispatched");
    tick().await;
}

const FIRST: [&str; 3] = ["1/125 second", "f/5.6", "ISO 100"];

#[wasm_bindgen_test]
async fn a_key_turns_a_dial_and_the_follower_turns_the_other_way() {
    let page = Page::first_visit().await;
    assert_eq!(page.three(), FIRST, "the first scene");
    let (time, aperture) = (page.place("Time"), page.place("Aperture"));
    page.key("Time", "ArrowUp").await;
    assert_eq!(
        page.three(),
        ["1/60 second", "f/8", "ISO 100"],
        "one mark up is one stop brighter, and the aperture makes it up"
    );
    assert_eq!(page.place("Time"), time + 1000, "clockwise by a stop");
    assert_eq!(
        page.place("Aperture"),
        aperture - 1000,
        "the other way by a stop"
    );
    assert!(
        page.status().starts_with("Time lengthened one stop"),
        "it says: {}",
        page.status()
    );
    page.key("Time", "ArrowLeft").await;
    assert_eq!(page.three(), FIRST, "out and back");
}

#[wasm_bindgen_test]
async fn the_keys_reach_both_ends_and_escape_gives_back() {
    let page = Page::first_visit().await;
    page.key("Aperture", "Home").await;
    assert_eq!(page.spoken("Aperture"), "f/16", "Home is the darkest mark");
    page.key("Aperture", "End").await;
    assert_eq!(page.spoken("Aperture"), "f/2", "End is the brightest mark");
    page.key("Aperture", "Escape").await;
    assert_eq!(page.three(), FIRST, "Escape gives back");
    page.key("Sensitivity", "PageUp").await;
    assert_eq!(page.spoken("Sensitivity"), "ISO 200", "a full stop");
}

#[wasm_bindgen_test]
async fn assistive_technology_turns_by_the_ranges_value() {
    let page = Page::first_visit().await;
    let range = page.dial("Time");
    range.set_value("5");
    let event = Event::new("input").expect("an event");
    range.dispatch_event(&event).expect("it is dispatched");
    change(&range).await;
    assert_eq!(
        page.three(),
        ["1/30 second", "f/11", "ISO 100"],
        "the sixth mark from the dark end"
    );
}

#[wasm_bindgen_test]
async fn a_drag_crosses_detents_and_settles_on_a_mark() {
    let page = Page::first_visit().await;
    let rest = page.place("Time");
    page.point("Time", "pointerdown", 0.0, 1).await;
    page.turn("Time", 0.0, 2.3).await;
    assert_eq!(
        page.three(),
        ["1/30 second", "f/11", "ISO 100"],
        "two detents on, while the finger is still down"
    );
    let under_finger = page.place("Time") - rest;
    assert!(
        (under_finger - 2300).abs() < 60,
        "the face follows the finger: {under_finger}"
    );
    page.point("Time", "pointerup", 2.3 * PITCH, 1).await;
    assert_eq!(page.place("Time"), rest + 2000, "at rest on the mark");
}

#[wasm_bindgen_test]
async fn a_second_finger_and_a_mouse_button_do_nothing() {
    let page = Page::first_visit().await;
    page.point("Time", "pointerdown", 0.0, 1).await;
    page.turn("Time", 0.0, 1.0).await;
    page.point("Time", "pointerdown", 20.0, 2).await;
    page.point("Time", "pointermove", -40.0, 2).await;
    page.point("Time", "pointerup", -40.0, 2).await;
    assert_eq!(
        page.spoken("Time"),
        "1/60 second",
        "only the first finger turns"
    );
    page.point("Time", "pointerup", PITCH, 1).await;
    assert_eq!(page.spoken("Time"), "1/60 second", "and lets go");
}

#[wasm_bindgen_test]
async fn a_cancelled_drag_gives_back_and_only_that_drag() {
    let page = Page::first_visit().await;
    page.key("Time", "ArrowUp").await;
    page.point("Time", "pointerdown", 0.0, 1).await;
    page.turn("Time", 0.0, 2.0).await;
    page.point("Time", "pointercancel", 2.0 * PITCH, 1).await;
    assert_eq!(
        page.spoken("Time"),
        "1/60 second",
        "back to where the drag began"
    );
    page.point("Time", "pointerdown", 0.0, 1).await;
    page.point("Time", "pointercancel", 0.0, 1).await;
    assert_eq!(
        page.spoken("Time"),
        "1/60 second",
        "a drag that turned nothing gives nothing back"
    );
}

#[wasm_bindgen_test]
async fn a_tapped_mark_comes_to_the_index() {
    let page = Page::first_visit().await;
    // Brighter marks stand anticlockwise of the index.
    page.point("Time", "pointerdown", -2.0 * PITCH, 1).await;
    page.point("Time", "pointerup", -2.0 * PITCH, 1).await;
    assert_eq!(page.spoken("Time"), "1/30 second", "two marks brighter");
}

#[wasm_bindgen_test]
async fn holding_two_dials_changes_the_exposure_and_says_so() {
    let page = Page::first_visit().await;
    page.press("Hold aperture").await;
    let pressed = |name: &str| page.named(name).get_attribute("aria-pressed");
    assert_eq!(
        pressed("Hold aperture").as_deref(),
        Some("true"),
        "it is held"
    );
    assert_eq!(
        pressed("Hold sensitivity").as_deref(),
        Some("true"),
        "and so is the other"
    );
    page.press("Time, one mark more light").await;
    assert_eq!(
        page.three(),
        ["1/60 second", "f/5.6", "ISO 100"],
        "nothing makes it up"
    );
    let sum = page.one(".ledger-sum").inner_text();
    assert!(
        sum.contains("1 stop more light"),
        "the ledger says so: {sum}"
    );
    let back: HtmlElement = page.one(".ledger-total button");
    back.click();
    tick().await;
    assert_eq!(page.three(), FIRST, "back to the reading");
}

#[wasm_bindgen_test]
async fn text_that_means_nothing_stays_with_a_sentence() {
    let page = Page::first_visit().await;
    page.type_into("reading-time", "quickly").await;
    assert_eq!(
        page.value("reading-time"),
        "quickly",
        "what was typed is kept"
    );
    let error = page.one("#reading-time-error");
    assert!(!error.hidden(), "the sentence shows");
    assert!(
        error.inner_text().contains("1/60"),
        "it says what is accepted"
    );
    assert_eq!(page.three(), FIRST, "nothing else changes");
    page.type_into("reading-time", "60").await;
    assert_eq!(page.value("reading-time"), "1/60", "as the page writes it");
    assert!(error.hidden(), "the sentence is gone");
    page.type_into("reading-aperture", "8").await;
    assert_eq!(
        page.value("reading-aperture"),
        "f/8",
        "also where the value was the same already"
    );
}

#[wasm_bindgen_test]
async fn a_typed_value_goes_to_the_dial_and_the_focus_comes_back() {
    let page = Page::first_visit().await;
    page.press("Type time").await;
    let field: HtmlInputElement = page.named("Time value").unchecked_into();
    assert!(!field.hidden(), "the field shows");
    field.set_value("1/30");
    let init = KeyboardEventInit::new();
    init.set_key("Enter");
    let enter =
        KeyboardEvent::new_with_keyboard_event_init_dict("keydown", &init).expect("an event");
    field.dispatch_event(&enter).expect("it is dispatched");
    tick().await;
    assert_eq!(page.spoken("Time"), "1/30 second", "the dial went there");
    assert!(field.hidden(), "the field is gone");
    let focused = document()
        .active_element()
        .expect("something has the focus");
    assert_eq!(
        focused.get_attribute("aria-label").as_deref(),
        Some("Type time"),
        "the value has the focus"
    );
}

#[wasm_bindgen_test]
async fn what_was_set_is_there_again() {
    let page = Page::first_visit().await;
    let kept = || {
        storage()
            .get_item("stopkeeper.setting")
            .expect("storage can be read")
            .unwrap_or_default()
    };
    page.point("Time", "pointerdown", 0.0, 1).await;
    page.turn("Time", 0.0, 1.0).await;
    assert!(kept().is_empty(), "nothing is written during the turn");
    page.point("Time", "pointerup", PITCH, 1).await;
    assert!(kept().contains("1/60"), "it is written when it settles");
    page.type_into("box-speed", "160").await;
    page.choose("camera", "folder").await;
    let three = page.three();
    drop(page);
    let page = Page::again().await;
    assert_eq!(page.three(), three, "the dials stand where they were left");
    assert_eq!(page.value("box-speed"), "ISO 160", "the film is the same");
}

#[wasm_bindgen_test]
async fn the_strip_has_an_item_for_each_frame() {
    let page = Page::first_visit().await;
    assert_eq!(page.frames(), 4, "the base and three more");
    page.choose("bracket-over", "1").await;
    page.choose("bracket-under", "1").await;
    assert_eq!(page.frames(), 3, "one to each side");
    let text = page.named("Bracket").inner_text();
    for words in [
        "EI 200",
        "EI 100",
        "EI 50",
        "1 stop more light",
        "1 stop less light",
    ] {
        assert!(text.contains(words), "{words} is missing in {text}");
    }
}

#[wasm_bindgen_test]
async fn a_pair_of_the_table_goes_onto_the_dials() {
    let page = Page::first_visit().await;
    let row = page.one("[aria-label^=\"1/30 second at f/11\"]");
    row.click();
    tick().await;
    assert_eq!(
        page.three(),
        ["1/30 second", "f/11", "ISO 100"],
        "both dials went there"
    );
    let now = page.one(".pair[aria-current=true]");
    assert!(
        now.inner_text().contains("f/11"),
        "the table shows which one it is"
    );
}

#[wasm_bindgen_test]
async fn a_damaged_record_is_kept_aside_with_a_sentence() {
    storage().clear().expect("storage can be cleared");
    storage()
        .set_item("stopkeeper.setting", "{half a rec")
        .expect("it can be written");
    let page = Page::again().await;
    assert_eq!(page.three(), FIRST, "the page starts afresh");
    let notices = page.one(".notices").inner_text();
    assert!(
        notices.contains("could not be read"),
        "it says so: {notices}"
    );
    let length = storage().length().expect("storage can be read");
    let kept = (0..length)
        .filter_map(|i| storage().key(i).ok().flatten())
        .filter_map(|key| storage().get_item(&key).ok().flatten())
        .any(|text| text == "{half a rec");
    assert!(kept, "the record is still somewhere");
}
