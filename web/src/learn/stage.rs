//! A lesson on a stage: one step of it, over everything else, for a class.

use exposure::{Mark, words as figures};
use learn::{
    exercise::{AnswerOn, Exercise, Facts},
    lesson::{Setting, Step},
    scene::Scene,
    words,
};

use super::{
    handing,
    lessons::Desk,
    picture::{self, Shown},
    practise::every_stop,
};
use crate::{
    browser::{draw::Here, later::request_animation_frame, sheet},
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row},
};

impl Desk {
    pub(super) fn go_to(self, step: usize) {
        self.revealed.set(false);
        self.coded.set(false);
        self.hands.put(Vec::new());
        self.shown.set(Some(step));
    }

    /// To the next step, or one back; behind the last one it ends.
    fn turn(self, forward: bool) {
        let count = self.with(|lesson| lesson.steps().len()).unwrap_or_default();
        match self.shown.now() {
            Some(at) if forward && at + 1 < count => self.go_to(at + 1),
            Some(_) if forward => self.end(),
            Some(at) => self.go_to(at.saturating_sub(1)),
            None => {}
        }
    }

    fn end(self) {
        self.shown.set(None);
        sheet::give(".learn-sheet .sheet-head h2");
    }

    /// What a class sees: one step, over everything else.
    pub(super) fn stage(self) -> Part {
        let Some(at) = self.shown.get() else {
            return Part::Nothing;
        };
        let Some(Some(step)) = self.with(|lesson| lesson.steps().get(at).cloned()) else {
            return Part::Nothing;
        };
        let count = self.with(|lesson| lesson.steps().len()).unwrap_or_default();
        let place = format!(
            "Step {} of {}",
            figures::decimal((at + 1) as f64, 0),
            figures::decimal(count as f64, 0)
        );
        let shows = if self.coded.get() {
            el("div")
                .class("stage-step stage-code")
                .with(handing::figure(&self.address()))
        } else {
            el("div").class("stage-step").with(self.step(&step))
        };
        let code = button("", "Show the code", move || {
            self.coded.set(!self.coded.now());
        });
        let coded = if self.coded.get() { "true" } else { "false" };
        let stage = el("dialog")
            .id("stage")
            .class("stage")
            .named("Lesson")
            .attr("tabindex", "-1")
            .here(self.stage)
            .on("cancel", move |_| self.end())
            .on("keydown", move |event| {
                match event.key().name.as_str() {
                    "ArrowRight" | "PageDown" => self.turn(true),
                    "ArrowLeft" | "PageUp" => self.turn(false),
                    _ => return,
                }
                event.prevent();
            })
            .with(shows)
            .with(
                el("div")
                    .class("stage-foot")
                    .with(paragraph("reason", place))
                    .with(row([
                        button("", "Back one step", move || self.turn(false))
                            .flag("disabled", at == 0),
                        button("main", "Next step", move || self.turn(true)),
                        code.attr("aria-pressed", coded),
                        button("", "End", move || self.end()),
                    ])),
            );
        let here = self.stage;
        request_animation_frame(move || {
            if let Some(stage) = here.get() {
                // It is open already where the next step is shown.
                sheet::open(&stage);
                // OK to ignore: without the keyboard the buttons turn the steps.
                let _ = stage.focus();
            }
        });
        stage.into()
    }

    fn step(self, step: &Step) -> Part {
        let large = |words: String| paragraph("stage-large", words);
        match step {
            Step::Show(setting) => {
                let [time, aperture, film] = setting.marks();
                let [time, aperture] = [time, aperture].map(figures::value);
                let values = [time, aperture, figures::ei(film)];
                el("div")
                    .class("stage-setting")
                    .all(values.map(|value| el("span").says(value)))
                    .into()
            }
            Step::Compare(pair) => {
                let [one, other] = [&pair.one, &pair.other].map(Setting::marks);
                let said = words::compared(&pair.scene, one, other).unwrap_or_default();
                parts![
                    self.pictures([one, other].map(words::setting)),
                    el("ul")
                        .class("stage-said")
                        .all(said.into_iter().map(|words| el("li").says(words))),
                ]
            }
            Step::Ask { kind, seed, .. } => match Exercise::new(*kind, *seed) {
                Some(asked) => self.asked(&asked),
                None => large("This question cannot be made here.".to_owned()).into(),
            },
            Step::Own { question, answer } => {
                let answer = answer.clone();
                parts![
                    paragraph("stage-question", question.clone()),
                    (!answer.is_empty()).then(|| self.answer(move || paragraph(
                        "stage-verdict",
                        answer.clone()
                    )
                    .into())),
                ]
            }
            Step::Pause => large("A pause".to_owned()).into(),
            Step::Unread(line) => large(line.clone()).into(),
        }
    }

