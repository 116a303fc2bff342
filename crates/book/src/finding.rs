//! Ratings that were found, as records keep them, and the person's own values of rules.

use std::collections::BTreeMap;

use exposure::{Doubt, Stops, words};
use serde::Serialize;

use crate::{Date, Group, Speed, roll::doubt_of, text, verdict};

/// What one scene of one roll says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Evidence {
    /// Id of the roll.
    pub roll: String,
    /// Number of the scene.
    pub scene: u16,
    /// Name of the scene.
    pub name: String,
    /// The camera that set the exposures.
    pub camera: String,
    /// Light of the scene, tenths of EV at ISO 100.
    pub light_tenths: i32,
    /// How far that light may be off, and every offset with it, thousandths of a stop; none where it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub give_or_take_thousandths: Option<u16>,
    /// The liked offset from box speed, thousandths of a stop; positive is more light.
    pub liked_thousandths: i32,
    /// Least and most light of the frames that were usable or liked, thousandths of a stop from box speed.
    pub usable_thousandths: (i32, i32),
    /// Least and most light of the frames that were judged, thousandths of a stop from box speed.
    pub tried_thousandths: (i32, i32),
    /// Least and most light of the frames that were liked, thousandths of a stop from box speed; none where it was one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub liked_range_thousandths: Option<(i32, i32)>,
}

/// A value that is known, or only the limits of it: what it is at least and at most, as far as either is known. In stops from
/// box speed; positive is more light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// It is at least so much.
    pub least: Option<Stops>,
    /// It is at most so much.
    pub most: Option<Stops>,
}

impl Limits {
    /// Whether it is known, and not only a limit of it.
    #[must_use]
    pub fn is_found(&self) -> bool {
        self.least.is_some() && self.least == self.most
    }

    /// The median of what lies between these limits: that of the lower ones and that of the upper ones, for a median never
    /// falls where a value rises.
    fn median(all: &[Self]) -> Self {
        let ends = |of: fn(&Self) -> Option<Stops>, open: f64| {
            let mut ends: Vec<f64> = all
                .iter()
                .map(|limits| of(limits).map_or(open, Stops::get))
                .collect();
            text::rising(&mut ends);
            text::median(&ends).and_then(|middle| Stops::new(middle).ok())
        };
        Self {
            least: ends(|limits| limits.least, f64::NEG_INFINITY),
            most: ends(|limits| limits.most, f64::INFINITY),
        }
    }

    /// An offset of that worth in words: `at least 1 stop more light than box speed`. A known one is said as it is.
    #[must_use]
    pub fn words(&self, offset: Stops) -> String {
        let side = |least: bool| {
            // At least so much more light is at most so much less.
            let most = least == offset.is_less() && !offset.is_even();
            let word = if most { "at most" } else { "at least" };
            if offset.is_even() {
                let word = if least { "at least" } else { "at most" };
                format!("{word} the light of box speed")
            } else {
                format!("{word} {} than box speed", words::difference(offset))
            }
        };
        match (self.least, self.most) {
            (Some(least), Some(most)) if least != most => format!(
                "between {} and {}, counted from box speed",
                text::lean(least, "box speed"),
                text::lean(most, "box speed")
            ),
            (Some(_), Some(_)) if offset.is_even() => "box speed".to_owned(),
            (Some(_), Some(_)) => format!("{} than box speed", words::difference(offset)),
            (Some(_), None) => side(true),
            (None, Some(_)) => side(false),
            (None, None) if offset.is_even() => "about box speed, or more or less light".to_owned(),
            (None, None) => format!(
                "{} than box speed, or anything beside it",
                words::difference(offset)
            ),
        }
    }

    /// A rating of that worth in words: `EI 100 or lower`.
    #[must_use]
    pub fn rating_words(&self, rating: Speed) -> String {
        let ei = rating.rating_words();
        match (self.least, self.most) {
            (Some(least), Some(most)) if least == most => ei,
            (Some(_), None) => format!("{ei} or lower"),
            (None, Some(_)) => format!("{ei} or higher"),
            _ => format!("{ei} or near it"),
        }
    }
}

impl Evidence {
    /// The liked offset from box speed; positive is more light.
    #[must_use]
    pub fn liked(&self) -> Stops {
        text::from_thousandths(self.liked_thousandths)
    }

    /// What the liked offset is worth: where the frame at an end of the bracket was liked, a better one may lie beyond it, so
    /// that the offset is a limit.
    #[must_use]
    pub fn limits(&self) -> Limits {
        // A frame within a twelfth of a stop of the end is the end.
        let near = 83;
        let liked = (self.liked_thousandths, self.liked_thousandths);
        let (least, most) = self.liked_range_thousandths.unwrap_or(liked);
        let known = Some(self.liked());
        Limits {
            least: known.filter(|_| least.saturating_sub(self.tried_thousandths.0) > near),
            most: known.filter(|_| self.tried_thousandths.1.saturating_sub(most) > near),
        }
    }

