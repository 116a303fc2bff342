//! Lessons that a teacher puts together, shows to a class, and hands on.

use exposure::{Mark, Steps, words as figures};
use learn::{
    exercise::{Kind, Support},
    lesson::{Comparison, Lesson, Setting, Step},
    mastery::Opened,
    words,
};

use super::{Class, paper::Paper, picture::Shown, see::See};
use crate::{
    browser::{clock, draw::Here, later::request_animation_frame, page, storage},
    form::{Typed, choice, entry, fixed, half_typed},
    live::{Live, follow},
    parts::{Element, Part, el, follows, parts, turns},
    piece::{button, button_unless, notice, paragraph, row, said, unfolds},
};

/// What the keys of the records begin with; the id of the lesson follows.
const RECORD: &str = "stopkeeper.lesson.";

const NOT_KEPT: &str =
    "This lesson is not kept: this browser's storage is full or forbidden. Save it as a file.";

/// A lesson and the id of its record.
type Kept = (String, Lesson);

/// The lessons, and the one that is open.
#[derive(Clone, Copy)]
pub(super) struct Desk {
    see: See,
    all: Live<Vec<Kept>>,
    open: Live<Option<String>>,
    /// What was taken out last, to be put back.
    removed: Live<Option<Kept>>,
    pub(super) notice: Live<String>,
    /// The step that a class sees.
    pub(super) shown: Live<Option<usize>>,
    pub(super) revealed: Live<bool>,
    /// How many hands were shown for each answer.
    pub(super) hands: Live<Vec<u32>>,
    /// The code in place of the step.
    pub(super) coded: Live<bool>,
    pub(super) pictures: [Here; 2],
    pub(super) stage: Here,
    /// The sheet that was asked for, and the pictures on it.
    pub(super) paper: Live<Option<Paper>>,
    pub(super) drawn: Live<Vec<Shown>>,
}

/// The page. A lesson that was handed on before it was there is taken in.
pub(super) fn page(see: See, class: Class) -> Part {
    let desk = Desk {
        see,
        all: Live::new(Vec::new()),
        open: Live::new(None),
        removed: Live::new(None),
        notice: Live::new(String::new()),
        shown: Live::new(None),
        revealed: Live::new(false),
        hands: Live::new(Vec::new()),
        coded: Live::new(false),
        pictures: [Here::new(), Here::new()],
        stage: Here::new(),
        paper: class.paper,
        drawn: Live::new(Vec::new()),
    };
    desk.read();
    class.desk.put(Some(desk));
    take(class);
    storage::on_change_elsewhere(RECORD, move || desk.read());
    follow(move || {
        if desk.shown.get().is_some() {
            request_animation_frame(move || desk.draw());
        }
    });
    parts![
        follows(move || said("notice", desk.notice.get())),
        turns(
            move || desk.open.get(),
            move |open| match open {
                Some(_) => desk.lesson(),
                None => desk.list(),
            }
        ),
        follows(move || desk.stage()),
    ]
}

/// Takes in the lessons that were handed on and opens the last of them, if the page is there.
pub(super) fn take(class: Class) {
    let Some(desk) = class.desk.now() else { return };
    for handed in class.handed.quietly(std::mem::take).unwrap_or_default() {
        desk.take(Lesson::of_link(&handed));
        // OK to leave out what it says: it was put there with this lesson.
        let _ = page::take_fragment();
    }
}

impl Desk {
    /// Reads the lessons that are kept. One that cannot be read stays where it is, and is said.
    fn read(self) {
        let Ok(records) = storage::read_all(RECORD) else {
            return;
        };
        let mut all = Vec::new();
        for (key, text) in records {
            let id = key.strip_prefix(RECORD).unwrap_or(&key).to_owned();
            match Lesson::open(&text) {
                Opened::Whole(lesson) => all.push((id, lesson)),
                Opened::Partly(lesson, sentence) => {
                    self.notice.set(sentence);
                    all.push((id, lesson));
                }
                Opened::Not(sentence) => self.notice.set(sentence),
            }
        }
        all.sort_by(|a, b| a.1.name().cmp(b.1.name()));
        self.all.put(all);
    }

    /// Takes in a lesson that came by a link or in a file, and opens it.
    pub(super) fn take(self, opened: Opened<Lesson>) {
        match opened {
            Opened::Whole(lesson) => self.keep_new(lesson),
            Opened::Partly(lesson, sentence) => {
                self.keep_new(lesson);
                self.notice.set(sentence);
            }
            Opened::Not(sentence) => self.notice.set(sentence),
        }
    }

