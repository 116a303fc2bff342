//! Film-speed tests on curves whose answers are known by construction.

use exposure::{BoxSpeed, Control, FilmKind, Mark, Steps, Stops, words};
use proptest::prelude::*;
use scans::speed::{
    Calibration, Curve, Missing, Reach, Read, Step, against_holder, colour_negative, deepest,
    delta_x, density_in_stops, limits, metered, reversal, rounded, tablet, with_stray_light,
};

use crate::check::{close, number, rows};

/// D2 [OURS]: D = B + g/n·log10(1 + (H/Ht)^n), less the same about a shoulder where there is one.
#[derive(Clone, Copy)]
struct Toe {
    fog: f64,
    n: f64,
    g: f64,
    toe: f64,
    shoulder: Option<f64>,
}

impl Toe {
    const K0: Self = Self {
        fog: 0.30,
        n: 2.0,
        g: 0.700_512_734_1,
        toe: 0.008_296_647_3,
        shoulder: None,
    };
    const K1: Self = Self {
        fog: 0.25,
        n: 2.0,
        g: 0.65,
        toe: 0.003_981_071_705_534_973,
        shoulder: Some(3.981_071_705_534_972_5),
    };
    const FIRST: Self = Self {
        fog: 0.30,
        n: 1.0,
        g: 0.8,
        toe: 0.023_986_5,
        shoulder: None,
    };

    fn at_exposure(&self, exposure: f64) -> f64 {
        let rise = |about: f64| (1.0 + (exposure / about).powf(self.n)).log10();
        self.fog + self.g / self.n * (rise(self.toe) - self.shoulder.map_or(0.0, rise))
    }

    fn density(&self, log: f64) -> f64 {
        self.at_exposure(10_f64.powf(log))
    }

    fn steps(&self, from: f64, to: f64, by: f64) -> Vec<Step> {
        (0..1000)
            .map(|at| from + by * f64::from(at))
            .take_while(|log| *log <= to + 1e-9)
            .map(|log| Step {
                log,
                density: self.density(log),
            })
            .collect()
    }

    fn curve(&self, by: f64) -> Curve {
        Curve::new(
            self.steps(-3.5, 0.5, by).into_iter().take(200),
            Some(self.fog),
        )
        .expect("sound")
    }
}

/// D2 [CALC]: the exact curves, read with narrow steps.
#[test]
fn exact_curves() {
    let k0 = Toe::K0;
    for (log, net) in [
        (-3.0, 0.002_194),
        (-2.5, 0.020_634),
        (-2.0969, 0.100_000),
        (-1.5, 0.417_192),
        (-0.7969, 0.900_000),
        (0.0, 1.457_846),
    ] {
        close(
            format!("K0 at {log}"),
            k0.density(log) - k0.fog,
            net,
            0.000_008,
        );
    }
    let read = k0.curve(0.0202).read();
    close(
        "Hm",
        10_f64.powf(read.point.expect("read")),
        0.008,
        0.000_02,
    );
    close("speed", read.speed.expect("read"), 100.0, 0.15);
    close("over 1.30", read.contrast.expect("read"), 0.80, 0.001);
    close(
        "average gradient",
        read.gradient.expect("read"),
        0.626_570,
        0.001,
    );
    let [slope, x] = read.index.expect("read");
    close("contrast index", slope, 0.639_318, 0.0005);
    close("where it leaves fog", x, -2.243_110, 0.002);
    // Delta-X makes the fractional-gradient speed the plain one where the density over 1.30 is 0.80.
    close("fractional", read.fractional.expect("read"), 100.0, 0.3);
    let k1 = Toe::K1;
    for (log, density) in [
        (-3.0, 0.258_636),
        (-2.4, 0.347_835),
        (-2.0, 0.530_764),
        (-1.0, 1.160_134),
        (0.0, 1.801_366),
        (0.6, 2.102_165),
        (1.2, 2.191_364),
    ] {
        close(
            format!("K1 at {log}"),
            k1.density(log),
            density,
            0.000_000_6,
        );
    }
    let read = k1.curve(0.0202).read();
    close("K1 point", read.point.expect("read"), -2.393_388, 0.001);
    let speed = read.speed.expect("read");
    close("K1 speed", speed, 197.914, 0.4);
    assert_eq!(words::ei(&rounded(speed).expect("on the series")), "EI 200");
    close(
        "K1 over 1.30",
        read.contrast.expect("read"),
        0.749_58,
        0.001,
    );
    let said: Vec<String> = read
        .rows()
        .into_iter()
        .map(|(name, said)| format!("{name}: {said}"))
        .collect();
    assert!(
        said.iter()
            .any(|row| row.starts_with("Speed by ISO 6's rule: EI 200 (worked out 198)")),
        "{said:?}"
    );
}

