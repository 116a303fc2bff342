//! How sure one may be that a kind of question is mastered, when it should come up again, and the record of it.
//!
//! The estimate is Bayesian knowledge tracing (Corbett and Anderson 1995): somebody knows a skill or does not; a right answer may be a
//! guess, a wrong one a slip; after each answer the skill may have been learned.
//!
//! ```
//! use learn::mastery::Tracing;
//! let tracing = Tracing::TWO_CHOICES;
//! let known = [true, true, true].iter().fold(tracing.known, |known, right| tracing.after(known, *right));
//! assert!((known - 0.85455).abs() < 1e-5);
//! ```

use core::fmt::Write as _;

use exposure::words;

use crate::Day;
use crate::exercise::{Exercise, Kind, Support};

/// The four numbers of the model, each a chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tracing {
    /// That the skill is known before the first answer (L₀).
    pub known: f64,
    /// That it is learned from one answer to the next (T).
    pub learns: f64,
    /// That an answer is right without it (G).
    pub guesses: f64,
    /// That an answer is wrong with it (S).
    pub slips: f64,
}

impl Tracing {
    /// An answer on a dial of many marks: a guess is right about once in twenty times.
    pub const DIAL: Self = Self {
        known: 0.25,
        learns: 0.2,
        guesses: 0.05,
        slips: 0.1,
    };
    /// A choice between two.
    pub const TWO_CHOICES: Self = Self {
        guesses: 0.5,
        ..Self::DIAL
    };

    /// From where on a skill counts as mastered (Corbett and Anderson 1995).
    pub const MASTERED: f64 = 0.95;

    /// The numbers for a question: its own chance of luck, never taken for less than that of [`Tracing::DIAL`]. With more help than
    /// none an answer may be read off, so that it counts as a guess once in two times at least.
    #[must_use]
    pub fn of(exercise: &Exercise, support: Support) -> Self {
        let read_off = match support {
            Support::Alone => 0.0,
            Support::Worked | Support::LastStep => 0.5,
        };
        Self {
            guesses: exercise.luck().max(Self::DIAL.guesses).max(read_off),
            ..Self::DIAL
        }
    }

    /// The chance that the skill is known after one more answer:
    /// after a right one L′ = L(1−S) / (L(1−S) + (1−L)G), after a wrong one L′ = LS / (LS + (1−L)(1−G)); then L′ + (1−L′)T.
    ///
    /// Source: Corbett and Anderson, "Knowledge tracing", 1995, as a published implementation and a course page print it.
    #[must_use]
    pub fn after(&self, known: f64, right: bool) -> f64 {
        let (with, without) = if right {
            (1.0 - self.slips, self.guesses)
        } else {
            (self.slips, 1.0 - self.guesses)
        };
        let (with, without) = (known * with, (1.0 - known) * without);
        let all = with + without;
        let seen = if all > 0.0 { with / all } else { known };
        seen + (1.0 - seen) * self.learns
    }

    /// The chance of a right answer next: L(1−S) + (1−L)G.
    #[must_use]
    pub fn expects(&self, known: f64) -> f64 {
        known * (1.0 - self.slips) + (1.0 - known) * self.guesses
    }

    /// How far what was expected is from sequences of answers: the root of the mean of the squares.
    ///
    /// ```
    /// use learn::mastery::Tracing;
    /// // A published fit, Miller, Baker and Rossi 2014.
    /// let fit = Tracing { known: 1e-6, learns: 0.7238349282632712, guesses: 1e-6, slips: 0.1 };
    /// let answers = ["01101111", "0011111"].map(|row| row.bytes().map(|b| b == b'1').collect::<Vec<_>>());
    /// assert!((fit.error(&answers) - 0.31979617064728816).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn error<S: AsRef<[bool]>>(&self, sequences: &[S]) -> f64 {
        let (mut squares, mut count) = (0.0, 0.0);
        for answers in sequences {
            let mut known = self.known;
            for right in answers.as_ref() {
                let off = f64::from(u8::from(*right)) - self.expects(known);
                squares += off * off;
                count += 1.0;
                known = self.after(known, *right);
            }
        }
        f64::sqrt(squares / count)
    }
}

