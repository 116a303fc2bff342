//! Lessons that a teacher puts together: one record as text, and the same in a link.
//!
//! # The record
//!
//! A head, a name, and a line for each step, each of which begins with its word:
//!
//! ```text
//! stopkeeper lesson 1
//! name Doubling and halving
//! show 1/125 f/8 100
//! compare cyclist 1/500 f/2.8 100 with 1/30 f/11 100
//! compare cyclist distance=5000 held=tripod 1/500 f/2.8 100 with 1/30 f/11 100
//! ask equivalent 4711 alone
//! own What does f/16 do?
//! answer It halves the light of f/11.
//! pause
//! ```
//!
//! - A setting is a time, an aperture and a sensitivity as engraved; `halves`, `full` or `engraved` follows where the figures are not
//!   read in thirds. A time counted by hand ends in `hand`. Measured values are the camera's and no part of a lesson.
//! - A comparison names an invented scene and what differs from it: `moves`, `distance`, `backdrop`, `behind`, `before` (millimetres, or
//!   `none`), `focal`, `format`, `held`, `film`, `details` (a seed).
//! - A question is a kind, a seed, and how much is worked out: `worked`, `last-step` or `alone`.
//! - `own` is a question in own words, `answer` in the next line its answer, where it has one.
//! - A line that cannot be read stays a step, to the letter.
//!
//! # The link
//!
//! The same without its head, behind the version: steps are divided by `;`, words shortened to letters, seeds written to the base of 36;
//! two figures at the end tell a damaged link. What an address does not allow is `~` and two hexadecimal figures, a space is `_`.
//!
//! ```
//! use learn::{exercise::{Kind, Support}, lesson::{Lesson, Step}, mastery::Opened};
//! let mut lesson = Lesson::new("Stops")?;
//! lesson.push(Step::Ask { kind: Kind::Equivalent, seed: 4711, support: Support::Alone })?;
//! lesson.push(Step::Pause)?;
//! assert_eq!(lesson.link(), "1Stops;qe3mv;pp9");
//! assert_eq!(Lesson::of_link(&lesson.link()), Opened::Whole(lesson.clone()));
//! assert_eq!(Lesson::open(&lesson.write()), Opened::Whole(lesson));
//! # Ok::<(), exposure::Refused>(())
//! ```

use core::fmt::Write as _;

use exposure::{Control, FORMATS, FilmKind, Mark, Refused, Steps, words};

use crate::exercise::{Kind, Support};
use crate::mastery::Opened;
use scenes::scene::{Backdrop, Hold, Mover, SCENES, Scene};

/// The most steps of a lesson.
pub const STEPS_AT_MOST: usize = 60;
/// The most letters of a lesson's name.
pub const NAME_AT_MOST: usize = 80;
/// The most letters of a question or an answer in own words.
pub const WORDS_AT_MOST: usize = 600;
/// The most bytes of a text that is looked at.
pub const TEXT_AT_MOST: usize = 64 * 1024;
/// Three marks as engraved, as a lesson keeps them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    marks: [Mark; 3],
    steps: Steps,
}

impl Setting {
    /// Takes marks as a device that reads its figures in `steps` shows them.
    ///
    /// What was measured is left away, and a place between marks becomes its figure: a lesson shows what is engraved.
    ///
    /// # Errors
    ///
    /// A sentence for marks in another order than time, aperture, sensitivity, or whose figure cannot be read again.
    pub fn new(marks: &[Mark; 3], steps: Steps) -> Result<Self, Refused> {
        let mut kept = *marks;
        for (mark, control) in kept.iter_mut().zip(Control::ALL) {
            if mark.control() != control {
                return Err(Refused::new(
                    "a setting is a time, an aperture and a sensitivity, in this order",
                ));
            }
            let read = |of: &Mark| -> Result<Mark, Refused> {
                let read = Mark::parse(control, &words::figure(of), steps)?;
                Ok(if of.by_hand() {
                    read.timed_by_hand()
                } else {
                    read
                })
            };
            // What is read twice has the figure that is written.
            *mark = read(&read(mark)?)?;
        }
        Ok(Self { marks: kept, steps })
    }

