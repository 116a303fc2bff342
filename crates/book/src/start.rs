//! The start rating: what each rule says, side by side, and a base with a bracket that covers their disagreement.
//!
//! Every rule says what kind of statement it is, and every value of a rule can be replaced by the person's own.

use exposure::{BracketStep, Control, Mark, Prefer, Scale, Stops, words};

use crate::{
    Book, Date, Error, Expiry, Film, FilmTest, Finding, Reach, Roll, Rules, Speed, Storage, text,
};

/// What kind of statement a rule is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Common practice, no source.
    CommonPractice,
    /// One tester's figures.
    OneTester,
    /// An assumption of this page, no source.
    Assumption,
    /// Found by the person in this group.
    Measured,
    /// Read by the person from densities of this group.
    Tested,
}

impl Source {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::CommonPractice => "rule of thumb: common practice, no source",
            Self::OneTester => "one tester's figures, bad storage assumed",
            Self::Assumption => "an assumption of this page, no source",
            Self::Measured => "your own result with this group",
            Self::Tested => {
                "your own film-speed test with this group, by the 0.10 rule; it flatters fogged film"
            }
        }
    }
}

/// The unit of a rule's value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Months of age for one stop.
    MonthsPerStop,
    /// Twelfths of a stop; positive is more light.
    TwelfthsOfAStop,
    /// Parts of a hundred.
    Percent,
}

/// A value of a rule, which the person may replace.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleValue {
    /// Id, for [`Edit::Rule`](crate::Edit::Rule).
    pub id: String,
    /// The unit.
    pub unit: Unit,
    /// The rule's own value.
    pub printed: i32,
    /// The value that is taken.
    pub value: i32,
}

impl RuleValue {
    /// The value as people say it: years for one stop, stops, or per cent. `25`, `1½`.
    #[must_use]
    pub fn shown(&self) -> String {
        self.in_words(self.value)
    }

    /// What the rule itself says, in the same way.
    #[must_use]
    pub fn printed_shown(&self) -> String {
        self.in_words(self.printed)
    }

    fn in_words(&self, value: i32) -> String {
        match self.unit {
            Unit::MonthsPerStop | Unit::TwelfthsOfAStop => {
                words::decimal(f64::from(value) / 12.0, 2)
            }
            Unit::Percent => value.to_string(),
        }
    }

    /// Reads a value as people say it, for [`Edit::Rule`](crate::Edit::Rule): years to the nearest month, stops to the nearest
    /// twelfth. None for an empty text, which goes back to the rule's own value.
    ///
    /// ```
    /// use book::{RuleValue, Unit};
    /// let value = RuleValue { id: "decade".into(), unit: Unit::MonthsPerStop, printed: 120, value: 120 };
    /// assert_eq!(value.read("12.5")?, Some(150));
    /// assert_eq!(value.read(" ")?, None);
    /// # Ok::<(), book::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// A sentence that says what can be typed.
    pub fn read(&self, text: &str) -> Result<Option<i32>, Error> {
        let text = text.trim();
        if text.is_empty() {
            return Ok(None);
        }
        let (what, least, most, parts) = match self.unit {
            Unit::MonthsPerStop => ("years for one stop, 0.1 to 200", 0.1, 200.0, 12.0),
            Unit::TwelfthsOfAStop => ("stops of more light, 0 to 20", 0.0, 20.0, 12.0),
            Unit::Percent => ("a part of a hundred, 0 to 100", 0.0, 100.0, 1.0),
        };
        let wrong = || {
            Error::new(format!(
                "“{text}” is not understood; type {what}, or leave the field empty to go back to the rule's own value"
            ))
        };
        let number = match self.unit {
            Unit::TwelfthsOfAStop => words::parse_stops(text).map_err(|_| wrong())?.get(),
            _ if text.bytes().all(|digit| digit == b'0') => 0.0,
            Unit::MonthsPerStop | Unit::Percent => {
                words::plain_decimal(&text.replace(',', ".")).ok_or_else(wrong)?
            }
        };
        if !(least..=most).contains(&number) {
            return Err(wrong());
        }
        #[expect(clippy::cast_possible_truncation, reason = "at most 2400")]
        Ok(Some((number * parts).round() as i32))
    }
}

