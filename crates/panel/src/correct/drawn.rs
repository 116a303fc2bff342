//! What forms come to as drawings.

use exposure::{
    Axis, DepthOfField, Effect, LongTimes, Mark, Stops,
    flash::{FOOT, Unit},
    shutter, words,
};

use crate::{
    derive::times_of_frames,
    drawn::{Curve, Drawn, Piece, Rows, Tick, log_ticks, stop_ticks, stops_around},
    state::State,
};

/// Words under an axis, at most.
const MOST: usize = 6;

// ---- Long times ----

/// The usual times of an axis, seconds: doubled from mark to mark but for the rounding of watches.
const TIMES: [f64; 22] = [
    0.125, 0.25, 0.5, 1.0, 2.0, 4.0, 8.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 900.0, 1800.0,
    3600.0, 7200.0, 14_400.0, 28_800.0, 57_600.0, 115_200.0, 230_400.0,
];
/// The least that is drawn, seconds.
const SHOWN: [f64; 2] = [0.5, 240.0];
/// Where one second stands among them.
const SECOND: usize = 3;

/// A rule of long times as a curve, with the frames of the dial on it.
pub(super) fn long(state: &State, film: &LongTimes) -> Drawn {
    let mut metered: Vec<f64> = Vec::new();
    for mark in times_of_frames(state) {
        // Frames of the same time are one point.
        if !metered
            .iter()
            .any(|at| at.to_bits() == mark.gives().to_bits())
        {
            metered.push(mark.gives());
        }
    }
    let all = metered.len();
    // What is shorter by far needs nothing with any rule, and would press the curve into a corner.
    metered.retain(|time| *time >= TIMES[0]);
    // A little before the first dot, which is not to lie on the edge.
    let dots = metered.iter().map(|time| time * 0.75);
    let values = dots.chain(SHOWN).chain(film.last_row());
    let across = Axis::around(values.map(f64::log2), 4.0);
    let (from, to) = (
        exposure::of_two(across.from()),
        exposure::of_two(across.to()),
    );
    let [known, guess] = film.curve(from, to);
    let log = |points: Vec<[f64; 2]>| -> Vec<[f64; 2]> {
        let logs = points.into_iter().map(|point| point.map(f64::log2));
        logs.collect()
    };
    let frames: Vec<[f64; 2]> = metered
        .iter()
        .map(|time| [*time, film.needed(*time)])
        .collect();
    let says = says(film, &frames, all, guess.first().map(|point| point[0]));
    let up = Axis::around(
        [across.from(), across.to(), film.needed(to).log2()],
        across.to() - across.from(),
    );
    let ticks = |axis| log_ticks(axis, &TIMES, SECOND, MOST, &words::to_count);
    Drawn::Curve(Box::new(Curve {
        across,
        up,
        across_ticks: ticks(across),
        up_ticks: ticks(up),
        known: log(known),
        guess: log(guess),
        as_metered: [[across.from(); 2], [across.to(); 2]],
        frames: log(frames),
        says,
    }))
}

fn says(film: &LongTimes, frames: &[[f64; 2]], all: usize, guess_from: Option<f64>) -> String {
    let mut says =
        "Metered time across, time to count upwards. The thin line is a film that needs nothing more."
            .to_owned();
    if let Some(from) = guess_from {
        says += &format!(
            " The curve is dashed beyond {}, the last row of the table: a guess.",
            words::to_count(from)
        );
    }
    if frames.is_empty() {
        says += if all == 0 {
            ""
        } else {
            " What stands on the dial is shorter than what is drawn."
        };
        return says;
    }
    let counts = frames.iter().map(|[metered, _]| {
        let counted = film.count(*metered);
        let (metered, needed) = (words::to_count(*metered), words::to_count(counted.needed));
        if counted.more.is_more() {
            format!("{metered} becomes {needed}")
        } else {
            format!("{metered} stays")
        }
    });
    let counts: Vec<String> = counts.collect();
    says += &format!(" Dots are what stands on the dial: {}.", counts.join(", "));
    says
}

// ---- Depth of field, and flash ----

/// Round distances, in the unit of the axis.
const DISTANCES: [f64; 25] = [
    0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0,
    1000.0, 2000.0, 5000.0, 1e4, 2e4, 5e4, 1e5, 2e5, 5e5,
];
/// Where one stands among them.
const ONE: usize = 7;
/// Beyond so many metres, or so many times the distance that is focused, a distance is drawn half way to infinity.
const FAR: [f64; 2] = [50.0, 8.0];

fn distances(axis: Axis, unit: &'static str) -> Vec<Tick> {
    let words = |distance: f64| format!("{} {unit}", words::decimal(distance, 3));
    log_ticks(axis, &DISTANCES, ONE, MOST - 1, &words)
}