/// The piecewise curve of the reference values, section 12 [CALC, OURS]: and one stop slower, and with more fog.
#[test]
fn piecewise_curve() {
    let net = |log: f64| {
        if log <= -2.55 {
            0.0
        } else if log <= -2.10 {
            0.10 * ((log + 2.55) / 0.45).powi(2)
        } else {
            0.10 + (log + 2.10) * 0.80 / 1.30
        }
    };
    let curve = |fog: f64, moved: f64, by: f64, start: f64| {
        let steps = (0..400)
            .map(|at| start + by * f64::from(at))
            .take_while(|log| *log <= 0.5)
            .map(|log| Step {
                log,
                density: fog + net(log - moved),
            });
        Curve::new(steps, None).expect("sound")
    };
    let read = curve(0.30, 0.0, 0.03, -3.30).read();
    close(
        "fog from alike steps",
        read.fog.expect("two alike"),
        0.30,
        1e-9,
    );
    close("speed", read.speed.expect("read"), 100.714, 0.5);
    close("contrast", read.contrast.expect("read"), 0.80, 0.001);
    close("gradient", read.gradient.expect("read"), 0.615_385, 0.001);
    close("index", read.index.expect("read")[0], 0.615_385, 0.003);
    close(
        "a stop slower",
        curve(0.30, 0.30, 0.03, -3.30).read().speed.expect("read"),
        50.477,
        0.3,
    );
    // Fog as added density changes nothing.
    for fog in [0.30, 0.55, 1.20] {
        let speed = curve(fog, 0.0, 0.03, -3.30).read().speed.expect("read");
        close(format!("fog {fog}"), speed, read.speed.expect("read"), 1e-6);
    }
    // Half-stop steps recover it to within four in a hundred, however they fall.
    for start in [-3.30, -3.27, -3.24, -3.21, -3.18] {
        let speed = curve(0.30, 0.0, 0.15, start).read().speed.expect("read");
        close(format!("from {start}"), speed / 100.714, 1.0, 0.04);
    }
}

/// D2 [CALC]: what steps cost.
#[test]
fn steps_of_a_tablet() {
    for (start, speed) in [(-3.20, 101.35), (-3.15, 100.11), (-3.10, 101.42)] {
        let curve = Curve::new(Toe::K0.steps(start, 0.0, 0.15), Some(0.30)).expect("sound");
        close(
            format!("from {start}"),
            curve.read().speed.expect("read"),
            speed,
            0.006,
        );
    }
    for at in 0..10 {
        let start = -3.20 + 0.01 * f64::from(at);
        let curve = Curve::new(Toe::K0.steps(start, 0.0, 0.10), Some(0.30)).expect("sound");
        let speed = curve.read().speed.expect("read");
        assert!((100.0..=100.7).contains(&speed), "from {start}: {speed}");
    }
    let densities = tablet(0.05, 0.15, 21);
    close("step 11", densities[10], 1.55, 1e-9);
    close("step 21", densities[20], 3.05, 1e-9);
    for (density, stops) in [(0.10, 0.3322), (0.15, 0.4983), (0.30, 0.9966)] {
        close(density, density_in_stops(density), stops, 0.000_051);
    }
}

/// D1 [CALC]: other standards' formulas, and Delta-X.
#[test]
fn formulas() {
    close("5800", colour_negative(0.0030, 0.0042), 398.41, 0.006);
    close("5800", colour_negative(0.0025, 0.0050), 400.0, 0.006);
    close(
        "degrees",
        exposure::din_from_iso(398.41).expect("a speed"),
        27.003,
        0.0006,
    );
    for (shoulder, toe, speed) in [
        (0.1, 0.1, 100.0),
        (0.0125, 0.2, 200.0),
        (0.02, 0.28, 133.63),
    ] {
        close(
            format!("2240 {shoulder}"),
            reversal(shoulder, toe),
            speed,
            0.006,
        );
    }
    for (over, x, stops) in [
        (0.5, 0.4600, 0.546),
        (0.6, 0.4004, 0.348),
        (0.7, 0.3456, 0.166),
        (0.8, 0.2956, 0.0),
        (0.9, 0.2504, -0.150),
        (1.0, 0.2100, -0.284),
    ] {
        close(format!("delta-X of {over}"), delta_x(over), x, 1e-9);
        close(
            format!("stops of {over}"),
            density_in_stops(delta_x(over) - 0.2956),
            stops,
            0.0006,
        );
    }
}

