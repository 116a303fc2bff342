//! Days, minutes and expiry months as plain values. There is no clock: the caller says what day it is.

use serde::Serialize;

use crate::Error;

const FIRST_YEAR: u16 = 1880;
const LAST_YEAR: u16 = 2199;

/// A day of the calendar, written `2026-11-25`. Years 1880 to 2199.
///
/// ```
/// use book::Date;
/// let loaded = Date::parse("2026-02-27")?;
/// assert_eq!(loaded.days_until(Date::parse("2026-03-02")?), 3);
/// # Ok::<(), book::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(into = "String")]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

/// A day and a minute as a clock on the spot shows them, written `2026-11-25T13:35`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(into = "String")]
pub struct Moment {
    date: Date,
    minute: u16,
}

/// The expiry printed on a box, written `2004-06`, or `2004` where only the year is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(into = "String")]
pub struct Expiry {
    year: u16,
    month: Option<u8>,
}

const fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

const fn month_length(year: u16, month: u8) -> u8 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// A number of exactly so many digits.
fn digits(text: &str, count: usize) -> Option<u16> {
    (text.len() == count && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}

fn small(text: &str) -> Option<u8> {
    digits(text, 2).and_then(|number| u8::try_from(number).ok())
}

impl Date {
    /// Makes a day.
    ///
    /// # Errors
    ///
    /// If there is no such day, or its year is before 1880 or after 2199.
    pub fn new(year: u16, month: u8, day: u8) -> Result<Self, Error> {
        let valid = (FIRST_YEAR..=LAST_YEAR).contains(&year)
            && (1..=12).contains(&month)
            && day >= 1
            && day <= month_length(year, month);
        if valid {
            Ok(Self { year, month, day })
        } else {
            Err(Error::new(
                "there is no such day; a day is written like 2026-11-25, between 1880 and 2199",
            ))
        }
    }

    /// The day from which clocks count: 1970-01-01.
    pub const EPOCH: Self = Self {
        year: 1970,
        month: 1,
        day: 1,
    };

    /// Reads a day written like `2026-11-25`.
    ///
    /// # Errors
    ///
    /// If the text is not of this form, or there is no such day.
    pub fn parse(text: &str) -> Result<Self, Error> {
        let mut parts = text.trim().split('-');
        let read = (|| {
            let date = (
                digits(parts.next()?, 4)?,
                small(parts.next()?)?,
                small(parts.next()?)?,
            );
            parts.next().is_none().then_some(date)
        })();
        let (year, month, day) =
            read.ok_or_else(|| Error::new("a day is written like 2026-11-25"))?;
        Self::new(year, month, day)
    }

    /// As it is written: `2026-11-25`.
    #[must_use]
    pub fn text(self) -> String {
        format!("{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }

    /// Days since the first day that can be written.
    fn days(self) -> i32 {
        let years: i32 = (FIRST_YEAR..self.year)
            .map(|year| if is_leap(year) { 366 } else { 365 })
            .sum();
        let months: i32 = (1..self.month)
            .map(|month| i32::from(month_length(self.year, month)))
            .sum();
        years + months + i32::from(self.day) - 1
    }

    /// Days from this day to another; negative if that one is earlier.
    #[must_use]
    pub fn days_until(self, later: Self) -> i32 {
        later.days() - self.days()
    }

    fn months(self) -> i32 {
        i32::from(self.year) * 12 + i32::from(self.month)
    }
}

impl Moment {
    /// Makes a moment of a day, an hour (0 to 23) and a minute (0 to 59).
    ///
    /// # Errors
    ///
    /// If hour or minute are none of a clock.
    pub fn new(date: Date, hour: u8, minute: u8) -> Result<Self, Error> {
        if hour > 23 || minute > 59 {
            return Err(Error::new(
                "a time of day lies between 00:00 and 23:59, for example 2026-11-25T13:35",
            ));
        }
        Ok(Self {
            date,
            minute: u16::from(hour) * 60 + u16::from(minute),
        })
    }

    /// Reads a moment written like `2026-11-25T13:35`.
    ///
    /// # Errors
    ///
    /// If the text is not of this form, or there is no such moment.
    pub fn parse(text: &str) -> Result<Self, Error> {
        let read = text.trim().split_once('T').and_then(|(date, time)| {
            let (hour, minute) = time.split_once(':')?;
            Some((date, small(hour)?, small(minute)?))
        });
        let (date, hour, minute) =
            read.ok_or_else(|| Error::new("a moment is written like 2026-11-25T13:35"))?;
        Self::new(Date::parse(date)?, hour, minute)
    }

    /// As it is written: `2026-11-25T13:35`.
    #[must_use]
    pub fn text(self) -> String {
        format!("{}T{}", self.date.text(), self.clock())
    }

    /// As people read it: `2026-11-25 13:35`.
    #[must_use]
    pub fn words(self) -> String {
        format!("{} {}", self.date.text(), self.clock())
    }

    /// The time of day: `13:35`.
    #[must_use]
    pub fn clock(self) -> String {
        format!("{:02}:{:02}", self.minute / 60, self.minute % 60)
    }

    /// The day.
    #[must_use]
    pub const fn date(self) -> Date {
        self.date
    }

    /// Minutes from this moment to another; negative if that one is earlier.
    #[must_use]
    pub fn minutes_until(self, later: Self) -> i32 {
        self.date.days_until(later.date) * 1440 + i32::from(later.minute) - i32::from(self.minute)
    }
}

impl Expiry {
    /// Makes an expiry of a year and, where it is known, a month.
    ///
    /// # Errors
    ///
    /// If the year is before 1880 or after 2199, or there is no such month.
    pub fn new(year: u16, month: Option<u8>) -> Result<Self, Error> {
        if !(FIRST_YEAR..=LAST_YEAR).contains(&year)
            || month.is_some_and(|month| !(1..=12).contains(&month))
        {
            return Err(Error::new(
                "an expiry is a month and a year like 2004-06, or a year, between 1880 and 2199",
            ));
        }
        Ok(Self { year, month })
    }

    /// Reads an expiry as it is printed or typed: `2004-06`, `06/2004`, `6/2004`, `2004`.
    ///
    /// # Errors
    ///
    /// If the text is of none of these forms.
    pub fn parse(text: &str) -> Result<Self, Error> {
        let text = text.trim();
        let month = |text: &str| small(text).or_else(|| digits(text, 1)?.try_into().ok());
        let read = if let Some((year, m)) = text.split_once('-') {
            digits(year, 4).zip(month(m).map(Some))
        } else if let Some((m, year)) = text.split_once('/') {
            digits(year, 4).zip(month(m).map(Some))
        } else {
            digits(text, 4).map(|year| (year, None))
        };
        let (year, month) = read.ok_or_else(|| {
            Error::new("an expiry is written like 2004-06, 06/2004 or 2004; leave it out if it is not known")
        })?;
        Self::new(year, month)
    }

    /// Whether film with this expiry may be on a base of cellulose nitrate.
    ///
    /// It was made until 1951 in the United States and until about 1955 elsewhere (encyclopaedias; no primary source was
    /// seen), and film keeps for some years to its date (common practice, no source).
    #[must_use]
    pub const fn may_burn(self) -> bool {
        self.year < 1960
    }

    /// As it is written: `2004-06` or `2004`.
    #[must_use]
    pub fn text(self) -> String {
        match self.month {
            Some(month) => format!("{:04}-{month:02}", self.year),
            None => format!("{:04}", self.year),
        }
    }

    /// Whole months past this expiry on a day; negative before it. A year alone counts from its middle.
    #[must_use]
    pub fn months_past(self, on: Date) -> i32 {
        on.months() - (i32::from(self.year) * 12 + i32::from(self.month.unwrap_or(6)))
    }

    /// The age on a day, in words: `20 years past its date`, `8 months before its date`.
    #[must_use]
    pub fn age_words(self, on: Date) -> String {
        let months = self.months_past(on);
        let size = months.unsigned_abs();
        let side = if months < 0 { "before" } else { "past" };
        let about = if self.month.is_none() { "about " } else { "" };
        if size == 0 {
            return "in the month of its date".to_owned();
        }
        let (years, rest) = (size / 12, size % 12);
        let plural = |n: u32, one: &str| {
            if n == 1 {
                format!("1 {one}")
            } else {
                format!("{n} {one}s")
            }
        };
        let span = match (years, rest) {
            (0, rest) => plural(rest, "month"),
            (years, 0) => plural(years, "year"),
            (years, rest) => format!("{} {}", plural(years, "year"), plural(rest, "month")),
        };
        format!("{about}{span} {side} its date")
    }
}

macro_rules! as_text {
    ($($name:ident),*) => {$(
        impl From<$name> for String {
            fn from(value: $name) -> Self {
                value.text()
            }
        }
    )*};
}
as_text!(Date, Moment, Expiry);
