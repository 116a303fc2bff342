//! The words of questions and verdicts.

use exposure::{Control, FilmKind, Ledger, Mark, Stops, words};

use crate::words::capital;

use super::{AnswerOn, Choice, Exercise, Facts, Line, Mistake, Support, Verdict};

/// `the time`, `the aperture`.
fn the(control: Control) -> String {
    format!("the {}", words::noun(control))
}

/// A sensitivity of a device, or of a film as its box says it: `ISO 100`.
fn iso(mark: &Mark) -> String {
    words::value(mark)
}

/// A mark of a camera in running text: `1/125 s`, `f/8`, and `EI 100`, which is what the film in it is rated at.
fn value(mark: &Mark) -> String {
    if mark.control() == Control::Sensitivity {
        return ei(mark);
    }
    if mark.control() == Control::Time {
        return if mark.by_hand() {
            words::to_count(mark.engraved())
        } else {
            words::value(mark)
        };
    }
    words::value(mark)
}

/// Time and aperture as they are called together: `1/125 at f/8`.
fn pair(marks: &[Mark]) -> String {
    format!("{} at {}", value(&marks[0]), value(&marks[1]))
}

const fn film_name(film: FilmKind) -> &'static str {
    match film {
        FilmKind::ColourNegative => "colour negative film",
        FilmKind::BlackAndWhite => "black-and-white negative film",
        FilmKind::Reversal => "slide film",
    }
}

/// `EI 100`, whatever the figure stands for.
fn ei(mark: &Mark) -> String {
    format!("EI {}", words::figure(mark))
}

fn stops(n: f64) -> Stops {
    Stops::new(n).unwrap_or(Stops::ZERO)
}

/// `the base`, `1 stop more light`.
fn offset(stops_more: i32) -> String {
    if stops_more == 0 {
        "the base".to_owned()
    } else {
        words::difference(stops(f64::from(stops_more)))
    }
}

/// `, and` before the last of several.
fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

impl Exercise {
    /// The question, in one or a few sentences.
    #[must_use]
    pub fn question(&self) -> String {
        let on = if self.camera.is_empty() {
            String::new()
        } else {
            format!("Camera: {}. ", self.camera)
        };
        on + &match &self.facts {
            Facts::Equivalent { from, to, asked } => {
                let turned = to.control();
                format!(
                    "{} with {} gives the right light. {} is turned from {} to {}. Where does {} have to go, so that the light stays?",
                    pair(from),
                    ei(&from[2]),
                    capital(&the(turned)),
                    value(&from[turned.index()]),
                    value(to),
                    the(*asked),
                )
            }
            Facts::Way { from, to } => format!(
                "{} goes from {} to {}. What happens to the light on the film?",
                capital(&the(from.control())),
                value(from),
                value(to)
            ),
            Facts::CarryOver {
                reading,
                rating,
                kept,
                asked,
            } => format!(
                "The meter, set to {}, shows {}. The film is rated {}, and the {} stays at {}. Which {} do you set?",
                iso(&reading.marks()[2]),
                pair(&reading.marks()[..2]),
                ei(rating),
                words::noun(kept.control()),
                value(kept),
                words::noun(*asked)
            ),
            Facts::Lacking {
                reading,
                film,
                kept,
                asked,
            } => format!(
                "The meter, set to the film's own rating, {}, shows {}. The film is {}. With {} set, which {} do you take?",
                ei(&reading.marks()[2]),
                pair(&reading.marks()[..2]),
                film_name(*film),
                value(kept),
                words::noun(*asked)
            ),
            Facts::Frame {
                box_speed,
                reading,
                set,
                asks_ei,
            } => {
                let asks = if *asks_ei {
                    "Which EI does the frame amount to?"
                } else {
                    "How much light did the frame get, compared with box speed?"
                };
                format!(
                    "The meter, set to {}, shows {}. The film says {} on its box, and the frame was shot with {}. {asks}",
                    iso(&reading.marks()[2]),
                    pair(&reading.marks()[..2]),
                    iso(box_speed),
                    pair(set)
                )
            }
            Facts::Wish { box_speed, more } => format!(
                "A roll says {} on its box. Every frame should get {} than at box speed. Which EI do you rate it at?",
                iso(box_speed),
                words::difference(stops(f64::from(*more)))
            ),
            Facts::Lab {
                box_speed,
                sign,
                asks_ei,
            } => {
                let asks = if *asks_ei {
                    "At which EI was it exposed?"
                } else {
                    "How much light did it get, compared with box speed?"
                };
                format!(
                    "A roll says {} on its box. The lab's slip says “{}”, which made up for the rating exactly. {asks}",
                    iso(box_speed),
                    lab(*sign)
                )
            }
            Facts::Slip {
                base,
                planned,
                from,
                ring,
            } => {
                let plan: Vec<String> = planned.iter().map(|more| offset(*more)).collect();
                format!(
                    "A series by time around {}: {}. From frame {} on the ring stood at {}. It is back at {} now: which time for one more frame makes the series whole?",
                    pair(base),
                    listed(&plan),
                    from + 1,
                    value(ring),
                    value(&base[1])
                )
            }
            Facts::Pictures {
                asked,
                magnification,
                scene,
                ..
            } => {
                let part = if *magnification > 1.0 {
                    format!(
                        " Both are magnified {} times.",
                        words::figures(*magnification)
                    )
                } else {
                    String::new()
                };
                format!(
                    "Two pictures of {} with the same light.{part} Which one {}?",
                    scene.name,
                    match asked {
                        Control::Time => "had the longer time",
                        Control::Aperture => "had the wider aperture",
                        Control::Sensitivity => "is on the faster film",
                    }
                )
            }
            Facts::LongTime {
                rule,
                metered,
                one_more,
            } => {
                let frame = if *one_more {
                    "Now the frame with 1 stop more light: how long do you count?"
                } else {
                    "How long do you count?"
                };
                format!(
                    "The meter says {}. The film: {} ({}). {frame} Take the nearest of these.",
                    words::to_count(f64::from(*metered)),
                    rule.name,
                    rule.source
                )
            }
        }
    }