/// D3 [CALC, OURS]: fog as added exposure. The 0.10 rule goes up on a sharp toe and down on a soft one, contrast falls on both, so
/// that fog alone is no speed.
#[test]
fn fog_and_the_speed_point() {
    let names = "rise,first_speed,first_lost,second_speed,second_lost,second_over";
    for row in rows(names, include_str!("../data/fogged.csv")) {
        let rise = number(row[0]);
        for (toe, speed, lost, over) in [
            (Toe::FIRST, number(row[1]), number(row[2]), None),
            (
                Toe::K0,
                number(row[3]),
                number(row[4]),
                Some(number(row[5])),
            ),
        ] {
            // The exposure that makes base plus fog rise by so much.
            let fogged = toe.toe * (10_f64.powf(toe.n * rise / toe.g) - 1.0).powf(1.0 / toe.n);
            let steps = (0..199).map(|at| {
                let log = -3.4 + 0.016 * f64::from(at);
                Step {
                    log,
                    density: toe.at_exposure(10_f64.powf(log) + fogged),
                }
            });
            let read = Curve::new(steps, Some(toe.fog + rise))
                .expect("sound")
                .read();
            let found = read.speed.expect("read");
            close(format!("speed at {rise}"), found / speed, 1.0, 0.003);
            close(
                format!("lost at {rise}"),
                (100.0 / found).log2(),
                lost,
                0.004,
            );
            if let Some(over) = over {
                close(
                    format!("over at {rise}"),
                    read.contrast.expect("read"),
                    over,
                    0.001,
                );
            }
        }
    }
    let fog = Curve::new([], Some(0.9)).expect("sound").read();
    for missing in [
        fog.point,
        fog.speed,
        fog.contrast,
        fog.gradient,
        fog.fractional,
    ] {
        assert_eq!(missing, Err(Missing::OnlyFog), "fog alone");
    }
    assert_eq!(fog.index, Err(Missing::OnlyFog), "fog alone");
    close("fog itself", fog.fog.expect("measured"), 0.9, 1e-12);
    assert!(
        Missing::OnlyFog
            .words()
            .contains("never turned into a speed"),
        "said"
    );
}

/// Each figure only where the points reach, and each with its own reason.
#[test]
fn what_the_points_do_not_reach() {
    let all = Toe::K0.steps(-3.20, 0.0, 0.10);
    let cut = |from: f64, to: f64| {
        let steps = all
            .iter()
            .copied()
            .filter(|step| step.log > from && step.log < to);
        Curve::new(steps, Some(0.30)).expect("sound").read()
    };
    assert_eq!(
        cut(-1.95, 1.0).speed,
        Err(Missing::StartsAbove),
        "too much light"
    );
    assert_eq!(
        cut(-9.0, -2.15).speed,
        Err(Missing::EndsBelow),
        "too little light"
    );
    let short = cut(-9.0, -1.0);
    assert!(short.speed.is_ok(), "{short:?}");
    assert_eq!(
        short.contrast,
        Err(Missing::EndsBefore(Reach::Over)),
        "1.30"
    );
    assert_eq!(
        short.gradient,
        Err(Missing::EndsBefore(Reach::Gradient)),
        "1.50"
    );
    assert_eq!(
        short.fractional,
        Err(Missing::EndsBefore(Reach::Over)),
        "1.30"
    );
    assert_eq!(short.index, Err(Missing::EndsBefore(Reach::Arc)), "2.2");
    let longer = cut(-9.0, -0.65);
    assert!(longer.contrast.is_ok(), "{longer:?}");
    assert_eq!(
        longer.gradient,
        Err(Missing::EndsBefore(Reach::Gradient)),
        "1.50"
    );
    let no_fog = Curve::new(all[8..].iter().copied(), None)
        .expect("sound")
        .read();
    assert_eq!(
        no_fog.speed,
        Err(Missing::NoFog),
        "nothing shows base plus fog"
    );
    let relative = Toe::K0.curve(0.05).relative().read();
    assert_eq!(relative.speed, Err(Missing::NoExposure), "differences only");
    assert_eq!(
        relative.fractional,
        Err(Missing::NoExposure),
        "differences only"
    );
    assert!(
        relative.contrast.is_ok() && relative.index.is_ok(),
        "contrast needs none"
    );
    let soft = Toe { g: 0.3, ..Toe::K0 }.curve(0.05).read();
    assert_eq!(soft.fractional, Err(Missing::BeyondFormula), "{soft:?}");
    // Turned round.
    let turned = all.iter().map(|step| Step {
        log: -step.log,
        ..*step
    });
    assert_eq!(
        Curve::new(turned, Some(0.30)).expect("sound").read().speed,
        Err(Missing::Falls),
        "falls"
    );
    // A reading error of a hundredth is none.
    let mut noisy = all.clone();
    noisy[12].density -= 0.03;
    assert!(
        Curve::new(noisy, Some(0.30))
            .expect("sound")
            .read()
            .speed
            .is_ok(),
        "reading error"
    );
    for bad in [
        Step {
            log: f64::NAN,
            density: 1.0,
        },
        Step {
            log: 0.0,
            density: -0.1,
        },
        Step {
            log: 0.0,
            density: f64::INFINITY,
        },
    ] {
        assert!(Curve::new([bad], None).is_err(), "{bad:?}");
    }
}

