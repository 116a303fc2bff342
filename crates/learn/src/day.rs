//! Days as whole numbers, with the names that people give them.

use core::fmt;

/// A day, counted from 1 January 1970.
///
/// ```
/// use learn::Day;
/// assert_eq!(Day::new(20_784).to_string(), "2026-11-27");
/// assert_eq!(Day::parse("2026-11-27"), Some(Day::new(20_784)));
/// assert_eq!(Day::parse("2026-02-30"), None);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(i32);

/// The year 0 and the year 9999 begin and end here: a year has four figures.
const FIRST: i32 = -719_528;
const LAST: i32 = 2_932_896;

impl Day {
    /// The day that so many days lie before; the nearest one whose year has four figures.
    #[must_use]
    pub const fn new(since_1970: i32) -> Self {
        Self(if since_1970 < FIRST {
            FIRST
        } else if since_1970 > LAST {
            LAST
        } else {
            since_1970
        })
    }

    /// Days since 1 January 1970.
    #[must_use]
    pub const fn get(self) -> i32 {
        self.0
    }

    /// So many days later.
    #[must_use]
    pub const fn plus(self, days: u16) -> Self {
        Self::new(self.0 + days as i32)
    }

    /// Reads `2026-11-27`; none for anything else.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.bytes().enumerate().all(|(i, byte)| match i {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        });
        if !digits || text.len() != 10 {
            return None;
        }
        let part = |range: core::ops::Range<usize>| text[range].parse::<i32>().ok();
        let (year, month, day) = (part(0..4)?, part(5..7)?, part(8..10)?);
        if !(1..=12).contains(&month) || day < 1 {
            return None;
        }
        // Years are counted from March, so that a leap day is the last of its year.
        let (year_from_march, months) = if month > 2 {
            (year, month - 3)
        } else {
            (year - 1, month + 9)
        };
        let (era, of_era) = (
            year_from_march.div_euclid(400),
            year_from_march.rem_euclid(400),
        );
        let of_year = (153 * months + 2) / 5 + day - 1;
        let days = era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468;
        // A day that the month does not have comes back as another one.
        Some(Self(days)).filter(|day| day.to_string() == text)
    }

    /// Year, month and day.
    fn parts(self) -> [i32; 3] {
        let days = self.0 + 719_468;
        let (era, of_era) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year + year / 4 - year / 100);
        let months = (5 * of_year + 2) / 153;
        let day = of_year - (153 * months + 2) / 5 + 1;
        let month = if months < 10 { months + 3 } else { months - 9 };
        [year + era * 400 + i32::from(month <= 2), month, day]
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [year, month, day] = self.parts();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::{Day, FIRST, LAST};

    #[test]
    fn every_day_has_one_name() {
        let mut before = String::new();
        for day in (FIRST..=LAST).step_by(17).chain([LAST]) {
            let name = Day::new(day).to_string();
            assert_eq!(Day::parse(&name), Some(Day::new(day)), "{name}");
            assert!(name > before, "{name} comes after {before}");
            before = name;
        }
        for (day, name) in [
            (0, "1970-01-01"),
            (-1, "1969-12-31"),
            (11_016, "2000-02-29"),
        ] {
            assert_eq!(Day::new(day).to_string(), name);
        }
        for wrong in [
            "2026-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-1-01",
            "26-01-01",
            "2026-01-0é",
        ] {
            assert_eq!(Day::parse(wrong), None, "{wrong}");
        }
    }
}