    /// Two pictures, each with its name; without one where the answers under them have it.
    fn pictures(self, names: [String; 2]) -> Element {
        let picture = |(here, name): (Here, String)| {
            el("figure")
                .class("stage-picture")
                .with(el("canvas").attr("aria-hidden", "true").here(here))
                .with((!name.is_empty()).then(|| el("figcaption").says(name)))
        };
        let all: Vec<Element> = self.pictures.into_iter().zip(names).map(picture).collect();
        el("div").class("stage-pictures").all(all)
    }

    /// What is hidden until it is asked for.
    fn answer(self, answer: impl Fn() -> Part + 'static) -> Part {
        follows(move || {
            if self.revealed.get() {
                answer()
            } else {
                row([button("", "Show the answer", move || {
                    self.revealed.set(true);
                })])
                .into()
            }
        })
    }

    /// A question, the hands that were shown for each answer, and the answer once it is asked for.
    fn asked(self, asked: &Exercise) -> Part {
        let labels: Vec<String> = (0..asked.choices().len())
            .map(|at| asked.label(at))
            .collect();
        let (right, luck) = (asked.right(), asked.luck());
        let verdict = asked.verdict(right);
        let hands = move || {
            let rows = labels.iter().enumerate().map(|(at, label)| {
                let count = self
                    .hands
                    .with(|hands| hands.get(at).copied())
                    .unwrap_or_default();
                let label = if count == 0 {
                    label.clone()
                } else {
                    format!("{label}: {}", figures::decimal(f64::from(count), 0))
                };
                el("li").with(button("", label, move || {
                    self.hands.update(|hands| {
                        if hands.len() <= at {
                            hands.resize(at + 1, 0);
                        }
                        hands[at] += 1;
                    });
                }))
            });
            el("ul")
                .class("hands")
                .named("Hands shown for each answer")
                .all(rows)
        };
        let told = move || {
            let (chosen, all) = self.hands.with(|hands| {
                (
                    hands.get(right).copied().unwrap_or_default(),
                    hands.iter().sum::<u32>(),
                )
            });
            let tally = (all > 0).then(|| paragraph("reason", words::tally(chosen, all, luck)));
            el("div")
                .class("stage-answer")
                .with(
                    el("div")
                        .with(paragraph("stage-verdict", verdict.said.clone()))
                        .with(paragraph("stage-why", verdict.why.clone()))
                        .with(tally),
                )
                .with(every_stop(&verdict.ledger))
                .into()
        };
        let pictures =
            (asked.on() == AnswerOn::Pictures).then(|| self.pictures([const { String::new() }; 2]));
        parts![
            paragraph("stage-question", asked.question()),
            pictures,
            follows(hands),
            self.answer(told),
        ]
    }

    /// The pictures of the step that is shown.
    pub(super) fn draw(self) {
        let Some(at) = self.shown.now() else { return };
        let Some(Some(step)) = self.with(|lesson| lesson.steps().get(at).cloned()) else {
            return;
        };
        let draws = |scene: &Scene, sets: [[Mark; 3]; 2], magnified: f64| {
            let shown = |(here, set): (Here, [Mark; 3])| Shown {
                here,
                scene: *scene,
                set,
                magnified,
            };
            let all: Vec<Shown> = self.pictures.into_iter().zip(sets).map(shown).collect();
            picture::draw(&all, WIDTH);
        };
        match step {
            Step::Compare(pair) => {
                let sets = [&pair.one, &pair.other].map(|one| *one.marks());
                draws(&pair.scene, sets, 1.0);
            }
            Step::Ask { kind, seed, .. } => {
                if let Some(Facts::Pictures {
                    scene,
                    settings,
                    magnification,
                    ..
                }) = Exercise::new(kind, seed).as_ref().map(Exercise::facts)
                {
                    draws(scene, *settings, *magnification);
                }
            }
            Step::Show(_) | Step::Own { .. } | Step::Pause | Step::Unread(_) => {}
        }
    }
}

/// Pixels across each of two pictures that are shown beside each other.
const WIDTH: u32 = 640;
