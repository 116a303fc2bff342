//! The way from the dial to the other parts of the page, programs of their own that are fetched when they are first opened,
//! and the way back. What is said on it is in [`panel::message`].

use js_sys::{Function, Reflect};
use panel::message::{ToBook, ToDial, ToLearn, ToLight};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{CustomEvent, CustomEventInit};

use super::events::listen_to_window;

/// Who hears a message: the start script fetches the parts by these names.
const DIAL: &str = "dial";
const BOOK: &str = "book";
const LIGHT: &str = "light";
const BENCH: &str = "bench";
const LEARN: &str = "learn";

/// Name of the start script's function that opens a part.
const OPEN: &str = "stopkeeperOpen";

/// What the name of each message's event begins with; who is to hear it follows.
const EVENT: &str = "stopkeeper-";

/// Opens the film book with a message to it.
pub(crate) fn open_book(message: &ToBook) {
    open(BOOK, &message.text());
}

/// Opens the program of the light that a message is for.
pub(crate) fn open_light(message: &ToLight) {
    let part = if message.ask.finds() { LIGHT } else { BENCH };
    open(part, &message.text());
}

/// Opens the part that teaches with a message to it.
pub(crate) fn open_learn(message: &ToLearn) {
    open(LEARN, &message.text());
}

fn open(part: &str, message: &str) {
    let Some(window) = web_sys::window() else {
        return;
    };
    let function = Reflect::get(&window, &JsValue::from_str(OPEN))
        .ok()
        .and_then(|value| value.dyn_into::<Function>().ok());
    if let Some(function) = function {
        let (part, message) = (JsValue::from_str(part), JsValue::from_str(message));
        // OK to ignore: that it is late or could not come is said by the start script.
        let _ = function.call2(&window, &part, &message);
    }
}

/// Calls the film book back with each message to it; with none for one that cannot be read.
pub(crate) fn on_book(call: impl Fn(Option<ToBook>) + 'static) {
    hear(BOOK, Box::new(move |text| call(ToBook::read(text))));
}

/// The same for the light.
pub(crate) fn on_light(call: impl Fn(Option<ToLight>) + 'static) {
    hear(LIGHT, Box::new(move |text| call(ToLight::read(text))));
}

/// The same for the bench.
pub(crate) fn on_bench(call: impl Fn(Option<ToLight>) + 'static) {
    hear(BENCH, Box::new(move |text| call(ToLight::read(text))));
}

/// The same for the part that teaches.
pub(crate) fn on_learn(call: impl Fn(Option<ToLearn>) + 'static) {
    hear(LEARN, Box::new(move |text| call(ToLearn::read(text))));
}

/// Tells the dial something.
pub(crate) fn tell_dial(message: &ToDial) {
    let Some(window) = web_sys::window() else {
        return;
    };
    let detail = CustomEventInit::new();
    detail.set_detail(&JsValue::from_str(&message.text()));
    if let Ok(event) = CustomEvent::new_with_event_init_dict(&format!("{EVENT}{DIAL}"), &detail) {
        // OK to ignore: nobody cancels these.
        let _ = window.dispatch_event(&event);
    }
}

/// Calls back with each message to the dial; one that cannot be read is passed over.
pub(crate) fn on_dial(call: impl Fn(ToDial) + 'static) {
    hear(
        DIAL,
        Box::new(move |text| {
            if let Some(message) = ToDial::read(text) {
                call(message);
            }
        }),
    );
}

fn hear(who: &str, call: Box<dyn Fn(&str)>) {
    listen_to_window(&format!("{EVENT}{who}"), move |event| {
        let told = event.unchecked_into::<CustomEvent>().detail();
        call(&told.as_string().unwrap_or_default());
    });
}

/// Leaves a mark for whoever measures the page.
pub(crate) fn mark(name: &str) {
    if let Some(performance) = web_sys::window().and_then(|window| window.performance()) {
        // OK to ignore: nothing but a measurement misses it.
        let _ = performance.mark(name);
    }
}

#[cfg(test)]
mod tests {
    use std::{cell::RefCell, rc::Rc};

    use js_sys::Function;
    use panel::message::{Go, ToBook, ToDial};
    use wasm_bindgen::JsValue;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::{BENCH, BOOK, EVENT, LEARN, LIGHT, OPEN, on_dial, tell_dial};

    /// The scripts that say something to the programs, and what carries addresses of places.
    const START: &str = include_str!("../../site/boot.js");
    const WORKER: &str = include_str!("../../site/sw.js");
    const MANIFEST: &str = include_str!("../../site/manifest.webmanifest");

    #[wasm_bindgen_test]
    fn the_start_script_says_what_the_book_reads() {
        let before = format!("window.{OPEN}('{BOOK}', ");
        let (_, rest) = START.split_once(&before).expect("it opens the book");
        let (said, _) = rest.split_once(");\n").expect("and the call ends");
        // What the script says is worked out as the browser does it.
        let said = Function::new_with_args("files", &format!("return {said};"));
        for count in 1_u32..4 {
            let files = js_sys::Array::new_with_length(count);
            let text = said.call1(&JsValue::NULL, &files).expect("it runs");
            let text = text.as_string().expect("it says a text");
            assert_eq!(
                ToBook::read(&text),
                Some(ToBook::Opened(count as usize - 1)),
                "{text}"
            );
        }
    }

    #[wasm_bindgen_test]
    fn the_start_script_opens_all_parts_by_their_names() {
        assert!(START.contains(&format!("window.{OPEN} = (part, message)")));
        assert!(START.contains(&format!("new CustomEvent(`{EVENT}${{part}}`")));
        // The build names the files of each after this.
        let build = include_str!("../../../crates/xtask/src/site.rs");
        for part in [BOOK, LIGHT, BENCH, LEARN] {
            assert!(build.contains(&format!("\"{part}\",")), "{part}");
        }
    }

    #[wasm_bindgen_test]
    fn every_place_that_is_linked_is_one_of_the_page() {
        let named = |text: &'static str| {
            let places = text.split("./#").skip(1);
            places.map(|rest| rest.split(['"', '\'']).next().unwrap_or_default())
        };
        let places: Vec<_> = named(MANIFEST).chain(named(WORKER)).map(Go::of).collect();
        assert_eq!(
            places,
            [Go::Roll, Go::Light, Go::Timer, Go::Shared].map(Some)
        );
    }

    #[wasm_bindgen_test]
    fn the_dial_hears_what_it_is_told() {
        let heard: Rc<RefCell<Vec<ToDial>>> = Rc::default();
        let to = Rc::clone(&heard);
        on_dial(move |message| to.borrow_mut().push(message));
        let said = ToDial::Said("A \"name\"\nand more".to_owned());
        tell_dial(&said);
        assert_eq!(*heard.borrow(), [said]);
    }
}