/// What one rule says.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleSays {
    /// Id of the rule.
    pub id: &'static str,
    /// Its name.
    pub name: String,
    /// What kind of statement it is.
    pub source: Source,
    /// What it says here, with its figures.
    pub statement: String,
    /// Its value; none for one's own results.
    pub value: Option<RuleValue>,
    /// Least light it allows, from box speed.
    pub least: Stops,
    /// Most light it allows, from box speed.
    pub most: Stops,
    /// The rating for the least light.
    pub rating_least: Speed,
    /// The rating for the most light.
    pub rating_most: Speed,
    /// Whether base and bracket rest on it: one's own results go before rules.
    pub counts: bool,
}

/// What is known of the film that is to be shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question<'a> {
    /// Type.
    pub film: Film,
    /// Box speed.
    pub box_speed: Speed,
    /// Expiry, if known.
    pub expiry: Option<Expiry>,
    /// How it was kept.
    pub storage: Storage,
    /// The day of the shooting.
    pub on: Date,
    /// Frames of the roll.
    pub exposures: u16,
    /// Whether each scene gets a slate.
    pub slate: bool,
    /// The person's own values.
    pub rules: &'a Rules,
    /// Findings of **the same group**, oldest first; those of others do not belong here.
    pub findings: &'a [&'a Finding],
    /// Film-speed tests of **the same group**, oldest first; those of others do not belong here.
    pub tests: &'a [&'a FilmTest],
}

/// A base with a bracket, and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// What the rules say, side by side.
    pub says: Vec<RuleSays>,
    /// Rules that say nothing here: name and why.
    pub silent: Vec<(&'static str, String)>,
    /// The base rating.
    pub base: Speed,
    /// The base's offset from box speed.
    pub base_offset: Stops,
    /// Least and most light that the rules which count allow, from box speed.
    pub range: (Stops, Stops),
    /// Frames with less light than the base.
    pub under: u8,
    /// Frames with more light than the base.
    pub over: u8,
    /// The step between them.
    pub step: BracketStep,
    /// The ratings that the frames amount to, least light first.
    pub frames: Vec<Speed>,
    /// What it costs.
    pub budget: Budget,
    /// Base, range, bracket and cost in one text; never the base without its range.
    pub words: String,
    /// Why the base and the frames are these, one sentence each.
    pub reasons: Vec<String>,
    /// What the bracket does not tell or mend.
    pub cautions: Vec<String>,
}

impl Start {
    /// The bracket, as far as it asks for room on the scales of a camera.
    #[must_use]
    pub fn reach(&self) -> Reach {
        let step = self.step.stops();
        let size = |frames: u8| (0..frames).fold(Stops::ZERO, |sum, _| sum + step);
        Reach {
            by: None,
            under: size(self.under),
            over: size(self.over),
            whose: "the bracket that the rules propose".to_owned(),
        }
    }
}

/// How far the frames of a roll go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// Frames a scene takes, its slate included.
    pub per_scene: u16,
    /// Whole scenes on the roll.
    pub scenes: u16,
    /// Frames that these and a capped frame take.
    pub used: u16,
    /// Frames that are left.
    pub spare: u16,
}

/// Counts the scenes that a roll gives.
///
/// `frames` is the bracket's frames per scene (at least one is counted), `slate` one more for each scene, `capped` one for
/// the whole roll.
///
/// ```
/// use book::budget;
/// let roll = budget(36, 5, true, false);
/// assert_eq!((roll.scenes, roll.spare), (6, 0));
/// ```
#[must_use]
pub fn budget(exposures: u16, frames: u16, slate: bool, capped: bool) -> Budget {
    let per_scene = frames.max(1).saturating_add(u16::from(slate));
    let blank = u16::from(capped).min(exposures);
    let scenes = (exposures - blank) / per_scene;
    let used = scenes * per_scene + blank;
    Budget {
        per_scene,
        scenes,
        used,
        spare: exposures - used,
    }
}

