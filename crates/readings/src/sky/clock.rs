//! What a clock on the wall shows, and which moment that is: the calendar's months, and the hours by which a clock is put
//! forward and back.
//!
//! A clock is known by its lead on UTC at a moment, in seconds; the page has it from the browser, or from a person.

use crate::{Error, typed};

use super::{DAY, Moment, Place};

/// How far a clock is ahead of UTC at a moment, both in seconds.
pub type Lead<'a> = &'a dyn Fn(f64) -> f64;

/// A day of the calendar that is in use since 1582, also before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day {
    year: i32,
    month: u8,
    day: u8,
}

/// A day and a time of it, to the minute, as a clock shows them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown {
    day: Day,
    hour: u8,
    minute: u8,
}

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

const fn days_of(year: i32, month: u8) -> u8 {
    match month {
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Whole numbers with one sign between them.
fn numbers<const N: usize>(text: &str, between: char) -> Option<[u16; N]> {
    let mut parts = text.trim().split(between);
    let mut found = [0; N];
    for number in &mut found {
        let part = parts.next()?.trim();
        let digits = !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
        *number = digits.then(|| part.parse().ok())??;
    }
    parts.next().is_none().then_some(found)
}

impl Day {
    /// Reads `2026-11-25`.
    ///
    /// # Errors
    ///
    /// A sentence, for another form and for a day that the calendar does not have.
    pub fn parse(text: &str) -> Result<Self, Error> {
        let unknown = || Error::new("A day is typed as year, month and day, such as 2026-11-25.");
        let [year, month, day] = numbers(text, '-').ok_or_else(unknown)?;
        if year == 0 || year > 9999 {
            return Err(Error::new(
                "A year has four figures, such as 2026, or 0987 for one of the first thousand.",
            ));
        }
        let year = i32::from(year);
        let Some(name) = usize::from(month)
            .checked_sub(1)
            .and_then(|at| MONTHS.get(at))
        else {
            return Err(Error::new(format!(
                "There is no month {month}: the months are 01 to 12."
            )));
        };
        // OK to fall back on none: the month is one of twelve.
        let month = u8::try_from(month).unwrap_or_default();
        let last = days_of(year, month);
        match u8::try_from(day) {
            Ok(day @ 1..) if day <= last => Ok(Self { year, month, day }),
            _ => Err(Error::new(format!(
                "{name} {year} has {last} days, so there is no {day} {name}."
            ))),
        }
    }

    /// Days since 1 January 1970 (H. Hinnant, `days_from_civil`, public domain).
    fn since_1970(self) -> i32 {
        let year = if self.month <= 2 {
            self.year - 1
        } else {
            self.year
        };
        let era = year.div_euclid(400);
        let of_era = year - era * 400;
        let month = i32::from(self.month);
        let of_year =
            (153 * (month + if month > 2 { -3 } else { 9 }) + 2) / 5 + i32::from(self.day) - 1;
        era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
    }

    /// The same backwards (`civil_from_days`).
    fn after_1970(days: i32) -> Self {
        let days = days + 719_468;
        let era = days.div_euclid(146_097);
        let of_era = days - era * 146_097;
        let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let month = (5 * of_year + 2) / 153;
        let day = of_year - (153 * month + 2) / 5 + 1;
        let month = if month < 10 { month + 3 } else { month - 9 };
        let year = year + era * 400 + i32::from(month <= 2);
        // OK to fall back on the first: both are in range by what they are the rest of.
        Self {
            year,
            month: u8::try_from(month).unwrap_or(1),
            day: u8::try_from(day).unwrap_or(1),
        }
    }

    /// As it is typed: `2026-11-25`.
    fn text(self) -> String {
        format!("{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// Which moment it is when a clock shows something.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// The moment.
    pub moment: Moment,
    /// What is to be said about it: a time that comes twice; empty where nothing is.
    pub remark: String,
}

impl Shown {
    /// Reads a day such as `2026-11-25` and a time such as `13:35`.
    ///
    /// # Errors
    ///
    /// A sentence, for another form, and for a day that the calendar does not have.
    pub fn parse(day: &str, time: &str) -> Result<Self, Error> {
        let day = Day::parse(day)?;
        match numbers(time, ':') {
            Some([hour @ 0..=23, minute @ 0..=59]) => Ok(Self {
                day,
                // OK to fall back on nought: both were just looked at.
                hour: u8::try_from(hour).unwrap_or_default(),
                minute: u8::try_from(minute).unwrap_or_default(),
            }),
            _ => Err(Error::new(
                "A time is typed as hours and minutes from 00:00 to 23:59, such as 13:35.",
            )),
        }
    }

    /// What a clock shows at a moment, to the nearest minute.
    #[must_use]
    pub fn at(seconds: f64, lead: Lead<'_>) -> Self {
        let minutes = ((seconds + lead(seconds)) / 60.0).round();
        #[expect(
            clippy::cast_possible_truncation,
            reason = "a moment lies within some thousand years"
        )]
        let minutes = minutes as i64;
        let (days, of_day) = (minutes.div_euclid(1440), minutes.rem_euclid(1440));
        let small = |number: i64| u8::try_from(number).unwrap_or_default();
        Self {
            // OK to fall back on the first: some thousand years are less than two million days.
            day: Day::after_1970(i32::try_from(days).unwrap_or_default()),
            hour: small(of_day / 60),
            minute: small(of_day % 60),
        }
    }

    /// Noon of the same day.
    #[must_use]
    pub const fn noon(self) -> Self {
        Self {
            day: self.day,
            hour: 12,
            minute: 0,
        }
    }

    /// So many minutes after the day's first, up to the first minute of the next.
    #[must_use]
    pub fn of_day(self, minutes: u16) -> Self {
        let small = |number: u16| u8::try_from(number).unwrap_or_default();
        let days = i32::from(minutes / 1440);
        Self {
            day: Day::after_1970(self.day.since_1970() + days),
            hour: small(minutes % 1440 / 60),
            minute: small(minutes % 60),
        }
    }

    /// Minutes after the day's first.
    #[must_use]
    pub fn minutes(self) -> u16 {
        u16::from(self.hour) * 60 + u16::from(self.minute)
    }

    /// The same figures as if the clock showed UTC, in seconds.
    fn as_utc(self) -> f64 {
        f64::from(self.day.since_1970()) * DAY
            + f64::from(self.hour) * 3600.0
            + f64::from(self.minute) * 60.0
    }

    /// The time of the day: `05:34`.
    #[must_use]
    pub fn time(self) -> String {
        time_of_day(self.minutes())
    }

    /// The time, with what there is to say of its day beside another: `00:35 the day after`.
    #[must_use]
    pub fn time_beside(self, other: Self) -> String {
        let time = self.time();
        match self.day.since_1970() - other.day.since_1970() {
            0 => time,
            1 => format!("{time} the day after"),
            -1 => format!("{time} the day before"),
            _ => format!("{time} on {}", self.day.text()),
        }
    }

    /// Which moment it is when a clock shows this.
    ///
    /// A time that comes twice, when a clock is put back, is taken for its first time, and that is said.
    ///
    /// # Errors
    ///
    /// A sentence, for a time that a clock jumps over when it is put forward, and for a year that is out of range.
    pub fn moment(self, lead: Lead<'_>) -> Result<Known, Error> {
        let shown = self.as_utc();
        // A clock is not put twice within two days; what it leads by the day before and the day after is all there can be.
        let (before, after) = (lead(shown - DAY), lead(shown + DAY));
        let is = |by: f64| (lead(shown - by) - by).abs() < 0.5;
        match (is(before), is(after)) {
            (true, true) if before > after => Ok(Known {
                moment: Moment::new(shown - before)?,
                remark: format!(
                    "The clock shows {} twice that day, for it is put back by {}: the first time is taken.",
                    self.time(),
                    span(before - after)
                ),
            }),
            (true, _) => Ok(Known {
                moment: Moment::new(shown - before)?,
                remark: String::new(),
            }),
            (false, true) => Ok(Known {
                moment: Moment::new(shown - after)?,
                remark: String::new(),
            }),
            (false, false) => Err(self.jumped(lead, before, after)),
        }
    }

    /// Why a clock never shows this.
    fn jumped(self, lead: Lead<'_>, before: f64, after: f64) -> Error {
        // When it is put forward, to the second: between the two moments that could be meant.
        let (mut low, mut high) = (self.as_utc() - after, self.as_utc() - before);
        while high - low > 1.0 {
            let middle = low.midpoint(high);
            if (lead(middle) - before).abs() < 0.5 {
                low = middle;
            } else {
                high = middle;
            }
        }
        let (from, to) = (Self::at(high, &|_| before), Self::at(high, &|_| after));
        Error::new(format!(
            "The clock never shows {} on {}: it is put forward from {} to {}.",
            self.time(),
            self.day.text(),
            from.time_beside(self),
            to.time_beside(self)
        ))
    }
}

/// So many minutes after the day's first, as they are typed: `05:34`; never more than the day has.
#[must_use]
pub fn time_of_day(minutes: u16) -> String {
    let minutes = minutes.min(1439);
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

/// A stretch of time in words: `1 h`, `30 min`, `5 h 45 min`.
pub(super) fn span(seconds: f64) -> String {
    let minutes = (seconds.abs() / 60.0).round();
    let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    let number = |number| exposure::words::decimal(number, 0);
    if hours < 1.0 {
        format!("{} min", number(rest))
    } else if rest < 1.0 {
        format!("{} h", number(hours))
    } else {
        format!("{} h {} min", number(hours), number(rest))
    }
}

/// How far a clock is ahead of UTC, in words.
#[must_use]
pub fn lead_in_words(lead: f64) -> String {
    if lead.abs() < 30.0 {
        "the same as UTC".to_owned()
    } else if lead > 0.0 {
        format!("{} ahead of UTC", span(lead))
    } else {
        format!("{} behind UTC", span(lead))
    }
}

/// What is to be asked where a clock cannot well be the one at a place; nothing else.
///
/// Clocks keep within three and a half hours of the mean sun of their place (common practice, no source): the west of China
/// three, the west of Alaska in summer three and a quarter.
#[must_use]
pub fn far_from_the_sun(lead: f64, place: Place) -> String {
    let apart = lead / 3600.0 - place.longitude() / 15.0;
    // The date goes by the clock, so a whole day does not count.
    let apart = (apart + 12.0).rem_euclid(24.0) - 12.0;
    if apart.abs() <= 3.5 {
        return String::new();
    }
    let side = if apart > 0.0 { "ahead of" } else { "behind" };
    format!(
        "That is {} h {side} the sun at this place: is it the clock there?",
        exposure::words::decimal(apart.abs(), 0)
    )
}

/// Reads by how many hours a clock is ahead of UTC, in seconds: `2`, `5:45`, `−3:30`, `UTC+2`, `1.5`.
///
/// # Errors
///
/// A sentence, for another form, and beyond 15 hours.
pub fn parse_lead(text: &str) -> Result<f64, Error> {
    let unknown = || {
        Error::new(
            "The hours from UTC are typed like 2, 5:45 or −3:30: ahead of UTC as they are, behind it with a minus, 15 at most.",
        )
    };
    let upper = text.trim().to_ascii_uppercase();
    let figures = ["UTC", "GMT"]
        .iter()
        .find_map(|name| upper.strip_prefix(name))
        .unwrap_or(&upper)
        .trim();
    let (sign, figures) = match figures.strip_prefix(['-', '−', '–']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, figures.strip_prefix('+').unwrap_or(figures)),
    };
    let hours = match figures.split_once(':') {
        Some(_) => {
            let [hours, minutes] = numbers(figures, ':').ok_or_else(unknown)?;
            if minutes > 59 {
                return Err(unknown());
            }
            f64::from(hours) + f64::from(minutes) / 60.0
        }
        None => typed::number(figures).ok_or_else(unknown)?,
    };
    if (0.0..=15.0).contains(&hours) {
        Ok(sign * (hours * 60.0).round() * 60.0)
    } else {
        Err(unknown())
    }
}