/// A row of frames of an even grey surface, metered at box speed.
#[test]
fn frames_at_known_exposures() {
    // Film of ISO 100 in a box of 400, metered at 400: two stops less light than it asks for.
    let steps = (-6..=8).map(|more| {
        let log = metered(400.0, Stops::constant(f64::from(more)));
        Step {
            log,
            density: Toe::K0.density(log),
        }
    });
    let read = Curve::new(steps, Some(0.30)).expect("sound").read();
    let speed = read.speed.expect("read");
    close("speed", (speed / 100.0).log2(), 0.0, 0.12);
    let iso = Mark::parse(Control::Sensitivity, "400", Steps::Third).expect("a speed");
    let from_box = read
        .from_box(BoxSpeed::new(iso).expect("a speed"))
        .expect("read");
    close("from box", from_box.get(), 2.0, 1e-9);
    close(
        "a middle tone",
        metered(100.0, Stops::ZERO),
        0.08_f64.log10(),
        1e-12,
    );
    for film in [
        FilmKind::BlackAndWhite,
        FilmKind::ColourNegative,
        FilmKind::Reversal,
    ] {
        assert!(!limits(film).is_empty(), "{film:?}");
    }
}

/// C7 [CALC].
#[test]
fn scanners() {
    for (bits, density) in [(8, 2.4065), (12, 3.6123), (14, 4.2144), (16, 4.8165)] {
        close(format!("{bits} bits"), deepest(bits), density, 0.000_051);
    }
    for (share, density, read) in [
        (0.01, 0.1, 0.0989),
        (0.01, 1.0, 0.9626),
        (0.01, 2.0, 1.7011),
        (0.01, 3.0, 1.9590),
        (0.002, 1.0, 0.9923),
        (0.002, 3.0, 2.5232),
    ] {
        close(
            format!("{share} on {density}"),
            with_stray_light(density, share),
            read,
            0.000_051,
        );
    }
    let fog = against_holder(235.0, 118.0).expect("not black");
    close("film against its holder", fog, 0.7419 - 0.0805, 0.000_11);
    assert_eq!(against_holder(235.0, 0.0), None, "black");
    // Between the steps, never beyond.
    let calibration = Calibration::new([[200.0, 0.2], [40.0, 1.7], [118.0, 0.8]]).expect("sound");
    close(
        "on a step",
        calibration.density(118.0).expect("known"),
        0.8,
        1e-12,
    );
    close(
        "between",
        calibration.density(159.0).expect("known"),
        0.5,
        1e-12,
    );
    let [least, most] = calibration.codes();
    close("least code", least, 40.0, 1e-12);
    close("most code", most, 200.0, 1e-12);
    for code in [39.0, 201.0, f64::NAN] {
        assert_eq!(calibration.density(code), None, "{code}");
    }
    // Scans turned positive run the other way.
    let positive = Calibration::new([[40.0, 0.2], [200.0, 1.7]]).expect("sound");
    close(
        "turned",
        positive.density(120.0).expect("known"),
        0.95,
        1e-12,
    );
    for bad in [
        vec![],
        vec![[1.0, 1.0]],
        vec![[10.0, 1.0], [20.0, 2.0], [15.0, 3.0]],
        vec![[10.0, 1.0], [300.0, 2.0]],
    ] {
        assert!(Calibration::new(bad.iter().copied()).is_err(), "{bad:?}");
    }
}

