//! The renderer, measured on its own pixels: what a person sees is decoded again and its spread, its light and its grain compared with
//! what was computed.

use exposure::{Control, FilmKind, Mark, Steps, Stops};

use super::shapes::{Shape, View};
use super::{Renderer, Size};
use crate::film::{Printing, Tones, light};
use crate::scene::{Hold, Mover, SCENES, Scene, Seen};

const WIDTH: usize = 390;
const HEIGHT: usize = 260;

fn set(time: &str, aperture: &str, speed: &str) -> [Mark; 3] {
    [
        (Control::Time, time),
        (Control::Aperture, aperture),
        (Control::Sensitivity, speed),
    ]
    .map(|(control, text)| Mark::parse(control, text, Steps::Third).expect("a mark"))
}

/// A test card: pixels are its units, the middle is the middle.
fn card(scene: &Scene, ground: Vec<Shape>, over: Vec<Shape>) -> Renderer {
    let view = View {
        scale: 1.0,
        middle: [WIDTH as f64 / 2.0, HEIGHT as f64 / 2.0],
    };
    let size = Size::new(WIDTH as u32, HEIGHT as u32).unwrap();
    let layers = [(Vec::new(), view), (over, view)];
    Renderer::of_shapes(scene, size, (&ground, view), &layers)
}

/// Slide film shows light as it is.
fn slide(hold: Hold, mover: Mover) -> Scene {
    Scene {
        film: FilmKind::Reversal,
        hold,
        mover,
        distance: 4000.0,
        behind: None,
        ..SCENES[0]
    }
}

/// Linear light of the green of each pixel.
fn seen(renderer: &mut Renderer, set: &[Mark; 3]) -> Vec<f64> {
    let pixels = renderer.draw(set, Stops::ZERO, Printing::Fixed).unwrap();
    pixels
        .chunks_exact(4)
        .map(|pixel| light(f64::from(pixel[1])))
        .collect()
}

/// Root of the variance of numbers along a line.
fn spread(line: impl IntoIterator<Item = f64>) -> f64 {
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for (at, weight) in line.into_iter().enumerate() {
        let at = at as f64;
        sum += weight;
        first += weight * at;
        second += weight * at * at;
    }
    (second / sum - (first / sum).powi(2)).max(0.0).sqrt()
}

/// Sums of columns and of rows.
fn profiles(picture: &[f64]) -> [Vec<f64>; 2] {
    let columns = (0..WIDTH)
        .map(|x| picture.iter().skip(x).step_by(WIDTH).sum())
        .collect();
    let rows = picture.chunks_exact(WIDTH).map(|row| row.iter().sum());
    [columns, rows.collect()]
}

#[track_caller]
fn within(what: &str, measured: f64, computed: f64, share: f64) {
    let off = measured / computed - 1.0;
    assert!(
        off.abs() <= share,
        "{what}: measured {measured}, computed {computed}, off by {off}"
    );
}

const WHITE: f32 = 0.9;

#[test]
fn a_point_out_of_focus_is_as_wide_as_computed() {
    let scene = slide(Hold::Tripod, Mover::Still);
    let mut drawn = 0;
    for stop in ["1.4", "2", "2.8", "4", "5.6", "8"] {
        let set = set("1/60", stop, "100");
        let disc = scene.prices(&set).unwrap().behind.pixels(WIDTH as f64);
        if disc < 2.0 {
            continue;
        }
        drawn += 1;
        // No brighter than white once it is spread, not even in the middle of a small disc.
        let bright = WHITE * (0.4 * disc * disc * 0.785).max(1.0) as f32;
        let point = Shape::rectangle([bright; 3], [0.0, 0.0], [1.0, 1.0]);
        let picture = seen(&mut card(&scene, vec![point], Vec::new()), &set);
        for profile in profiles(&picture) {
            within(stop, spread(profile), disc / 4.0, 0.03);
        }
    }
    assert!(drawn >= 3, "{drawn} discs were measured");
}

#[test]
fn an_edge_out_of_focus_is_as_wide_as_computed() {
    let scene = Scene {
        distance: 1500.0,
        focal: 85.0,
        ..slide(Hold::Tripod, Mover::Still)
    };
    for stop in ["1.4", "2", "2.8", "4", "5.6", "8", "11", "16", "22"] {
        let set = set("1/60", stop, "100");
        let disc = scene.prices(&set).unwrap().behind.pixels(WIDTH as f64);
        let edge = Shape::rectangle([WHITE; 3], [0.0, -400.0], [400.0, 400.0]);
        let picture = seen(&mut card(&scene, vec![edge], Vec::new()), &set);
        let row = &picture[WIDTH * (HEIGHT / 2)..][..WIDTH];
        let steps = row.windows(2).map(|pair| pair[1] - pair[0]);
        within(stop, spread(steps), disc / 4.0, 0.03);
    }
}

