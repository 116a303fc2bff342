//! A lesson on paper: the questions with room to write, and the answers on a sheet of their own.

use learn::{
    exercise::{AnswerOn, Exercise, Facts},
    lesson::{Lesson, Setting, Step},
    scene::{PHONE, Scene},
    words,
};

use super::{handing, lessons::Desk, picture, picture::Shown, practise::every_stop};
use crate::{
    browser::{
        draw::Here,
        later::{spawn_local, tick},
        page, sheet,
    },
    parts::{Element, Part, el, follows, parts},
    piece::{button, paragraph, row},
};

/// Which of the two sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Paper {
    Questions,
    Answers,
}

impl Paper {
    const fn name(self) -> &'static str {
        match self {
            Self::Questions => "Questions",
            Self::Answers => "Answers",
        }
    }
}

/// Lines to write on under a question.
const LINES: usize = 4;

impl Desk {
    /// The buttons for both sheets, and the one that was asked for.
    pub(super) fn papers(self) -> Part {
        let print = |paper: Paper| move || self.print(paper);
        parts![
            row([
                button("", "Print the questions", print(Paper::Questions)),
                button("", "Print the answers", print(Paper::Answers)),
            ]),
            follows(move || self.paper.get().map(|paper| self.paper_of(paper))),
        ]
    }

    /// Shows a sheet, and opens the browser's print dialog once it stands there.
    fn print(self, paper: Paper) {
        self.paper.set(Some(paper));
        spawn_local(async move {
            tick().await;
            self.drawn.once(|drawn| picture::draw(drawn, PHONE));
            page::print();
            sheet::turn_to(".lesson-paper");
        });
    }

    fn paper_of(self, paper: Paper) -> Part {
        let mut drawn = Vec::new();
        let steps = self.with(|lesson| {
            let head = el("h3").says(format!("{}: {}", lesson.name(), paper.name()));
            (head, steps(lesson, paper, &mut drawn))
        });
        let Some((head, steps)) = steps else {
            return Part::Nothing;
        };
        self.drawn.put(drawn);
        let code = (paper == Paper::Questions).then(|| handing::figure(&self.address()));
        el("div")
            .class("paper lesson-paper")
            .attr("role", "group")
            .named("Paper")
            .attr("tabindex", "-1")
            .with(head)
            .with(el("ol").class("paper-steps").all(steps))
            .with(code)
            .with(row([
                button("", "Print it", page::print),
                button("", "Put it away", move || self.paper.set(None)),
            ]))
            .into()
    }
}

fn steps(lesson: &Lesson, paper: Paper, drawn: &mut Vec<Shown>) -> Vec<Element> {
    let of = |step: &Step| {
        let inside = match paper {
            Paper::Questions => question(step, drawn),
            Paper::Answers => answer(step),
        };
        el("li").with(inside)
    };
    lesson.steps().iter().map(of).collect()
}

fn question(step: &Step, drawn: &mut Vec<Shown>) -> Part {
    match step {
        Step::Show(setting) => paragraph("", words::setting(setting.marks())).into(),
        Step::Compare(pair) => {
            let [one, other] = [&pair.one, &pair.other].map(Setting::marks);
            let asks = format!(
                "Two pictures of {}: what differs, and why?",
                pair.scene.name
            );
            let named = [one, other].map(words::setting);
            parts![
                paragraph("", asks),
                pictures(&pair.scene, [*one, *other], 1.0, named, drawn),
                room_to_write(),
            ]
        }
        Step::Ask { kind, seed, .. } => match Exercise::new(*kind, *seed) {
            Some(asked) => asked_on_paper(&asked, drawn),
            None => Part::Nothing,
        },
        Step::Own { question, .. } => parts![paragraph("", question.clone()), room_to_write()],
        Step::Pause => paragraph("", "A pause").into(),
        Step::Unread(line) => paragraph("", line.clone()).into(),
    }
}

fn asked_on_paper(asked: &Exercise, drawn: &mut Vec<Shown>) -> Part {
    let label = |at| asked.label(at);
    if let (
        AnswerOn::Pictures,
        Facts::Pictures {
            scene,
            settings,
            magnification,
            ..
        },
    ) = (asked.on(), asked.facts())
    {
        let names = [0, 1].map(label);
        return parts![
            paragraph("", asked.question()),
            pictures(scene, *settings, *magnification, names, drawn),
            room_to_write(),
        ];
    }
    let choices = (0..asked.choices().len()).map(|at| el("li").says(label(at)));
    parts![
        paragraph("", asked.question()),
        el("ul").class("paper-choices").all(choices),
        room_to_write(),
    ]
}

fn pictures(
    scene: &Scene,
    sets: [[exposure::Mark; 3]; 2],
    magnified: f64,
    names: [String; 2],
    drawn: &mut Vec<Shown>,
) -> Element {
    let picture = |(set, name): ([exposure::Mark; 3], String)| {
        let here = Here::new();
        drawn.push(Shown {
            here,
            scene: *scene,
            set,
            magnified,
        });
        el("figure")
            .with(el("canvas").attr("aria-hidden", "true").here(here))
            .with(el("figcaption").says(name))
    };
    let all: Vec<Element> = sets.into_iter().zip(names).map(picture).collect();
    el("div").class("paper-pictures").all(all)
}

fn room_to_write() -> Element {
    let lines = (0..LINES).map(|_| el("div"));
    el("div")
        .class("write")
        .attr("aria-hidden", "true")
        .all(lines)
}

fn answer(step: &Step) -> Part {
    match step {
        Step::Show(setting) => paragraph("", words::setting(setting.marks())).into(),
        Step::Compare(pair) => {
            let [one, other] = [&pair.one, &pair.other].map(Setting::marks);
            let said = words::compared(&pair.scene, one, other).unwrap_or_default();
            let rows = said.into_iter().map(|words| el("li").says(words));
            el("ul").class("list").all(rows).into()
        }
        Step::Ask { kind, seed, .. } => match Exercise::new(*kind, *seed) {
            Some(asked) => {
                let verdict = asked.verdict(asked.right());
                parts![
                    paragraph("", asked.question()),
                    paragraph("answer", asked.label(asked.right())),
                    paragraph("", verdict.why.clone()),
                    every_stop(&verdict.ledger),
                ]
            }
            None => Part::Nothing,
        },
        Step::Own { question, answer } => {
            let answer = if answer.is_empty() {
                "In own words.".to_owned()
            } else {
                answer.clone()
            };
            parts![paragraph("", question.clone()), paragraph("answer", answer)]
        }
        Step::Pause => paragraph("", "A pause").into(),
        Step::Unread(line) => paragraph("", line.clone()).into(),
    }
}
