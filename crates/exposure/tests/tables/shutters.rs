//! Older and measured shutters.

use exposure::{Steps, words};

use crate::check::{self, EXACT, Table, close};

#[test]
fn older_scale_is_taken_as_engraved() {
    let table = Table::read("times_older.csv", include_str!("../data/times_older.csv"));
    for row in table.rows() {
        let text = format!("1/{}", row.text("reciprocal"));
        let mark = check::time(&text, Steps::Engraved);
        close(
            format!("Tv of {text}"),
            mark.tv().unwrap().get(),
            row.number("tv"),
            table.tolerance,
        );
        close(
            format!("error of {text}"),
            mark.engraving_error().get(),
            0.0,
            EXACT,
        );
    }
}

/// Older marks beside newer ones: 1/25 against 1/30 is 0.26 stop by the figures and 0.36 by what 1/30 stands for. [CALC]
#[test]
fn older_marks_beside_newer_ones() {
    for (older, newer, by_figures, exact) in [
        ("1/25", "1/30", 0.2630, 0.3561),
        ("1/50", "1/60", 0.2630, 0.3561),
        ("1/100", "1/125", 0.3219, 0.3561),
        ("1/300", "1/250", -0.2630, -0.2288),
    ] {
        let mark = |text, steps| check::time(text, steps);
        let literal = mark(older, Steps::Engraved);
        close(
            format!("{older} and {newer} by their figures"),
            literal.relative_to(&mark(newer, Steps::Engraved)).get(),
            by_figures,
            0.000_05,
        );
        close(
            format!("{older} and what {newer} stands for"),
            literal.relative_to(&mark(newer, Steps::Full)).get(),
            exact,
            0.000_05,
        );
    }
}

#[test]
fn measured_1930s_folder() {
    let table = Table::read(
        "shutter_measured.csv",
        include_str!("../data/shutter_measured.csv"),
    );
    let typed: Vec<String> = table
        .rows()
        .map(|row| format!("{}={}", row.text("marked"), row.text("measured")))
        .collect();
    let camera =
        exposure::Camera::parse(&typed.join(" "), "4.5-22", Steps::Engraved, None).unwrap();
    for row in table.rows() {
        let marked = check::time(row.text("marked"), Steps::Engraved);
        let real = camera
            .times()
            .labelled(marked.engraved())
            .unwrap_or_else(|| panic!("{} is on the shutter", row.text("marked")));
        close(
            format!("more light at {}", row.text("marked")),
            real.relative_to(&marked).get(),
            row.number("error"),
            table.tolerance,
        );
        close(
            format!("the same by the mark itself, {}", row.text("marked")),
            real.engraving_error().get(),
            row.number("error"),
            table.tolerance,
        );
        check::same(
            "the figure stays",
            &words::value(real),
            &words::value(&marked),
        );
    }
}

/// A cheap shutter's only 1/100 measured at 1/140 to 1/160: half to two thirds of a stop less light. [CALC]
#[test]
fn cheap_fixed_speed() {
    let marked = check::time("1/100", Steps::Engraved);
    for (measured, error) in [(140.0, -0.4854), (160.0, -0.6781)] {
        let real = marked.measured_as(1.0 / measured).unwrap();
        close(
            format!("1/100 at 1/{measured}"),
            real.relative_to(&marked).get(),
            error,
            0.000_05,
        );
    }
}

/// Service tolerances: 20 % either way is +0.26 and −0.32 stop, 30 % is +0.38 and −0.51. [CALC]
#[test]
fn service_tolerances() {
    let marked = check::time("1/100", Steps::Engraved);
    for (share, error) in [(1.2, 0.2630), (0.8, -0.3219), (1.3, 0.3785), (0.7, -0.5146)] {
        let real = marked.measured_as(marked.engraved() * share).unwrap();
        close(
            format!("{share} of the time"),
            real.relative_to(&marked).get(),
            error,
            0.000_05,
        );
    }
}

/// B offers whole seconds by hand beyond the slowest mark, and says that they are by hand.
#[test]
fn by_hand_on_b() {
    let folder = check::camera::b();
    let hand: Vec<_> = folder
        .times()
        .marks()
        .iter()
        .filter(|mark| mark.by_hand())
        .collect();
    let spoken: Vec<String> = hand.iter().map(|mark| words::spoken(mark)).collect();
    check::same(
        "by hand",
        &spoken.join("; "),
        "2 seconds, by hand on B; 4 seconds, by hand on B; 8 seconds, by hand on B; 15 seconds, by hand on B; \
         30 seconds, by hand on B; 1 minute, by hand on B",
    );
    // The slowest mark of the shutter itself is no time by hand.
    assert!(
        folder
            .times()
            .labelled(1.0)
            .is_some_and(|mark| !mark.by_hand()),
        "1 s is a mark of the shutter"
    );
    // A box camera with 1/50 and B starts at one second.
    let boxy = check::camera::d();
    check::same("after 1/50", &words::value(&boxy.times().marks()[1]), "1s");
}
