//! Fields of the forms: what is typed lives in a value until the form is sent.

use std::rc::Rc;

use crate::{
    browser::session,
    choice::Options,
    live::{Live, follow},
    parts::{Element, Part, Words, el, follows},
    piece::button,
};

/// A field's text as it is typed, and whether what is wrong with it may be said by now.
#[derive(Clone, Copy)]
pub(crate) struct Typed {
    text: Live<String>,
    due: Live<bool>,
}

impl Typed {
    /// A field, and what stands in it first.
    pub(crate) fn new(start: impl Into<String>) -> Self {
        Self {
            text: Live::new(start.into()),
            due: Live::new(false),
        }
    }

    /// What stands in it, again after each change.
    pub(crate) fn get(self) -> String {
        self.text.get()
    }

    /// What stands in it now, without the white space around it.
    pub(crate) fn now(self) -> String {
        self.text.once(|text| text.trim().to_owned())
    }

    /// Puts something into it.
    pub(crate) fn set(self, text: impl Into<String>) {
        self.text.set(text.into());
    }

    /// What stands in it, as a value like any other.
    pub(crate) fn text(self) -> Live<String> {
        self.text
    }
}

/// A field for text, with a line under it that says what may be typed.
pub(crate) fn entry(
    id: &'static str,
    label: impl Into<Words>,
    hint: impl Into<Words>,
    typed: Typed,
) -> Part {
    checked(id, label, hint, typed, String::new)
}

/// The same where what is typed may be `wrong`, for a reason that is said under the field.
///
/// It is not said while the field is still being filled: only once it is left, or at Enter. From then on it stands until it is
/// mended, however long that takes to type.
pub(crate) fn checked(
    id: &'static str,
    label: impl Into<Words>,
    hint: impl Into<Words>,
    typed: Typed,
    wrong: impl Fn() -> String + Clone + 'static,
) -> Part {
    checked_boxed(id, label.into(), hint.into(), typed, Rc::new(wrong))
}

fn checked_boxed(
    id: &'static str,
    label: Words,
    hint: Words,
    Typed { text, due }: Typed,
    wrong: Rc<dyn Fn() -> String>,
) -> Part {
    follows(move || {
        let sentence = if due.get() { wrong() } else { String::new() };
        let (at_focus, at_input) = (Rc::clone(&wrong), Rc::clone(&wrong));
        let input = el("input")
            .id(id)
            .attr("type", "text")
            .attr("autocomplete", "off")
            .attr("spellcheck", "false")
            .attr(
                "aria-invalid",
                if sentence.is_empty() { "false" } else { "true" },
            )
            .attr("aria-describedby", format!("{id}-hint {id}-error"))
            .value(text.get())
            .on("focus", move |_| due.set(!at_focus().is_empty()))
            .on("input", move |event| {
                text.set(event.value());
                if at_input().is_empty() {
                    due.set(false);
                }
            })
            .on("blur", move |_| due.set(true))
            .on("keydown", move |event| {
                if event.key().name == "Enter" {
                    due.set(true);
                }
            });
        el("div")
            .class("field")
            .with(el("label").attr("for", id).says(label.clone()))
            .with(input)
            .with(
                el("p")
                    .class("hint")
                    .id(format!("{id}-hint"))
                    .says(hint.clone()),
            )
            .with(
                el("p")
                    .class("field-error")
                    .attr("role", "alert")
                    .id(format!("{id}-error"))
                    .hidden(sentence.is_empty())
                    .says(sentence),
            )
    })
}

/// A drop-down field, which says what is chosen and what to do when something else is.
pub(crate) fn select(
    id: &'static str,
    label: impl Into<Words>,
    options: impl Fn() -> Options + 'static,
    chosen: impl Fn() -> String + 'static,
    choose: impl Fn(String) + Clone + 'static,
) -> Part {
    let (options, chosen) = (Box::new(options), Box::new(chosen));
    select_boxed(id, label.into(), options, chosen, Rc::new(choose))
}

fn select_boxed(
    id: &'static str,
    label: Words,
    options: Box<dyn Fn() -> Options>,
    chosen: Box<dyn Fn() -> String>,
    choose: Rc<dyn Fn(String)>,
) -> Part {
    follows(move || {
        let (options, mut chosen) = (options(), chosen());
        let choose = Rc::clone(&choose);
        // A key that was never chosen, or is gone from the list, stands for the first, as the browser shows it.
        if options.iter().all(|(key, _)| *key != chosen) {
            chosen = options.first().map_or(chosen, |(key, _)| key.clone());
        }
        let entries = options.into_iter().map(|(key, name)| {
            let is_chosen = key == chosen;
            el("option")
                .attr("value", key)
                .flag("selected", is_chosen)
                .says(name)
        });
        let list = el("select").id(id).all(entries);
        el("div")
            .class("field")
            .with(el("label").attr("for", id).says(label.clone()))
            .with(
                list.value(chosen)
                    .on("change", move |event| choose(event.value())),
            )
    })
}