/// Years for one stop by type and box speed: one tester's figures, bad storage assumed. In months.
const BY_TYPE: [(Film, f64, i32); 6] = [
    (Film::BlackAndWhite, 100.0, 25 * 12),
    (Film::BlackAndWhite, 400.0, 20 * 12),
    (Film::ColourNegative, 25.0, 20 * 12),
    (Film::ColourNegative, 160.0, 15 * 12),
    (Film::ColourNegative, 200.0, 14 * 12),
    (Film::ColourNegative, 400.0, 8 * 12),
];

const DECADE: &str = "One stop a decade";
const YEARS: &str = "Years per stop by type";
const PRACTICE: &str = "Black-and-white keeps";
const SLIDE: &str = "Slide film at its speed";
const COLD: &str = "Cold-stored film";
const NO_AGE: &str = "Age unknown";
const TESTED: &str = "Film-speed test";

/// The rating that gives so much more light than box speed: a speed of the standard list where one is within a fiftieth of
/// a stop, else the exact one, which words call "about".
#[must_use]
pub fn rating_for(box_speed: Speed, more: Stops) -> Speed {
    let place = box_speed.mark().place() - more;
    let listed = Scale::sensitivities().choose(place, Prefer::Nearest);
    let mark = if listed.residual.size().get() < 0.02 {
        listed.mark
    } else {
        // OK to fall back on the list: it is for a rating beyond any number, which only a value without meaning reaches.
        Mark::between(Control::Sensitivity, place).unwrap_or(listed.mark)
    };
    Speed::new(mark).unwrap_or(box_speed)
}

/// The nearest rating that a device can be set to; its offset has to be counted from itself.
fn settable(box_speed: Speed, more: Stops) -> Speed {
    let place = box_speed.mark().place() - more;
    let listed = Scale::sensitivities().choose(place, Prefer::Nearest);
    if listed.end.is_some() {
        return rating_for(box_speed, more);
    }
    Speed::new(listed.mark).unwrap_or(box_speed)
}

/// To the nearest third of a stop; a tie goes to more light.
pub(crate) fn nearest_third(stops: f64) -> Stops {
    let thirds = (stops * 3.0 + 0.5 + 1e-9).floor();
    held(thirds / 3.0)
}

/// To a third of a stop towards more light; what is a twelfth of a stop short still counts as enough.
pub(crate) fn third_towards_more(stops: f64) -> Stops {
    let thirds = ((stops - Stops::SMALL.get()) * 3.0 - 1e-9).ceil();
    held(thirds / 3.0)
}

struct Rows<'a> {
    question: &'a Question<'a>,
    says: Vec<RuleSays>,
    silent: Vec<(&'static str, String)>,
}

impl Rows<'_> {
    fn value(&self, id: &str, unit: Unit, printed: i32) -> RuleValue {
        RuleValue {
            id: id.to_owned(),
            unit,
            printed,
            value: self.question.rules.value(id, printed),
        }
    }

    fn say(
        &mut self,
        (id, name, source): (&'static str, &str, Source),
        statement: String,
        value: Option<RuleValue>,
        (least, most): (Stops, Stops),
    ) {
        self.says.push(RuleSays {
            id,
            name: name.to_owned(),
            source,
            statement,
            value,
            least,
            most,
            rating_least: rating_for(self.question.box_speed, least),
            rating_most: rating_for(self.question.box_speed, most),
            counts: true,
        });
    }

    fn silent(&mut self, name: &'static str, why: &str) {
        self.silent.push((name, why.to_owned()));
    }
}

