//! Makes a document of the parts of a sheet, and writes only what differs when they are described anew.

use std::{cell::RefCell, mem, rc::Rc};

use leptos::{
    mount::mount_to_body,
    reactive::{
        effect::RenderEffect,
        graph::untrack,
        owner::{LocalStorage, Owner, StoredValue},
        traits::{GetValue as _, SetValue as _},
    },
};
use wasm_bindgen::{JsCast, closure::Closure};
use web_sys::{Document, Element as Found, Event, HtmlElement, HtmlInputElement, Node, Text};

use super::events::Happened;
use crate::parts::{Call, Described, Element, Part, Value, When, Words};

/// A place to find an element by once it is in the document.
#[derive(Clone, Copy)]
pub(crate) struct Here(StoredValue<Option<HtmlElement>, LocalStorage>);

impl Here {
    pub(crate) fn new() -> Self {
        Self(StoredValue::new_local(None))
    }

    /// The element; none where it is not in the document, or not any more.
    pub(crate) fn get(self) -> Option<HtmlElement> {
        self.0.try_get_value().flatten()
    }
}

/// The names of elements of drawings.
const SVG: &str = "http://www.w3.org/2000/svg";

/// A part as it stands in the document.
enum Drawn {
    Nothing,
    Says(Text, Words),
    Many(Vec<Self>),
    Element(Box<Standing>),
    Follows(Region),
    Rows(List),
}

/// An element as it stands.
struct Standing {
    tag: &'static str,
    key: Words,
    node: Found,
    attributes: Vec<(&'static str, Value)>,
    /// Run until they are dropped.
    whens: Vec<RenderEffect<()>>,
    inside: Vec<Drawn>,
    heard: Vec<Heard>,
}

/// What is heard of an element: the listener stays, what it calls changes.
struct Heard {
    kind: &'static str,
    call: Rc<RefCell<Call>>,
    /// Ends with the element.
    _listener: Closure<dyn Fn(Event)>,
}

/// A part that follows.
struct Region {
    /// Stands before what it shows, so that its place is known while it shows nothing.
    start: Text,
    shown: Rc<RefCell<Drawn>>,
    /// Runs until it is dropped.
    _effect: RenderEffect<()>,
}

/// Rows, each with what lives as long as it does.
struct List {
    start: Text,
    shown: Rc<RefCell<Vec<Row>>>,
    _effect: RenderEffect<()>,
}

struct Row {
    key: String,
    owner: Owner,
    drawn: Drawn,
}

/// Where in the document something is to stand: before this node, or as the last one.
struct Spot {
    parent: Node,
    next: Option<Node>,
}

fn document() -> Document {
    let document = web_sys::window().and_then(|window| window.document());
    document.expect("a page has a document")
}

impl Spot {
    fn put(&self, node: &Node) {
        // OK to ignore: the node that it stands before is a child of this parent.
        let _ = self.parent.insert_before(node, self.next.as_ref());
    }

    /// A place after a mark that stands in the document; none where that has been taken away.
    fn after(start: &Text) -> Option<Self> {
        Some(Self {
            parent: start.parent_node()?,
            next: start.next_sibling(),
        })
    }

    fn mark(&self) -> Text {
        let mark = document().create_text_node("");
        self.put(&mark);
        mark
    }