/// Fields that keep what is half typed until their form is sent: when the page is turned, and over a reload of this tab.
///
/// The key is one for each form; a field begins with its start.
pub(crate) fn half_typed<const N: usize>(
    key: &'static str,
    starts: [&'static str; N],
) -> [Typed; N] {
    let key = format!("stopkeeper.half-typed.{key}");
    let fields = starts.map(Typed::new);
    keep_half_typed(key, fields.to_vec(), starts.to_vec());
    fields
}

fn keep_half_typed(key: String, fields: Vec<Typed>, starts: Vec<&'static str>) {
    // One field a line; another number of lines is that of another version of the form.
    let text = session::read(&key).filter(|text| text.split('\n').count() == fields.len());
    if let Some(text) = text {
        for (field, line) in fields.iter().zip(text.split('\n')) {
            field.set(line);
        }
    }
    follow(move || {
        let lines: Vec<String> = fields
            .iter()
            .map(|field| field.get().replace('\n', " "))
            .collect();
        let said = lines.iter().zip(&starts).any(|(line, start)| line != start);
        session::keep(&key, said.then(|| lines.join("\n")).as_deref());
    });
}

/// A choice from a list.
pub(crate) fn choice(
    id: &'static str,
    label: impl Into<Words>,
    options: impl Fn() -> Options + 'static,
    chosen: Live<String>,
) -> Part {
    select(
        id,
        label,
        options,
        move || chosen.get(),
        move |key| chosen.set(key),
    )
}

/// One of a few that are seen beside one another, each with what it looks like.
pub(crate) struct Look {
    pub(crate) key: String,
    pub(crate) name: String,
    /// More that is said of it, without being its name.
    pub(crate) words: String,
    /// Decoration: its words say the same.
    pub(crate) drawing: Part,
}

/// A choice among what is seen, tapped instead of picked from a list.
pub(crate) fn looks(
    id: &'static str,
    legend: impl Into<Words>,
    class: &'static str,
    all: impl Fn() -> Vec<Look> + 'static,
    chosen: Live<String>,
) -> Part {
    looks_boxed(id, legend.into(), class, Box::new(all), chosen)
}

fn looks_boxed(
    id: &'static str,
    legend: Words,
    class: &'static str,
    all: Box<dyn Fn() -> Vec<Look>>,
    chosen: Live<String>,
) -> Part {
    follows(move || {
        let mut all = all();
        let mut is_chosen = chosen.get();
        // As in a list: what is gone stands for the first. Where nothing is chosen yet, nothing is.
        if !is_chosen.is_empty() && all.iter().all(|look| look.key != is_chosen) {
            is_chosen = all.first().map_or(is_chosen, |look| look.key.clone());
        }
        let cards = all.drain(..).map(|look| {
            let of_radio = format!("{id}-{}", look.key);
            let of_words = format!("{of_radio}-words");
            let radio = el("input")
                .id(of_radio)
                .attr("type", "radio")
                .attr("name", id)
                .attr("value", look.key.clone())
                .ticked(look.key == is_chosen)
                .on("change", move |event| chosen.set(event.value()));
            let radio = if look.words.is_empty() {
                radio
            } else {
                radio.attr("aria-describedby", of_words.clone())
            };
            let words = (!look.words.is_empty())
                .then(|| el("span").class("look-words").id(of_words).says(look.words));
            el("div")
                .class("look")
                .with(
                    el("label")
                        .with(radio)
                        .with(look.drawing)
                        .with(el("span").class("look-name").says(look.name)),
                )
                .with(words)
        });
        el("fieldset")
            .class(class)
            .with(el("legend").says(legend.clone()))
            .with(el("div").class("looks").all(cards))
    })
}

/// A list of choices that stays as it is.
pub(crate) fn fixed<'a>(
    list: impl IntoIterator<Item = (&'a str, &'a str)>,
) -> impl Fn() -> Options + 'static {
    let list = owned(&mut list.into_iter());
    move || list.clone()
}

fn owned(list: &mut dyn Iterator<Item = (&str, &str)>) -> Options {
    list.map(|(key, name)| (key.to_owned(), name.to_owned()))
        .collect()
}

/// A part that is out of sight unless something holds.
pub(crate) fn only(holds: impl Fn() -> bool + 'static, part: impl Into<Part>) -> Part {
    let hides = move || !holds();
    el("div").hidden_when(hides).with(part).into()
}

/// A part that is out of sight unless one of these is chosen.
pub(crate) fn when(
    chosen: Live<String>,
    keys: &'static [&'static str],
    part: impl Into<Part>,
) -> Part {
    let is_chosen = move || chosen.with(|chosen| keys.contains(&chosen.as_str()));
    only(is_chosen, part)
}

/// A box to tick.
pub(crate) fn tick(label: impl Into<Words>, on: bool, set: impl Fn(bool) + 'static) -> Element {
    let input = el("input")
        .attr("type", "checkbox")
        .ticked(on)
        .on("change", move |event| set(event.is_ticked()));
    el("label").class("pick").with(input).says(label)
}

/// A row of words that does something when it is pressed.
pub(crate) fn shelf(words: impl Into<Words>, action: impl Fn() + 'static) -> Element {
    el("li").with(button("shelf", words, action))
}

/// A row of what is kept, with a way to take it out again.
pub(crate) fn kept(words: impl Into<Words>, remove: impl Fn() + 'static) -> Element {
    let words = words.into();
    let name = format!("Remove {words}");
    el("li")
        .class("kept")
        .with(el("span").says(words))
        .with(button("", "Remove", remove).named(name))
}