/// Stops for an age, and how that was worked out.
fn by_age(months: i32, per_stop: i32, note: &str) -> (f64, String) {
    let stops = f64::from(months) / f64::from(per_stop.max(1));
    let years = |months: i32| {
        let figure = words::decimal(f64::from(months) / 12.0, 2);
        let plural = if figure == "1" { "" } else { "s" };
        format!("{figure} year{plural}")
    };
    let figure = format!(
        "{} at {} per stop{note}: {}",
        years(months),
        years(per_stop.max(1)),
        words::hundredths(held(stops))
    );
    (stops, figure)
}

fn to_third(stops: f64, figure: String) -> (Stops, String) {
    let third = nearest_third(stops);
    let exact = (third.get() - stops).abs() < 0.005;
    if stops < 0.005 {
        return (third, "Not past its date, or hardly: box speed.".to_owned());
    }
    let rest = if exact {
        "more light.".to_owned()
    } else {
        format!(
            "more light, to the nearest third {}.",
            if third.is_even() {
                "box speed".to_owned()
            } else {
                words::of_a_stop(third)
            }
        )
    };
    (third, format!("{figure} {rest}"))
}

/// The row of [`BY_TYPE`] that is nearest in speed; of two as near, the faster one, which ages faster.
fn row_for(film: Film, iso: f64) -> Option<(f64, i32)> {
    let distance = |listed: f64| (listed / iso).log2().abs();
    BY_TYPE
        .iter()
        .filter(|(of, ..)| *of == film)
        .map(|(_, listed, months)| (*listed, *months))
        .fold(None, |best: Option<(f64, i32)>, row| match best {
            Some(known) if distance(known.0) < distance(row.0) - 1e-9 => best,
            _ => Some(row),
        })
}

fn years_rule(
    question: &Question<'_>,
    rows: &Rows<'_>,
    months: i32,
) -> Option<(f64, String, RuleValue)> {
    let iso = question.box_speed.as_box().iso();
    let (listed, printed) = row_for(question.film, iso)?;
    let film = if question.film == Film::BlackAndWhite {
        "bw"
    } else {
        "cn"
    };
    let listed_words = words::decimal(listed, 0);
    let value = rows.value(
        &format!("months_per_stop_{film}_{listed_words}"),
        Unit::MonthsPerStop,
        printed,
    );
    let near = if (listed / iso).log2().abs() < 0.34 {
        String::new()
    } else {
        format!(" (the figure for ISO {listed_words}, the nearest one listed)")
    };
    let (stops, figure) = by_age(months, value.value, &near);
    Some((stops, figure, value))
}

