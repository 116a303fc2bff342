//! Questions: answered first, then shown.

use exposure::Control;
use learn::{
    Day,
    exercise::{AnswerOn, Exercise, Facts, Kind, Line, Support, Verdict},
    film::Printing,
    mastery::{Learned, Opened},
    render::{Renderer, Size},
};

use crate::{
    browser::{
        clock,
        draw::Here,
        files::{self, Pieces},
        later::request_animation_frame,
        picture, storage,
    },
    form::{Look, looks},
    live::{Live, follow},
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, notice, paragraph, row, said, unfolds},
};

/// The record of what was learned.
const RECORD: &str = "stopkeeper.learned";
const NOT_KEPT: &str =
    "What you learn here is not kept: this browser's storage is full or forbidden.";

/// What is asked, and how it stands.
#[derive(Clone, Copy)]
struct Desk {
    learned: Live<Learned>,
    /// What could not be read or kept.
    notice: Live<String>,
    /// Not where a record could not be read.
    may_write: Live<bool>,
    /// The record that was taken out last, to be put back.
    removed: Live<String>,
    asked: Live<Option<Exercise>>,
    /// The choice that the answer stands on.
    answer: Live<String>,
    verdict: Live<Option<Verdict>>,
    pictures: [Here; 2],
}

fn today() -> Day {
    Day::new(i32::try_from(clock::day()).unwrap_or_default())
}

pub(super) fn page() -> Part {
    let desk = Desk {
        learned: Live::new(Learned::default()),
        notice: Live::new(String::new()),
        may_write: Live::new(true),
        removed: Live::new(String::new()),
        asked: Live::new(None),
        answer: Live::new(String::new()),
        verdict: Live::new(None),
        pictures: [Here::new(), Here::new()],
    };
    desk.open();
    storage::on_change_elsewhere(RECORD, move || desk.open());
    follow(move || {
        if desk.asked.with(|asked| asked.is_some()) {
            request_animation_frame(move || desk.draw());
        }
    });
    let number = move || {
        desk.asked
            .with(|asked| asked.as_ref().map(|asked| (asked.kind(), asked.seed())))
    };
    parts![
        follows(move || said("notice", desk.notice.get())),
        paragraph(
            "reason",
            "A question comes first, its answer after you have said yours. What is known comes up again after days, then weeks."
        ),
        turns(number, move |number| match number {
            Some(_) => desk.question(),
            None => row([button("main", "Ask me", move || desk.ask(None))]).into(),
        }),
        follows(move || desk.known()),
    ]
}

impl Desk {
    fn open(self) {
        let Ok(Some(text)) = storage::read(RECORD) else {
            return;
        };
        match Learned::open(&text) {
            Opened::Whole(learned) => self.learned.put(learned),
            Opened::Partly(learned, sentence) => {
                self.learned.put(learned);
                self.notice.set(sentence);
            }
            Opened::Not(sentence) => {
                self.may_write.set(false);
                self.notice.set(sentence);
            }
        }
    }

    fn keep(self) {
        if !self.may_write.now() {
            return;
        }
        storage::hold(RECORD, Some(self.learned.once(Learned::write)));
        if !storage::try_again() {
            self.notice.set(NOT_KEPT.to_owned());
        }
    }