    fn pass(&mut self, node: &Node) {
        self.next = node.next_sibling();
    }
}

/// Draws a part at the end of the document's body. It lives as long as the page.
pub(crate) fn begin(part: impl FnOnce() -> Part + 'static) {
    begin_boxed(Box::new(part));
}

fn begin_boxed(part: Box<dyn FnOnce() -> Part>) {
    // The framework runs what follows, and gives what is made here an owner that lives as long as the page.
    mount_to_body(move || {
        if let Some(body) = document().body() {
            let spot = Spot {
                parent: body.into(),
                next: None,
            };
            mem::forget(make(part(), &spot));
        }
    });
}

fn make(part: Part, spot: &Spot) -> Drawn {
    match part {
        Part::Nothing => Drawn::Nothing,
        Part::Says(words) => {
            let node = document().create_text_node(&words);
            spot.put(&node);
            Drawn::Says(node, words)
        }
        Part::Many(parts) => Drawn::Many(parts.into_iter().map(|part| make(part, spot)).collect()),
        Part::Element(Element(element)) => Drawn::Element(Box::new(make_element(*element, spot))),
        Part::Follows(describe) => {
            let shown = Rc::new(RefCell::new(Drawn::Nothing));
            Drawn::Follows(region(spot.mark(), shown, describe, change))
        }
        Part::Turns(describe) => {
            let shown = Rc::new(RefCell::new(Drawn::Nothing));
            Drawn::Follows(region(spot.mark(), shown, describe, replace))
        }
        Part::Rows(keys, row) => Drawn::Rows(list(spot.mark(), keys, row)),
    }
}

fn make_element(element: Described, spot: &Spot) -> Standing {
    let made = if element.svg {
        document().create_element_ns(Some(SVG), element.tag)
    } else {
        document().create_element(element.tag)
    };
    let node = made.expect("the name of an element");
    let mut standing = Standing {
        tag: element.tag,
        key: Words::default(),
        node,
        attributes: Vec::new(),
        whens: Vec::new(),
        inside: Vec::new(),
        heard: Vec::new(),
    };
    update(&mut standing, element);
    // As a whole, so that the document changes once.
    spot.put(&standing.node);
    standing
}

fn region(
    start: Text,
    shown: Rc<RefCell<Drawn>>,
    describe: Rc<dyn Fn() -> Part>,
    show: fn(&mut Drawn, Part, &mut Spot),
) -> Region {
    let (from, showing) = (start.clone(), Rc::clone(&shown));
    let effect = RenderEffect::new(move |_| {
        let part = describe();
        untrack(|| {
            if let Some(mut spot) = Spot::after(&from) {
                show(&mut showing.borrow_mut(), part, &mut spot);
            }
        });
    });
    Region {
        start,
        shown,
        _effect: effect,
    }
}

fn list(start: Text, keys: Rc<dyn Fn() -> Vec<String>>, row: Rc<dyn Fn(&str) -> Element>) -> List {
    let shown = Rc::new(RefCell::new(Vec::<Row>::new()));
    // What rows own outlives the next look at the keys.
    let owner = Owner::current().unwrap_or_default();
    let (from, showing) = (start.clone(), Rc::clone(&shown));
    let effect = RenderEffect::new(move |_| {
        let keys = keys();
        untrack(|| {
            if let Some(mut spot) = Spot::after(&from) {
                change_rows(&mut showing.borrow_mut(), &keys, &*row, &owner, &mut spot);
            }
        });
    });
    List {
        start,
        shown,
        _effect: effect,
    }
}

fn change_rows(
    shown: &mut Vec<Row>,
    keys: &[String],
    make_row: &dyn Fn(&str) -> Element,
    owner: &Owner,
    spot: &mut Spot,
) {
    let mut before = Vec::with_capacity(shown.len());
    for mut row in mem::take(shown) {
        if keys.contains(&row.key) {
            before.push(Some(row));
        } else {
            take_away(&mut row.drawn, spot);
            row.owner.cleanup();
        }
    }
    for key in keys {
        let is_it = |row: &&mut Option<Row>| row.as_ref().is_some_and(|row| row.key == *key);
        let row = match before.iter_mut().find(is_it).and_then(Option::take) {
            Some(row) => {
                if let Drawn::Element(standing) = &row.drawn {
                    let node: &Node = &standing.node;
                    if spot.next.as_ref() == Some(node) {
                        spot.pass(node);
                    } else {
                        spot.put(node);
                    }
                }
                row
            }
            None => {
                let owner = owner.child();
                let drawn = owner.with(|| make(make_row(key).into(), spot));
                Row {
                    key: key.clone(),
                    owner,
                    drawn,
                }
            }
        };
        shown.push(row);
    }
}

/// Makes of what is drawn what is described now, and goes on behind it.
fn change(drawn: &mut Drawn, part: Part, spot: &mut Spot) {
    match (&mut *drawn, part) {
        (Drawn::Nothing, Part::Nothing) => {}
        (Drawn::Says(node, before), Part::Says(now)) => {
            if *before != now {
                node.set_data(&now);
                *before = now;
            }
            spot.pass(node);
        }
        (Drawn::Many(before), Part::Many(now)) => change_all(before, now, spot),
        (Drawn::Element(standing), Part::Element(Element(element)))
            if standing.tag == element.tag && standing.key == element.key =>
        {
            update(standing, *element);
            spot.pass(&standing.node);
        }
        (Drawn::Follows(before), Part::Follows(describe)) => {
            let (start, shown) = (before.start.clone(), Rc::clone(&before.shown));
            *before = region(start, shown, describe, change);
            pass(drawn, spot);
        }
        (drawn, part) => replace(drawn, part, spot),
    }
}

/// Takes away what is drawn, and draws something else in its place.
fn replace(drawn: &mut Drawn, part: Part, spot: &mut Spot) {
    let now = make(part, spot);
    take_away(drawn, spot);
    *drawn = now;
}

fn change_all(before: &mut Vec<Drawn>, now: Vec<Part>, spot: &mut Spot) {
    for mut gone in before
        .drain(now.len().min(before.len())..)
        .collect::<Vec<_>>()
    {
        take_away(&mut gone, spot);
    }
    for (i, part) in now.into_iter().enumerate() {
        match before.get_mut(i) {
            Some(drawn) => change(drawn, part, spot),
            None => before.push(make(part, spot)),
        }
    }
}

/// Goes on behind what is drawn.
fn pass(drawn: &Drawn, spot: &mut Spot) {
    match drawn {
        Drawn::Nothing => {}
        Drawn::Says(node, _) => spot.pass(node),
        Drawn::Many(all) => all.iter().for_each(|drawn| pass(drawn, spot)),
        Drawn::Element(standing) => spot.pass(&standing.node),
        Drawn::Follows(region) => {
            spot.pass(&region.start);
            pass(&region.shown.borrow(), spot);
        }
        Drawn::Rows(list) => {
            spot.pass(&list.start);
            for row in list.shown.borrow().iter() {
                pass(&row.drawn, spot);
            }
        }
    }
}

/// Takes out of the document what is drawn there.
fn take_away(drawn: &mut Drawn, spot: &mut Spot) {
    let remove = |node: &Node, spot: &mut Spot| {
        if spot.next.as_ref() == Some(node) {
            spot.pass(node);
        }
        if let Some(parent) = node.parent_node() {
            // OK to ignore: it is a child of its parent.
            let _ = parent.remove_child(node);
        }
    };
    match drawn {
        Drawn::Nothing => {}
        Drawn::Says(node, _) => remove(node, spot),
        Drawn::Many(all) => all.iter_mut().for_each(|drawn| take_away(drawn, spot)),
        Drawn::Element(standing) => remove(&standing.node, spot),
        Drawn::Follows(region) => {
            take_away(&mut region.shown.borrow_mut(), spot);
            remove(&region.start, spot);
        }
        Drawn::Rows(list) => {
            for row in list.shown.borrow_mut().iter_mut() {
                take_away(&mut row.drawn, spot);
                row.owner.cleanup();
            }
            remove(&list.start, spot);
        }
    }
}

fn update(standing: &mut Standing, element: Described) {
    let node = &standing.node;
    for (name, before) in &standing.attributes {
        if element.attributes.iter().all(|(now, _)| now != name) {
            write(node, name, &nothing_like(before));
        }
    }
    for (name, now) in &element.attributes {
        let is_shown = standing
            .attributes
            .iter()
            .any(|(n, v)| n == name && v == now);
        if !is_shown && !is_of_person(now) {
            write(node, name, now);
        }
    }
    let mut spot = Spot {
        parent: node.clone().into(),
        next: node.first_child(),
    };
    change_all(&mut standing.inside, element.inside, &mut spot);
    // After what is in it, for a list can only choose what it has; and always, for a person has changed it since.
    for (name, now) in &element.attributes {
        if is_of_person(now) {
            write(node, name, now);
        }
    }
    hear(&standing.node, &mut standing.heard, element.heard);
    let whens = element.whens.into_iter();
    standing.whens = whens
        .map(|(name, when)| write_when(standing.node.clone(), name, when))
        .collect();
    if let Some(Here(here)) = element.here {
        // OK to ignore: whoever asked for the place may be gone.
        let _ = here.try_set_value(node.clone().dyn_into().ok());
    }
    standing.key = element.key;
    standing.attributes = element.attributes;
}

fn is_of_person(value: &Value) -> bool {
    matches!(value, Value::Field(_) | Value::Ticked(_))
}

/// What an attribute is when nothing is said of it any more.
fn nothing_like(value: &Value) -> Value {
    match value {
        Value::Text(_) | Value::Flag(_) => Value::Flag(false),
        Value::Field(_) => Value::Field(Words::default()),
        Value::Ticked(_) => Value::Ticked(false),
        Value::Style(_) => Value::Style(Words::default()),
    }
}

fn write_when(node: Found, name: &'static str, when: When) -> RenderEffect<()> {
    RenderEffect::new(move |_| write(&node, name, &Value::Flag(when())))
}

fn write(node: &Found, name: &str, value: &Value) {
    let field = || node.unchecked_ref::<HtmlInputElement>();
    // OK to ignore all of these: names are literals that every browser takes.
    let _ = match value {
        Value::Text(text) => node.set_attribute(name, text),
        Value::Flag(true) => node.set_attribute(name, ""),
        Value::Flag(false) => node.remove_attribute(name),
        Value::Style(text) => {
            let style = node.unchecked_ref::<HtmlElement>().style();
            style.set_property(name, text)
        }
        // Lists of choices and longer texts have a value under the same name. Written only where it differs: else what is
        // being typed would lose its place.
        Value::Field(text) => {
            if field().value() != **text {
                field().set_value(text);
            }
            Ok(())
        }
        Value::Ticked(on) => {
            field().set_checked(*on);
            Ok(())
        }
    };
}

fn hear(node: &Found, heard: &mut Vec<Heard>, now: Vec<(&'static str, Call)>) {
    let is_same = heard.len() == now.len()
        && heard
            .iter()
            .zip(&now)
            .all(|(before, (kind, _))| before.kind == *kind);
    if is_same {
        for (before, (_, call)) in heard.iter().zip(now) {
            before.call.replace(call);
        }
        return;
    }
    for before in heard.drain(..) {
        let listener = before._listener.as_ref().unchecked_ref();
        // OK to ignore: taking a listener away does not fail.
        let _ = node.remove_event_listener_with_callback(before.kind, listener);
    }
    for (kind, call) in now {
        let call = Rc::new(RefCell::new(call));
        let calls = Rc::clone(&call);
        let listener = Closure::<dyn Fn(Event)>::new(move |event| {
            // Taken out, so that nothing is borrowed while it runs.
            let call = Rc::clone(&calls.borrow());
            call(&Happened::new(event));
        });
        // OK to ignore: adding a listener does not fail.
        let _ = node.add_event_listener_with_callback(kind, listener.as_ref().unchecked_ref());
        heard.push(Heard {
            kind,
            call,
            _listener: listener,
        });
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen::JsCast;
    use wasm_bindgen_test::wasm_bindgen_test;
    use web_sys::{Event, HtmlElement, HtmlInputElement};

    use std::{cell::Cell, rc::Rc};

    use super::{super::later::tick, begin, document};
    use crate::{
        form::{Typed, entry},
        live::{Live, Worked},
        parts::{Part, el, follows, parts, rows, turns},
        piece::button,
    };

    fn found(selector: &str) -> HtmlElement {
        let found = document().query_selector(selector).expect("a selector");
        found.expect("it is there").unchecked_into()
    }

    /// Draws a part, and gives back the values that it is made of.
    fn drawn<T: Copy + 'static>(part: impl FnOnce() -> (T, Part) + 'static) -> T {
        let values = Rc::new(Cell::new(None));
        let made = Rc::clone(&values);
        begin(move || {
            let (values, part) = part();
            made.set(Some(values));
            part
        });
        values.get().expect("it was drawn")
    }

    fn words(selector: &str) -> String {
        found(selector).text_content().unwrap_or_default()
    }

    #[wasm_bindgen_test]
    async fn only_what_differs_is_made_anew_and_the_keyboard_stays() {
        drawn(|| {
            let pressed = Live::new(0_u32);
            let part = el("section")
                .id("draw-test-press")
                .with(follows(move || {
                    let many = pressed.get();
                    parts![
                        (many > 0).then(|| el("p").class("first").says("pressed")),
                        button("go", format!("Pressed {many} times"), move || {
                            pressed.set(many + 1);
                        })
                        .attr("data-many", many.to_string())
                        .flag("data-none", many == 0),
                        (many == 1).then(|| el("p").class("last").says("once")),
                        el(if many > 1 { "em" } else { "p" }).class("kind"),
                    ]
                }))
                .with(el("footer").says("end"));
            ((), part.into())
        });
        let go = found("#draw-test-press .go");
        go.focus().expect("it takes the keyboard");
        assert!(go.has_attribute("data-none"), "a flag");
        assert_eq!(words("#draw-test-press"), "Pressed 0 timesend", "at first");
        go.click();
        tick().await;
        assert_eq!(
            words("#draw-test-press"),
            "pressedPressed 1 timesonceend",
            "after one press"
        );
        assert!(
            go.is_same_node(Some(&found("#draw-test-press .go"))),
            "the same button"
        );
        assert_eq!(
            document()
                .active_element()
                .map(|active| active.text_content()),
            Some(Some("Pressed 1 times".to_owned())),
            "it keeps the keyboard"
        );
        assert!(!go.has_attribute("data-none"), "the flag is gone");
        assert_eq!(
            go.get_attribute("data-many").as_deref(),
            Some("1"),
            "an attribute"
        );
        go.click();
        tick().await;
        assert_eq!(
            words("#draw-test-press"),
            "pressedPressed 2 timesend",
            "what is pressed is what was described last"
        );
        assert_eq!(
            found("#draw-test-press .kind").tag_name(),
            "EM",
            "another element"
        );
        let last = found("#draw-test-press").last_element_child();
        assert_eq!(
            last.map(|last| last.tag_name()).as_deref(),
            Some("FOOTER"),
            "in its place"
        );
        found("#draw-test-press").remove();
    }

    #[wasm_bindgen_test]
    async fn parts_that_follow_within_each_other_keep_their_places() {
        let (outer, inner) = drawn(|| {
            let outer = Live::new("a".to_owned());
            let inner = Live::new("x".to_owned());
            let both = Worked::new(move || format!("{}{}", outer.get(), inner.get()));
            let part = el("section").id("draw-test-nested").with(follows(move || {
                parts![
                    Part::Says(outer.get().into()),
                    follows(move || { (inner.get() != "none").then(|| el("b").says(inner.get())) }),
                    el("i").tells(move || both.get()),
                ]
            }));
            ((outer, inner), part.into())
        });
        assert_eq!(words("#draw-test-nested"), "axax", "at first");
        inner.set("y".to_owned());
        tick().await;
        assert_eq!(words("#draw-test-nested"), "ayay", "the inner one alone");
        outer.set("b".to_owned());
        tick().await;
        assert_eq!(words("#draw-test-nested"), "byby", "the outer one");
        inner.set("none".to_owned());
        tick().await;
        assert_eq!(words("#draw-test-nested"), "bbnone", "nothing in its place");
        outer.set("c".to_owned());
        inner.set("z".to_owned());
        tick().await;
        assert_eq!(words("#draw-test-nested"), "czcz", "both, in their order");
        found("#draw-test-nested").remove();
    }

    #[wasm_bindgen_test]
    async fn what_turns_takes_over_nothing_and_what_is_there_or_not_leaves_the_rest() {
        let (page, quiet) = drawn(|| {
            let page = Live::new("a".to_owned());
            let quiet = Live::new(false);
            let part = el("section")
                .id("draw-test-turns")
                .hidden_when(move || quiet.get())
                .with(turns(
                    move || page.get(),
                    move |page| parts![el("p").says(page), quiet.get().then(|| el("b"))],
                ))
                .with(el("footer").says("end"));
            ((page, quiet), part.into())
        });
        let first = found("#draw-test-turns p");
        quiet.set(true);
        tick().await;
        assert!(found("#draw-test-turns").has_attribute("hidden"), "hidden");
        assert!(
            first.is_same_node(Some(&found("#draw-test-turns p"))),
            "what is read while a page is made does not turn it"
        );
        page.set("b".to_owned());
        tick().await;
        assert_eq!(words("#draw-test-turns"), "bend", "turned, in its place");
        assert!(
            !first.is_same_node(Some(&found("#draw-test-turns p"))),
            "another paragraph"
        );
        quiet.set(false);
        tick().await;
        assert!(!found("#draw-test-turns").has_attribute("hidden"), "shown");
        found("#draw-test-turns").remove();
    }

    #[wasm_bindgen_test]
    async fn rows_are_made_once_and_move() {
        let keys = drawn(|| {
            let keys = Live::new(vec!["1".to_owned(), "2".to_owned(), "3".to_owned()]);
            let row = |key: &str| {
                let pressed = Live::new(0_u32);
                let key = key.to_owned();
                el("li").with(
                    button("", key.clone(), move || {
                        pressed.update(|many| *many += 1);
                    })
                    .id(format!("draw-test-row-{key}"))
                    .tells(move || format!(":{}", pressed.get())),
                )
            };
            let part = el("ul")
                .id("draw-test-rows")
                .with(rows(move || keys.get(), row))
                .with(el("li").says("end"));
            (keys, part.into())
        });
        found("#draw-test-row-2").click();
        tick().await;
        assert_eq!(
            words("#draw-test-rows"),
            "1:02:13:0end",
            "each has its own value"
        );
        keys.set(vec!["3".to_owned(), "2".to_owned(), "4".to_owned()]);
        tick().await;
        assert_eq!(
            words("#draw-test-rows"),
            "3:02:14:0end",
            "moved, with what they hold"
        );
        keys.set(Vec::new());
        tick().await;
        assert_eq!(words("#draw-test-rows"), "end", "none");
        found("#draw-test-rows").remove();
    }

    #[wasm_bindgen_test]
    async fn a_field_shows_what_is_put_into_it_and_keeps_what_is_typed() {
        let typed = drawn(|| {
            let typed = Typed::new("f/8");
            let part = el("div").id("draw-test-field").with(entry(
                "draw-test-entry",
                "Aperture",
                "f/8, f/11.",
                typed,
            ));
            (typed, part.into())
        });
        let input: HtmlInputElement = found("#draw-test-entry").unchecked_into();
        assert_eq!(input.value(), "f/8", "at first");
        input.set_value("f/1");
        let event = Event::new("input").expect("an event");
        input.dispatch_event(&event).expect("sent");
        tick().await;
        assert_eq!(typed.now(), "f/1", "typed");
        assert_eq!(input.value(), "f/1", "as it was typed");
        typed.set("f/16");
        tick().await;
        assert_eq!(input.value(), "f/16", "put into it");
        found("#draw-test-field").remove();
    }
}
