//! Builders and checks that all tables share. Every failure says what was asked, what came, what was expected, and how
//! far apart they are.

use core::fmt::Display;

use exposure::{
    BoxSpeed, Camera, Control, ExposureIndex, FilmKind, Mark, Pair, Prefer, Reading, Steps, Stops,
    pairs, words,
};

/// The last digits of floating point, for what is exact by construction.
pub(crate) const EXACT: f64 = 1e-9;

/// Equal within `tolerance`: absolute below one, relative above it.
#[track_caller]
pub(crate) fn close(what: impl Display, actual: f64, expected: f64, tolerance: f64) {
    let difference = actual - expected;
    assert!(
        difference.abs() <= tolerance * expected.abs().max(1.0),
        "{what}: got {actual}, expected {expected}, difference {difference:e}, allowed {tolerance:e}"
    );
}

/// Equal within a share of the expected value, however small that is.
#[track_caller]
pub(crate) fn close_relative(what: impl Display, actual: f64, expected: f64, tolerance: f64) {
    let difference = actual / expected - 1.0;
    assert!(
        difference.abs() <= tolerance,
        "{what}: got {actual}, expected {expected}, relative difference {difference:e}, allowed {tolerance:e}"
    );
}

/// The same text.
#[track_caller]
pub(crate) fn same(what: impl Display, actual: &str, expected: &str) {
    assert!(
        actual == expected,
        "{what}: got “{actual}”, expected “{expected}”"
    );
}

/// A number as tables write it: `0.25`, `-4`, `+0.093`, `1/60`, `60s`.
#[track_caller]
pub(crate) fn number(text: &str) -> f64 {
    let text = text.trim_end_matches('s');
    let parse = |part: &str| -> f64 {
        part.parse()
            .unwrap_or_else(|_| panic!("a table holds “{text}”, which is no number"))
    };
    text.split_once('/')
        .map_or_else(|| parse(text), |(over, under)| parse(over) / parse(under))
}

/// A reference table: head comments, a line of column names, rows.
pub(crate) struct Table {
    name: &'static str,
    /// How far a result may be off, as the head says.
    pub(crate) tolerance: f64,
    columns: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

/// One row of a table.
pub(crate) struct Row<'a> {
    table: &'a Table,
    cells: &'a [&'static str],
}

impl Table {
    /// Reads a table; a head without source, way of reading or tolerance is a mistake in the table.
    #[track_caller]
    pub(crate) fn read(name: &'static str, text: &'static str) -> Self {
        let head: Vec<&str> = text.lines().filter_map(|l| l.strip_prefix("# ")).collect();
        for wanted in ["Source: ", "Read: ", "Tolerance: "] {
            assert!(
                head.iter().any(|line| line.starts_with(wanted)),
                "the head of {name} has no line “{wanted}”"
            );
        }
        assert!(
            ["[SEEN]", "[PKG]", "[CALC]", "[MEM]"]
                .iter()
                .any(|mark| head.iter().any(|line| line.contains(mark))),
            "the head of {name} does not say how far its figures can be trusted"
        );
        let tolerance = head
            .iter()
            .find_map(|line| line.strip_prefix("Tolerance: "))
            .and_then(|line| line.split_once(" ("))
            .map(|(tolerance, _reason)| number(tolerance))
            .expect("a tolerance is a number with its reason in parentheses");
        let mut lines = text
            .lines()
            .filter(|line| !line.starts_with('#'))
            .map(|line| line.split(',').collect::<Vec<_>>());
        let columns = lines.next().expect("a table has a line of column names");
        let rows: Vec<_> = lines.collect();
        assert!(!rows.is_empty(), "{name} has no rows");
        for row in &rows {
            assert!(
                row.len() == columns.len(),
                "{name}: the row {row:?} has {} cells, expected {}",
                row.len(),
                columns.len()
            );
        }
        Self {
            name,
            tolerance,
            columns,
            rows,
        }
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

impl Row<'_> {
    /// The cell of a column.
    #[track_caller]
    pub(crate) fn text(&self, column: &str) -> &'static str {
        let at = self
            .table
            .columns
            .iter()
            .position(|name| *name == column)
            .unwrap_or_else(|| panic!("{} has no column “{column}”", self.table.name));
        self.cells[at]
    }

    /// The cell of a column, as a number.
    #[track_caller]
    pub(crate) fn number(&self, column: &str) -> f64 {
        number(self.text(column))
    }
}

/// A mark as a device of these steps shows it.
#[track_caller]
pub(crate) fn mark(control: Control, text: &str, steps: Steps) -> Mark {
    Mark::parse(control, text, steps).unwrap_or_else(|error| panic!("“{text}”: {error}"))
}