    /// Time, aperture and sensitivity.
    #[must_use]
    pub const fn marks(&self) -> &[Mark; 3] {
        &self.marks
    }

    /// How the figures are read.
    #[must_use]
    pub const fn steps(&self) -> Steps {
        self.steps
    }
}

/// Two settings of one scene.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// What is seen.
    pub scene: Scene,
    /// The first setting.
    pub one: Setting,
    /// The second one.
    pub other: Setting,
}

/// A step of a lesson.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// A setting is shown on the dials.
    Show(Setting),
    /// Two settings are seen beside each other in a scene.
    Compare(Box<Comparison>),
    /// A question from the generator.
    Ask {
        /// Its kind.
        kind: Kind,
        /// Its seed.
        seed: u32,
        /// How much is worked out.
        support: Support,
    },
    /// A question in own words.
    Own {
        /// The question.
        question: String,
        /// The answer, hidden until it is asked for; may be empty.
        answer: String,
    },
    /// A pause.
    Pause,
    /// A step that this version cannot read, to the letter.
    Unread(String),
}

/// A lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    name: String,
    steps: Vec<Step>,
}

/// First line of the record, without its version.
const HEAD: &str = "stopkeeper lesson ";
const VERSION: u32 = 1;

impl Lesson {
    /// An empty lesson.
    ///
    /// # Errors
    ///
    /// A sentence for a name without letters, of more than [`NAME_AT_MOST`] or of several lines.
    pub fn new(name: &str) -> Result<Self, Refused> {
        Ok(Self {
            name: checked_name(name)?,
            steps: Vec::new(),
        })
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Gives it another name.
    ///
    /// # Errors
    ///
    /// As for [`Lesson::new`]; it keeps its name then.
    pub fn rename(&mut self, name: &str) -> Result<(), Refused> {
        self.name = checked_name(name)?;
        Ok(())
    }

    /// Its steps.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Adds a step at the end.
    ///
    /// # Errors
    ///
    /// A sentence where there are [`STEPS_AT_MOST`] already, or for own words that are too long or empty.
    pub fn push(&mut self, step: Step) -> Result<(), Refused> {
        self.insert(self.steps.len(), step)
    }

    /// Adds a step at a place; behind the last one where the place is further.
    ///
    /// # Errors
    ///
    /// As for [`Lesson::push`].
    pub fn insert(&mut self, at: usize, step: Step) -> Result<(), Refused> {
        if self.steps.len() >= STEPS_AT_MOST {
            return Err(Refused::new(format!(
                "a lesson has at most {STEPS_AT_MOST} steps; begin a second one"
            )));
        }
        let step = checked_step(step)?;
        self.steps.insert(at.min(self.steps.len()), step);
        Ok(())
    }

    /// Puts another step in the place of one; what is not there stays so.
    ///
    /// # Errors
    ///
    /// As for [`Lesson::push`].
    pub fn replace(&mut self, at: usize, step: Step) -> Result<(), Refused> {
        let step = checked_step(step)?;
        if let Some(place) = self.steps.get_mut(at) {
            *place = step;
        }
        Ok(())
    }

    /// Takes a step out.
    pub fn remove(&mut self, at: usize) -> Option<Step> {
        (at < self.steps.len()).then(|| self.steps.remove(at))
    }

    /// Moves a step to another place; what is not there stays.
    pub fn shift(&mut self, from: usize, to: usize) {
        if from < self.steps.len() {
            let step = self.steps.remove(from);
            self.steps.insert(to.min(self.steps.len()), step);
        }
    }

    /// The record as text.
    #[must_use]
    pub fn write(&self) -> String {
        let mut text = format!("{HEAD}{VERSION}\nname {}\n", self.name);
        for step in &self.steps {
            // OK because writing to a text does not fail.
            let _ = match step {
                Step::Show(setting) => writeln!(text, "show {}", setting_line(setting)),
                Step::Compare(of) => writeln!(
                    text,
                    "compare {}{} {} with {}",
                    of.scene.id,
                    differences(&of.scene)
                        .iter()
                        .map(|(of, value)| format!(" {}={value}", of.name()))
                        .collect::<String>(),
                    setting_line(&of.one),
                    setting_line(&of.other)
                ),
                Step::Ask {
                    kind,
                    seed,
                    support,
                } => writeln!(text, "ask {} {seed} {}", kind.id(), support.id()),
                Step::Own { question, answer } => {
                    let answer = if answer.is_empty() {
                        String::new()
                    } else {
                        format!("\nanswer {answer}")
                    };
                    writeln!(text, "own {question}{answer}")
                }
                Step::Pause => writeln!(text, "pause"),
                Step::Unread(line) => writeln!(text, "{line}"),
            };
        }
        text
    }

    /// Reads a record. Lines that cannot be read become [`Step::Unread`], so that nothing is lost when it is written again.
    #[must_use]
    pub fn open(text: &str) -> Opened<Self> {
        if text.len() > TEXT_AT_MOST {
            return Opened::Not(too_long());
        }
        let mut lines = text.lines();
        let version = lines.next().and_then(|head| head.strip_prefix(HEAD));
        match version.map(str::parse::<u32>) {
            Some(Ok(VERSION)) => {}
            Some(Ok(newer)) if newer > VERSION => return Opened::Not(newer_text()),
            _ => {
                return Opened::Not(
                    "This is no lesson that can be read here; it is left as it is.".to_owned(),
                );
            }
        }
        let mut lines = lines.filter(|line| !line.is_empty()).peekable();
        let name = lines.next_if(|line| line.starts_with("name "));
        let named = name.and_then(|line| Self::new(&line["name ".len()..]).ok());
        let mut lesson = match (named, name) {
            (Some(lesson), _) => lesson,
            (None, line) => {
                let mut lesson = Self {
                    name: "A lesson without a name".to_owned(),
                    steps: Vec::new(),
                };
                lesson
                    .steps
                    .extend(line.map(|line| Step::Unread(line.to_owned())));
                lesson
            }
        };
        while let Some(line) = lines.next() {
            let answer = if line.starts_with("own ") {
                lines.next_if(|next| next.starts_with("answer "))
            } else {
                None
            };
            let read = read_line(line, answer).and_then(|step| checked_step(step).ok());
            if let Some(step) = read {
                lesson.steps.push(step);
            } else {
                let unread = [Some(line), answer];
                let unread = unread.into_iter().flatten();
                lesson
                    .steps
                    .extend(unread.map(|line| Step::Unread(line.to_owned())));
            }
        }
        lesson.opened()
    }

    fn opened(self) -> Opened<Self> {
        if self.steps.len() > STEPS_AT_MOST {
            return Opened::Not(format!(
                "This lesson has more than {STEPS_AT_MOST} steps; it is left as it is."
            ));
        }
        let unread = self
            .steps
            .iter()
            .filter(|step| matches!(step, Step::Unread(_)))
            .count();
        match unread {
            0 => Opened::Whole(self),
            1 => Opened::Partly(
                self,
                "One step of this lesson cannot be read; it is kept as it is.".to_owned(),
            ),
            many => {
                let many = words::count(many as f64);
                let said = format!(
                    "{many} steps of this lesson cannot be read; they are kept as they are."
                );
                Opened::Partly(self, said)
            }
        }
    }

    /// What its file is called: `lesson-stops-first-hour.txt`, without letters that some systems do not take.
    ///
    /// ```
    /// use learn::lesson::Lesson;
    /// assert_eq!(Lesson::new("Stops, first hour")?.file_name(), "lesson-stops-first-hour.txt");
    /// assert_eq!(Lesson::new("Öffnung")?.file_name(), "lesson-ffnung.txt");
    /// assert_eq!(Lesson::new("光")?.file_name(), "lesson.txt");
    /// # Ok::<(), exposure::Refused>(())
    /// ```
    #[must_use]
    pub fn file_name(&self) -> String {
        let mut name = "lesson".to_owned();
        for part in self
            .name
            .split(|letter: char| !letter.is_ascii_alphanumeric())
        {
            if !part.is_empty() {
                name.push('-');
                name.push_str(&part.to_ascii_lowercase());
            }
        }
        name + ".txt"
    }

    /// What stands in a link behind the name of this part.
    #[must_use]
    pub fn link(&self) -> String {
        let mut link = format!("{VERSION}{}", escaped(&self.name));
        for step in &self.steps {
            link.push(';');
            let _ = match step {
                Step::Show(setting) => write!(link, "s{}", setting_code(setting)),
                Step::Compare(pair) => {
                    let id = pair.scene.id;
                    let place = SCENES.iter().position(|of| of.id == id).unwrap_or(0);
                    let differences = differences(&pair.scene);
                    let differs: String = differences
                        .iter()
                        .map(|(of, value)| format!(":{}{}", of.letter(), escaped(value)))
                        .collect();
                    write!(
                        link,
                        "c{}{differs},{},{}",
                        base_36(u32::try_from(place).unwrap_or(0)),
                        setting_code(&pair.one),
                        setting_code(&pair.other)
                    )
                }
                Step::Ask {
                    kind,
                    seed,
                    support,
                } => {
                    let support = match support {
                        Support::Worked => "W",
                        Support::LastStep => "L",
                        Support::Alone => "",
                    };
                    write!(link, "q{}{}{support}", kind_letter(*kind), base_36(*seed))
                }
                Step::Own { question, answer } => {
                    let answer = if answer.is_empty() {
                        String::new()
                    } else {
                        format!(",{}", escaped(answer))
                    };
                    write!(link, "o{}{answer}", escaped(question))
                }
                Step::Pause => write!(link, "p"),
                Step::Unread(line) => write!(link, "u{}", escaped(line)),
            };
        }
        let check = check(&link);
        link + &check
    }

    /// Reads what stands in a link. A damaged, newer or overlong one is refused with a sentence.
    #[must_use]
    pub fn of_link(link: &str) -> Opened<Self> {
        if link.len() > TEXT_AT_MOST {
            return Opened::Not(too_long());
        }
        let damaged = || {
            Opened::Not(
                "This link to a lesson is not whole; ask for it again, or for the lesson as a file."
                    .to_owned(),
            )
        };
        let version: String = link.chars().take_while(char::is_ascii_digit).collect();
        // The check of a newer version need not be this one, and its name may begin with a figure here.
        let whole = link.is_ascii() && link.len() > 3 && {
            let (body, found) = link.split_at(link.len() - CHECKED);
            check(body) == found
        };
        if !whole {
            return match version.chars().next().and_then(|first| first.to_digit(10)) {
                Some(first) if first > VERSION => Opened::Not(newer_text()),
                _ => damaged(),
            };
        }
        let Some(body) = link[..link.len() - CHECKED].strip_prefix('1') else {
            return if version.is_empty() || version.starts_with('0') {
                damaged()
            } else {
                Opened::Not(newer_text())
            };
        };
        let mut items = body.split(';');
        let name = items.next().and_then(unescaped);
        let Some(Ok(mut lesson)) = name.map(|name| Self::new(&name)) else {
            return damaged();
        };
        for item in items {
            let step = read_code(item).and_then(|step| checked_step(step).ok());
            let Some(step) = step else {
                return damaged();
            };
            lesson.steps.push(step);
        }
        lesson.opened()
    }
}

fn too_long() -> String {
    "This lesson is longer than any that is made here; it is left as it is.".to_owned()
}

fn newer_text() -> String {
    "This lesson was made with a newer version of this page; reload it, and nothing is lost."
        .to_owned()
}

/// Own words in one line, without spaces around.
fn one_line(text: &str, most: usize, what: &str) -> Result<String, Refused> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().any(char::is_control) {
        return Err(Refused::new(format!("{what} holds signs that are no text")));
    }
    if text.chars().count() > most {
        return Err(Refused::new(format!("{what} has at most {most} letters")));
    }
    Ok(text)
}

