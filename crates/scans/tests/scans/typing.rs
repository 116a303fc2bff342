//! Film-speed tests as people type them.

use exposure::Stops;
use proptest::prelude::*;
use scans::{
    speed::Missing,
    typed::{By, Tested, Typed},
};

use crate::check::close;

fn typed<'a>(by: By, steps: &'a str, fog: &'a str, calibration: &'a str) -> Typed<'a> {
    Typed {
        by,
        metered: 400.0,
        steps,
        fog,
        calibration,
    }
}

#[track_caller]
fn understood(typed: Typed<'_>) -> Tested {
    typed
        .tested()
        .unwrap_or_else(|error| panic!("{typed:?}: {error}"))
}

const FRAMES: &str = "4 less 0.30\n3 less 0.32\n2 less 0.36; 1 less 0.47, 0 0.63\n1 more 0,81\n2 more 1.00\n3 more 1.20";

#[test]
fn frames_are_read_with_their_direction() {
    let found = understood(typed(By::Frames, FRAMES, "0.30", ""));
    let steps: Vec<f64> = found.steps.iter().map(|(stops, _)| stops.get()).collect();
    assert_eq!(steps, [-4.0, -3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0]);
    close("decimal comma", found.steps[5].1, 0.81, 1e-12);
    // 0.40 is reached four elevenths of the way from 2 to 1 stops less: metered for 400, 3.32 stops above the speed point.
    let stops = found.marks()[0][0];
    close("speed point", stops, -2.0 + 4.0 / 11.0, 1e-9);
    let speed = found.read.speed.expect("reached");
    close(
        "speed",
        (speed / 400.0).log2(),
        -stops - 10_f64.log2(),
        1e-9,
    );
    assert_eq!(found.marks().len(), 2, "1.30 beyond is reached as well");
    assert_eq!(
        found.words(),
        "8 steps from 4 stops less light to 3 stops more light, counted from what was metered, densities 0.3 to 1.2. The speed point, \
         density 0.4, is reached at about 1⅔ stops less light."
    );
    // In one line, as a form keeps what is half typed.
    let one_line = FRAMES.replace('\n', " ");
    assert_eq!(
        understood(typed(By::Frames, &one_line, "0.30", "")),
        found,
        "in one line"
    );
    for wrong in [
        "2 0.92",
        "2 more",
        "+2 0.9",
        "two more 0.9",
        "2 more red",
        "2 more -0.1",
        "more 0.9",
    ] {
        let said = typed(By::Frames, wrong, "", "")
            .tested()
            .expect_err(wrong)
            .to_string();
        assert!(said.contains("2 more 0.92"), "“{wrong}”: {said}");
    }
}

#[test]
fn a_tablet_is_counted_from_its_own_densities() {
    let found = understood(typed(
        By::Tablet(Stops::constant(5.0)),
        "0.05 1.24 0.35 1.06\n0.65 0.87",
        "",
        "",
    ));
    close("first", found.steps[0].0.get(), 5.0 - 0.1661, 0.0001);
    close("third", found.steps[2].0.get(), 5.0 - 2.1593, 0.0001);
    assert_eq!(
        found.read.speed,
        Err(Missing::NoFog),
        "nothing shows base plus fog"
    );
    let said = typed(By::Tablet(Stops::ZERO), "0.05 1.24 0.35", "", "")
        .tested()
        .expect_err("odd")
        .to_string();
    assert!(said.contains("left over"), "{said}");
    assert!(
        typed(By::Tablet(Stops::ZERO), "100 1", "", "")
            .tested()
            .is_err(),
        "a density of 100"
    );
}

#[test]
fn codes_go_through_their_calibration_and_never_beyond_it() {
    let codes = "200 0.2 118 0.8 40 1.7";
    let found = understood(typed(
        By::Frames,
        "0 159\n1 more 118\n2 more 30",
        "201",
        codes,
    ));
    assert_eq!(found.steps.len(), 2, "one lies beyond");
    close("between", found.steps[0].1, 0.5, 1e-9);
    assert_eq!(
        (found.fog, found.beyond),
        (None, 2),
        "fog lies beyond as well"
    );
    assert!(
        found.words().contains("beyond the calibration: 2"),
        "{}",
        found.words()
    );
    assert!(
        typed(By::Frames, "0 100", "", "118 0.8").tested().is_err(),
        "one step is none"
    );
    assert!(
        typed(By::Frames, "0 100", "", "118 0.8 x 1")
            .tested()
            .is_err(),
        "no figure"
    );
}

#[test]
fn fog_alone_is_no_speed() {
    let found = understood(typed(By::Frames, "", "0.55", ""));
    assert_eq!(found.read.speed, Err(Missing::OnlyFog));
    assert_eq!(found.words(), "No steps yet.");
    assert!(
        found.marks().is_empty() && found.points().is_empty(),
        "{found:?}"
    );
    assert!(
        typed(By::Frames, "", "thick", "").tested().is_err(),
        "no figure"
    );
}

proptest! {
    #[test]
    fn any_text_is_understood_or_refused(steps in "[0-9 ./,;=a-z\n⅓-]{0,80}", fog in "[0-9.,x ]{0,8}", calibration in "[0-9 .]{0,30}") {
        for by in [By::Frames, By::Tablet(Stops::constant(2.0))] {
            if let Ok(found) = typed(by, &steps, &fog, &calibration).tested() {
                let said = found.words();
                prop_assert!(!said.contains("NaN") && !said.contains('−'), "{said}");
                prop_assert!(found.points().iter().flatten().all(|at| at.is_finite()));
            }
        }
    }
}