/// What is read of base plus fog off steps that were not measured without light: only two that lie most of a stop apart and were
/// read alike show it, and steps that fall by reading errors are not made alike first.
#[test]
fn base_plus_fog_is_not_read_off_a_slope() {
    let of = |steps: &[[f64; 2]]| {
        let steps = steps.iter().map(|[stops, density]| Step {
            log: metered(400.0, Stops::constant(*stops)),
            density: *density,
        });
        Curve::new(steps, None).expect("sound").read()
    };
    let third = 1.0 / 3.0;
    // Film of a quarter of the speed that it was metered at: its toe is not reached, and two steps were read the other way.
    let slope = [
        [-1.0, 0.48],
        [-2.0 * third, 0.47],
        [-third, 0.53],
        [0.0, 0.59],
        [1.0, 0.78],
    ];
    let read = of(&slope);
    assert_eq!(
        (read.fog, read.speed),
        (Err(Missing::NoFog), Err(Missing::NoFog)),
        "a slope"
    );
    assert_eq!(read.alike, None, "nothing stays alike");
    let row = |read: &Read| read.rows()[0].1.clone();
    assert!(row(&read).starts_with("Nothing shows"), "{}", row(&read));
    // A third of a stop apart, two steps are alike on any toe; a stop apart they are not.
    let near = of(&[[-1.0, 0.48], [-2.0 * third, 0.48], [0.0, 0.59], [1.0, 0.78]]);
    assert_eq!(near.fog, Err(Missing::NoFog), "too near");
    // A stop apart and alike to a hundredth: that is base plus fog, and it is said where it is from.
    let alike = of(&[[-4.0, 0.31], [-3.0, 0.30], [-2.0, 0.36], [0.0, 0.62]]);
    close("fog", alike.fog.expect("alike"), 0.305, 1e-9);
    assert_eq!(alike.alike, Some(2), "two of them");
    assert!(
        row(&alike).ends_with(", taken from the two steps that stay alike"),
        "{}",
        row(&alike)
    );
    // In thirds of a stop all up to there have to stay alike.
    let thirds = of(&[
        [-4.0, 0.30],
        [-4.0 + third, 0.31],
        [-4.0 + 2.0 * third, 0.30],
        [-3.0, 0.31],
        [0.0, 0.62],
    ]);
    assert_eq!(thirds.alike, Some(4), "{thirds:?}");
    let uneven = of(&[[-4.0, 0.30], [-3.5, 0.33], [-3.0, 0.30], [0.0, 0.62]]);
    assert_eq!(uneven.fog, Err(Missing::NoFog), "one of them is off");
    // What was measured without light is said as it is.
    let known = Curve::new(
        [Step {
            log: -2.0,
            density: 0.4,
        }],
        Some(0.3),
    )
    .expect("sound")
    .read();
    assert_eq!(
        (known.alike, row(&known).as_str()),
        (None, "0.3"),
        "measured"
    );
}

proptest! {
    #[test]
    fn any_steps(steps in prop::collection::vec((-90_i32..90, 0_i32..60), 0..30), fog in prop::option::of(0_i32..30)) {
        let steps: Vec<Step> = steps
            .into_iter()
            .map(|(log, density)| Step { log: f64::from(log) / 10.0, density: f64::from(density) / 10.0 })
            .collect();
        let fog = fog.map(|fog| f64::from(fog) / 10.0);
        let curve = Curve::new(steps.clone(), fog).expect("in range");
        let read = curve.read();
        prop_assert!(curve.steps().is_sorted_by(|a, b| a.density <= b.density && a.log < b.log));
        for value in [read.fog, read.point, read.speed, read.contrast, read.gradient, read.fractional].into_iter().flatten() {
            prop_assert!(value.is_finite(), "{read:?}");
        }
        if let Ok(point) = read.point {
            // Never beyond the steps.
            let logs = steps.iter().map(|step| step.log);
            prop_assert!(point >= logs.clone().fold(f64::INFINITY, f64::min) - 1e-9);
            prop_assert!(point <= logs.fold(f64::NEG_INFINITY, f64::max) + 1e-9);
        }
        let said = read.rows().into_iter().map(|(_, said)| said).collect::<Vec<_>>().join(" ");
        prop_assert!(!said.contains("NaN") && !said.contains('−'), "{said}");
        // The order of the steps is nothing.
        let mut turned = steps;
        turned.reverse();
        prop_assert_eq!(Curve::new(turned, fog).expect("in range").read().fog, read.fog);
    }
}