fn checked_name(name: &str) -> Result<String, Refused> {
    let name = one_line(name, NAME_AT_MOST, "the name of a lesson")?;
    if name.is_empty() {
        return Err(Refused::new("a lesson needs a name"));
    }
    Ok(name)
}

/// A step as it is kept: own words in one line each, scenes with whole millimetres, within all limits.
fn checked_step(step: Step) -> Result<Step, Refused> {
    Ok(match step {
        Step::Own { question, answer } => {
            let question = one_line(&question, WORDS_AT_MOST, "a question")?;
            if question.is_empty() {
                return Err(Refused::new("a question in own words needs some"));
            }
            Step::Own {
                question,
                answer: one_line(&answer, WORDS_AT_MOST, "an answer")?,
            }
        }
        Step::Compare(of) => {
            let Comparison { scene, one, other } = *of;
            let scene = Scene {
                distance: scene.distance.round(),
                behind: scene.behind.map(f64::round),
                before: scene.before.map(f64::round),
                focal: (scene.focal * 10.0).round() / 10.0,
                ..scene
            };
            if Scene::of_id(scene.id).is_none() {
                return Err(Refused::new(
                    "a lesson shows one of the scenes that there are",
                ));
            }
            // What is out of range is found out now, and not before the class.
            scene.prices(&one.marks)?;
            scene.prices(&other.marks)?;
            Step::Compare(Box::new(Comparison { scene, one, other }))
        }
        Step::Unread(line) if line.chars().count() > TEXT_AT_MOST => {
            return Err(Refused::new("this step is too long"));
        }
        step => step,
    })
}