fn ask_rules(rows: &mut Rows<'_>) {
    let question = *rows.question;
    let months = question
        .expiry
        .map(|expiry| expiry.months_past(question.on).max(0));
    let cold = question.storage.is_cold();
    if question.film == Film::Reversal {
        let value = rows.value("slide_most", Unit::TwelfthsOfAStop, 6);
        let most = if cold {
            Stops::ZERO
        } else {
            text::from_twelfths(value.value.max(0))
        };
        let statement = if cold {
            "Kept cold: start at box speed and bracket to both sides.".to_owned()
        } else {
            format!(
                "Start at box speed, at most {}, and bracket to both sides.",
                text::lean(most, "box speed")
            )
        };
        rows.say(
            ("slide", SLIDE, Source::CommonPractice),
            statement,
            Some(value),
            (Stops::ZERO, most),
        );
        rows.silent(
            DECADE,
            "It is for colour negative film and never for slides.",
        );
        rows.silent(YEARS, "It has no figures for slides.");
        return;
    }
    let Some(months) = months else {
        let printed = if question.film == Film::ColourNegative {
            36
        } else {
            24
        };
        let value = rows.value("age_unknown_most", Unit::TwelfthsOfAStop, printed);
        let most = text::from_twelfths(value.value.max(0));
        rows.say(
            ("age_unknown", NO_AGE, Source::Assumption),
            format!(
                "Without a date no rule by age can say anything: anything from box speed to {}.",
                text::lean(most, "box speed")
            ),
            Some(value),
            (Stops::ZERO, most),
        );
        rows.silent(DECADE, "The expiry is not known.");
        rows.silent(YEARS, "The expiry is not known.");
        return;
    };
    let by_type = years_rule(&question, rows, months);
    if cold {
        let share = rows.value("cold_share", Unit::Percent, 50);
        let (stops, figure, _) = by_type.unwrap_or_else(|| {
            let (stops, figure) = by_age(months, 120, "");
            (stops, figure, share.clone())
        });
        let percent = share.value.clamp(0, 100);
        let part = stops * f64::from(percent) / 100.0;
        let (most, statement) = to_third(
            part,
            format!(
                "Cold stops the chemistry, but not background radiation. Between box speed and {percent} % of what the years \
                 say ({figure}): {}",
                words::hundredths(held(part))
            ),
        );
        rows.say(
            ("cold", COLD, Source::Assumption),
            statement,
            Some(share),
            (Stops::ZERO, most),
        );
        rows.silent(DECADE, "It is not for cold-stored film.");
        rows.silent(
            YEARS,
            "Its figures assume bad storage, and this film was kept cold.",
        );
        return;
    }
    if question.film == Film::ColourNegative {
        let value = rows.value("decade", Unit::MonthsPerStop, 120);
        let (stops, figure) = by_age(months, value.value, "");
        let (third, statement) = to_third(stops, figure);
        rows.say(
            ("decade", DECADE, Source::CommonPractice),
            statement,
            Some(value),
            (third, third),
        );
    } else {
        let value = rows.value("decade", Unit::MonthsPerStop, 120);
        let (stops, figure) = by_age(months, value.value, "");
        let (third, statement) = to_third(stops, figure);
        rows.say(
            ("decade", DECADE, Source::CommonPractice),
            format!(
                "{statement} It is said of colour negative film; black-and-white keeps better, so this is the far end."
            ),
            Some(value),
            (third, third),
        );
    }
    if let Some((stops, figure, value)) = by_type {
        let (third, statement) = to_third(stops, figure);
        rows.say(
            ("years_by_type", YEARS, Source::OneTester),
            statement,
            Some(value),
            (third, third),
        );
    }
    if question.film == Film::BlackAndWhite {
        if months >= 120 {
            let value = rows.value("bw_most", Unit::TwelfthsOfAStop, 24);
            let most = text::from_twelfths(value.value.max(0));
            rows.say(
                ("bw_keeps", PRACTICE, Source::CommonPractice),
                format!(
                    "Even after decades, from box speed to {}.",
                    text::lean(most, "box speed")
                ),
                Some(value),
                (Stops::ZERO, most),
            );
        } else {
            rows.silent(PRACTICE, "It is for film that is decades old.");
        }
    }
}

/// What film-speed tests of this group say: the rule of negatives, beside the rules of thumb and not before them. Fog alone says
/// nothing here.
fn ask_tests(rows: &mut Rows<'_>) {
    let question = *rows.question;
    for test in question.tests {
        let Some(from_box) = test.from_box() else {
            rows.silent(TESTED, "Its steps did not reach the speed point.");
            continue;
        };
        if question.film == Film::Reversal {
            rows.silent(TESTED, "The 0.10 rule is that of negatives.");
            continue;
        }
        let name = format!("{TESTED} of {}", test.on.text());
        rows.say(
            ("tested", &name, Source::Tested),
            test.words(),
            None,
            (from_box, from_box),
        );
    }
}

