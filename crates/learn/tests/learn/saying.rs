//! What is said of pictures.

use exposure::{Control, FilmKind, Stops};
use learn::film::Printing;
use learn::render::Size;
use learn::scene::{Hold, Mover, SCENES, Scene};
use learn::words;

use crate::check::set;

fn phone() -> Size {
    Size::new(390, 260).expect("within range")
}

#[test]
fn what_a_picture_shows() {
    let scene = Scene::of_id("cyclist").unwrap();
    let said = words::prices(&scene, &set("1/60", "8", "400"), &phone()).unwrap();
    let texts: Vec<&str> = said.iter().map(|said| said.text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "The cyclist is drawn out by 0.59 mm, about one part in 61 of the picture's width; a navy manual of 1993 asks for 1/1000 here (25 mph at 25 ft).",
            "A hand that is as steady as the rule of one over the focal length takes it to be draws everything out by 0.0234 mm, about one part in 1500 of the picture's width; too small to see at this size, it shows magnified 2 times.",
            "A point of the wall, 11 m away, is a disc of 0.0107 mm, about one part in 3400 of the picture's width; too small to see at this size, it shows magnified 6 times.",
            "Diffraction makes a disc of 0.0108 mm of every point; too small to see at this size, it shows magnified 6 times.",
            "Grain has a granularity of about 8 by theory, from about 4 at ISO 100 (a list of makers' figures of 1999); lists of 1999 print about 5 for films of ISO 400, which grew less; too small to see at this size, it shows magnified 2 times.",
        ]
    );
    let drawn: Vec<bool> = said.iter().map(|said| said.seen.visible).collect();
    assert_eq!(drawn, [true, false, false, false, false]);
    assert_eq!(said[0].control, Control::Time);
    assert_eq!(said[4].control, Control::Sensitivity);
}

/// What the manual asks for and what the computation gives are both there, whatever they are.
#[test]
fn the_manual_stands_beside() {
    for scene in SCENES {
        let said = words::navy(&scene);
        let stopped = words::stopped(&scene).unwrap();
        assert_eq!(
            stopped.is_some(),
            scene.mover != Mover::Still,
            "{}",
            scene.id
        );
        if let (Some(stopped), Some(said)) = (stopped, &said) {
            assert!(
                stopped.starts_with("Up to 1/") && stopped.contains(said),
                "{stopped}"
            );
        }
        assert_eq!(
            said.is_some(),
            !matches!(scene.mover, Mover::Still | Mover::Water),
            "{}",
            scene.id
        );
        let effects = words::prices(&scene, &set("1/60", "8", "100"), &phone()).unwrap();
        if let Some(said) = said {
            assert!(effects[0].text.contains(&said), "{}", effects[0].text);
            assert!(effects[0].text.contains(" mm, about one part in "));
        }
    }
    let long = Scene {
        focal: 100.0,
        ..Scene::of_id("cyclist").unwrap()
    };
    let said = words::navy(&long).unwrap();
    assert!(
        said.ends_with("1/2000 here (25 mph at 25 ft, twice as fast by its own rule)"),
        "{said}"
    );
}

#[test]
fn the_manuals_rule_in_words() {
    for (distance, expected) in [
        (
            2000.0,
            "1/4000 here (25 mph at 12 ft, twice as fast by its own rule)",
        ),
        (
            120_000.0,
            "1/60 here (25 mph at 100 ft, a quarter as fast by its own rule)",
        ),
    ] {
        let scene = Scene {
            distance,
            behind: None,
            ..Scene::of_id("cyclist").unwrap()
        };
        let said = words::navy(&scene).unwrap();
        assert!(said.ends_with(expected), "{said}");
    }
}

