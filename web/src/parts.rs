//! What a sheet shows, as data: elements with their attributes, what they say, and what happens at a press.
//!
//! Nothing here is generic, and [`draw`](crate::browser::draw) is the one place that makes a document of it. What changes is
//! a part that [follows](follows): it is described anew when a value that it reads changes, and only what differs in the
//! description is written to the document. So what has the keyboard keeps it, and a list is where it was scrolled to.

use std::{borrow::Cow, rc::Rc};

use leptos::reactive::graph::untrack;

use crate::browser::{draw::Here, events::Happened};

/// A text that is a literal or was made.
pub(crate) type Words = Cow<'static, str>;

/// What is heard.
pub(crate) type Call = Rc<dyn Fn(&Happened)>;

/// A part of a sheet.
#[derive(Clone)]
pub(crate) enum Part {
    /// Nothing, for now: what comes after it keeps its place.
    Nothing,
    /// A text.
    Says(Words),
    /// Parts one after another.
    Many(Vec<Self>),
    /// An element.
    Element(Element),
    /// A part that is described anew when what it reads changes.
    Follows(Rc<dyn Fn() -> Self>),
    /// The same, but made anew each time: nothing of what stood there before stays.
    Turns(Rc<dyn Fn() -> Self>),
    /// Rows that are made once for each key and stay as long as the key is there.
    Rows(Rc<dyn Fn() -> Vec<String>>, Rc<dyn Fn(&str) -> Element>),
}

/// Whether an attribute is there, again after each change of what it reads.
pub(crate) type When = Rc<dyn Fn() -> bool>;

/// What an attribute says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Value {
    /// A text.
    Text(Words),
    /// Whether it is there.
    Flag(bool),
    /// What stands in a field, whatever a person has made of it.
    Field(Words),
    /// Whether a box is ticked, whatever a person has made of it.
    Ticked(bool),
    /// A property of its style.
    Style(Words),
}

/// An element of the document.
#[derive(Clone)]
pub(crate) struct Element(pub(crate) Box<Described>);