    /// How the chance of luck is said: `A guess is right once in 13 times.`
    #[must_use]
    pub fn said_luck(&self) -> String {
        format!(
            "A guess is right once in {} times.",
            words::count(self.choices.len() as f64)
        )
    }

    /// What a choice is called: `1/125`, `f/8`, `2 stops less light`, `The left one`.
    #[must_use]
    pub fn label(&self, choice: usize) -> String {
        let Some(of) = self.choices.get(choice) else {
            return String::new();
        };
        match (self.on, of.mark, of.stops) {
            (AnswerOn::Pictures, ..) => ["the left one", "the right one"][choice.min(1)].to_owned(),
            (AnswerOn::Dial(Control::Sensitivity), Some(mark), _) => ei(&mark),
            (_, Some(mark), _) => value(&mark),
            (_, _, Some(stops)) => words::difference(stops),
            _ => String::new(),
        }
    }

    /// What is worked out, a sentence each; the last one has the answer.
    #[must_use]
    pub fn steps(&self) -> Vec<String> {
        let answer = self.label(self.right);
        match &self.facts {
            Facts::Equivalent { from, to, asked } => {
                let moved = to.relative_to(&from[to.control().index()]);
                vec![
                    format!(
                        "{} {} to {}: {}.",
                        to.control().name(),
                        value(&from[to.control().index()]),
                        value(to),
                        words::difference(moved)
                    ),
                    format!(
                        "So {} has to give {}.",
                        the(*asked),
                        words::difference(-moved)
                    ),
                    format!("From {} that is {answer}.", value(&from[asked.index()])),
                ]
            }
            Facts::Way { from, to } => vec![
                match from.control() {
                    Control::Time => "The time is how long light comes in: twice as long is 1 stop more light.".to_owned(),
                    _ => "An f-number is the focal length over the width of the hole: the smaller the number, the wider the hole. One step of 1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22 is 1 stop.".to_owned(),
                },
                format!("{} to {}: {answer}.", value(from), value(to)),
            ],
            Facts::CarryOver {
                reading,
                rating,
                kept,
                asked,
            } => {
                let read_at = &reading.marks()[2];
                let needs = read_at.relative_to(rating);
                let read = reading.mark(kept.control());
                let mut steps = vec![format!(
                    "Read at {}, rated {}: the film needs {}.",
                    iso(read_at),
                    ei(rating),
                    words::difference(needs)
                )];
                let drift = kept.relative_to(read);
                if !drift.is_even() {
                    steps.push(format!(
                        "{} on this camera is {} than was read.",
                        value(kept),
                        words::part(drift)
                    ));
                }
                steps.push(format!(
                    "The {} goes from {} to {answer}.",
                    words::noun(*asked),
                    value(reading.mark(*asked))
                ));
                steps
            }
            Facts::Lacking {
                reading,
                film,
                kept,
                asked,
            } => {
                if *asked == Control::Time {
                    let rule = if *film == FilmKind::Reversal {
                        "Slide film forgives neither side: the nearest mark is taken."
                    } else {
                        "Negative film forgives more light rather than less: the mark that gives more is taken."
                    };
                    vec![
                        format!("{} is not on this shutter.", value(reading.mark(*asked))),
                        rule.to_owned(),
                        format!("That is {answer}."),
                    ]
                } else {
                    let moved = kept.relative_to(reading.mark(Control::Time));
                    vec![
                        format!(
                            "{} in place of {}: {}.",
                            value(kept),
                            value(reading.mark(Control::Time)),
                            words::difference(moved)
                        ),
                        format!(
                            "So the aperture has to give {}.",
                            words::difference(-moved)
                        ),
                        format!(
                            "From {} that is {answer}.",
                            value(reading.mark(Control::Aperture))
                        ),
                    ]
                }
            }
            Facts::Frame {
                box_speed,
                reading,
                set,
                asks_ei,
            } => {
                let more = frame_more(reading, set);
                let read_at = &reading.marks()[2];
                let mut steps = vec![
                    format!(
                        "{} in place of {}: {} than the meter asked for at {}.",
                        pair(set),
                        pair(&reading.marks()[..2]),
                        words::difference(more),
                        iso(read_at)
                    ),
                    format!(
                        "{} than asked for is what a {} rating asks for: from {} it goes {} by {}.",
                        capital(words::lean(more)),
                        if more.is_more() { "lower" } else { "higher" },
                        iso(read_at),
                        if more.is_more() { "down" } else { "up" },
                        words::stops(more)
                    ),
                ];
                if *asks_ei {
                    steps.push(format!("The frame amounts to {answer}."));
                } else {
                    steps.push(format!(
                        "From there to {} on the box: {answer}.",
                        iso(box_speed)
                    ));
                }
                steps
            }
            Facts::Wish { box_speed, more } => vec![
                "A rating tells the meter how little light the film needs: a lower rating gives more light.".to_owned(),
                format!(
                    "{} is {} by the number: {} goes to {answer}.",
                    words::difference(stops(f64::from(*more))),
                    halved(*more),
                    iso(box_speed)
                ),
            ],
            Facts::Lab { sign, .. } => vec![
                "A push makes up for too little light, a pull for more of it: the lab's sign is development, not light.".to_owned(),
                format!("“{}” made up for {}.", lab(*sign), words::difference(stops(-f64::from(*sign)))),
                format!("So: {answer}."),
            ],
            Facts::Slip {
                base,
                planned,
                from,
                ring,
            } => {
                let slipped = ring.relative_to(&base[1]);
                let mark = self.choices[self.right].mark;
                let missing = mark.map(|mark| mark.relative_to(&base[0]));
                let held: Vec<String> = held(planned, *from, slipped)
                    .into_iter()
                    .map(said_offset)
                    .collect();
                vec![
                    format!(
                        "{} in place of {} is {}.",
                        value(ring),
                        value(&base[1]),
                        words::difference(slipped)
                    ),
                    format!("So the frames hold: {}.", listed(&held)),
                    format!(
                        "What is missing is {}: {answer} at {}.",
                        missing.map_or_else(String::new, said_offset),
                        value(&base[1])
                    ),
                ]
            }
            Facts::Pictures { asked, .. } => vec![
                match asked {
                    Control::Time => "A longer time lets what moves, and a shaking hand, draw a longer line.",
                    Control::Aperture => "A wider aperture makes a larger disc of each point that is not in focus.",
                    Control::Sensitivity => "A faster film has coarser grain.",
                }
                .to_owned(),
                format!("{} shows that.", capital(&answer)),
            ],
            Facts::LongTime {
                metered, one_more, ..
            } => {
                let mut steps = vec!["Where light is weak, film answers less than it should: it needs more time than the meter says.".to_owned()];
                if *one_more {
                    steps.push(format!(
                        "One stop more light is {} metered; only that is corrected.",
                        words::to_count(2.0 * f64::from(*metered))
                    ));
                }
                steps.push(format!("By the film's rule that is {answer}."));
                steps
            }
        }
    }

