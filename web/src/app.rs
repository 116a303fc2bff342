//! The dial's page: the document in `index.html`, what shows a view in it, and what a person does to it.

use std::{cell::RefCell, rc::Rc};

use panel::{
    Intent, State, View, derive, loaded,
    message::{Ask, LOGGED, Page as LightPage, ToBook, ToDial},
};

use crate::{
    browser::{
        events::{self, Happened},
        page, part,
        rows::Rows,
        slots::Slots,
        storage, update, wake,
    },
    dial::{Dials, HAPPENS},
    field::{CHOICES, Choice, FIELDS, Field, Typed},
    ledger::Ledger,
    notices::Notices,
    pairs,
    reading::Inputs,
    rolls::Served,
    store::{self, Dispatcher, Screen},
    strip::{
        self, Strip,
        shoot::{self, Shoot},
    },
};

/// The page's own element in the document.
const MAIN: &str = "dial";
/// The line that says what happened last.
const STATUS: &[&str] = &["status"];

/// What of the document changes, by parts.
struct Page {
    dispatcher: Dispatcher,
    /// What is shown. Taken out whole, so that nothing is borrowed while something is asked for.
    view: RefCell<Option<Rc<View>>>,
    status: Slots,
    notices: Notices,
    inputs: Inputs,
    rolls: Served,
    fields: [Field; 5],
    choices: [Choice; 7],
    dials: Dials,
    ledger: Ledger,
    strip: Strip,
    shoot: Shoot,
    pairs: Rows,
}

/// Finds the document's elements, shows what the browser has kept, and answers.
pub(crate) fn start() {
    let dispatcher = store::open();
    let page: &'static Page = Box::leak(Box::new(Page {
        dispatcher,
        view: RefCell::default(),
        status: Slots::find("", STATUS),
        notices: Notices::find(),
        inputs: Inputs::find(),
        rolls: Served::find(),
        fields: FIELDS.map(Field::find),
        choices: CHOICES.map(Choice::find),
        dials: Dials::find("", dispatcher),
        ledger: Ledger::find(),
        strip: Strip::find(),
        shoot: Shoot::find(),
        pairs: pairs::find(),
    }));
    page.rolls.look(&page.notices);
    page.listen();
    dispatcher.begin(page);
    page::answers(MAIN);
}

impl Screen for Page {
    fn show(&self, state: &State) {
        let now = Rc::new(derive(state));
        let before = self.view.replace(Some(Rc::clone(&now)));
        let before = before.as_deref();
        // Parts that are as they were are not looked at again.
        let differs =
            |differs: fn(&View, &View) -> bool| before.is_none_or(|before| differs(before, &now));
        let [time, aperture, sensitivity, box_speed, hand_limit] = &self.fields;
        let [kind, camera, plan @ ..] = &self.choices;
        if differs(|before, now| before.reading != now.reading) {
            self.inputs
                .show_reading([time, aperture, sensitivity], &now.reading);
        }
        if differs(|before, now| before.by_dials != now.by_dials) {
            self.inputs.show_whose(now.by_dials);
        }
        if differs(|before, now| before.film != now.film) {
            self.inputs.show_film(box_speed, kind, &now.film);
        }
        if differs(|before, now| before.camera != now.camera) {
            self.inputs.show_camera(hand_limit, camera, &now.camera);
        }
        self.dials.show(&now);
        if differs(|before, now| before.ledger != now.ledger) {
            self.ledger.show(&now.ledger);
        }
        if differs(|before, now| strip::plan(&before.bracket) != strip::plan(&now.bracket)) {
            Strip::show_plan(plan.each_ref(), &now.bracket);
        }
        if differs(|before, now| before.bracket != now.bracket) {
            self.strip.show(&now.bracket);
            self.shoot.show(&now.bracket);
        }
        if differs(|before, now| before.pairs != now.pairs) {
            self.pairs.show(now.pairs.iter().map(pairs::row).collect());
        }
        page::set_theme(state.theme());
        self.notices.came_with_link(state.from_link());
        self.rolls.show(state);
    }

    fn say(&self, sentence: &str) {
        self.status.text(0_usize, sentence);
    }

    fn warn(&self, sentences: &str) {
        self.notices.said(sentences);
    }
}

impl Page {
    fn listen(&'static self) {
        events::listen(MAIN, &["click"], move |event| self.pressed(event));
        // One place for each kind, for what happens comes up from wherever it happened.
        for kind in HAPPENS {
            events::listen(MAIN, &[kind], move |event| self.happened(kind, event));
        }
        self.dials.listen("");
        events::listen(shoot::DIALOG, &["close"], move |_| self.shoot.closed());
        wake::on_shown_again(move || self.shoot.stay_awake());

        if update::waits() {
            self.notices.newer();
        }
        update::on_waiting(move || self.notices.newer());
        storage::on_change_elsewhere(loaded::RECORD, move || {
            self.rolls.look(&self.notices);
            self.dispatcher.show_again();
        });
        part::on_dial(move |message| self.told(message));
    }