/// Puts what the rules say side by side and plans a base with a bracket that covers their disagreement.
///
/// The base is the least light that a rule with a figure asks for; a range that begins at box speed is covered by frames with
/// less light, and is the base where nothing else is said. The bracket has at least one frame with less light than the base,
/// and reaches at least one stop beyond the rule that asks for most (for slides, and for a rule that is not meant for this
/// type, up to it). Where the person has a result of this group, the base is that rating and the rules stand beside it
/// without a say.
///
/// ```
/// use book::{Date, Expiry, Film, Question, Rules, Speed, Storage, start};
/// let found = start(&Question {
///     film: Film::ColourNegative,
///     box_speed: Speed::parse("200")?,
///     expiry: Some(Expiry::parse("2004-06")?),
///     storage: Storage::Unknown,
///     on: Date::parse("2024-06-15")?,
///     exposures: 36,
///     slate: false,
///     rules: &Rules::default(),
///     findings: &[],
///     tests: &[],
/// });
/// assert_eq!(found.base.rating_words(), "EI 80");
/// assert_eq!((found.under, found.over), (1, 2));
/// # Ok::<(), book::Error>(())
/// ```
#[must_use]
pub fn start(question: &Question<'_>) -> Start {
    let mut rows = Rows {
        question,
        says: Vec::new(),
        silent: Vec::new(),
    };
    ask_rules(&mut rows);
    ask_tests(&mut rows);
    let mut says = rows.says;
    for finding in question.findings {
        let range = (
            text::from_thousandths(finding.liked_thousandths.0),
            text::from_thousandths(finding.liked_thousandths.1),
        );
        for row in &mut says {
            row.counts = false;
        }
        says.push(RuleSays {
            id: "measured",
            name: format!("Your result of {}", finding.on.text()),
            source: Source::Measured,
            statement: format!(
                "{} from {}; the liked frames lay from {} to {}.",
                finding.rating_words(),
                text::counted(finding.evidence.len(), "scene"),
                text::lean(range.0, "box speed"),
                text::lean(range.1, "box speed")
            ),
            value: None,
            least: range.0,
            most: range.1,
            rating_least: rating_for(question.box_speed, range.0),
            rating_most: rating_for(question.box_speed, range.1),
            counts: true,
        });
    }
    let counting = || says.iter().filter(|row| row.counts);
    // OK to fold from the infinities: one rule always counts, for each branch of the rules says something.
    let least = counting()
        .map(|row| row.least.get())
        .fold(f64::INFINITY, f64::min);
    let most = counting()
        .map(|row| row.most.get())
        .fold(f64::NEG_INFINITY, f64::max);
    let measured = question.findings.last();
    let figures = counting()
        .filter(|row| (row.most - row.least).is_even())
        .map(|row| row.least.get())
        .fold(f64::INFINITY, f64::min);
    let asked = if figures.is_finite() { figures } else { least };
    let base = measured.map_or_else(
        || settable(question.box_speed, held(asked)),
        |finding| finding.rating,
    );
    let base_offset = question.box_speed.as_box().offset(base.as_rating());
    // Beyond the rule that asks for most by a stop; a measured range needs no more than to be covered, unless it is a mere
    // limit, and neither does a rule that is said of another type of film.
    let limit = measured.is_some_and(|finding| finding.limits().most.is_none());
    let margin = |row: &&RuleSays| {
        let foreign = question.film == Film::BlackAndWhite && row.id == "decade";
        let wide = measured.is_none() && question.film.is_negative() && !foreign;
        row.most.get() + if wide || limit { 1.0 } else { 0.0 }
    };
    let furthest = counting().map(|row| margin(&row)).fold(most, f64::max);
    let reach = furthest - base_offset.get();
    let step = if question.film.is_negative() {
        BracketStep::One
    } else {
        BracketStep::Half
    };
    let fewest = if question.film.is_negative() && measured.is_none() {
        2.0
    } else {
        1.0
    };
    let under_reach = base_offset.get() - least;
    let (under, over) = (count(under_reach, step, 1.0), count(reach, step, fewest));
    let frames: Vec<Speed> = (-i32::from(under)..=i32::from(over))
        .map(|n| {
            let more = Stops::new(f64::from(n) * step.stops().get()).unwrap_or(Stops::ZERO);
            rating_for(question.box_speed, base_offset + more)
        })
        .collect();
    let budget = budget(
        question.exposures,
        u16::from(under) + u16::from(over) + 1,
        question.slate,
        false,
    );
    let mut out = Start {
        says,
        silent: rows.silent,
        base,
        base_offset,
        range: (held(least), held(most)),
        under,
        over,
        step,
        frames,
        budget,
        words: String::new(),
        reasons: Vec::new(),
        cautions: Vec::new(),
    };
    out.words = start_words(&out, question);
    out.reasons = reasons(&out, question);
    out.cautions = cautions(&out, question);
    out
}