    /// The steps that are shown beforehand.
    #[must_use]
    pub fn shown_steps(&self, support: Support) -> Vec<String> {
        let mut steps = self.steps();
        match support {
            Support::Worked => {}
            Support::LastStep => {
                steps.pop();
            }
            Support::Alone => steps.clear(),
        }
        steps
    }

    /// What is said of an answer. What is no choice counts as wrong.
    #[must_use]
    pub fn verdict(&self, answer: usize) -> Verdict {
        let right = answer == self.right;
        let choice = self.choices.get(answer);
        let mistake = choice.and_then(|choice| choice.mistake);
        let is = self.label(self.right);
        let said = if right {
            format!("Right: {is}.")
        } else {
            let off = choice.map_or(String::new(), |choice| self.off(choice));
            format!("Not {}{off}: it is {is}.", self.label(answer))
        };
        let why = match mistake {
            Some(mistake) => format!("{}: {}", mistake.name(), self.explain(mistake)),
            None => self.reason(),
        };
        Verdict {
            right,
            mistake,
            said,
            why,
            ledger: self.ledger(),
        }
    }

    /// How far a wrong answer is off, where it is a setting.
    fn off(&self, choice: &Choice) -> String {
        let right = &self.choices[self.right];
        let off = match (choice.mark, right.mark, self.on) {
            (Some(mark), Some(right), AnswerOn::Dial(Control::Time | Control::Aperture)) => {
                mark.relative_to(&right)
            }
            _ => return String::new(),
        };
        format!(", which gives {}", words::difference(off))
    }