/// What may differ from an invented scene.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Moves,
    Distance,
    Backdrop,
    Behind,
    Before,
    Focal,
    Format,
    Held,
    Film,
    Details,
}

impl Of {
    const ALL: [Self; 10] = [
        Self::Moves,
        Self::Distance,
        Self::Backdrop,
        Self::Behind,
        Self::Before,
        Self::Focal,
        Self::Format,
        Self::Held,
        Self::Film,
        Self::Details,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Moves => "moves",
            Self::Distance => "distance",
            Self::Backdrop => "backdrop",
            Self::Behind => "behind",
            Self::Before => "before",
            Self::Focal => "focal",
            Self::Format => "format",
            Self::Held => "held",
            Self::Film => "film",
            Self::Details => "details",
        }
    }

    const fn letter(self) -> char {
        match self {
            Self::Moves => 'm',
            Self::Distance => 'd',
            Self::Backdrop => 'g',
            Self::Behind => 'b',
            Self::Before => 'e',
            Self::Focal => 'f',
            Self::Format => 'o',
            Self::Held => 'h',
            Self::Film => 'k',
            Self::Details => 'z',
        }
    }

    fn value(self, scene: &Scene) -> String {
        let length = |mm: Option<f64>| match mm {
            Some(mm) => words::decimal(mm, 0),
            None => "none".to_owned(),
        };
        match self {
            Self::Moves => scene.mover.id().to_owned(),
            Self::Distance => length(Some(scene.distance)),
            Self::Backdrop => scene.backdrop.id().to_owned(),
            Self::Behind => length(scene.behind),
            Self::Before => length(scene.before),
            Self::Focal => words::decimal(scene.focal, 1),
            Self::Format => scene.format.to_owned(),
            Self::Held => match scene.hold {
                Hold::Tripod => "tripod",
                Hold::Hand => "hand",
            }
            .to_owned(),
            Self::Film => film_id(scene.film).to_owned(),
            Self::Details => scene.seed.to_string(),
        }
    }

    fn set(self, scene: &mut Scene, value: &str) -> Option<()> {
        let length = || match value {
            "none" => Some(None),
            _ => words::plain_decimal(value).map(Some),
        };
        match self {
            Self::Moves => {
                scene.mover = Mover::ALL.into_iter().find(|of| of.id() == value)?;
            }
            Self::Distance => scene.distance = words::plain_decimal(value)?,
            Self::Backdrop => {
                scene.backdrop = Backdrop::ALL.into_iter().find(|of| of.id() == value)?;
            }
            Self::Behind => scene.behind = length()?,
            Self::Before => scene.before = length()?,
            Self::Focal => scene.focal = words::plain_decimal(value)?,
            Self::Format => scene.format = FORMATS.iter().find(|of| of.id == value)?.id,
            Self::Held => {
                scene.hold = match value {
                    "tripod" => Hold::Tripod,
                    "hand" => Hold::Hand,
                    _ => return None,
                };
            }
            Self::Film => {
                scene.film = [
                    FilmKind::ColourNegative,
                    FilmKind::BlackAndWhite,
                    FilmKind::Reversal,
                ]
                .into_iter()
                .find(|of| film_id(*of) == value)?;
            }
            Self::Details => scene.seed = value.parse().ok()?,
        }
        Some(())
    }
}