#[track_caller]
pub(crate) fn time(text: &str, steps: Steps) -> Mark {
    mark(Control::Time, text, steps)
}

#[track_caller]
pub(crate) fn aperture(text: &str, steps: Steps) -> Mark {
    mark(Control::Aperture, text, steps)
}

/// A speed of the standard list.
#[track_caller]
pub(crate) fn speed(text: &str) -> Mark {
    mark(Control::Sensitivity, text, Steps::Third)
}

#[track_caller]
pub(crate) fn boxed(text: &str) -> BoxSpeed {
    BoxSpeed::new(speed(text)).expect("a speed")
}

#[track_caller]
pub(crate) fn rated(text: &str) -> ExposureIndex {
    ExposureIndex::new(speed(text)).expect("a speed")
}

/// A reading as a device of these steps shows it: ISO, time, aperture.
#[track_caller]
pub(crate) fn reading(iso: &str, at: &str, stop: &str, steps: Steps) -> Reading {
    Reading::new(time(at, steps), aperture(stop, steps), speed(iso))
        .expect("a reading of three marks")
}

/// The cameras of the worked cases.
pub(crate) mod camera {
    use exposure::{Camera, Steps};

    #[track_caller]
    fn made(times: &str, apertures: &str, steps: Steps, focal: f64) -> Camera {
        Camera::parse(times, apertures, steps, Some(focal))
            .unwrap_or_else(|error| panic!("{error}"))
    }

    /// A: full-stop shutter 1/30 to 1/500, half-click lens from f/3.5.
    ///
    /// The times are a list, for a run in half steps would have half steps of time as well.
    pub(crate) fn a() -> Camera {
        made(
            "1/30 1/60 1/125 1/250 1/500",
            "3.5 4..22",
            Steps::Half,
            50.0,
        )
    }

    /// B: folder with literal times and a stepless ring.
    pub(crate) fn b() -> Camera {
        made(
            "T B 1 1/2 1/5 1/10 1/25 1/50 1/100 1/250",
            "4.5-22",
            Steps::Engraved,
            105.0,
        )
    }

    /// C: full stops only.
    pub(crate) fn c() -> Camera {
        made("1..1/1000", "2..16", Steps::Full, 50.0)
    }

    /// D: box camera, one speed and B.
    pub(crate) fn d() -> Camera {
        made("1/50 B", "11 16 22", Steps::Engraved, 105.0)
    }

    /// E: old continental scale.
    pub(crate) fn e() -> Camera {
        made(
            "1 1/2 1/5 1/10 1/25 1/50 1/100 1/200",
            "3.5 4.5 6.3 9 12.5 18",
            Steps::Engraved,
            50.0,
        )
    }

    /// F: top speed 1/300.
    pub(crate) fn f() -> Camera {
        made(
            "1 1/2 1/4 1/8 1/15 1/30 1/60 1/125 1/300",
            "2.8..22",
            Steps::Full,
            50.0,
        )
    }
}

/// Every pair that a camera can set for a reading, a rating and some extra light.
pub(crate) fn settable(
    camera: &Camera,
    reading: &Reading,
    rating: &str,
    extra: Stops,
    prefer: Prefer,
) -> Vec<Pair> {
    pairs(
        reading,
        extra,
        &speed(rating),
        camera.times(),
        camera.apertures(),
        prefer,
    )
}

/// The pairs of a table contain this one, with this residual.
#[track_caller]
pub(crate) fn has_pair(found: &[Pair], at: &str, stop: &str, residual: f64, tolerance: f64) {
    let pair = found
        .iter()
        .find(|pair| words::figure(&pair.time) == at && words::figure(&pair.aperture) == stop);
    let Some(pair) = pair else {
        panic!("{at} f/{stop}: not among {}", listed(found));
    };
    close(
        format!("residual of {at} f/{stop}"),
        pair.residual.get(),
        residual,
        tolerance,
    );
}

/// Pairs in one line, for failure messages.
pub(crate) fn listed(found: &[Pair]) -> String {
    found
        .iter()
        .map(|pair| {
            format!(
                "{} f/{} ({:+.4})",
                words::figure(&pair.time),
                words::figure(&pair.aperture),
                pair.residual.get()
            )
        })
        .collect::<Vec<_>>()
        .join(", ")
}

/// What negative film prefers.
pub(crate) const NEGATIVE: Prefer = Prefer::for_film(FilmKind::ColourNegative);
/// What slide film prefers.
pub(crate) const SLIDE: Prefer = Prefer::for_film(FilmKind::Reversal);
