//! What a film needs at long times, as it was counted when a scene was shot: kept with the light, so that the log says what
//! was to be counted for each frame, and what a time that was really counted amounts to.

use exposure::{Counted, LongRule, LongTimes, Mark, Steps, words};
use serde::{Serialize, Serializer, ser::SerializeStruct};

use crate::{
    Error, LONGEST_CORRECTION_NAME, Time,
    json::Value,
    read::{Read, object, take},
    text,
};

/// A film's rule of long times, and whose figures it is.
///
/// ```
/// use book::{Reciprocity, Time};
/// use exposure::LongTimes;
/// let film = Reciprocity::new("Meadow 100 (invented)", LongTimes::power(1.31, 1.0)?)?;
/// // Worked case: a metered 16 s needs 37.8 s.
/// assert_eq!(film.to_count(Time::parse("16s, by hand")?), "37.8 s");
/// assert_eq!(film.to_count(Time::parse("1/125")?), "");
/// # Ok::<(), book::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Reciprocity {
    /// Whose figures these are; at most 60 characters.
    name: String,
    times: LongTimes,
}

impl Reciprocity {
    /// Takes a rule with its name. Figures are kept to nine decimals, twelve below one.
    ///
    /// # Errors
    ///
    /// If the name is longer than 60 characters.
    pub fn new(name: &str, times: LongTimes) -> Result<Self, Error> {
        if name.chars().count() > LONGEST_CORRECTION_NAME {
            return Err(Error::new(format!(
                "the name of a film's rule has at most {LONGEST_CORRECTION_NAME} characters"
            )));
        }
        let made = Self {
            name: name.to_owned(),
            times,
        };
        // As a record writes it, so that a reload changes nothing.
        Ok(made.texts().into_rule(&made.name).unwrap_or(made))
    }

    /// Whose figures these are.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What a metered time comes to.
    #[must_use]
    pub fn count(&self, metered: Time) -> Counted {
        self.times.count(metered.mark().gives())
    }

    /// How long to count for a metered time, in words: `37.8 s`; empty where nothing more is needed, or no hand counts it.
    #[must_use]
    pub fn to_count(&self, metered: Time) -> String {
        let counted = self.count(metered);
        if counted.more.is_more() && counted.by_hand() {
            let guess = if counted.guess {
                ", beyond the table"
            } else {
                ""
            };
            format!("{}{guess}", words::to_count(counted.needed))
        } else {
            String::new()
        }
    }

    /// The metered time that a time comes to for which the shutter was really open.
    #[must_use]
    pub(crate) fn amounts_to(&self, open: Mark) -> Mark {
        let seconds = self.times.amounts_to(open.gives());
        // OK to fall back: it is no longer than the time itself, and no shorter than the threshold or that.
        Mark::new(open.control(), seconds, Steps::Engraved).unwrap_or(open)
    }

    /// In words: `long times by Meadow 100 (invented), exponent 1.31 beyond 1 s`.
    #[must_use]
    pub fn words(&self) -> String {
        format!(
            "long times by {}, {}",
            self.name,
            words::long_times(&self.times)
        )
    }

    fn texts(&self) -> Texts {
        let (rule, figures) = match self.times.rule() {
            LongRule::Power { exponent } => ("power", vec![*exponent]),
            LongRule::Added { share, exponent } => ("added", vec![*share, *exponent]),
            LongRule::Table(rows) => ("table", rows.concat()),
        };
        Texts {
            rule: rule.to_owned(),
            up_to: text::exact(self.times.threshold()),
            figures: figures.into_iter().map(text::exact).collect(),
        }
    }
}

/// A rule as records write it.
struct Texts {
    rule: String,
    up_to: String,
    figures: Vec<String>,
}

impl Texts {
    fn into_rule(self, name: &str) -> Option<Reciprocity> {
        // Nought is a share that adds nothing.
        let number = |text: &String| match text.as_str() {
            "0" => Some(0.0),
            text => words::plain_decimal(text),
        };
        let figures: Vec<f64> = self.figures.iter().map(number).collect::<Option<_>>()?;
        let rule = match (self.rule.as_str(), figures.as_slice()) {
            ("power", &[exponent]) => LongRule::Power { exponent },
            ("added", &[share, exponent]) => LongRule::Added { share, exponent },
            ("table", rows) if rows.len() % 2 == 0 => {
                LongRule::Table(rows.chunks(2).map(|row| [row[0], row[1]]).collect())
            }
            _ => return None,
        };
        Some(Reciprocity {
            name: name.to_owned(),
            times: LongTimes::new(rule, number(&self.up_to)?).ok()?,
        })
    }
}

impl Serialize for Reciprocity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let texts = self.texts();
        let mut out = serializer.serialize_struct("Reciprocity", 4)?;
        out.serialize_field("name", &self.name)?;
        out.serialize_field("rule", &texts.rule)?;
        out.serialize_field("up_to", &texts.up_to)?;
        out.serialize_field("figures", &texts.figures)?;
        out.end()
    }
}

impl Read for Reciprocity {
    fn read(value: Value) -> Option<Self> {
        let mut object = object(value)?;
        let name: String = take(&mut object, "name")?;
        let texts = Texts {
            rule: take(&mut object, "rule")?,
            up_to: take(&mut object, "up_to")?,
            figures: take(&mut object, "figures")?,
        };
        let fits = object.is_empty() && name.chars().count() <= LONGEST_CORRECTION_NAME;
        texts.into_rule(&name).filter(|_| fits)
    }
}