    /// The same lesson is not kept twice.
    fn keep_new(self, lesson: Lesson) {
        let known = self.all.once(|all| {
            all.iter()
                .find(|(_, other)| *other == lesson)
                .map(|(id, _)| id.clone())
        });
        let id = known.unwrap_or_else(|| {
            let id = clock::stamp();
            self.all.update(|all| all.push((id.clone(), lesson)));
            self.keep(&id);
            id
        });
        self.notice.set(String::new());
        self.paper.set(None);
        self.open.set(Some(id));
    }

    fn keep(self, id: &str) {
        let text = self.all.once(|all| {
            let found = all.iter().find(|(other, _)| other == id);
            found.map(|(_, lesson)| lesson.write())
        });
        storage::hold(&format!("{RECORD}{id}"), text);
        if !storage::try_again() {
            self.notice.set(NOT_KEPT.to_owned());
        }
    }

    fn remove(self, id: &str) {
        let removed = self.all.update(|all| {
            let at = all.iter().position(|(other, _)| other == id)?;
            Some(all.remove(at))
        });
        self.keep(id);
        self.removed.put(removed.flatten());
    }

    /// Puts back what was taken out last.
    fn put_back(self) {
        if let Some((id, lesson)) = self.removed.update(Option::take).flatten() {
            self.all.update(|all| all.push((id.clone(), lesson)));
            self.keep(&id);
        }
    }

    /// Changes the open lesson, and keeps it; what is refused is said.
    fn change(self, change: impl FnOnce(&mut Lesson) -> Result<(), exposure::Refused>) {
        let Some(id) = self.open.now() else { return };
        self.paper.set(None);
        let done = self.all.update(|all| {
            let found = all.iter_mut().find(|(other, _)| *other == id);
            found.map_or(Ok(()), |(_, lesson)| change(lesson))
        });
        match done {
            Some(Err(refused)) => self.notice.set(refused.to_string()),
            _ => {
                self.notice.set(String::new());
                self.keep(&id);
            }
        }
    }

    /// What is made of the open lesson, again after each change.
    pub(super) fn with<T>(self, of: impl FnOnce(&Lesson) -> T) -> Option<T> {
        let id = self.open.now()?;
        self.all.with(|all| {
            all.iter()
                .find(|(other, _)| *other == id)
                .map(|(_, lesson)| of(lesson))
        })
    }

    fn list(self) -> Part {
        let [name] = half_typed("lesson", [""]);
        let make = move || match Lesson::new(&name.now()) {
            Ok(lesson) => {
                name.set("");
                self.notice.set(String::new());
                self.keep_new(lesson);
            }
            Err(refused) => self.notice.set(refused.to_string()),
        };
        let row_of = move |(id, lesson): &Kept| {
            let (to_open, to_remove) = (id.clone(), id.clone());
            let count = figures::decimal(lesson.steps().len() as f64, 0);
            let open = button(
                "",
                format!("{} ({count} steps)", lesson.name()),
                move || {
                    self.open.set(Some(to_open.clone()));
                },
            );
            let remove = button("", "Remove", move || {
                self.remove(&to_remove);
            })
            .named(format!("Remove {}", lesson.name()));
            el("li").class("kept").with(open).with(remove)
        };
        parts![
            paragraph(
                "reason",
                "Steps for a class: settings, pictures beside each other, questions with the same seed for everybody, own words, pauses. Kept on this device, and handed over as a link."
            ),
            follows(move || {
                let said = self.removed.with(|removed| {
                    let name = removed.as_ref().map(|(_, lesson)| lesson.name());
                    name.map_or_else(String::new, |name| format!("“{name}” is removed."))
                });
                notice(said, "Put it back", move || self.put_back())
            }),
            follows(move || {
                let rows: Vec<Element> = self.all.with(|all| all.iter().map(row_of).collect());
                el("ul")
                    .class("shelves")
                    .named("Lessons")
                    .hidden(rows.is_empty())
                    .all(rows)
            }),
            el("div").class("form").with(entry(
                "lesson-name",
                "Name of a new lesson",
                "Such as: Stops, first hour.",
                name
            )),
            row([button_unless(
                move || name.get().trim().is_empty(),
                "main",
                "Make a lesson",
                make
            )]),
            self.file_field(),
        ]
    }