/// What is said of an element. It lies behind a pointer, so that an element that is being described is handed on in one step.
#[derive(Clone)]
pub(crate) struct Described {
    pub(crate) tag: &'static str,
    /// Whether it is a part of a drawing in SVG.
    pub(crate) svg: bool,
    /// What it is known by: one that is known by something else is another element.
    pub(crate) key: Words,
    pub(crate) attributes: Vec<(&'static str, Value)>,
    /// Attributes that are there or not by what they read, while all that is in the element stays as it is.
    pub(crate) whens: Vec<(&'static str, When)>,
    pub(crate) inside: Vec<Part>,
    pub(crate) heard: Vec<(&'static str, Call)>,
    pub(crate) here: Option<Here>,
}

/// An element without anything yet.
pub(crate) fn el(tag: &'static str) -> Element {
    Element(Box::new(Described {
        tag,
        svg: false,
        key: Cow::Borrowed(""),
        attributes: Vec::new(),
        whens: Vec::new(),
        inside: Vec::new(),
        heard: Vec::new(),
        here: None,
    }))
}

/// An element of a drawing in SVG.
pub(crate) fn svg(tag: &'static str) -> Element {
    let mut element = el(tag);
    element.0.svg = true;
    element
}

/// A part that is described anew when what it reads changes. Values that are made in it begin anew with it.
pub(crate) fn follows<T: Into<Part>>(describe: impl Fn() -> T + 'static) -> Part {
    Part::Follows(Rc::new(move || describe().into()))
}

/// A part that is made anew when what it is about changes, such as the page that is open: the next one takes over nothing of
/// it. What is read while it is made is not followed.
pub(crate) fn turns<A, T: Into<Part>>(
    about: impl Fn() -> A + 'static,
    make: impl Fn(A) -> T + 'static,
) -> Part {
    Part::Turns(Rc::new(move || {
        let about = about();
        untrack(|| make(about).into())
    }))
}

/// Rows that are made once for each key, in the order of the keys; values that are made in a row live as long as its key is
/// there. Not within a part that follows, for that makes them anew.
pub(crate) fn rows(
    keys: impl Fn() -> Vec<String> + 'static,
    row: impl Fn(&str) -> Element + 'static,
) -> Part {
    Part::Rows(Rc::new(keys), Rc::new(row))
}

impl Element {
    fn set(mut self, name: &'static str, value: Value) -> Self {
        self.0.attributes.push((name, value));
        self
    }

    /// An attribute with a text.
    pub(crate) fn attr(self, name: &'static str, text: impl Into<Words>) -> Self {
        self.set(name, Value::Text(text.into()))
    }

    /// An attribute that is there or not.
    pub(crate) fn flag(self, name: &'static str, on: bool) -> Self {
        self.set(name, Value::Flag(on))
    }

    /// A property of its style, such as `--bar`.
    pub(crate) fn style(self, name: &'static str, text: impl Into<Words>) -> Self {
        self.set(name, Value::Style(text.into()))
    }

    pub(crate) fn class(self, class: impl Into<Words>) -> Self {
        self.attr("class", class)
    }

    /// Its id, by which it is known as well.
    pub(crate) fn id(mut self, id: impl Into<Words>) -> Self {
        let id = id.into();
        self.0.key = id.clone();
        self.attr("id", id)
    }

    /// Its accessible name.
    pub(crate) fn named(self, name: impl Into<Words>) -> Self {
        self.attr("aria-label", name)
    }

    pub(crate) fn hidden(self, hidden: bool) -> Self {
        self.flag("hidden", hidden)
    }

    /// An attribute that is there or not by what it reads, while all that is in the element stays as it is.
    pub(crate) fn when(self, name: &'static str, on: impl Fn() -> bool + 'static) -> Self {
        self.when_boxed(name, Rc::new(on))
    }

    fn when_boxed(mut self, name: &'static str, on: When) -> Self {
        self.0.whens.push((name, on));
        self
    }

    /// Out of sight by what it reads.
    pub(crate) fn hidden_when(self, hidden: impl Fn() -> bool + 'static) -> Self {
        self.when("hidden", hidden)
    }

    /// What stands in a field, or is chosen in a list.
    pub(crate) fn value(self, text: impl Into<Words>) -> Self {
        self.set("value", Value::Field(text.into()))
    }

    /// Whether a box is ticked.
    pub(crate) fn ticked(self, on: bool) -> Self {
        self.set("checked", Value::Ticked(on))
    }

    /// A text in it.
    pub(crate) fn says(self, text: impl Into<Words>) -> Self {
        self.with(Part::Says(text.into()))
    }

    /// A text in it that follows what it reads.
    pub(crate) fn tells(self, text: impl Fn() -> String + 'static) -> Self {
        self.with(follows(move || Part::Says(text().into())))
    }

    /// A part in it.
    pub(crate) fn with(self, part: impl Into<Part>) -> Self {
        self.put(part.into())
    }

    fn put(mut self, part: Part) -> Self {
        self.0.inside.push(part);
        self
    }

    /// Parts in it, one after another, that may be more or fewer another time.
    pub(crate) fn all<T: Into<Part>>(self, parts: impl IntoIterator<Item = T>) -> Self {
        self.with(Part::Many(parts.into_iter().map(Into::into).collect()))
    }

    /// What is done when something happens to it.
    pub(crate) fn on(self, kind: &'static str, call: impl Fn(&Happened) + 'static) -> Self {
        self.calls(kind, Rc::new(call))
    }

    fn calls(mut self, kind: &'static str, call: Call) -> Self {
        self.0.heard.push((kind, call));
        self
    }

    /// What is done at a press.
    pub(crate) fn press(self, action: impl Fn() + 'static) -> Self {
        self.press_boxed(Box::new(action))
    }

    pub(crate) fn press_boxed(self, action: Box<dyn Fn()>) -> Self {
        self.on("click", move |_| action())
    }

    /// A place to find it by once it is in the document.
    pub(crate) fn here(mut self, here: Here) -> Self {
        self.0.here = Some(here);
        self
    }
}

impl From<Element> for Part {
    fn from(element: Element) -> Self {
        Self::Element(element)
    }
}

impl From<()> for Part {
    fn from((): ()) -> Self {
        Self::Nothing
    }
}

impl<T: Into<Self>> From<Option<T>> for Part {
    fn from(part: Option<T>) -> Self {
        part.map_or(Self::Nothing, Into::into)
    }
}

impl<T: Into<Self>> From<Vec<T>> for Part {
    fn from(parts: Vec<T>) -> Self {
        Self::Many(parts.into_iter().map(Into::into).collect())
    }
}

impl<T: Into<Self>, const N: usize> From<[T; N]> for Part {
    fn from(parts: [T; N]) -> Self {
        Self::Many(parts.into_iter().map(Into::into).collect())
    }
}

/// Parts of different kinds, one after another.
macro_rules! parts {
    ($($part:expr),* $(,)?) => {
        $crate::parts::Part::Many(vec![$($crate::parts::Part::from($part)),*])
    };
}
pub(crate) use parts;