#[test]
fn who_moves_is_drawn_out_as_far_as_computed() {
    let mut drawn = 0;
    for mover in [Mover::Walking, Mover::Cycling, Mover::Car, Mover::Water] {
        let scene = slide(Hold::Tripod, mover);
        for time in ["1/500", "1/250", "1/125", "1/60", "1/30", "1/15"] {
            let set = set(time, "11", "100");
            let length = scene.prices(&set).unwrap().motion.pixels(WIDTH as f64);
            if !(2.0..150.0).contains(&length) {
                continue;
            }
            drawn += 1;
            let bright = WHITE * length as f32;
            let point = Shape::rectangle([bright; 3], [0.0, 0.0], [1.0, 1.0]);
            // What covers nothing brings nothing: the point is on a subject that is black elsewhere.
            let black = Shape::rectangle([0.0; 3], [-20.0, -20.0], [20.0, 20.0]);
            let picture = seen(&mut card(&scene, Vec::new(), vec![black, point]), &set);
            let [across, down] = profiles(&picture);
            let (along, beside) = if mover.falls() {
                (down, across)
            } else {
                (across, down)
            };
            let what = format!("{mover:?} {time}");
            within(&what, spread(along), length / 12_f64.sqrt(), 0.03);
            let beside = spread(beside);
            assert!(beside < 0.05, "{what}: only along the motion, {beside}");
        }
    }
    assert!(drawn >= 12, "{drawn} lines were measured");
}

#[test]
fn a_shaking_hand_draws_out_as_far_as_computed() {
    let scene = Scene {
        behind: Some(4000.0),
        focal: 135.0,
        ..slide(Hold::Hand, Mover::Still)
    };
    for time in ["1/60", "1/30", "1/15", "1/8", "1/4", "1/2"] {
        let set = set(time, "11", "100");
        let length = scene.prices(&set).unwrap().shake.pixels(WIDTH as f64);
        let edge = Shape::rectangle([WHITE; 3], [-400.0, 0.0], [400.0, 400.0]);
        let picture = seen(&mut card(&scene, vec![edge], Vec::new()), &set);
        let column: Vec<f64> = picture
            .iter()
            .skip(WIDTH / 2)
            .step_by(WIDTH)
            .copied()
            .collect();
        let steps = column.windows(2).map(|pair| pair[1] - pair[0]);
        let computed = length / 12_f64.sqrt();
        if Seen::blur(scene.prices(&set).unwrap().shake, WIDTH as f64, 1.0).visible {
            within(time, spread(steps), computed, 0.03);
        } else {
            assert!(
                spread(steps) < 0.01,
                "{time}: what is too small is not drawn"
            );
        }
    }
}

/// Settings of one light, wide open and short to closed and long.
fn equal_light() -> Vec<[Mark; 3]> {
    [
        ("1/1000", "2"),
        ("1/500", "2.8"),
        ("1/250", "4"),
        ("1/125", "5.6"),
        ("1/60", "8"),
        ("1/30", "11"),
        ("1/15", "16"),
    ]
    .map(|(time, stop)| set(time, stop, "100"))
    .to_vec()
}

#[test]
fn settings_of_equal_light_are_equally_bright() {
    let size = Size::new(240, 160).unwrap();
    for scene in SCENES {
        let mut renderer = Renderer::new(&scene, size).unwrap();
        // The light on the film, before anything is clipped.
        let lights: Vec<f64> = equal_light()
            .iter()
            .map(|set| {
                renderer.draw(set, Stops::ZERO, Printing::Fixed).unwrap();
                renderer.mean_light()
            })
            .collect();
        for light in &lights {
            within(scene.id, *light, lights[0], 0.01);
        }
    }
    // And on the screen, where a scene has no light beyond white.
    for id in ["cyclist", "portrait"] {
        let scene = Scene {
            film: FilmKind::Reversal,
            backdrop: crate::scene::Backdrop::Wall,
            ..Scene::of_id(id).unwrap()
        };
        let mut renderer = Renderer::new(&scene, size).unwrap();
        let means: Vec<f64> = equal_light()
            .iter()
            .map(|set| seen(&mut renderer, set).iter().sum::<f64>())
            .collect();
        for mean in &means {
            within(id, *mean, means[0], 0.01);
        }
        let double = renderer
            .draw(&equal_light()[3], Stops::constant(-1.0), Printing::Fixed)
            .unwrap()
            .chunks_exact(4)
            .map(|pixel| light(f64::from(pixel[1])))
            .sum::<f64>();
        within("a stop less is half", double, means[3] / 2.0, 0.02);
    }
}

