//! Frames of a scene compared two at a time without being told which is which, and what such comparisons show.

use book::{Edit, Round, next_pair, pair_wins};
use exposure::{Axis, words};
use scans::sure::{PRIOR, Ranking, rank};

use super::review::{Card, Table, picture_of, scene_of};
use crate::{
    browser::clock,
    drawn::{band, dot, figure, line_scale_of, track},
    live::{Live, Worked},
    parts::{Element, Part, el, parts},
    piece::{button, paragraph, row},
};

/// Two frames, and the one that was liked better; none where no difference was seen.
type Choice = ([u16; 2], Option<u16>);

/// Comparing two at a time.
#[derive(Clone, Copy)]
pub(super) struct Pairs {
    table: Table,
    /// The frames that have a picture, as the cards lie.
    frames: Worked<Vec<u16>>,
    round: Worked<Option<Round>>,
    /// The number that chooses pairs; another each time that comparing is begun.
    number: Live<u32>,
    /// How often each pair is to be compared before it is said what came of it.
    wanted: Live<u32>,
    /// What was chosen in this sitting, to be taken back.
    given: Live<Vec<Choice>>,
}

impl Pairs {
    pub(super) fn new(table: Table) -> Self {
        let number = Live::new(0);
        let frames = Worked::new(move || {
            table.cards.with(|cards| {
                let ids = cards.iter().map(|card| card.id);
                ids.filter(|id| table.picture_of(*id).is_some())
                    .collect::<Vec<u16>>()
            })
        });
        let round = Worked::new(move || {
            let number = number.get();
            frames.with(|frames: &Vec<u16>| {
                table.roll.with(|_, roll| next_pair(roll, frames, number))
            })
        });
        Self {
            table,
            frames,
            round,
            number,
            wanted: Live::new(1),
            given: Live::new(Vec::new()),
        }
    }

    /// Begins anew, with this scene.
    pub(super) fn begin(self) {
        self.number.set(clock::chance());
        self.wanted.set(1);
        self.given.set(Vec::new());
    }

    /// The pair that is compared now; none where there is none, or all are.
    fn now(self) -> Option<Round> {
        let round = self.round.get()?;
        (round.rounds < self.wanted.get()).then_some(round)
    }

    /// Where it stands, for the head of the table.
    pub(super) fn position(self) -> String {
        match (self.now(), self.round.get()) {
            (Some(round), _) => format!("Pair {} of {}", round.done + 1, round.pairs),
            (None, Some(round)) => format!("All {} pairs are compared", round.pairs),
            (None, None) => "No pair".to_owned(),
        }
    }

    /// Keeps what is liked better of the pair that is seen: the first, the second, or neither.
    pub(super) fn choose(self, which: Option<usize>) {
        if let Some(round) = self.now() {
            let choice = (round.next, which.and_then(|at| round.next.get(at).copied()));
            if self.tell(choice, false) {
                self.given.update(|given| given.push(choice));
            }
        }
    }

    fn take_back(self) {
        let last = self.given.update(Vec::pop).flatten();
        if let Some(last) = last
            && !self.tell(last, true)
        {
            self.given.update(|given| given.push(last));
        }
    }

    fn tell(self, (pair, better): Choice, taken_back: bool) -> bool {
        let roll = self.table.roll;
        roll.room.edit(&Edit::Compare {
            roll: roll.id(),
            pair,
            better,
            taken_back,
        })
    }

    fn forget(self) {
        let table = self.table;
        let scene = table
            .scene
            .once(|chosen| table.roll.once(|_, roll| scene_of(roll, chosen)));
        if let Some(scene) = scene {
            table.roll.room.edit(&Edit::ForgetPairs {
                roll: table.roll.id(),
                scene,
            });
            self.begin();
        }
    }

    /// The two pictures, or what came of it.
    pub(super) fn stage(self) -> Part {
        match (self.now(), self.round.with(Option::is_some)) {
            (Some(round), _) => self.two(round).into(),
            (None, true) => self.result().into(),
            (None, false) => el("div")
                .class("light-stage")
                .with(paragraph(
                    "light-none",
                    "Two frames of this scene with a scan are needed to compare them.",
                ))
                .into(),
        }
    }