const fn film_id(film: FilmKind) -> &'static str {
    match film {
        FilmKind::ColourNegative => "colour-negative",
        FilmKind::BlackAndWhite => "black-and-white",
        FilmKind::Reversal => "slide",
    }
}

/// In what a scene differs from the invented one of its id.
fn differences(scene: &Scene) -> Vec<(Of, String)> {
    let Some(plain) = Scene::of_id(scene.id) else {
        return Vec::new();
    };
    Of::ALL
        .into_iter()
        .map(|of| (of, of.value(scene)))
        .filter(|(of, value)| of.value(&plain) != *value)
        .collect()
}

const fn steps_name(steps: Steps) -> Option<&'static str> {
    match steps {
        Steps::Third => None,
        Steps::Half => Some("halves"),
        Steps::Full => Some("full"),
        Steps::Engraved => Some("engraved"),
    }
}

const STEPS: [Steps; 4] = [Steps::Third, Steps::Half, Steps::Full, Steps::Engraved];

fn setting_line(setting: &Setting) -> String {
    let [time, aperture, speed] = &setting.marks;
    let hand = if time.by_hand() { "hand" } else { "" };
    let steps = steps_name(setting.steps).map_or(String::new(), |name| format!(" {name}"));
    format!(
        "{}{hand} {} {}{steps}",
        words::figure(time),
        words::value(aperture),
        words::figure(speed)
    )
}