    /// The open lesson: its steps, and what can be added.
    fn lesson(self) -> Part {
        let kind = Live::new(Kind::ALL[0].id().to_owned());
        let [question, answer] = [Typed::new(""), Typed::new("")];
        let see = self.see;
        let push = move |step: Result<Step, exposure::Refused>| {
            self.change(|lesson| lesson.push(step?));
        };
        let set = move |marks: &[Mark; 3]| Setting::new(marks, Steps::Third);
        let show = button("", "Show the setting of the dials", move || {
            if let Some(marks) = see.marks() {
                push(set(&marks).map(Step::Show));
            }
        });
        let compare = button("", "Compare with the kept picture", move || {
            match (see.kept_marks(), see.marks()) {
                (Some(one), Some(other)) => push(set(&one).and_then(|one| {
                    let (scene, other) = (see.photographed(), set(&other)?);
                    Ok(Step::Compare(Box::new(Comparison { scene, one, other })))
                })),
                _ => self
                    .notice
                    .set("Keep a picture under See first.".to_owned()),
            }
        });
        let ask = button("", "Add this question", move || {
            let kind = kind.once(|id| Kind::of_id(id)).unwrap_or(Kind::ALL[0]);
            #[expect(
                clippy::cast_possible_truncation,
                reason = "any number will do for a seed"
            )]
            let seed = clock::moment() as u32;
            push(Ok(Step::Ask {
                kind,
                seed,
                support: Support::Alone,
            }));
        });
        let own = button_unless(
            move || question.get().trim().is_empty(),
            "",
            "Add these words",
            move || {
                push(Ok(Step::Own {
                    question: question.now(),
                    answer: answer.now(),
                }));
                question.set("");
                answer.set("");
            },
        );
        let present = button_unless(
            move || {
                self.with(|lesson| lesson.steps().is_empty())
                    .unwrap_or(true)
            },
            "main",
            "Present",
            move || self.go_to(0),
        );
        let kinds = Kind::ALL.map(|kind| (kind.id(), kind.name()));
        parts![
            row([button("quiet", "All lessons", move || {
                self.paper.set(None);
                self.open.set(None);
            })]),
            el("h3").tells(move || self
                .with(|lesson| lesson.name().to_owned())
                .unwrap_or_default()),
            follows(move || self.steps()),
            row([present]),
            self.hand_on(),
            self.papers(),
            el("h3").says("Add a step"),
            row([
                show,
                compare,
                button("", "A pause", move || push(Ok(Step::Pause)))
            ]),
            el("div").class("form").all([
                choice("lesson-kind", "A question of this kind", fixed(kinds), kind),
                row([ask]).into(),
                entry("lesson-question", "A question in own words", "", question),
                entry("lesson-answer", "Its answer", "May stay empty.", answer),
                row([own]).into(),
            ]),
            unfolds(
                "The link as text",
                el("p").class("link").tells(move || self.address()),
            ),
        ]
    }

    /// The steps in their order, each to be moved or taken out.
    fn steps(self) -> Element {
        let rows = self.with(|lesson| {
            let last = lesson.steps().len().saturating_sub(1);
            let row_of = |(at, step): (usize, &Step)| {
                let words = step_in_words(step);
                let earlier = button("", "Up", move || {
                    self.change(|lesson| {
                        lesson.shift(at, at.saturating_sub(1));
                        Ok(())
                    });
                });
                let later = button("", "Down", move || {
                    self.change(|lesson| {
                        lesson.shift(at, at + 1);
                        Ok(())
                    });
                });
                let remove = button("", "Remove", move || {
                    self.change(|lesson| {
                        lesson.remove(at);
                        Ok(())
                    });
                });
                let number = figures::decimal((at + 1) as f64, 0);
                el("li")
                    .class("kept")
                    .with(el("span").says(words))
                    .with(row([
                        earlier
                            .named(format!("Up: step {number}"))
                            .flag("disabled", at == 0),
                        later
                            .named(format!("Down: step {number}"))
                            .flag("disabled", at == last),
                        remove.named(format!("Remove step {number}")),
                    ]))
            };
            lesson
                .steps()
                .iter()
                .enumerate()
                .map(row_of)
                .collect::<Vec<_>>()
        });
        let rows = rows.unwrap_or_default();
        el("ol")
            .class("shelves lesson-steps")
            .named("Steps")
            .hidden(rows.is_empty())
            .all(rows)
    }
}

fn step_in_words(step: &Step) -> String {
    match step {
        Step::Show(setting) => format!("Show {}", words::setting(setting.marks())),
        Step::Compare(pair) => {
            format!(
                "Compare {} with {}: {}",
                words::setting(pair.one.marks()),
                words::setting(pair.other.marks()),
                pair.scene.name
            )
        }
        Step::Ask { kind, .. } => format!("Ask: {}", kind.name()),
        Step::Own { question, .. } => format!("Ask in own words: {question}"),
        Step::Pause => "A pause".to_owned(),
        Step::Unread(line) => format!("A step that this page cannot read, kept as it is: {line}"),
    }
}
