//! The calculation alone, without a browser.

use std::{
    hint::black_box,
    time::{Duration, Instant},
};

use anyhow::{Context, Result};
use exposure::{
    Camera, Control, KINDS, Kind, Mark, Prefer, Problem, Reading, Scale, Steps, Stops, pairs, solve,
};

use crate::numbers::{least, median};

/// Batches of each calculation; what else the machine does then falls into a few of them.
const BATCHES: usize = 31;
/// How long a batch takes at least, so that reading the clock does not count.
const BATCH: Duration = Duration::from_millis(10);

/// What a calculation takes.
#[derive(Debug)]
pub(crate) struct Timing {
    /// What was calculated.
    pub(crate) what: String,
    /// Nanoseconds for one, the median of all batches.
    pub(crate) typical: f64,
    /// The same in the quickest batch.
    pub(crate) best: f64,
}

/// What the calculations take on this machine.
#[derive(Debug)]
pub(crate) struct Native {
    /// One linked solve.
    pub(crate) solve: Timing,
    /// Full tables of pairs, by camera.
    pub(crate) tables: Vec<Timing>,
}

/// Times the calculations of the first setting, and the table of the camera that has most times.
pub(crate) fn native() -> Result<Native> {
    let first = KINDS.first().context("no camera is described")?;
    let mut longest = (first, camera(first)?.times().marks().len());
    for kind in KINDS {
        let times = camera(kind)?.times().marks().len();
        if times > longest.1 {
            longest = (kind, times);
        }
    }
    let mut kinds = vec![first, longest.0];
    kinds.dedup_by_key(|kind| kind.id);
    Ok(Native {
        solve: solves(first)?,
        tables: kinds.into_iter().map(table).collect::<Result<_>>()?,
    })
}

fn camera(kind: &Kind) -> Result<Camera> {
    Ok(Camera::parse(
        kind.times,
        kind.apertures,
        kind.steps,
        Some(kind.focal),
    )?)
}

/// The reading that the page begins with.
fn reading() -> Result<Reading> {
    let mark = |control, text| Mark::parse(control, text, Steps::Third);
    Ok(Reading::new(
        mark(Control::Time, "1/125")?,
        mark(Control::Aperture, "8")?,
        mark(Control::Sensitivity, "200")?,
    )?)
}

/// Every mark of the time dial in turn, so that the follower is found all over its scale, and beyond both its ends.
fn solves(kind: &Kind) -> Result<Timing> {
    let (camera, reading, speeds) = (camera(kind)?, reading()?, Scale::sensitivities());
    let aperture = Mark::parse(Control::Aperture, "5.6", Steps::Full)?;
    let speed = Mark::parse(Control::Sensitivity, "100", Steps::Full)?;
    let problems: Vec<Problem<'_>> = camera
        .times()
        .marks()
        .iter()
        .map(|time| Problem {
            asked: (&reading).into(),
            extra: Stops::ZERO,
            stands: [*time, aperture, speed],
            scales: [camera.times(), camera.apertures(), &speeds],
            followers: &[Control::Aperture, Control::Sensitivity],
            prefer: Prefer::MoreLight,
        })
        .collect();
    Ok(timed(
        format!("one linked solve ({})", kind.name),
        problems.len(),
        || {
            for problem in &problems {
                black_box(solve(black_box(problem)));
            }
        },
    ))
}

fn table(kind: &Kind) -> Result<Timing> {
    let (camera, reading) = (camera(kind)?, reading()?);
    let rated = Mark::parse(Control::Sensitivity, "100", Steps::Full)?;
    let of = |reading: &Reading| {
        let (times, apertures) = (camera.times(), camera.apertures());
        pairs(
            reading,
            Stops::ZERO,
            &rated,
            times,
            apertures,
            Prefer::MoreLight,
        )
    };
    let rows = of(&reading).len();
    Ok(timed(
        format!("a table of {rows} pairs ({})", kind.name),
        1,
        || {
            black_box(of(black_box(&reading)));
        },
    ))
}

/// Times work that makes this many results at each call.
fn timed(what: String, results: usize, work: impl Fn()) -> Timing {
    let calls = calls_in_a_batch(&work);
    let batches: Vec<f64> = (0..BATCHES)
        .map(|_| nanoseconds(calls, &work) / (as_number(calls) * as_number(results)))
        .collect();
    Timing {
        what,
        typical: median(&batches),
        best: least(&batches),
    }
}

/// Twice as many calls until they fill a batch; that also warms the processor up.
fn calls_in_a_batch(work: &impl Fn()) -> usize {
    let mut calls = 1;
    while nanoseconds(calls, work) < BATCH.as_secs_f64() * 1e9 {
        calls *= 2;
    }
    calls
}

fn nanoseconds(calls: usize, work: &impl Fn()) -> f64 {
    let began = Instant::now();
    for _ in 0..calls {
        work();
    }
    began.elapsed().as_secs_f64() * 1e9
}

#[expect(clippy::cast_precision_loss, reason = "a count far below 2^52")]
fn as_number(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_described_camera_has_a_table_to_time() {
        for kind in KINDS {
            let timing = table(kind).expect("a described camera is valid");
            assert!(timing.best > 0.0, "{timing:?}");
            assert!(timing.best <= timing.typical, "{timing:?}");
        }
    }
}
