//! What a person does to the page, as plain values.

use std::rc::Rc;

use wasm_bindgen::{JsCast, closure::Closure};
use web_sys::{
    Element, Event, EventTarget, HtmlInputElement, KeyboardEvent, MouseEvent, PointerEvent,
    WheelEvent,
};

use super::{
    files::{self, File},
    slots::element,
};

/// Something that happened on the page.
pub(crate) struct Happened(Event);

/// A key that went down.
pub(crate) struct Key {
    /// Its name: `Enter`, `ArrowUp`.
    pub(crate) name: String,
    /// Whether Shift was down.
    pub(crate) shift: bool,
    /// Whether it is held down, and this is not the press itself.
    pub(crate) held: bool,
    /// Whether another modifier was, which makes it a key of the browser's or the system's.
    pub(crate) modified: bool,
}

impl Happened {
    pub(super) fn new(event: Event) -> Self {
        Self(event)
    }

    /// Whether the box that it happened to is ticked.
    pub(crate) fn is_ticked(&self) -> bool {
        self.on()
            .is_some_and(|on| on.unchecked_into::<HtmlInputElement>().checked())
    }

    /// The files that are chosen in the field that it happened to, in the order of their names.
    pub(crate) fn files(&self) -> Vec<File> {
        self.on()
            .map(|on| files::chosen(on.unchecked_ref()))
            .unwrap_or_default()
    }

    /// Forgets them, so that the same files can be chosen there again.
    pub(crate) fn forget_files(&self) {
        if let Some(on) = self.on() {
            files::forget(on.unchecked_ref());
        }
    }

    fn on(&self) -> Option<Element> {
        self.0.target()?.dyn_into().ok()
    }

    fn near(&self, selector: &str) -> Option<Element> {
        self.on()?.closest(selector).ok().flatten()
    }

    fn number(&self, name: &str) -> Option<usize> {
        let found = self.near(&format!("[{name}]"))?;
        found.get_attribute(name)?.parse().ok()
    }

    /// The id of the element that it happened to.
    pub(crate) fn id(&self) -> String {
        self.on().map(|on| on.id()).unwrap_or_default()
    }

    /// What the pressed button is for.
    pub(crate) fn action(&self) -> Option<String> {
        self.near("[data-do]")?.get_attribute("data-do")
    }

    /// The dial that it happened to.
    pub(crate) fn dial(&self) -> Option<usize> {
        self.number("data-dial")
    }

    /// The row of the list with this id that it happened to.
    pub(crate) fn row_of(&self, list: &str) -> Option<usize> {
        self.near(&format!("#{list}"))?;
        self.number("data-row")
    }

    /// Whether it is the second or a later press at the same place in quick succession.
    pub(crate) fn is_again(&self) -> bool {
        self.0
            .dyn_ref::<MouseEvent>()
            .is_some_and(|press| press.detail() > 1)
    }

    /// Whether it happened to a switch: a press on its label comes again as one on the switch.
    pub(crate) fn is_on_switch(&self) -> bool {
        self.on().is_some_and(|on| on.tag_name() == "INPUT")
    }

    /// Whether it happened to a slider, which has its own arrows.
    pub(crate) fn is_on_slider(&self) -> bool {
        self.on()
            .and_then(|on| on.get_attribute("type"))
            .is_some_and(|kind| kind == "range")
    }

    /// What stands in the field that it happened to.
    pub(crate) fn value(&self) -> String {
        self.on()
            .map(|on| on.unchecked_into::<HtmlInputElement>().value())
            .unwrap_or_default()
    }

    /// Keeps the browser from doing what it would do.
    pub(crate) fn prevent(&self) {
        self.0.prevent_default();
    }

    /// The key that went down.
    pub(crate) fn key(&self) -> Key {
        let event = self.0.unchecked_ref::<KeyboardEvent>();
        Key {
            name: event.key(),
            shift: event.shift_key(),
            held: event.repeat(),
            modified: event.ctrl_key() || event.alt_key() || event.meta_key(),
        }
    }