    fn two(self, round: Round) -> Element {
        let names = ["The first is better", "The second is better"];
        let choice = |(at, name): (usize, &'static str)| {
            let address = self.table.picture_of(round.next[at]);
            let alt = ["First picture", "Second picture"][at];
            el("button")
                .class("light-choice")
                .attr("type", "button")
                .on("click", move |event| {
                    // The next pair lies where this one was: nobody has seen it at the second press of a double one.
                    if !event.is_again() {
                        self.choose(Some(at));
                    }
                })
                .with(picture_of(alt.to_owned(), address))
                .with(el("span").says(name))
                .named(name)
        };
        el("div")
            .class("light-stage light-pair")
            .all(names.into_iter().enumerate().map(choice))
    }

    /// What is pressed beside the pictures.
    pub(super) fn verdict(self) -> Part {
        let asks = self.now().is_some();
        let given = self.given.with(|given| !given.is_empty());
        let hint = "Press the picture you like better. You are not told which is which.";
        parts![
            paragraph("light-hint", hint).hidden(!asks),
            row([
                button("", "No difference", move || self.choose(None)).hidden(!asks),
                button("", "Take the last one back", move || self.take_back()).hidden(!given),
            ])
            .class("light-answers"),
        ]
    }

    fn result(self) -> Element {
        let ranked = self.frames.with(|frames| {
            let wins = self.table.roll.with(|_, roll| pair_wins(roll, frames));
            rank(&wins, PRIOR)
        });
        let names: Vec<String> = self.table.cards.with(|cards| {
            let of = |card: &Card| card.name.clone();
            let seen = |card: &&Card| self.frames.with(|frames| frames.contains(&card.id));
            cards.iter().filter(seen).map(of).collect()
        });
        let told = match ranked {
            Ok(ranking) => shown(&ranking, &names),
            Err(error) => paragraph("reason", error.to_string()).into(),
        };
        let again = self
            .round
            .with(|round| round.is_some_and(|round| round.rounds > 1));
        let caution = "Whoever goes on until a difference is shown finds one by luck more often than 5 times in 100: settle beforehand how often you compare. For the film a pair counts once, however often it was compared.";
        let more = move || {
            let rounds = self.round.now().map_or(0, |round| round.rounds);
            self.wanted.set(rounds + 1);
            self.table.roll.room.sheet.keep_focus();
        };
        el("div")
            .class("light-stage light-told")
            .with(told)
            .with(paragraph("reason", caution).hidden(!again))
            .with(row([
                button("", "Compare each pair once more", more),
                button("", "Take these comparisons away", move || self.forget()),
            ]))
    }
}

/// What comparisons of some variants show, drawn and in words.
pub(super) fn shown(ranking: &Ranking, names: &[String]) -> Part {
    let axis = Axis::new(0.0, 100.0);
    let ticks = [0.0, 25.0, 50.0, 75.0, 100.0];
    let each = names.iter().enumerate().map(|(at, name)| {
        let [least, middle, most] = ranking.against_average(at).map(|share| share * 100.0);
        let whole = |share: f64| words::decimal(share, 0);
        let says = format!(
            "{name}: {} of 100, between {} and {}",
            whole(middle),
            whole(least),
            whole(most)
        );
        let pieces = vec![
            band(axis, "faint", least, most),
            dot(axis, "tick", 50.0),
            dot(axis, "point", middle),
        ];
        el("li")
            .with(paragraph("scene-name", says))
            .with(track(axis, 4, pieces))
    });
    let scale = |at: f64| words::decimal(at, 0);
    let drawing: Part = parts![
        el("ul").class("scenes").named("Preferred").all(each),
        line_scale_of(axis, &ticks, &scale),
    ];
    let sentence = "How often each would be preferred to an average one of them, in 100 comparisons: the mark is the estimate, the bar where it lies (95 %).";
    let lines = ranking
        .words(names)
        .into_iter()
        .map(|line| el("li").says(line));
    parts![
        figure("Preferred", sentence, drawing),
        el("ul")
            .class("list")
            .named("What the comparisons show")
            .all(lines),
    ]
}