    /// Why the right answer is right, in one sentence.
    fn reason(&self) -> String {
        self.steps().join(" ")
    }

    /// What a mistake overlooks, with the figures of this question.
    #[must_use]
    pub fn explain(&self, mistake: Mistake) -> String {
        match mistake {
            Mistake::OtherWay => self.other_way(),
            Mistake::Halved => {
                let ladder = "One stop is one step of 1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22; twice the f-number is two stops, a quarter of the light.";
                match &self.facts {
                    Facts::Equivalent { from, to, .. } if to.control() == Control::Aperture => format!(
                        "{ladder} {} to {} is {}.",
                        value(&from[1]),
                        value(to),
                        words::difference(to.relative_to(&from[1]))
                    ),
                    Facts::Way { from, to } => format!(
                        "{ladder} {} to {} is {}.",
                        value(from),
                        value(to),
                        words::stops(to.relative_to(from))
                    ),
                    _ => ladder.to_owned(),
                }
            }
            Mistake::Doubled => "a bigger f-number is a smaller hole, and twice the number lets in a quarter of the light, not double.".to_owned(),
            Mistake::RatingRaised => "a higher rating tells the meter that the film needs less light, so every frame gets less. For more light the rating goes down.".to_owned(),
            Mistake::LabSign => "the lab writes how it develops: a push is for a roll that got less light, a pull for one that got more.".to_owned(),
            Mistake::NotCarried => match &self.facts {
                Facts::CarryOver {
                    reading, rating, ..
                } => format!(
                    "that would be right at {}; the film is rated {}.",
                    iso(&reading.marks()[2]),
                    ei(rating)
                ),
                _ => "that is what goes with the time that was read; this camera has another one set.".to_owned(),
            },
            Mistake::WrongSide => match &self.facts {
                Facts::Lacking { film, .. } if *film == FilmKind::Reversal => {
                    "slide film forgives neither side, so the nearest mark is taken; this one is further off.".to_owned()
                }
                _ => "negative film forgives more light rather than less; this mark gives less than was asked for.".to_owned(),
            },
            Mistake::FromBox => match &self.facts {
                Facts::Frame {
                    box_speed, reading, ..
                } => format!(
                    "the meter read at {}, so what was set is compared with that; {} on the box comes in last.",
                    iso(&reading.marks()[2]),
                    iso(box_speed)
                ),
                _ => "the reading was taken at another sensitivity.".to_owned(),
            },
            Mistake::RingLeft => match &self.facts {
                Facts::Slip { base, ring, .. } => format!(
                    "with the ring at {} that time would do, but it is back at {}.",
                    value(ring),
                    value(&base[1])
                ),
                _ => "the ring is back where it was.".to_owned(),
            },
            Mistake::AsMetered => "this film answers less to weak light than the meter takes it for; counted as metered, the frame gets too little.".to_owned(),
            Mistake::DoubledAfter => "what is doubled is the metered time, and then corrected: the longer time is weaker still to the film. The corrected time doubled falls short of a stop.".to_owned(),
        }
    }

