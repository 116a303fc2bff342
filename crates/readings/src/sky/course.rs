//! A whole day by a clock on the wall: where sun and moon stand, and what light they give, as points that can be drawn.

use exposure::{Axis, Ev, Stops, light::Constants, words};

use super::{
    Cover, Facing, Moment, Moon, Place, Standing,
    clock::{Lead, Shown, span, time_of_day},
    failed, height_in_words,
    path::Path,
};
use crate::Error;

/// What a day is drawn on: the hours that the clock shows.
pub const HOURS: Axis = Axis::new(0.0, 24.0);

/// What heights are drawn on, in degrees: from night, over the three twilights and the horizon, to the zenith.
pub const HEIGHTS: Axis = Axis::new(-24.0, 90.0);

/// From one point to the next, in minutes.
const STEP: u16 = 10;

/// How high the middle of the moon stands, as it is seen from a place, when its upper rim is on a flat horizon: 34 minutes of
/// arc of refraction and its half width of 16 below it, as for the sun.
const RIM: f64 = -50.0 / 60.0;

/// One point of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// What the clock shows, in hours from the day's beginning.
    pub hour: f64,
    /// The moment.
    pub moment: Moment,
    /// Where sun and moon stand.
    pub standing: Standing,
}

/// A day by a clock, from 00:00 to 24:00.
///
/// An hour that the clock jumps over has no points; of one that comes twice the first is taken, as everywhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Every ten minutes of the clock.
    pub points: Vec<Point>,
    /// When the moon rises and sets on this day, in a line.
    pub moon: String,
    /// What is to be said of a clock that is put that day; empty where it is not.
    pub remark: String,
}

impl Course {
    /// The day that a clock shows.
    ///
    /// ```
    /// use readings::sky::{Course, Place, clock::Shown};
    /// let day = Shown::parse("2026-06-21", "12:00")?;
    /// let course = Course::new(Place::new(47.0, 8.0)?, day, &|_| 7200.0)?;
    /// assert_eq!(course.points.len(), 145);
    /// let noon = course.points[81];
    /// assert!(noon.hour == 13.5 && (66.0..66.5).contains(&noon.standing.sun_height));
    /// # Ok::<(), readings::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// A sentence, for a day beyond the years that are worked out.
    pub fn new(place: Place, day: Shown, lead: Lead<'_>) -> Result<Self, Error> {
        let noon = day.noon().moment(lead)?.moment;
        let shown: Vec<(u16, Moment)> = (0..=1440)
            .step_by(usize::from(STEP))
            // A time that the clock never shows, or the first minute of a year too far, is left out.
            .filter_map(|minutes| Some((minutes, day.of_day(minutes).moment(lead).ok()?.moment)))
            .collect();
        let ends = [shown.first(), shown.last()].map(|end| end.map_or(noon, |(_, moment)| *moment));
        let path = Path::new(ends[0].julian(), ends[1].julian(), noon.delta_t()).map_err(failed)?;
        let point = |(minutes, moment): (u16, Moment)| -> Result<Point, Error> {
            let height = path.height(moment.julian(), place.location());
            Ok(Point {
                hour: f64::from(minutes) / 60.0,
                moment,
                standing: Standing {
                    sun_height: height.map_err(failed)?,
                    moon: Moon::new(place, moment),
                },
            })
        };
        let points = shown
            .into_iter()
            .map(point)
            .collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            moon: moon_line(place, &points, day, lead),
            remark: put(&points, lead),
            points,
        })
    }

    /// The light of each point as EV at ISO 100, by hours.
    #[must_use]
    pub fn lights(&self, cover: Cover, facing: Facing, constants: &Constants) -> Vec<[f64; 2]> {
        let light = |point: &Point| {
            let light = point.standing.light(cover, facing, constants).ok()?;
            Some([point.hour, light.get()])
        };
        self.points.iter().filter_map(light).collect()
    }

    /// The height of the sun of each point, by hours.
    #[must_use]
    pub fn suns(&self) -> Vec<[f64; 2]> {
        let height = |point: &Point| [point.hour, point.standing.sun_height];
        self.points.iter().map(height).collect()
    }

    /// The height of the moon of each point, by hours.
    #[must_use]
    pub fn moons(&self) -> Vec<[f64; 2]> {
        let height = |point: &Point| [point.hour, point.standing.moon.height];
        self.points.iter().map(height).collect()
    }

    /// What a drawing of it shows: `The sun stands highest about 13:30, 66° high; the moon about 20:10, 22° high.`
    #[must_use]
    pub fn in_words(&self) -> String {
        let highest = |heights: &[[f64; 2]]| {
            let first = heights.first().copied().unwrap_or_default();
            let [hour, height] = heights
                .iter()
                .fold(first, |best, at| if at[1] > best[1] { *at } else { best });
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "an hour of the day"
            )]
            let minutes = (hour * 60.0).round() as u16;
            format!(
                "about {}, {}",
                time_of_day(minutes),
                height_in_words(height)
            )
        };
        let said = format!(
            "The sun stands highest {}; the moon {}.",
            highest(&self.suns()),
            highest(&self.moons())
        );
        if self.remark.is_empty() {
            said
        } else {
            format!("{said} {}", self.remark)
        }
    }
}