    /// What the film book or the light tells.
    fn told(&self, message: ToDial) {
        match message {
            ToDial::Take { setting, sentence } => self.dispatcher.take(setting, &sentence),
            ToDial::Logged(logged) => storage::hold(LOGGED, Some(logged.record())),
            ToDial::Said(sentence) => self.say(&sentence),
            ToDial::Count(count) => {
                self.notices.counting(&count);
                self.shoot.counts(count);
            }
            ToDial::Noted(sentence) => self.shoot.noted(sentence),
            ToDial::Kept(sentence) => self.shoot.kept(sentence),
        }
        self.show_shoot();
    }

    fn view(&self) -> Option<Rc<View>> {
        self.view.borrow().clone()
    }

    fn show_shoot(&self) {
        if let Some(view) = self.view() {
            self.shoot.show(&view.bracket);
        }
    }

    fn pressed(&'static self, event: &Happened) {
        let dispatcher = self.dispatcher;
        let Some(view) = self.view() else { return };
        let of_a_list = event.row_of(pairs::LIST).map(Intent::Pick);
        let of_a_list = of_a_list
            .or_else(|| self.rolls.meant(event))
            .or_else(|| Ledger::meant(event, &view.ledger));
        if let Some(intent) = of_a_list {
            dispatcher.send(&intent);
            return;
        }
        let Some(action) = event.action() else { return };
        if self.dials.pressed(event, &action) {
            return;
        }
        let send = |intent| {
            dispatcher.send(&intent);
        };
        match action.as_str() {
            "book" => part::open_book(&ToBook::Open),
            "learn" => dispatcher.learn(""),
            "page" => dispatcher.light(Ask::Page(LightPage::More)),
            "reload" => update::let_in(),
            "leave-link" => send(Intent::LeaveLink),
            "film" => self.inputs.open_film(),
            "by-dials" => send(Intent::ByDials(!view.by_dials)),
            "halves" => send(Intent::ReadingHalves(!view.reading.halves)),
            "back-to-reading" => send(Intent::BackToReading),
            "log" => dispatcher.log_series(self.rolls.served().map(|roll| roll.id)),
            "shoot" => {
                self.shoot.open(dispatcher);
                self.shoot.show(&view.bracket);
            }
            _ => match LightPage::of(&action) {
                Some(page) => dispatcher.light(Ask::Page(page)),
                None => self.shoot.pressed(&action, &view.bracket, dispatcher),
            },
        }
    }

    fn happened(&self, kind: &str, event: &Happened) {
        if self.dials.happened("", kind, event) {
            return;
        }
        let id = event.id();
        let typed = match kind {
            "keydown" => Typed::Key,
            "change" => Typed::Left,
            _ => return,
        };
        let is_taken = self
            .fields
            .iter()
            .any(|field| field.takes(&id, typed, event, self.dispatcher));
        if !is_taken && kind == "change" {
            self.choices
                .iter()
                .any(|choice| choice.takes(&id, event, self.dispatcher));
        }
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::{MAIN, STATUS};
    use crate::{dial, field, ledger, notices, reading, rolls, strip};

    /// The dial's document, as it is delivered.
    const DOCUMENT: &str = include_str!("../index.html");

    #[wasm_bindgen_test]
    fn the_document_has_everything_that_is_filled_and_once() {
        let mut ids: Vec<String> = [MAIN, strip::shoot::DIALOG]
            .iter()
            .chain(STATUS)
            .map(|id| (*id).to_owned())
            .collect();
        let mut add = |before: &str, names: &[&str]| {
            ids.extend(names.iter().map(|name| format!("{before}{name}")));
        };
        for dial in dial::IDS {
            add(dial, dial::NAMES);
            add(dial, &["grip"]);
        }
        for (id, _) in field::FIELDS {
            add(id, field::NAMES);
        }
        for (id, _) in field::CHOICES {
            add(id, &[""]);
        }
        add(ledger::IDS, ledger::NAMES);
        add("", notices::NAMES);
        add("", reading::NAMES);
        add(rolls::IDS, rolls::NAMES);
        add("", strip::NAMES);
        add(strip::shoot::IDS, strip::shoot::NAMES);
        add(
            "",
            &[
                "ledger-lines",
                "pair-list",
                "rolls",
                "strip",
                "axis-ticks",
                "axis-frames",
                "tick-row",
                "point-row",
                "ledger-row",
                "pair-row",
                "roll-row",
                "frame-row",
                "mark-row",
            ],
        );
        for id in ids {
            let found = DOCUMENT.matches(&format!(" id=\"{id}\"")).count();
            assert_eq!(found, 1, "the id {id:?} is in the document {found} times");
        }
    }
}