    fn other_way(&self) -> String {
        match &self.facts {
            Facts::Equivalent { from, to, asked } => {
                let moved = to.relative_to(&from[to.control().index()]);
                format!(
                    "{} to {} is {}, so {} has to give {}, not more of the same.",
                    value(&from[to.control().index()]),
                    value(to),
                    words::difference(moved),
                    the(*asked),
                    words::difference(-moved)
                )
            }
            Facts::Way { from, to } => {
                let bigger = match from.control() {
                    Control::Time => "the figure under 1 is a part of a second: the bigger it is, the shorter the time",
                    _ => "a bigger f-number is a smaller hole",
                };
                format!(
                    "{bigger}. {} to {} is {}.",
                    value(from),
                    value(to),
                    words::lean(to.relative_to(from))
                )
            }
            Facts::CarryOver {
                reading, rating, ..
            } => {
                let needs = reading.marks()[2].relative_to(rating);
                format!(
                    "a film rated {} than the meter's {} needs {}.",
                    if needs.is_more() { "lower" } else { "higher" },
                    iso(&reading.marks()[2]),
                    words::difference(needs)
                )
            }
            Facts::Lacking { reading, kept, .. } => {
                let moved = kept.relative_to(reading.mark(kept.control()));
                format!(
                    "{} gives {} than the time that was read, so the aperture has to give {}.",
                    value(kept),
                    words::difference(moved),
                    words::difference(-moved)
                )
            }
            Facts::Frame { reading, set, .. } => {
                let more = frame_more(reading, set);
                format!(
                    "the frame got {} than the meter asked for; a frame that got {} is one of a {} rating.",
                    words::difference(more),
                    words::lean(more),
                    if more.is_more() { "lower" } else { "higher" }
                )
            }
            Facts::Slip { base, ring, .. } => format!(
                "{} in place of {} is {}.",
                value(ring),
                value(&base[1]),
                words::difference(ring.relative_to(&base[1]))
            ),
            Facts::Pictures { asked, .. } => match asked {
                Control::Time => "where the time is longer, what moves is drawn out further and a hand shakes more.".to_owned(),
                Control::Aperture => "where the aperture is wider, the background is less sharp; the picture that is sharp all through had the narrower one.".to_owned(),
                Control::Sensitivity => "the faster film is the one with the coarser grain.".to_owned(),
            },
            Facts::Wish { .. } | Facts::Lab { .. } | Facts::LongTime { .. } => {
                "that goes the other way.".to_owned()
            }
        }
    }