/// What was learned of one kind of question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Skill {
    /// The kind.
    pub kind: Kind,
    /// Chance that it is known, in millionths.
    pub known: u32,
    /// Questions answered.
    pub asked: u32,
    /// Right answers among them.
    pub right: u32,
    /// Right answers in a row without help, up to now.
    pub row: u32,
    /// Wrong answers in a row, up to now.
    pub missed: u32,
    /// Days until it comes up again; 0 where it is still being learned.
    pub gap: u16,
    /// When it was answered last.
    pub last: Day,
}

/// Right answers in a row without help after which a kind counts as practised, beside [`Tracing::MASTERED`] (Kelly, Wang, Thompson and
/// Heffernan 2015: three give adequate practice).
pub const IN_A_ROW: u32 = 3;

/// The longest gap between two reviews, in days.
pub const LONGEST_GAP: u16 = 128;

/// How far somebody is with a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Never asked.
    New,
    /// Not mastered yet.
    Learning,
    /// Mastered, and not due.
    Known,
    /// Mastered once, and due again.
    Due,
}

impl Standing {
    /// Plain name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::New => "not begun",
            Self::Learning => "not known yet",
            Self::Known => "known",
            Self::Due => "due again",
        }
    }
}

impl Skill {
    fn new(kind: Kind, day: Day) -> Self {
        Self {
            kind,
            known: millionths(Tracing::DIAL.known),
            asked: 0,
            right: 0,
            row: 0,
            missed: 0,
            gap: 0,
            last: day,
        }
    }

    /// Chance that it is known.
    #[must_use]
    pub fn chance(&self) -> f64 {
        f64::from(self.known) / 1e6
    }

    /// Whether it counts as mastered: sure enough, and often enough in a row without help.
    #[must_use]
    pub fn is_mastered(&self) -> bool {
        self.chance() >= Tracing::MASTERED && self.row >= IN_A_ROW
    }

    /// When it comes up again; none while it is still being learned.
    #[must_use]
    pub fn due(&self) -> Option<Day> {
        (self.gap > 0).then(|| self.last.plus(self.gap))
    }

    /// How far it is on a day.
    #[must_use]
    pub fn standing(&self, today: Day) -> Standing {
        match self.due() {
            Some(due) if due <= today => Standing::Due,
            Some(_) => Standing::Known,
            None => Standing::Learning,
        }
    }

    /// How much help the next question should have: worked through at first, then the last step open, then none; and a step back for
    /// each two misses in a row.
    #[must_use]
    pub const fn support(&self) -> Support {
        let by_estimate = match self.known {
            0..=349_999 if self.row == 0 => 0,
            0..=599_999 if self.row == 0 => 1,
            _ => 2_u32,
        };
        match by_estimate.saturating_sub(self.missed / 2) {
            0 => Support::Worked,
            1 => Support::LastStep,
            _ => Support::Alone,
        }
    }

    /// Takes an answer in.
    fn answered(&mut self, tracing: &Tracing, support: Support, right: bool, day: Day) {
        let was_due = self.due().is_some_and(|due| due <= day);
        self.known = millionths(tracing.after(self.chance(), right));
        self.asked = self.asked.saturating_add(1);
        self.right = self.right.saturating_add(u32::from(right));
        self.row = match (right, support) {
            (true, Support::Alone) => self.row.saturating_add(1),
            // Read off, it neither adds to the row nor breaks it.
            (true, _) => self.row,
            (false, _) => 0,
        };
        self.missed = if right {
            0
        } else {
            self.missed.saturating_add(1)
        };
        self.gap = if !right {
            0
        } else if was_due {
            (self.gap * 2).min(LONGEST_GAP)
        } else if self.gap == 0 && self.is_mastered() {
            1
        } else {
            self.gap
        };
        self.last = day.max(self.last);
    }

    /// What is said of it: `Which way, and how many stops: known, 12 of 14 right; comes up again on 2026-12-01.`
    #[must_use]
    pub fn said(&self, today: Day) -> String {
        let standing = self.standing(today);
        let when = match (standing, self.due()) {
            (Standing::Known, Some(due)) => format!("; comes up again on {due}"),
            _ => String::new(),
        };
        format!(
            "{}: {}, {} of {} right{when}.",
            self.kind.name(),
            standing.name(),
            self.right,
            self.asked
        )
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a chance is between 0 and 1"
)]
fn millionths(chance: f64) -> u32 {
    (chance.clamp(0.0, 1.0) * 1e6).round() as u32
}

