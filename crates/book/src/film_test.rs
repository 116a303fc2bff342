//! A film-speed test as a record of its group: the steps as they were read, what was worked out that day, and under which
//! conditions. It belongs to this group and to no other.

use exposure::{Stops, words};
use serde::Serialize;

use crate::{Book, Date, Error, Group, Speed, text};

/// Most steps of a test.
pub const MOST_STEPS: usize = 60;
/// The longest text of the conditions.
pub const LONGEST_CONDITIONS: usize = 300;

/// How the exposures of the steps are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TestBy {
    /// Through a step tablet on one frame.
    Tablet,
    /// Frames at known exposures.
    Frames,
}

/// One step: how much more light it got than a meter gives at the rating that was metered with, and its density.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct TestStep {
    /// Thousandths of a stop more light than metered.
    pub more_thousandths: i32,
    /// Thousandths of density, base plus fog included.
    pub density_thousandths: i32,
}

/// A film-speed test of a group.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FilmTest {
    /// Id, unique among tests.
    pub id: String,
    /// The group.
    pub group: Group,
    /// When it was read.
    pub on: Date,
    /// Box speed.
    pub box_speed: Speed,
    /// The speed that the even surface was metered at.
    pub metered: Speed,
    /// How the exposures are known.
    pub by: TestBy,
    /// Steps in the order in which they were typed.
    pub steps: Vec<TestStep>,
    /// Base plus fog in thousandths, where it was measured on its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fog_thousandths: Option<i32>,
    /// The speed by the 0.10 rule, to a third; none where the steps did not reach.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed: Option<Speed>,
    /// Density over the following 1.30, thousandths; none where the steps did not reach.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contrast_thousandths: Option<i32>,
    /// Developer, time, temperature, and whatever else was so.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub conditions: String,
}

impl FilmTest {
    /// How much more light the speed asks for than box speed; none where no speed was read.
    #[must_use]
    pub fn from_box(&self) -> Option<Stops> {
        let speed = self.speed?;
        Some(self.box_speed.as_box().offset(speed.as_rating()))
    }

    /// What it says, with its contrast and its conditions: `EI 50 by the 0.10 rule, 1 stop more light than box speed; density 0.75
    /// over the following 1.30. Conditions: own developer, 9 min.`
    #[must_use]
    pub fn words(&self) -> String {
        let says = match (self.speed, self.from_box()) {
            (Some(speed), Some(from_box)) => format!(
                "{} by the 0.10 rule, {}",
                speed.rating_words(),
                if from_box.is_even() {
                    "the light of box speed".to_owned()
                } else {
                    format!("{} than box speed", words::difference(from_box))
                }
            ),
            _ => "no speed could be read off it".to_owned(),
        };
        let contrast = self.contrast_thousandths.map_or_else(String::new, |over| {
            format!(
                "; density {} over the following 1.30",
                words::decimal(f64::from(over) / 1000.0, 2)
            )
        });
        let conditions = match self.conditions.trim() {
            "" => "Conditions were not noted.".to_owned(),
            conditions => format!("Conditions: {}.", conditions.trim_end_matches('.')),
        };
        format!("{says}{contrast}. {conditions}")
    }

    /// Whether it can be kept, so that it can be read again.
    pub(crate) fn check(&self) -> Result<(), Error> {
        let density = |thousandths: i32| (0..=6000).contains(&thousandths);
        if self.steps.len() > MOST_STEPS {
            return Err(Error::new(format!(
                "{MOST_STEPS} steps are the most that are kept"
            )));
        }
        let sound = self.steps.iter().all(|step| {
            density(step.density_thousandths) && (-30_000..=30_000).contains(&step.more_thousandths)
        });
        let numbers = self.fog_thousandths.is_none_or(density)
            && self
                .contrast_thousandths
                .is_none_or(|over| (-6000..=6000).contains(&over));
        if !sound || !numbers {
            return Err(Error::new(
                "densities lie between 0 and 6, and exposures within 30 stops",
            ));
        }
        if self.conditions.chars().count() > LONGEST_CONDITIONS {
            return Err(Error::new(format!(
                "the conditions may have {LONGEST_CONDITIONS} letters"
            )));
        }
        Ok(())
    }
}

/// The tests of a group, oldest first: the only ones that hold for it.
#[must_use]
pub fn tests_of<'a>(book: &'a Book, group: &Group) -> Vec<&'a FilmTest> {
    let mut out: Vec<&FilmTest> = book.tests().filter(|test| test.group == *group).collect();
    // Tests come in the order of their ids, and stay so where they are of one day.
    text::order(&mut out, |a, b| a.on < b.on);
    out
}