fn setting_code(setting: &Setting) -> String {
    let [time, aperture, speed] = &setting.marks;
    let figure = words::figure(time);
    // A bare whole number is the part of a second that a shutter is engraved with.
    let short = figure
        .strip_prefix("1/")
        .filter(|under| under.bytes().all(|byte| byte.is_ascii_digit()) && *under != "1");
    let hand = if time.by_hand() { "b" } else { "" };
    let steps = match setting.steps {
        Steps::Third => "",
        Steps::Half => ",h",
        Steps::Full => ",f",
        Steps::Engraved => ",e",
    };
    format!(
        "{}{hand},{},{}{steps}",
        short.unwrap_or(&figure),
        words::figure(aperture),
        words::figure(speed)
    )
}

/// Reads a setting of a time, an aperture and a sensitivity.
fn read_setting(items: [&str; 3], hand: &str, steps: Steps) -> Option<Setting> {
    let [time, aperture, speed] = items;
    let (figure, by_hand) = match time.strip_suffix(hand) {
        Some(figure) => (figure, true),
        None => (time, false),
    };
    let mark = |control, text| Mark::parse(control, text, steps).ok();
    let time = mark(Control::Time, figure)?;
    let marks = [
        if by_hand { time.timed_by_hand() } else { time },
        mark(Control::Aperture, aperture)?,
        mark(Control::Sensitivity, speed)?,
    ];
    Setting::new(&marks, steps).ok()
}

