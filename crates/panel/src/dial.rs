//! Dial geometry: from the points of a gesture to marks.
//!
//! More light is on the right on every dial: the brighter marks stand clockwise of a fixed index at the top. The face turns
//! with the finger, so that a turn anticlockwise brings them under the index.

use crate::view::Face;

/// A point on the screen in CSS pixels, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl Point {
    /// Degrees clockwise from the top, as seen from a centre.
    fn degrees_around(self, centre: Self) -> f64 {
        let (x, y) = (self.x - centre.x, self.y - centre.y);
        x.atan2(-y).to_degrees()
    }

    fn distance(self, other: Self) -> f64 {
        ((self.x - other.x).powi(2) + (self.y - other.y).powi(2)).sqrt()
    }
}

/// Nearer to the centre than this many pixels a pointer has no steady angle.
const DEAD_CENTRE: f64 = 16.0;
/// A pointer that stays within this many pixels of where it came down has tapped, not turned.
const TAP: f64 = 6.0;
/// How far past the middle between two marks a turn goes before it clicks over, in parts of their distance.
const HYSTERESIS: f64 = 0.1;
/// How far, in stops, a face gives way beyond its last mark.
const GIVE: f64 = 0.2;

/// One gesture on one dial, from pointer down to pointer up.
///
/// The angle is accumulated from the shortest signed differences, so that a turn may go round more than once, and it is
/// never cut at the ends of the scale: the finger and the face meet again where they parted.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    places: Vec<f64>,
    mark: usize,
    place: f64,
    centre: Point,
    began: Point,
    last_degrees: f64,
    turned: f64,
    degrees_per_stop: f64,
    is_tap: bool,
}

/// What the last point of a gesture did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Where the face stands under the finger, in stops (for drawing; need not be a mark).
    pub place: f64,
    /// The mark's index, only when a detent was crossed.
    pub mark: Option<usize>,
}

impl Turn {
    /// Starts a gesture on a face that stands at `place` stops, with `degrees_per_stop` of rotation.
    ///
    /// `None` where the pointer is too near the centre to have an angle, or the face has no marks.
    #[must_use]
    pub fn start(
        face: &Face,
        place: f64,
        centre: Point,
        pointer: Point,
        degrees_per_stop: f64,
    ) -> Option<Self> {
        let far_enough = pointer.distance(centre) >= DEAD_CENTRE && degrees_per_stop > 0.0;
        let places: Vec<f64> = face.notches.iter().map(|notch| notch.place).collect();
        let mark = nearest(&places, place)?;
        far_enough.then(|| Self {
            places,
            mark,
            place,
            centre,
            began: pointer,
            last_degrees: pointer.degrees_around(centre),
            turned: 0.0,
            degrees_per_stop,
            is_tap: true,
        })
    }

    /// The pointer moved.
    pub fn moved(&mut self, pointer: Point) -> Moved {
        if pointer.distance(self.began) > TAP {
            self.is_tap = false;
        }
        if pointer.distance(self.centre) >= DEAD_CENTRE {
            let degrees = pointer.degrees_around(self.centre);
            self.turned += shortest(degrees - self.last_degrees);
            self.last_degrees = degrees;
        }
        let wanted = self.place - self.turned / self.degrees_per_stop;
        let before = self.mark;
        if !self.is_tap {
            self.click_to(wanted);
        }
        let (first, last) = (self.places[0], self.places[self.places.len() - 1]);
        Moved {
            place: wanted.clamp(first - GIVE, last + GIVE),
            mark: (self.mark != before).then_some(self.mark),
        }
    }

    /// The pointer was lifted: where it hardly moved this is a tap, and the nearest mark under it is meant.
    #[must_use]
    pub fn tapped(&self, pointer: Point) -> Option<usize> {
        let clockwise = pointer.degrees_around(self.centre);
        if self.is_tap {
            nearest(&self.places, self.place + clockwise / self.degrees_per_stop)
        } else {
            None
        }
    }

    /// The mark that the turn stands on.
    #[must_use]
    pub const fn mark(&self) -> usize {
        self.mark
    }

    fn click_to(&mut self, wanted: f64) {
        loop {
            let here = self.places[self.mark];
            let past = |neighbour: f64| (wanted - here) / (neighbour - here) > 0.5 + HYSTERESIS;
            let up = self
                .places
                .get(self.mark + 1)
                .copied()
                .filter(|next| past(*next));
            let down = self
                .mark
                .checked_sub(1)
                .map(|i| self.places[i])
                .filter(|next| past(*next));
            match (up, down) {
                (Some(_), _) => self.mark += 1,
                (None, Some(_)) => self.mark -= 1,
                (None, None) => return,
            }
        }
    }
}

/// The same angle between −180 and 180 degrees.
fn shortest(degrees: f64) -> f64 {
    (degrees + 180.0).rem_euclid(360.0) - 180.0
}

fn nearest(places: &[f64], place: f64) -> Option<usize> {
    (0..places.len()).min_by(|a, b| {
        (places[*a] - place)
            .abs()
            .total_cmp(&(places[*b] - place).abs())
    })
}