#[test]
fn grain_deviates_as_far_as_computed() {
    for (film, speed, times) in [
        (FilmKind::ColourNegative, "400", 12.0),
        (FilmKind::ColourNegative, "100", 12.0),
        (FilmKind::BlackAndWhite, "200", 8.0),
        (FilmKind::BlackAndWhite, "800", 4.0),
        (FilmKind::Reversal, "100", 8.0),
    ] {
        let scene = Scene {
            film,
            ..slide(Hold::Tripod, Mover::Still)
        };
        let set = set("1/250", "8", speed);
        let view = View {
            scale: 1.0,
            middle: [0.0; 2],
        };
        let size = Size::new(WIDTH as u32, HEIGHT as u32).unwrap();
        let size = size.magnified(times, [0.0; 2]).unwrap();
        let grey = Shape::rectangle([0.18; 3], [-1.0, -1.0], [400.0, 400.0]);
        let mut renderer = Renderer::of_shapes(&scene, size, (&[grey], view), &[]);
        let pixels = renderer.draw(&set, Stops::ZERO, Printing::Fixed).unwrap();
        let tones = Tones::new(film, Stops::ZERO, Printing::Fixed);
        let densities: Vec<f64> = pixels
            .chunks_exact(4)
            .map(|pixel| tones.density_of(light(f64::from(pixel[0]))))
            .collect();
        let count = densities.len() as f64;
        let mean = densities.iter().sum::<f64>() / count;
        let variance = densities.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / count;
        let computed = scene
            .prices(&set)
            .unwrap()
            .grain(WIDTH as f64, times)
            .unwrap();
        within(
            &format!("{film:?} {speed}"),
            variance.sqrt(),
            computed,
            0.05,
        );
        within("the middle tone", mean, tones.density(0.18), 0.01);
    }
}

#[test]
fn two_pictures_differ_by_the_setting_alone() {
    let size = Size::new(120, 80).unwrap();
    for scene in SCENES {
        let mut one = Renderer::new(&scene, size).unwrap();
        let mut other = Renderer::new(&scene, size).unwrap();
        let sets = equal_light();
        let first = one
            .draw(&sets[0], Stops::ZERO, Printing::Fixed)
            .unwrap()
            .to_vec();
        let turned = one
            .draw(&sets[5], Stops::ZERO, Printing::Fixed)
            .unwrap()
            .to_vec();
        assert_ne!(first, turned, "{}: a turn shows", scene.id);
        let back = one.draw(&sets[0], Stops::ZERO, Printing::Fixed).unwrap();
        assert_eq!(first, back, "{}: back is back", scene.id);
        let same = other.draw(&sets[0], Stops::ZERO, Printing::Fixed).unwrap();
        assert_eq!(first, same, "{}: the same everywhere", scene.id);
    }
}

#[test]
fn sizes_out_of_range_are_refused() {
    for (width, height) in [(0, 100), (100, 7), (5000, 10), (4096, 4096)] {
        let refused = Size::new(width, height).expect_err("too small or too large");
        assert!(
            refused.to_string().contains("has to lie between"),
            "{refused}"
        );
    }
    let size = Size::new(390, 260).unwrap();
    for (times, towards) in [
        (0.5, [0.0; 2]),
        (51.0, [0.0; 2]),
        (f64::NAN, [0.0; 2]),
        (2.0, [0.6, 0.0]),
        (2.0, [0.0, f64::NAN]),
    ] {
        assert!(
            size.magnified(times, towards).is_err(),
            "{times} {towards:?}"
        );
    }
    let square = exposure::FORMATS
        .iter()
        .find(|format| format.id == "6x6")
        .unwrap();
    assert_eq!(Size::whole_height(390, square), 390);
    let broken = Scene {
        distance: 10.0,
        ..SCENES[0]
    };
    assert!(
        Renderer::new(&broken, size).is_err(),
        "nearer than the focal length"
    );
    let broken = Scene {
        format: "none",
        ..SCENES[0]
    };
    assert!(Renderer::new(&broken, size).is_err(), "no such format");
}

#[test]
fn any_setting_at_any_size_is_a_picture() {
    for (width, height, times) in [(8, 8, 1.0), (33, 97, 2.0), (97, 33, 50.0), (64, 64, 7.5)] {
        for scene in SCENES {
            for before in [None, Some(scene.distance / 2.0)] {
                let scene = Scene { before, ..scene };
                let size = Size::new(width, height).unwrap();
                let size = size.magnified(times, [0.3, -0.2]).unwrap();
                let mut renderer = Renderer::new(&scene, size).unwrap();
                for (set, more) in [
                    (set("1/8000", "64", "0.8"), 0.0),
                    (set("1/60", "1", "12800"), 0.0),
                    (set("30s", "22", "100"), 8.0),
                    (set("24:00:00", "0.7", "100"), 8.0),
                ] {
                    let more = Stops::constant(more);
                    let pixels = renderer.draw(&set, more, Printing::Corrected).unwrap();
                    let opaque = pixels.chunks_exact(4).all(|pixel| pixel[3] == 255);
                    assert!(opaque, "every pixel is covered");
                }
            }
        }
    }
}

impl Renderer {
    /// Mean of the light on the film in the picture drawn last.
    fn mean_light(&mut self) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0);
        for y in 0..self.size.height {
            for (line, plane) in self.lines.iter_mut().zip(&self.ground.shown) {
                line.copy_from_slice(plane.row(y));
            }
            for layer in self.layers.iter().flatten() {
                layer.shown.lay_over(y, &mut self.lines);
            }
            for line in &self.lines {
                sum += line.iter().map(|light| f64::from(*light)).sum::<f64>();
                count += line.len() as f64;
            }
        }
        sum / count
    }
}