fn read_setting_line(words: &[&str]) -> Option<Setting> {
    let (items, steps) = match *words {
        [time, stop, speed] => ([time, stop, speed], Steps::Third),
        [time, stop, speed, steps] => {
            let steps = STEPS
                .into_iter()
                .find(|of| steps_name(*of) == Some(steps))?;
            ([time, stop, speed], steps)
        }
        _ => return None,
    };
    read_setting(items, "hand", steps)
}

/// Reads a line of the record, with the answer that belongs to it; none unless the same line would be written for it.
fn read_line(line: &str, answer: Option<&str>) -> Option<Step> {
    let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
    let items: Vec<&str> = rest.split(' ').collect();
    let step = match word {
        "show" => Step::Show(read_setting_line(&items)?),
        "compare" => {
            let mut scene = Scene::of_id(items.first()?)?;
            let settings: Vec<&str> = items[1..]
                .iter()
                .copied()
                .skip_while(|item| item.contains('='))
                .collect();
            for item in &items[1..items.len() - settings.len()] {
                let (name, value) = item.split_once('=')?;
                let of = Of::ALL.into_iter().find(|of| of.name() == name)?;
                of.set(&mut scene, value)?;
            }
            let with = settings.iter().position(|item| *item == "with")?;
            Step::Compare(Box::new(Comparison {
                scene,
                one: read_setting_line(&settings[..with])?,
                other: read_setting_line(&settings[with + 1..])?,
            }))
        }
        "ask" => {
            let [kind, seed, support] = items[..] else {
                return None;
            };
            Step::Ask {
                kind: Kind::of_id(kind)?,
                seed: seed.parse().ok()?,
                support: Support::of_id(support)?,
            }
        }
        "own" => Step::Own {
            question: rest.to_owned(),
            answer: answer.map_or(String::new(), |line| line["answer ".len()..].to_owned()),
        },
        "pause" if rest.is_empty() => Step::Pause,
        _ => return None,
    };
    Some(step)
}

fn read_code(item: &str) -> Option<Step> {
    let first = item.chars().next()?;
    let rest = item.get(1..)?;
    Some(match first {
        's' => {
            let (setting, left) = take_setting(&rest.split(',').collect::<Vec<_>>())?;
            left.is_empty().then_some(Step::Show(setting))?
        }
        'c' => {
            let parts: Vec<&str> = rest.split(',').collect();
            let mut of_scene = parts.first()?.split(':');
            let place = usize::try_from(from_base_36(of_scene.next()?)?).ok()?;
            let mut scene = *SCENES.get(place)?;
            for differs in of_scene {
                let letter = differs.chars().next()?;
                let of = Of::ALL.into_iter().find(|of| of.letter() == letter)?;
                of.set(&mut scene, &unescaped(differs.get(1..)?)?)?;
            }
            let (one, left) = take_setting(&parts[1..])?;
            let (other, left) = take_setting(&left)?;
            let pair = Comparison { scene, one, other };
            left.is_empty().then(|| Step::Compare(Box::new(pair)))?
        }
        'q' => {
            let letter = rest.chars().next()?;
            let kind = Kind::ALL
                .into_iter()
                .find(|kind| kind_letter(*kind) == letter)?;
            let rest = rest.get(1..)?;
            let (seed, support) = match rest.strip_suffix(['W', 'L']) {
                Some(seed) if rest.ends_with('W') => (seed, Support::Worked),
                Some(seed) => (seed, Support::LastStep),
                None => (rest, Support::Alone),
            };
            Step::Ask {
                kind,
                seed: from_base_36(seed)?,
                support,
            }
        }
        'o' => {
            let (question, answer) = rest.split_once(',').unwrap_or((rest, ""));
            Step::Own {
                question: unescaped(question)?,
                answer: unescaped(answer)?,
            }
        }
        'p' => rest.is_empty().then_some(Step::Pause)?,
        'u' => Step::Unread(unescaped(rest)?),
        _ => return None,
    })
}