    /// Where it was touched, as shares of the width and height of the nearest element around it that the selector finds.
    pub(crate) fn touched(&self, selector: &str) -> Option<(f64, f64)> {
        let touch = self.0.dyn_ref::<MouseEvent>()?;
        let place = self.near(selector)?.get_bounding_client_rect();
        let share = |at: i32, start: f64, length: f64| {
            (length > 0.0).then(|| ((f64::from(at) - start) / length).clamp(0.0, 1.0))
        };
        Some((
            share(touch.client_x(), place.left(), place.width())?,
            share(touch.client_y(), place.top(), place.height())?,
        ))
    }

    /// Which of the parts that it was scrolled to fills the view; none where several are in sight.
    pub(crate) fn filling(&self) -> Option<usize> {
        let view = self.on()?;
        let part = f64::from(view.first_element_child()?.client_width());
        let width = f64::from(view.client_width());
        if part < 1.0 || part < width * 0.9 {
            return None;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of parts"
        )]
        let nth = (f64::from(view.scroll_left()).abs() / width).round() as usize;
        Some(nth)
    }

    /// Keeps the pointer that went down on an element with it until it is lifted, wherever it goes.
    pub(crate) fn grab(&self) {
        if let (Some(on), Some(pointer)) = (self.on(), self.pointer()) {
            // OK to ignore: a pointer that is gone is grabbed no more.
            let _ = on.set_pointer_capture(pointer.pointer_id());
        }
    }

    /// Whether the pointer is down.
    pub(crate) fn is_down(&self) -> bool {
        self.pointer().is_some_and(|pointer| pointer.buttons() != 0)
    }

    /// What a wheel did: how far down, and whether in pixels; none where it means to zoom.
    pub(crate) fn wheel(&self) -> Option<(f64, bool)> {
        let event = self.0.unchecked_ref::<WheelEvent>();
        (!event.ctrl_key()).then(|| (event.delta_y(), event.delta_mode() == 0))
    }

    /// The pointer, where that is what happened.
    pub(crate) fn pointer(&self) -> Option<&PointerEvent> {
        self.0.dyn_ref()
    }

    /// The ring of a dial that it happened on.
    pub(crate) fn ring(&self) -> Option<Element> {
        self.near(".dial-grip")
    }
}

/// Calls back with each event of these kinds on the element with this id, for as long as the page is there.
pub(crate) fn listen(id: &str, kinds: &[&str], call: impl Fn(&Happened) + 'static) {
    if let Some(found) = element(id) {
        let call: Rc<dyn Fn(&Happened)> = Rc::new(call);
        for kind in kinds {
            let call = Rc::clone(&call);
            add(&found, kind, Box::new(move |event| call(&Happened(event))));
        }
    }
}

/// The same with the window, where nothing is to be known of what happened.
pub(crate) fn listen_to_window(kind: &str, call: impl Fn(Event) + 'static) {
    if let Some(window) = web_sys::window() {
        add(&window, kind, Box::new(call));
    }
}

fn add(on: &EventTarget, kind: &str, call: Box<dyn Fn(Event)>) {
    let heard = Closure::wrap(call);
    // OK to ignore: adding a listener does not fail.
    let _ = on.add_event_listener_with_callback(kind, heard.as_ref().unchecked_ref());
    heard.forget();
}

/// A call that comes later, unless it is taken back.
#[derive(Clone, Copy)]
pub(crate) struct Later(i32);

/// Calls back once after some milliseconds.
pub(crate) fn after(milliseconds: i32, call: impl FnOnce() + 'static) -> Option<Later> {
    let later = Closure::once_into_js(call);
    let set = web_sys::window()?
        .set_timeout_with_callback_and_timeout_and_arguments_0(later.unchecked_ref(), milliseconds);
    set.ok().map(Later)
}

/// Takes a call back that has not come yet.
pub(crate) fn not_after_all(later: Later) {
    if let Some(window) = web_sys::window() {
        window.clear_timeout_with_handle(later.0);
    }
}
