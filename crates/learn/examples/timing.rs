//! How long pictures take: `cargo run --release --example timing -p learn`.
//!
//! Each turn changes time and aperture both, so that every layer is blurred anew.
#![expect(
    clippy::disallowed_types,
    clippy::disallowed_macros,
    reason = "an example that measures has a clock and prints"
)]

use std::time::{Duration, Instant};

use exposure::{Mark, Refused, Scale, Stops};
use learn::film::Printing;
use learn::render::{Renderer, Size};
use learn::scene::SCENES;

fn main() -> Result<(), Refused> {
    for (width, height, times) in [(390, 260, 1.0), (780, 520, 1.0), (390, 260, 12.0)] {
        println!("{width} × {height}, magnified {times} times");
        for scene in SCENES {
            let begun = Instant::now();
            let size = Size::new(width, height)?.magnified(times, [0.0; 2])?;
            let mut renderer = Renderer::new(&scene, size)?;
            let made = begun.elapsed();
            let sets = settings()?;
            // The least of several rounds for each mark: what else runs on the machine is not counted.
            let mut took = vec![Duration::MAX; sets.len()];
            for _ in 0..12 {
                for (set, took) in sets.iter().zip(&mut took) {
                    let begun = Instant::now();
                    let pixels = renderer.draw(set, Stops::ZERO, Printing::Fixed)?;
                    *took = begun.elapsed().min(*took);
                    assert!(pixels.len() > 4, "a picture");
                }
            }
            took.sort_unstable();
            println!(
                "  {:10} layers once {:6.1} ms; a turn {:5.2} ms at least, {:5.2} ms in the median, {:5.2} ms for the slowest mark",
                scene.id,
                made.as_secs_f64() * 1e3,
                took[0].as_secs_f64() * 1e3,
                took[took.len() / 2].as_secs_f64() * 1e3,
                took[took.len() - 1].as_secs_f64() * 1e3,
            );
        }
    }
    Ok(())
}

/// Equal light from f/1.4 at 1/1000 to f/22 at 1/4.
fn settings() -> Result<Vec<[Mark; 3]>, Refused> {
    let speeds = Scale::sensitivities();
    let speed = *speeds
        .labelled(100.0)
        .ok_or_else(|| Refused::new("ISO 100 is on the list"))?;
    let camera = exposure::Camera::parse("1/4..1/1000", "1.4..22", exposure::Steps::Full, None)?;
    let times = camera.times().marks().iter();
    let stops = camera.apertures().marks().iter().rev();
    Ok(times.zip(stops).map(|(t, n)| [*t, *n, speed]).collect())
}