/// What [`start`] says for a roll of the book: with the person's own values and the findings of its own group.
///
/// None if its batch or its stock is not in the book.
#[must_use]
pub fn start_for(book: &Book, roll: &Roll, on: Date, slate: bool) -> Option<Start> {
    let batch = book.batch(&roll.batch)?;
    let stock = book.stock(&batch.stock)?;
    let group = roll.group(batch);
    Some(start(&Question {
        film: stock.film,
        box_speed: stock.box_speed,
        expiry: batch.expiry,
        storage: group.storage,
        on,
        exposures: roll.exposures,
        slate,
        rules: &book.rules(),
        findings: &crate::findings_of(book, &group),
        tests: &crate::tests_of(book, &group),
    }))
}

/// So many stops; beyond 100 it is held there, which only a value without meaning reaches.
fn held(stops: f64) -> Stops {
    // OK to fall back on zero: what is clamped is in range, and nothing here is without a number.
    Stops::new(stops.clamp(-100.0, 100.0)).unwrap_or(Stops::ZERO)
}

/// Frames on one side that reach so far: at least the fewest, at most six.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clamped to between 1 and 6"
)]
fn count(reach: f64, step: BracketStep, fewest: f64) -> u8 {
    (reach / step.stops().get() - 1e-9)
        .ceil()
        .clamp(fewest, 6.0) as u8
}

fn start_words(start: &Start, question: &Question<'_>) -> String {
    let range = if (start.range.1 - start.range.0).is_even() {
        let one = rating_for(question.box_speed, start.range.0);
        if start.says.iter().filter(|row| row.counts).count() > 1 {
            format!("the rules agree on {}", one.rating_words())
        } else {
            format!("only one rule speaks, for {}", one.rating_words())
        }
    } else {
        format!(
            "the rules range from {} to {}",
            rating_for(question.box_speed, start.range.0).rating_words(),
            rating_for(question.box_speed, start.range.1).rating_words()
        )
    };
    let range = if start.says.iter().any(|row| row.source == Source::Measured) {
        format!(
            "your results range from {} to {}",
            rating_for(question.box_speed, start.range.0).rating_words(),
            rating_for(question.box_speed, start.range.1).rating_words()
        )
    } else {
        range
    };
    let frames: Vec<String> = start
        .frames
        .iter()
        .map(|speed| speed.rating_words())
        .collect();
    format!(
        "Base {} ({}); {range}. Frames at {}: {} a scene{}, {} on {} frames, {} spare.",
        start.base.rating_words(),
        text::lean(start.base_offset, "box speed"),
        text::list(&frames),
        text::counted(usize::from(start.budget.per_scene), "frame"),
        if question.slate {
            " with its slate"
        } else {
            ""
        },
        text::counted(usize::from(start.budget.scenes), "scene"),
        question.exposures,
        start.budget.spare
    )
}