    /// Whether frames to both sides were judged and liked less, so that the offset is no mere limit.
    #[must_use]
    pub fn is_found(&self) -> bool {
        self.limits().is_found()
    }

    /// The evidence in words, `roll` being the name of the roll: `Harbour 1, scene 1 (pier): liked at least 1 stop more light
    /// than box speed; light about EV 12 at ISO 100.`
    #[must_use]
    pub fn words(&self, roll: &str) -> String {
        let name = match self.name.as_str() {
            "" => String::new(),
            name => format!(" ({name})"),
        };
        format!(
            "{roll}, scene {}{name}: liked {}; light about EV {} at ISO 100{}.",
            self.scene,
            self.limits().words(self.liked()),
            words::decimal(f64::from(self.light_tenths) / 10.0, 1),
            self.doubt().map_or_else(String::new, |doubt| format!(
                ", {}",
                words::give_or_take(doubt)
            ))
        )
    }

    /// How far the light may be off, and every offset with it; none where it is not known.
    #[must_use]
    pub fn doubt(&self) -> Option<Doubt> {
        doubt_of(self.give_or_take_thousandths)
    }
}

/// What a rating that rests on this evidence is worth.
pub(crate) fn limits_of(evidence: &[Evidence]) -> Limits {
    let all: Vec<Limits> = evidence.iter().map(Evidence::limits).collect();
    Limits::median(&all)
}

/// A rating that was found for a group, with what it rests on. It belongs to this group and to no other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Id, unique among findings.
    pub id: String,
    /// The group.
    pub group: Group,
    /// When the person settled on it.
    pub on: Date,
    /// Box speed.
    pub box_speed: Speed,
    /// The suggested rating.
    pub rating: Speed,
    /// Median of the liked offsets from box speed, thousandths of a stop; positive is more light.
    pub median_thousandths: i32,
    /// Least and most light among the liked offsets, thousandths of a stop from box speed.
    pub liked_thousandths: (i32, i32),
    /// What was usable in every scene, thousandths of a stop from box speed; none where no offset was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub usable_thousandths: Option<(i32, i32)>,
    /// Whether the scenes agree: what the sentence on certainty was made of.
    pub sure: Sureness,
    /// Scene by scene.
    pub evidence: Vec<Evidence>,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Finding {
    /// What the rating is worth: a limit only, where it rests on ends of brackets that were liked.
    #[must_use]
    pub fn limits(&self) -> Limits {
        limits_of(&self.evidence)
    }

    /// The rating in words: `EI 100`, or `EI 100 or lower` where it is a limit.
    #[must_use]
    pub fn rating_words(&self) -> String {
        self.limits().rating_words(self.rating)
    }

    /// What was usable in every scene, in a sentence that claims no more than was seen; none where no offset was: `Usable so
    /// far on this group, counted from box speed: from 1 stop more light to 3 stops more light, in 2 scenes.`
    #[must_use]
    pub fn usable_words(&self) -> Option<String> {
        let (least, most) = self.usable_thousandths?;
        let range = (text::from_thousandths(least), text::from_thousandths(most));
        let range = verdict::usable_words(&self.evidence, range);
        let scenes = text::counted(self.evidence.len(), "scene");
        let hint = if self.sure == Sureness::Hint {
            ", which is a hint"
        } else {
            ""
        };
        Some(format!(
            "Usable so far on this group, counted from box speed: {range}, in {scenes}{hint}."
        ))
    }

    /// The oldest version of records that can say all of it.
    pub(crate) fn version(&self) -> u32 {
        let newest = |scene: &Evidence| {
            scene.liked_range_thousandths.is_some() || scene.give_or_take_thousandths.is_some()
        };
        if self.evidence.iter().any(newest) {
            3
        } else {
            1
        }
    }
}

/// How sure a rating is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sureness {
    /// One scene, or a mere limit: a hint.
    Hint,
    /// The scenes disagree by more than a stop.
    Split,
    /// Too few scenes to rule out chance, or several in one kind of light, that agree within a stop.
    Fair,
    /// So many scenes in different light agree within a stop that chance is ruled out: six at least.
    Good,
}

/// The person's own values of rules, by the rule's value id. Unit: months, or twelfths of a stop, as the rule says.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Rules {
    /// Value id and value.
    pub own: BTreeMap<String, i32>,
}

impl Rules {
    /// The id of the one record of this kind.
    pub const ID: &'static str = "own";

    /// The person's own value, or the one of the rule.
    #[must_use]
    pub fn value(&self, id: &str, printed: i32) -> i32 {
        self.own.get(id).copied().unwrap_or(printed)
    }
}