/// What somebody has learned: one record.
///
/// As text, a head `stopkeeper learned 1` and a line for each kind that was asked:
/// `equivalent known 984500 asked 12 right 9 row 3 missed 0 gap 4 last 2026-11-27`. `known` is in millionths, `gap` in days, 0 while it is
/// still being learned. Lines that cannot be read are kept to the letter and written again behind the others.
///
/// ```
/// use learn::{Day, exercise::{Exercise, Kind, Support}, mastery::{Learned, Opened}};
/// let mut learned = Learned::default();
/// let asked = Exercise::new(Kind::Way, 1).unwrap();
/// learned.answered(&asked, Support::Alone, asked.right(), Day::new(20_784));
/// let text = learned.write();
/// assert_eq!(Learned::open(&text), Opened::Whole(learned));
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Learned {
    skills: Vec<Skill>,
    /// Lines that could not be read.
    aside: Vec<String>,
}

/// What opening a record brings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Opened<T> {
    /// All of it was read.
    Whole(T),
    /// Some of it was read; the sentence says what was not, and that is kept.
    Partly(T, String),
    /// Nothing was read. The text has to be left as it is; the sentence says why.
    Not(String),
}

/// First line of the record, without its version.
const HEAD: &str = "stopkeeper learned ";
const VERSION: u32 = 1;

impl Learned {
    /// The kinds that were asked, in the order of [`Kind::ALL`].
    #[must_use]
    pub fn skills(&self) -> &[Skill] {
        &self.skills
    }

    /// One kind; none if it was never asked.
    #[must_use]
    pub fn skill(&self, kind: Kind) -> Option<&Skill> {
        self.skills.iter().find(|skill| skill.kind == kind)
    }

    /// How far somebody is with a kind on a day.
    #[must_use]
    pub fn standing(&self, kind: Kind, today: Day) -> Standing {
        self.skill(kind)
            .map_or(Standing::New, |skill| skill.standing(today))
    }

    /// How much help the next question of a kind should have.
    #[must_use]
    pub fn support(&self, kind: Kind) -> Support {
        self.skill(kind).map_or(Support::Worked, Skill::support)
    }

    /// The kind that is best asked next on a day: what is due, the longest waiting first; then what is being learned; then what is
    /// new, in the order of [`Kind::ALL`]; none where all is known and nothing is due. `before` is the kind that was asked
    /// last: another one is taken where there is one, for mixed questions teach more.
    #[must_use]
    pub fn next(&self, today: Day, before: Option<Kind>) -> Option<Kind> {
        let with = |wanted: Standing| {
            let mut kinds: Vec<Kind> = Kind::ALL
                .into_iter()
                .filter(|kind| self.standing(*kind, today) == wanted)
                .collect();
            kinds.sort_by_key(|kind| self.skill(*kind).and_then(Skill::due));
            kinds
        };
        let mut kinds = with(Standing::Due);
        kinds.extend(with(Standing::Learning));
        // New kinds one after the other, and not before two others are left to mix it with at most.
        if kinds.len() < 3 {
            kinds.extend(with(Standing::New));
        }
        kinds
            .iter()
            .copied()
            .find(|kind| Some(*kind) != before)
            .or_else(|| kinds.first().copied())
    }

    /// Takes an answer in, and says whether it was right.
    pub fn answered(
        &mut self,
        exercise: &Exercise,
        support: Support,
        answer: usize,
        day: Day,
    ) -> bool {
        let kind = exercise.kind();
        let right = answer == exercise.right();
        if self.skill(kind).is_none() {
            self.skills.push(Skill::new(kind, day));
            let place = |skill: &Skill| Kind::ALL.iter().position(|of| *of == skill.kind);
            self.skills.sort_by_key(place);
        }
        if let Some(skill) = self.skills.iter_mut().find(|skill| skill.kind == kind) {
            skill.answered(&Tracing::of(exercise, support), support, right, day);
        }
        right
    }