    /// Asks the next question, or one of a kind.
    fn ask(self, kind: Option<Kind>) {
        let before = self.asked.once(|asked| asked.as_ref().map(Exercise::kind));
        let kind = kind
            .or_else(|| self.learned.once(|learned| learned.next(today(), before)))
            .unwrap_or(Kind::ALL[0]);
        #[expect(
            clippy::cast_possible_truncation,
            reason = "any number will do for a seed"
        )]
        let seed = clock::moment() as u32;
        let asked = Exercise::new(kind, seed);
        let start = asked.as_ref().map(start).unwrap_or_default();
        self.verdict.put(None);
        self.answer.set(start);
        self.asked.put(asked);
    }

    fn support(self, kind: Kind) -> Support {
        self.learned.once(|learned| learned.support(kind))
    }

    /// The question that is asked. Made anew for each.
    fn question(self) -> Part {
        let Some(asked) = self.asked.now() else {
            return Part::Nothing;
        };
        let support = self.support(asked.kind());
        let steps = asked.shown_steps(support);
        let steps = (!steps.is_empty()).then(|| {
            let rows = steps.into_iter().map(|step| el("li").says(step));
            el("ol").class("steps").named("Worked out so far").all(rows)
        });
        let commit = move || self.commit(support);
        let is_open = move || self.answer.with(String::is_empty);
        let is_answered = move || self.verdict.with(Option::is_some);
        el("section")
            .class("question")
            .named("Question")
            .with(el("h3").says(asked.kind().name()))
            .with(paragraph("answer", asked.question()))
            .with(steps)
            .with(self.answers(&asked))
            .with(paragraph("reason", asked.said_luck()))
            .with(
                row([button("main", "That is my answer", commit).when("disabled", is_open)])
                    .hidden_when(is_answered),
            )
            .with(follows(move || self.said()))
            .into()
    }

    /// Where the answer is given.
    fn answers(self, asked: &Exercise) -> Part {
        let labels: Vec<String> = (0..asked.choices().len())
            .map(|at| asked.label(at))
            .collect();
        match asked.on() {
            AnswerOn::Pictures => {
                let pictures = self.pictures;
                looks(
                    "learn-answer",
                    "Which picture",
                    "sketches pictures",
                    move || {
                        let look = |(at, name): (usize, &String)| Look {
                            key: at.to_string(),
                            name: name.clone(),
                            words: String::new(),
                            drawing: el("canvas")
                                .attr("aria-hidden", "true")
                                .here(pictures[at.min(1)])
                                .into(),
                        };
                        labels.iter().enumerate().map(look).collect()
                    },
                    self.answer,
                )
            }
            AnswerOn::Dial(control) => self.slider(noun(control), labels),
            AnswerOn::Stops => self.slider("Light", labels),
        }
    }

    /// A line of marks from less light to more, with one that the answer stands on.
    fn slider(self, name: &'static str, labels: Vec<String>) -> Part {
        let last = labels.len().saturating_sub(1);
        follows(move || {
            let at = self.at().min(last);
            let done = self.verdict.with(Option::is_some);
            let step = |arrow: &'static str, to: Option<usize>| {
                let label = to.and_then(|to| labels.get(to)).cloned();
                let words = label
                    .as_ref()
                    .map_or_else(|| arrow.to_owned(), |label| format!("{arrow} {label}"));
                button("step-answer", words, move || {
                    if let Some(to) = to {
                        self.answer.set(to.to_string());
                    }
                })
                .flag("disabled", label.is_none() || done)
            };
            let range = el("input")
                .class("slide")
                .attr("type", "range")
                .attr("dir", "ltr")
                .attr("min", "0")
                .attr("max", last.to_string())
                .attr("aria-label", name)
                .attr("aria-valuetext", labels[at].clone())
                .flag("disabled", done)
                .value(at.to_string())
                .on("input", move |event| self.answer.set(event.value()));
            el("div")
                .class("answer-dial")
                .attr("role", "group")
                .named("Your answer")
                .with(paragraph("answer-value", labels[at].clone()))
                .with(range)
                .with(row([
                    step("‹", at.checked_sub(1)),
                    step("›", (at < last).then_some(at + 1)),
                ]))
        })
    }

    fn at(self) -> usize {
        self.answer
            .with(|answer| answer.parse().unwrap_or_default())
    }

    fn commit(self, support: Support) {
        let Some(asked) = self.asked.now() else {
            return;
        };
        let answer = self
            .answer
            .once(|answer| answer.parse().unwrap_or(usize::MAX));
        self.learned
            .update(|learned| learned.answered(&asked, support, answer, today()));
        self.keep();
        self.verdict.put(Some(asked.verdict(answer)));
    }

    /// The verdict, why, and every stop of the right answer.
    fn said(self) -> Element {
        let verdict = self.verdict.get();
        let status = el("p").class("verdict").attr("role", "status");
        let Some(verdict) = verdict else {
            return el("div").with(status);
        };
        let mark = if verdict.right { "right" } else { "wrong" };
        el("div")
            .with(status.attr("data-verdict", mark).says(verdict.said.clone()))
            .with(paragraph("reason", verdict.why.clone()))
            .with(every_stop(&verdict.ledger))
            .with(row([button("main", "Next question", move || {
                self.ask(None);
            })]))
    }

    /// Two pictures that are asked about.
    fn draw(self) {
        let Some(asked) = self.asked.now() else {
            return;
        };
        let Facts::Pictures {
            scene,
            settings,
            magnification,
            ..
        } = asked.facts()
        else {
            return;
        };
        let size = Size::new(WIDTH, HEIGHT).and_then(|size| {
            if *magnification > 1.0 {
                size.magnified(*magnification, [0.0, 0.0])
            } else {
                Ok(size)
            }
        });
        let Ok(mut renderer) = size.and_then(|size| Renderer::new(scene, size)) else {
            return;
        };
        for (here, set) in self.pictures.iter().zip(settings) {
            let drawn = renderer.draw(set, exposure::Stops::ZERO, Printing::Fixed);
            if let Some((canvas, pixels)) = here.get().zip(drawn.ok()) {
                // OK to ignore: where a browser draws nothing, nothing can be asked either, and the next question is another one.
                let _ = picture::put(&canvas, WIDTH, HEIGHT, pixels);
            }
        }
    }

    /// What is known, what is not yet, and what comes next.
    fn known(self) -> Part {
        let (learned, day) = (self.learned.get(), today());
        let rows = Kind::ALL.map(|kind| {
            let words = learned
                .skill(kind)
                .map_or_else(|| "Not asked yet.".to_owned(), |skill| skill.said(day));
            el("li")
                .class("kept")
                .with(
                    el("span")
                        .with(el("b").says(kind.name()))
                        .with(el("span").class("look-words").says(words)),
                )
                .with(
                    button("", "Ask this", move || self.ask(Some(kind)))
                        .named(format!("Ask this: {}", kind.name())),
                )
        });
        let none = learned.skills().is_empty();
        let save = move || {
            let table = self.learned.once(|learned| learned.table(today()));
            let table = Pieces::of(table.as_bytes());
            if files::save("stopkeeper-learned.csv", "text/csv", &table).is_none() {
                self.notice
                    .set("This browser does not save files.".to_owned());
            }
        };
        let forget = move || {
            self.removed
                .set(storage::read(RECORD).ok().flatten().unwrap_or_default());
            storage::hold(RECORD, None);
            // OK to ignore: what could not be removed is tried again, and said with the next answer.
            let _ = storage::try_again();
            self.may_write.set(true);
            self.notice.set(String::new());
            self.learned.put(Learned::default());
        };
        let put_back = move || {
            storage::hold(RECORD, Some(self.removed.now()));
            if !storage::try_again() {
                self.notice.set(NOT_KEPT.to_owned());
            }
            self.removed.set(String::new());
            self.open();
        };
        let removed = if self.removed.with(String::is_empty) {
            ""
        } else {
            "The record is removed."
        };
        parts![
            notice(removed, "Put it back", put_back),
            el("h3").says("What is known"),
            el("ul").class("shelves").named("What is known").all(rows),
            unfolds(
                "The record of it",
                parts![
                    paragraph("reason", "It is kept on this device only."),
                    row([
                        button("", "Save it as a table", save).flag("disabled", none),
                        button("", "Remove it", forget)
                            .flag("disabled", none && self.may_write.get()),
                    ]),
                ],
            ),
        ]
    }
}

/// Every stop of an answer, a line each.
pub(super) fn every_stop(ledger: &[Line]) -> Element {
    let lines = ledger.iter().map(|line| {
        el("li")
            .class("kept")
            .with(el("span").says(line.what.clone()))
            .with(el("span").says(line.said.clone()))
    });
    el("ul").class("shelves").named("Every stop").all(lines)
}

/// Pixels of each of two pictures that are asked about.
const WIDTH: u32 = 300;
const HEIGHT: u32 = 200;

/// Where the answer stands at first: somewhere that is not the right one, and not beside it where there is room.
fn start(asked: &Exercise) -> String {
    if asked.on() == AnswerOn::Pictures {
        // Neither of them is chosen.
        return String::new();
    }
    let count = asked.choices().len().max(1);
    let apart = 2 + asked.seed() as usize % count.saturating_sub(3).max(1);
    ((asked.right() + apart) % count).to_string()
}

const fn noun(control: Control) -> &'static str {
    match control {
        Control::Time => "Time",
        Control::Aperture => "Aperture",
        Control::Sensitivity => "Sensitivity",
    }
}
