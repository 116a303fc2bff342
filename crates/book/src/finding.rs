//! Ratings that were found, as records keep them, and the person's own values of rules.

use std::collections::BTreeMap;

use exposure::Stops;
use serde::Serialize;

use crate::{Date, Group, Speed, text};

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
    /// The liked offset from box speed, thousandths of a stop; positive is more light.
    pub liked_thousandths: i32,
    /// Least and most light of the frames that were usable or liked, thousandths of a stop from box speed.
    pub usable_thousandths: (i32, i32),
    /// Least and most light of the frames that were judged, thousandths of a stop from box speed.
    pub tried_thousandths: (i32, i32),
}

impl Evidence {
    /// The liked offset from box speed; positive is more light.
    #[must_use]
    pub fn liked(&self) -> Stops {
        text::from_thousandths(self.liked_thousandths)
    }

    /// Whether the liked frame was the one with most light (true) or least light (false) of those judged; none if better
    /// ones could not lie beyond.
    #[must_use]
    pub const fn at_end(&self) -> Option<bool> {
        // A frame within a twelfth of a stop of the end is the end.
        let near = 83;
        if self
            .tried_thousandths
            .1
            .saturating_sub(self.liked_thousandths)
            <= near
        {
            Some(true)
        } else if self
            .liked_thousandths
            .saturating_sub(self.tried_thousandths.0)
            <= near
        {
            Some(false)
        } else {
            None
        }
    }
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

/// How sure a rating is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sureness {
    /// One scene: a hint.
    Hint,
    /// The scenes disagree by more than a stop.
    Split,
    /// Two scenes, or several in one kind of light, that agree within a stop.
    Fair,
    /// Three scenes or more, in different light, that agree within a stop.
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