    /// The record as text.
    #[must_use]
    pub fn write(&self) -> String {
        let mut text = format!("{HEAD}{VERSION}\n");
        for skill in &self.skills {
            // OK because writing to a text does not fail.
            let _ = writeln!(
                text,
                "{} known {} asked {} right {} row {} missed {} gap {} last {}",
                skill.kind.id(),
                skill.known,
                skill.asked,
                skill.right,
                skill.row,
                skill.missed,
                skill.gap,
                skill.last
            );
        }
        for line in &self.aside {
            text.push_str(line);
            text.push('\n');
        }
        text
    }

    /// Reads a record. What cannot be read is kept: lines in the record, a text of a newer version or of something else by not
    /// being taken at all.
    #[must_use]
    pub fn open(text: &str) -> Opened<Self> {
        let mut lines = text.lines();
        let version = lines.next().and_then(|head| head.strip_prefix(HEAD));
        match version.map(str::parse::<u32>) {
            Some(Ok(VERSION)) => {}
            Some(Ok(newer)) if newer > VERSION => {
                return Opened::Not(
                    "What was learned was kept by a newer version of this page; reload it, and nothing is lost."
                        .to_owned(),
                );
            }
            _ => {
                return Opened::Not(
                    "The record of what was learned cannot be read; it is left as it is."
                        .to_owned(),
                );
            }
        }
        let mut learned = Self::default();
        for line in lines.filter(|line| !line.is_empty()) {
            match read_skill(line) {
                Some(skill) if learned.skill(skill.kind).is_none() => learned.skills.push(skill),
                _ => learned.aside.push(line.to_owned()),
            }
        }
        let place = |skill: &Skill| Kind::ALL.iter().position(|of| *of == skill.kind);
        learned.skills.sort_by_key(place);
        match learned.aside.len() {
            0 => Opened::Whole(learned),
            1 => Opened::Partly(
                learned,
                "One line of what was learned cannot be read; it is kept as it is.".to_owned(),
            ),
            many => {
                let many = words::count(many as f64);
                let said = format!(
                    "{many} lines of what was learned cannot be read; they are kept as they are."
                );
                Opened::Partly(learned, said)
            }
        }
    }

    /// A small table for other programs: comma-separated, one line for each kind that was asked.
    #[must_use]
    pub fn table(&self, today: Day) -> String {
        let mut text =
            String::from("kind,about,standing,chance known %,asked,right,in a row,last,due\r\n");
        for skill in &self.skills {
            let due = skill.due().map_or(String::new(), |due| due.to_string());
            let _ = write!(
                text,
                "{},\"{}\",{},{},{},{},{},{},{due}\r\n",
                skill.kind.id(),
                skill.kind.name(),
                skill.standing(today).name(),
                words::decimal(skill.chance() * 100.0, 1),
                skill.asked,
                skill.right,
                skill.row,
                skill.last
            );
        }
        text
    }
}

/// Reads a line; none unless it is one to the letter.
fn read_skill(line: &str) -> Option<Skill> {
    let mut items = line.split(' ');
    let kind = Kind::of_id(items.next()?)?;
    let mut number = |name: &str| -> Option<u32> {
        (items.next()? == name).then_some(())?;
        let text = items.next()?;
        let number = text.parse().ok()?;
        // No signs, no leading zeros: what is written again is what was read.
        (format!("{number}") == text).then_some(number)
    };
    let known = number("known").filter(|known| *known <= 1_000_000)?;
    let asked = number("asked")?;
    let right = number("right").filter(|right| *right <= asked)?;
    let row = number("row").filter(|row| *row <= right)?;
    let missed = number("missed").filter(|missed| *missed <= asked - right)?;
    let gap = number("gap").and_then(|gap| u16::try_from(gap).ok())?;
    (items.next()? == "last").then_some(())?;
    let last = Day::parse(items.next()?)?;
    let skill = Skill {
        kind,
        known,
        asked,
        right,
        row,
        missed,
        gap: Some(gap).filter(|gap| *gap <= LONGEST_GAP)?,
        last,
    };
    items.next().is_none().then_some(skill)
}