/// What is to be said of a clock that is put forward or back in the course of the day.
fn put(points: &[Point], lead: Lead<'_>) -> String {
    let (Some(first), Some(last)) = (points.first(), points.last()) else {
        return String::new();
    };
    let by = lead(last.moment.seconds()) - lead(first.moment.seconds());
    if by.abs() < 30.0 {
        String::new()
    } else if by > 0.0 {
        format!("The clock is put forward by {} that day.", span(by))
    } else {
        format!(
            "The clock is put back by {} that day: of what it shows twice the first is drawn.",
            span(by)
        )
    }
}

/// When the moon's upper rim passes the horizon: `Moon (its upper rim): sets 05:02, rises 18:20.`
fn moon_line(place: Place, points: &[Point], beside: Shown, lead: Lead<'_>) -> String {
    let over = |moon: &Moon| moon.height > RIM;
    let mut said = Vec::new();
    for pair in points.windows(2) {
        let (up_before, up_after) = (over(&pair[0].standing.moon), over(&pair[1].standing.moon));
        if up_before == up_after {
            continue;
        }
        let (mut from, mut to) = (pair[0].moment.seconds(), pair[1].moment.seconds());
        while to - from > 1.0 {
            let middle = f64::midpoint(from, to);
            let is_up = Moment::new(middle).is_ok_and(|at| over(&Moon::new(place, at)));
            if is_up == up_before {
                from = middle;
            } else {
                to = middle;
            }
        }
        let passes = if up_after { "rises" } else { "sets" };
        let time = Shown::at(to, lead).time_beside(beside);
        said.push(format!("{passes} {time}"));
    }
    if said.is_empty() {
        let stays = match points.first() {
            Some(first) if over(&first.standing.moon) => "stays up all day",
            _ => "does not rise that day",
        };
        said.push(stays.to_owned());
    }
    format!("Moon (its upper rim): {}.", said.join(", "))
}

/// How much more light there is: a higher EV of the light is more of it.
const fn brighter(before: Ev, then: Ev) -> Stops {
    before.light_relative_to(then)
}

/// How the light differs from one time to another: `15:35 is 2 h after 13:35: about 1 stop less light.`
#[must_use]
pub fn change_in_words(from: (Shown, Moment, Ev), to: (Shown, Moment, Ev)) -> String {
    let apart = to.1.seconds() - from.1.seconds();
    let side = if apart < 0.0 { "before" } else { "after" };
    format!(
        "{} is {} {side} {}: {}.",
        to.0.time_beside(from.0),
        span(apart),
        from.0.time(),
        words::difference(brighter(from.2, to.2))
    )
}

/// What the light does in the next two hours: `In 1 h ⅓ stop less light, in 2 h about 1 stop less light.`
///
/// # Errors
///
/// A sentence, at the very end of the years that are worked out.
pub fn coming(
    place: Place,
    moment: Moment,
    cover: Cover,
    facing: Facing,
    constants: &Constants,
) -> Result<String, Error> {
    let light = |hours: f64| {
        let at = Moment::new(moment.seconds() + hours * 3600.0)?;
        Standing::new(place, at)?.light(cover, facing, constants)
    };
    let now = light(0.0)?;
    let change = |then: Ev| brighter(now, then);
    Ok(format!(
        "In 1 h {}, in 2 h {}.",
        words::difference(change(light(1.0)?)),
        words::difference(change(light(2.0)?))
    ))
}