/// Takes a setting off the beginning of what commas divide.
fn take_setting<'a>(items: &[&'a str]) -> Option<(Setting, Vec<&'a str>)> {
    let [time, stop, speed, rest @ ..] = items else {
        return None;
    };
    let steps = match rest.first() {
        Some(&"h") => Some(Steps::Half),
        Some(&"f") => Some(Steps::Full),
        Some(&"e") => Some(Steps::Engraved),
        _ => None,
    };
    let rest = if steps.is_some() { &rest[1..] } else { rest };
    let setting = read_setting([time, stop, speed], "b", steps.unwrap_or(Steps::Third))?;
    Some((setting, rest.to_vec()))
}

const fn kind_letter(kind: Kind) -> char {
    match kind {
        Kind::Way => 'w',
        Kind::Equivalent => 'e',
        Kind::Pictures => 'p',
        Kind::Rating => 'r',
        Kind::CarryOver => 'c',
        Kind::Lacking => 'l',
        Kind::Frame => 'f',
        Kind::Slip => 's',
        Kind::LongTime => 't',
    }
}

const FIGURES: &[u8; 36] = b"0123456789abcdefghijklmnopqrstuvwxyz";

fn base_36(mut number: u32) -> String {
    let mut figures = Vec::new();
    loop {
        figures.push(char::from(FIGURES[(number % 36) as usize]));
        number /= 36;
        if number == 0 {
            return figures.into_iter().rev().collect();
        }
    }
}

/// Reads what [`base_36`] writes; none for anything else.
fn from_base_36(text: &str) -> Option<u32> {
    let number = u32::from_str_radix(text, 36).ok()?;
    (base_36(number) == text).then_some(number)
}

/// How many figures check a link.
const CHECKED: usize = 2;

/// Figures that another text most likely does not have.
fn check(text: &str) -> String {
    let mut hash = 0x811C_9DC5_u32;
    for byte in text.bytes() {
        hash = (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    }
    let checked = (hash ^ (hash >> 16)) % (36 * 36);
    [checked / 36, checked % 36]
        .map(|figure| char::from(FIGURES[figure as usize]))
        .iter()
        .collect()
}

/// What an address allows behind its `#`, and what is no sign of this format.
const fn is_plain(byte: u8) -> bool {
    byte.is_ascii_alphanumeric()
        || matches!(byte, b'-' | b'.' | b'?' | b'/' | b'!' | b'\'' | b'(' | b')')
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if is_plain(byte) {
            out.push(char::from(byte));
        } else if byte == b' ' {
            out.push('_');
        } else {
            let _ = write!(out, "~{byte:02x}");
        }
    }
    out
}

fn unescaped(text: &str) -> Option<String> {
    let mut out = Vec::with_capacity(text.len());
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        out.push(match byte {
            b'_' => b' ',
            b'~' => {
                let figures = [bytes.next()?, bytes.next()?];
                let figures = core::str::from_utf8(&figures).ok()?;
                let plain = figures.bytes().all(|figure| figure.is_ascii_hexdigit());
                plain.then(|| u8::from_str_radix(figures, 16).ok())??
            }
            byte if is_plain(byte) => byte,
            _ => return None,
        });
    }
    String::from_utf8(out).ok()
}