/// Why the base and the frames are these.
fn reasons(start: &Start, question: &Question<'_>) -> Vec<String> {
    let mut out = Vec::new();
    let counting = || start.says.iter().filter(|row| row.counts);
    if let Some(finding) = question.findings.last() {
        out.push(format!(
            "The base is your result of {}{}.",
            finding.on.text(),
            if finding.limits().is_found() {
                ""
            } else {
                ", which is a limit: the frames reach beyond it"
            }
        ));
    } else if let Some(row) = counting()
        .filter(|row| (row.most - row.least).is_even())
        .min_by(|a, b| a.least.get().total_cmp(&b.least.get()))
    {
        out.push(format!(
            "The base is the least light that a rule with a figure asks for: “{}”.",
            row.name
        ));
    } else {
        out.push(
            "No rule names a figure here, so the base is the end of the range with least light."
                .to_owned(),
        );
    }
    let least = start.frames.first().filter(|_| start.under > 0);
    if let Some(least) = least {
        let frames = if start.under == 1 {
            format!(
                "One frame in {}, at {}, has",
                start.frames.len(),
                least.rating_words()
            )
        } else {
            format!(
                "{} frames in {}, down to {}, have",
                start.under,
                start.frames.len(),
                least.rating_words()
            )
        };
        let below = if question
            .box_speed
            .as_box()
            .offset(least.as_rating())
            .is_less()
        {
            ", less than box speed asks for"
        } else {
            ""
        };
        let why = if question.film.is_negative() {
            "a frame with too little light shows that the liked one is not simply the first. Once the film is known, leave it out"
        } else {
            "slide film loses its highlights first, and that cannot be mended"
        };
        out.push(format!("{frames} less light than the base{below}: {why}."));
    }
    if question.film.is_negative() && question.findings.is_empty() {
        out.push(
            "Towards more light it reaches a stop beyond the rules that are meant for this film: it bears that, and the rules \
             are rules of thumb."
                .to_owned(),
        );
    }
    out
}

/// What rules ask for that no frame reaches, by the names of the rules.
fn left_out(start: &Start) -> Vec<String> {
    let reach = start.reach();
    let (least, most) = (
        start.base_offset - reach.under,
        start.base_offset + reach.over,
    );
    let tolerance = Stops::constant(0.01);
    start
        .says
        .iter()
        .filter_map(|row| {
            let beyond = (row.most - most - tolerance).is_more();
            let below = (least - row.least - tolerance).is_more();
            let rating = match (beyond, below) {
                (false, false) => return None,
                (true, _) => row.rating_most,
                (false, true) => row.rating_least,
            };
            Some(format!("“{}” ({})", row.name, rating.rating_words()))
        })
        .collect()
}

fn cautions(start: &Start, question: &Question<'_>) -> Vec<String> {
    let mut out = Vec::new();
    let beyond = left_out(start);
    if !beyond.is_empty() {
        let beyond = text::list(&beyond);
        out.push(if question.findings.is_empty() {
            format!(
                "The rules range further than six frames on one side reach. Left out: {beyond}. Move the base or take wider \
                 steps."
            )
        } else {
            format!("The frames cover your own results and leave out {beyond}.")
        });
    }
    if (start.range.1 - Stops::constant(1.0)).is_more() {
        out.push(
            "More light does not mend lost range, fog or casts; on fogged film it makes the negative denser still."
                .to_owned(),
        );
    }
    if question.storage == Storage::Hot {
        out.push("Kept in a hot place: the rules by age say too little here.".to_owned());
    }
    if question.box_speed.as_box().iso() > 780.0 {
        out.push(
            "Fast film loses most, and fogs even when frozen: the rules say too little here."
                .to_owned(),
        );
    }
    if question.film == Film::Reversal {
        out.push("Slide film cannot be mended later: keep the frame with less light.".to_owned());
    }
    if start.budget.scenes == 0 {
        out.push("The bracket does not fit on this roll even once. Take fewer frames.".to_owned());
    }
    out.push(
        "The bracket tells how much light this film wants in the light of its scenes. It says nothing of another batch or \
         another storage."
            .to_owned(),
    );
    out
}