#[test]
fn the_whole_picture_in_words() {
    let scene = Scene::of_id("portrait").unwrap();
    let text = words::alternative(
        &scene,
        &set("1/125", "2.8", "100"),
        Stops::constant(-2.0),
        Printing::Corrected,
        &phone().magnified(4.0, [0.0; 2]).unwrap(),
    )
    .unwrap();
    assert!(
        text.starts_with("A portrait before trees. The sitter is 2 m away; 85 mm lens, 35 mm film, 24 × 36 mm, black-and-white film, by hand. Set to 1/125 at f/2.8, EI 100. A part of it, magnified 4 times."),
        "{text}"
    );
    for part in [
        "A point of the trees, 12 m away, is a disc of 1.11 mm, about one part in 32 of the picture's width.",
        "Sharp from 1.96 m to 2.04 m, by a circle of confusion of the diagonal over 1500.",
        "2 stops less light than the film asks for: on a negative the shadows go first.",
        "The print is corrected",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    for scene in SCENES {
        for more in [-3.0, 0.0, 2.0] {
            let text = words::alternative(
                &scene,
                &set("1/60", "5.6", "400"),
                Stops::constant(more),
                Printing::Fixed,
                &phone(),
            )
            .unwrap();
            assert!(!text.contains(['+', '−']) && !text.contains(".."), "{text}");
            assert!(text.ends_with('.'), "{text}");
        }
    }
}

#[test]
fn hands_and_classes() {
    let tripod = Scene::of_id("weir").unwrap();
    assert_eq!(words::steady(&tripod, &set("1/8", "8", "100")), None);
    let hand = Scene::of_id("runner").unwrap();
    let said = words::steady(&hand, &set("1/125", "8", "100")).unwrap();
    assert!(
        said.contains("1/125") && said.contains("no promise"),
        "{said}"
    );
    assert!(words::tally(0, 30, 0.5).ends_with("so well nearly always."));
    assert!(words::tally(30, 30, 0.5).ends_with("so well hardly ever."));
}

/// Where an effect is said to show best, the magnified picture shows it: its pixels differ there between two settings.
#[test]
fn magnified_it_shows() {
    for id in ["cyclist", "portrait", "runner"] {
        let scene = Scene::of_id(id).unwrap();
        let sets = [set("1/60", "8", "100"), set("1/500", "2.8", "100")];
        for said in words::prices(&scene, &sets[0], &phone()).unwrap() {
            let Some(times) = said.seen.magnification.filter(|_| !said.seen.visible) else {
                continue;
            };
            let size = phone().magnified(times, said.towards).unwrap();
            let there = words::prices(&scene, &sets[0], &size).unwrap();
            let again = there.iter().find(|other| other.control == said.control);
            assert!(again.is_some(), "{}", said.text);
            let mut renderer = learn::render::Renderer::new(&scene, size).unwrap();
            let [one, other] = sets.map(|set| {
                renderer
                    .draw(&set, Stops::ZERO, Printing::Fixed)
                    .unwrap()
                    .to_vec()
            });
            let differ = one.iter().zip(&other).filter(|(a, b)| a.abs_diff(**b) > 1);
            assert!(differ.count() > 50, "{id}: {}", said.text);
        }
    }
}

#[test]
fn two_pictures_compared() {
    let scene = Scene::of_id("runner").unwrap();
    let said = words::compared(
        &scene,
        &set("1/500", "2.8", "100"),
        &set("1/125", "2.8", "25"),
    );
    let said = said.unwrap();
    assert_eq!(said[0], "Same light, another picture.");
    assert!(
        said[1].starts_with("The runner is drawn out about 4 times as far"),
        "{said:?}"
    );
    assert!(
        said[3].starts_with("Grain is about 50 % as strong, by theory"),
        "{said:?}"
    );
    let same = set("1/500", "2.8", "100");
    let said = words::compared(&scene, &same, &same).unwrap();
    assert_eq!(said[1], "Both pictures look alike.");
    let less = words::compared(&scene, &same, &set("1/1000", "2.8", "100")).unwrap();
    assert_eq!(less[0], "The second picture comes from 1 stop less light.");
    let still = Scene {
        hold: Hold::Tripod,
        ..Scene::of_id("portrait").unwrap()
    };
    let said =
        words::compared(&still, &set("1/60", "8", "100"), &set("1/250", "4", "100")).unwrap();
    assert_eq!(
        said[1],
        "A point of the trees is spread about 2 times as wide: by 0.786 mm, and by 0.393 mm in the first picture."
    );
    assert_eq!(said.len(), 2, "{said:?}");
}

#[test]
fn more_and_less_light() {
    for (film, more, expected) in [
        (
            FilmKind::ColourNegative,
            -3.0,
            "3 stops less light than the film asks for: on a negative the shadows go first. Of the contrast of a middle tone about 2.5 % is left 3 stops below it, and about 100 % 3 stops above. Printed as before, the picture is darker.",
        ),
        (
            FilmKind::BlackAndWhite,
            2.0,
            "2 stops more light than the film asks for: a negative keeps its shadows, and its lights get denser. Of the contrast of a middle tone about 97 % is left 3 stops below it, and about 91 % 3 stops above. Printed as before, the picture is brighter.",
        ),
        (
            FilmKind::Reversal,
            -1.0,
            "1 stop less light than the film asks for: on a slide everything gets darker, and the shadows go black first; what is more than about 3½ stops brighter than a middle tone is clear film.",
        ),
        (
            FilmKind::Reversal,
            3.0,
            "3 stops more light than the film asks for: on a slide the lights go first; what is more than about ½ stop below a middle tone and brighter is clear film.",
        ),
    ] {
        let said = words::exposed(film, Stops::constant(more), Printing::Fixed);
        assert_eq!(said, expected);
    }
}

/// A7 [CALC] seen as a bracket: what is lost at which end, from the curve alone. The edges are worked out once more here: a tone of
/// a negative lies where its toe gives a tenth of the middle's slope, a slide is clear 2.474 stops over the middle tone.
#[test]
fn what_a_bracket_loses_first() {
    let frames: Vec<Stops> = (-3..=3)
        .map(|more| Stops::constant(f64::from(more)))
        .collect();
    for (film, expected) in [
        (
            FilmKind::ColourNegative,
            "Colour negative film: With 3 stops less light it loses shadows from about 2 stops below a middle tone on. With 3 stops more light it keeps every tone from 4 stops below a middle tone to 3 above. A tone counts as lost where less than a tenth of the middle tone's contrast is left.",
        ),
        (
            FilmKind::Reversal,
            "Slide film: With 3 stops less light it keeps every tone from 4 stops below a middle tone to 3 above. With 3 stops more light it loses lights from about ½ stop below a middle tone on. A tone counts as lost where less than a tenth of the middle tone's contrast is left.",
        ),
    ] {
        assert_eq!(words::bracket(film, &frames), expected);
    }
    assert_eq!(words::bracket(FilmKind::Reversal, &[]), "");
    let one = words::bracket(FilmKind::BlackAndWhite, &[Stops::ZERO]);
    assert!(
        one.contains("As the film asks for it keeps every tone"),
        "{one}"
    );
    for more in [-6.0, -3.0, 0.0, 2.0, 6.0, 9.0] {
        let more = Stops::constant(more);
        for film in [FilmKind::ColourNegative, FilmKind::Reversal] {
            let tones = learn::film::Tones::new(film, more, Printing::Fixed);
            let Some((dark, bright)) = tones.keeps(0.1) else {
                assert!(tones.contrast_left(0.0) < 0.1, "{film:?} {more:?}");
                continue;
            };
            for (inside, outside) in [(dark + 0.01, dark - 0.01), (bright - 0.01, bright + 0.01)] {
                assert!(
                    tones.contrast_left(inside) >= 0.1,
                    "{film:?} {more:?} {inside}"
                );
                assert!(
                    outside.abs() > 10.0 || tones.contrast_left(outside) < 0.1,
                    "{film:?} {more:?} {outside}"
                );
            }
        }
    }
}