    /// Every stop of the right answer, and their sum.
    #[must_use]
    pub fn ledger(&self) -> Vec<Line> {
        let right = self.choices[self.right];
        match &self.facts {
            Facts::Equivalent { from, to, asked } => {
                let mut set = *from;
                set[to.control().index()] = *to;
                if let Some(mark) = right.mark {
                    set[asked.index()] = mark;
                }
                settings(from, &set, [ei; 2])
            }
            Facts::Way { from, to } => vec![line(
                &format!("{} {} to {}", from.control().name(), value(from), value(to)),
                to.relative_to(from),
            )],
            Facts::CarryOver {
                reading,
                rating,
                kept,
                ..
            } => {
                let mut set = *reading.marks();
                set[2] = *rating;
                set[kept.control().index()] = *kept;
                if let Some(mark) = right.mark {
                    set[mark.control().index()] = mark;
                }
                settings(reading.marks(), &set, [iso, ei])
            }
            Facts::Lacking { reading, kept, .. } => {
                let mut set = *reading.marks();
                set[kept.control().index()] = *kept;
                if let Some(mark) = right.mark {
                    set[mark.control().index()] = mark;
                }
                settings(reading.marks(), &set, [ei; 2])
            }
            Facts::Frame {
                box_speed,
                reading,
                set,
                ..
            } => {
                let set = [set[0], set[1], *box_speed];
                let mut lines = settings(reading.marks(), &set, [iso; 2]);
                let amounts = reading.amounts_to(&set[0], &set[1]);
                lines.push(Line {
                    what: "Amounts to".to_owned(),
                    said: amounts.map_or_else(|_| String::new(), |of| words::ei(&of.mark())),
                });
                lines
            }
            Facts::Wish { box_speed, more } => {
                let mut lines = Vec::new();
                if let Some(mark) = right.mark {
                    lines.push(line(
                        &format!("Rating {} in place of {}", ei(&mark), iso(box_speed)),
                        box_speed.relative_to(&mark),
                    ));
                }
                lines.push(line("Wanted", stops(f64::from(*more))));
                lines
            }
            Facts::Lab { sign, .. } => vec![
                Line {
                    what: format!("The lab: {}", lab(*sign)),
                    said: if *sign > 0 {
                        "developed longer".to_owned()
                    } else {
                        "developed shorter".to_owned()
                    },
                },
                line("The light it made up for", stops(-f64::from(*sign))),
            ],
            Facts::Slip {
                base,
                planned,
                from,
                ring,
            } => {
                let held = held(planned, *from, ring.relative_to(&base[1]));
                let mut lines: Vec<Line> = (1..)
                    .zip(planned.iter().zip(held))
                    .map(|(frame, (planned, held))| Line {
                        what: format!("Frame {frame}, planned {}", offset(*planned)),
                        said: format!("holds {}", said_offset(held)),
                    })
                    .collect();
                if let Some(mark) = right.mark {
                    lines.push(Line {
                        what: format!("One more frame at {}", value(&mark)),
                        said: format!("holds {}", said_offset(mark.relative_to(&base[0]))),
                    });
                }
                lines
            }
            Facts::Pictures { settings: pair, .. } => {
                let (from, to) = (&pair[1 - self.right], &pair[self.right]);
                settings(from, to, [ei; 2])
            }
            Facts::LongTime {
                rule,
                metered,
                one_more,
            } => {
                let asked = f64::from(*metered) * if *one_more { 2.0 } else { 1.0 };
                let mut lines = vec![Line {
                    what: "Metered".to_owned(),
                    said: words::to_count(asked),
                }];
                if let Ok(film) = rule.long_times() {
                    lines.push(Line {
                        what: "The film needs longer by".to_owned(),
                        said: words::hundredths(film.stops(asked)),
                    });
                    lines.push(Line {
                        what: "To count".to_owned(),
                        said: words::to_count(film.needed(asked)),
                    });
                }
                lines
            }
        }
    }
}

/// What a lab writes: `push +1`, `pull −1`.
fn lab(sign: i32) -> String {
    if sign > 0 {
        format!("push +{sign}")
    } else {
        format!("pull −{}", -sign)
    }
}

fn halved(more: i32) -> &'static str {
    match more {
        1 => "half",
        2 => "a quarter",
        3 => "an eighth",
        _ => "a sixteenth",
    }
}

/// What a frame got beyond what the meter asked for at its own sensitivity.
fn frame_more(reading: &exposure::Reading, set: &[Mark; 2]) -> Stops {
    reading.difference(&[set[0], set[1], reading.marks()[2]])
}

/// What the frames of a series really hold.
fn held(planned: &[i32], from: usize, slipped: Stops) -> Vec<Stops> {
    planned
        .iter()
        .enumerate()
        .map(|(i, offset)| {
            let slip = if i < from { Stops::ZERO } else { slipped };
            stops(f64::from(*offset)) + slip
        })
        .collect()
}

fn said_offset(held: Stops) -> String {
    if held.is_even() {
        "the base".to_owned()
    } else {
        words::difference(held)
    }
}

fn line(what: &str, difference: Stops) -> Line {
    Line {
        what: what.to_owned(),
        said: words::part(difference),
    }
}

/// What each control adds or takes between two settings, and the sum. A sensitivity is called what it is on either side.
fn settings(from: &[Mark; 3], to: &[Mark; 3], called: [fn(&Mark) -> String; 2]) -> Vec<Line> {
    let Ok(reading) = exposure::Reading::new(from[0], from[1], from[2]) else {
        return Vec::new();
    };
    let (parts, total) = Ledger::new(&reading, to, []).printed();
    let mut lines: Vec<Line> = parts
        .iter()
        .zip(from.iter().zip(to))
        .filter(|(part, (from, to))| !part.is_even() || value(from) != value(to))
        .map(|(part, (from, to))| {
            let is_film = from.control() == Control::Sensitivity;
            let plainly: [fn(&Mark) -> String; 2] = [value; 2];
            let [from_called, to_called] = if is_film { called } else { plainly };
            let name = from.control().name();
            line(
                &format!("{name} {} to {}", from_called(from), to_called(to)),
                *part,
            )
        })
        .collect();
    lines.push(line("Together", total));
    lines
}