/// What is sharp at each aperture: from near to far, in logarithms of metres, with infinity at the end.
pub(super) fn depth(
    stops: &[Mark],
    set: Option<usize>,
    field: &DepthOfField,
    first: usize,
) -> Drawn {
    let metres = |mm: f64| (mm / 1000.0).log2();
    let focused = field.distance();
    let far = FAR[0]
        .max(focused.map_or(0.0, |mm| mm / 1000.0 * FAR[1]))
        .log2();
    let sharp: Vec<_> = stops.iter().map(|stop| field.at(stop.gives())).collect();
    let ends = sharp.iter().flat_map(|sharp| [Some(sharp.near), sharp.far]);
    let ends = ends.chain([focused]).flatten().map(metres);
    let finite = Axis::around(ends.map(|end| end.min(far)), 3.0);
    let infinite = focused.is_none()
        || sharp
            .iter()
            .any(|sharp| sharp.far.is_none_or(|mm| metres(mm) > far));
    let axis = if infinite {
        Axis::new(finite.from(), finite.to() + 2.0)
    } else {
        finite
    };
    // A line ends; what lies beyond its last round metre stands half way to its end, and infinity at it.
    let place = |mm: Option<f64>| match mm.map(metres) {
        None => axis.to(),
        Some(at) if infinite => at.min(finite.to() + 1.0),
        Some(at) => at,
    };
    let rows = stops.iter().zip(&sharp).map(|(stop, sharp)| {
        let (near, far) = (place(Some(sharp.near)), place(sharp.far));
        let bar = if field.diffraction_shows(stop.gives()) {
            Piece::Hollow(near, far)
        } else {
            Piece::Bar(near, far)
        };
        vec![bar, Piece::Dot(place(focused))]
    });
    let mut ticks = distances(finite, "m");
    if infinite {
        ticks.push((axis.to(), "∞".to_owned()));
    }
    let mut legend = "Bars are what is sharp at each aperture, from near to far; the dot is where it is focused.".to_owned();
    if infinite {
        legend +=
            " ∞ is infinity, and what lies beyond the last round metre stands half way to it.";
    }
    if stops
        .iter()
        .any(|stop| field.diffraction_shows(stop.gives()))
    {
        legend += " Hollow bars: diffraction softens all of it.";
    }
    Drawn::Rows(Rows {
        name: "What is sharp at each aperture".to_owned(),
        legend,
        axis,
        ticks,
        first,
        rows: rows.collect(),
        set,
    })
}

/// What each aperture gets by a flash: the distance that is right and how far either way it stays within so much, in metres, and
/// which of the apertures is to be set. Drawn in logarithms of the unit that distances are typed in.
pub(super) fn reach(
    reaches: &[[f64; 3]],
    set: Option<usize>,
    subject: f64,
    unit: Unit,
    within: Stops,
    first: usize,
) -> Drawn {
    let log = |metres: f64| (metres / unit.metres()).log2();
    let ends = reaches.iter().flatten().copied().chain([subject]);
    let axis = Axis::around(ends.map(log), 3.0);
    let rows = reaches.iter().map(|[near, right, far]| {
        vec![
            Piece::Bar(log(*near), log(*far)),
            Piece::Dot(log(*right)),
            Piece::Against(log(subject)),
        ]
    });
    Drawn::Rows(Rows {
        name: "How far the flash reaches at each aperture".to_owned(),
        legend: format!(
            "Dots are the distance that is right, bars as far as it stays within {} either way; the upright line is the subject.",
            words::stops(within)
        ),
        axis,
        ticks: distances(
            axis,
            match unit {
                Unit::Metres => "m",
                Unit::Feet => "ft",
            },
        ),
        first,
        rows: rows.collect(),
        set,
    })
}

/// A distance in words, in the unit that distances are typed in.
pub(super) fn distance(metres: f64, unit: Unit) -> String {
    match unit {
        Unit::Metres => words::distance(Some(metres * 1000.0)),
        Unit::Feet => format!("{} ft", words::figures(metres / FOOT)),
    }
}

// ---- Shutter, and lens ----

/// Measured times in stops about what is engraved, each before the limits that it should lie in.
pub(super) fn errors(times: &[(Mark, [Stops; 2])], first: usize) -> Drawn {
    let error = |mark: &Mark| shutter::error(mark).unwrap_or(Stops::ZERO);
    let ends = times
        .iter()
        .flat_map(|(mark, limits)| [error(mark), limits[0], limits[1]]);
    let axis = stops_around(ends, 2.0);
    let rows = times.iter().map(|(mark, [least, most])| {
        let error = error(mark).get();
        vec![
            Piece::Hollow(least.get(), most.get()),
            Piece::Against(0.0),
            Piece::Bar(0.0, error),
            Piece::Dot(error),
        ]
    });
    on_stops(
        "Measured against engraved, in stops",
        "0 is what is engraved; more light to the right. The hollow bar is what passes.",
        axis,
        first,
        rows.collect(),
        times.is_empty(),
    )
}

/// What a lens takes at each aperture, in stops.
pub(super) fn lens(stops: &[Mark], time: &Mark, lens: &Effect, first: usize) -> Drawn {
    let effects = stops.iter().map(|stop| lens.at(time, stop));
    let axis = stops_around(effects.clone(), 2.0);
    let rows = effects.map(|effect| {
        vec![
            Piece::Against(0.0),
            Piece::Bar(0.0, effect.get()),
            Piece::Dot(effect.get()),
        ]
    });
    on_stops(
        "What the lens takes at each aperture, in stops",
        "0 is what the f-number says; less light to the left.",
        axis,
        first,
        rows.collect(),
        stops.is_empty(),
    )
}

fn on_stops(
    name: &str,
    legend: &str,
    axis: Axis,
    first: usize,
    rows: Vec<Vec<Piece>>,
    none: bool,
) -> Drawn {
    if none {
        return Drawn::Nothing;
    }
    Drawn::Rows(Rows {
        name: name.to_owned(),
        legend: legend.to_owned(),
        axis,
        ticks: stop_ticks(axis),
        first,
        rows,
        set: None,
    })
}
