//! Invented brackets whose truth is known: scenes of tones, a film's curve, noise, a cast, drifting light, and a scanner that leaves
//! or corrects each frame.

use exposure::tone;
use scans::{Measured, Pixels};

/// Numbers that look random and are the same on every machine (xorshift).
#[derive(Debug, Clone)]
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// From nought to one.
    pub(crate) fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).expect("32 bits")) / f64::from(u32::MAX)
    }

    /// About normal, with deviation one.
    fn bell(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

/// How a frame came to be a scan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Made {
    /// Which scene.
    pub(crate) scene: u64,
    /// Stops of light more than the scene's middle.
    pub(crate) stops: f64,
    /// Contrast of film and scan: stops that the picture moves for each stop.
    pub(crate) contrast: f64,
    /// Brought back to a middle tone, as an automatic scan does.
    pub(crate) corrected: bool,
    /// Left as the negative that it is: darker where there was more light, under an orange mask.
    pub(crate) negative: bool,
    /// Stops by which the colours of things differ from grey at most.
    pub(crate) colour: f64,
    /// Noise, in stops.
    pub(crate) noise: f64,
    /// Stops by which blue is stronger in the shadows.
    pub(crate) cast: f64,
    /// Moved by so many of a hundred parts of its width and height.
    pub(crate) moved: (f64, f64),
    /// Columns and rows of pixels.
    pub(crate) size: (usize, usize),
    /// Another draw of the noise.
    pub(crate) seed: u64,
}

impl Made {
    pub(crate) const fn new(scene: u64, stops: f64) -> Self {
        Self {
            scene,
            stops,
            contrast: 1.0,
            corrected: false,
            negative: false,
            colour: 0.6,
            noise: 0.05,
            cast: 0.0,
            moved: (0.0, 0.0),
            size: (192, 128),
            seed: 1,
        }
    }

    /// Its pixels.
    pub(crate) fn pixels(&self) -> Vec<u8> {
        let scene = Scene::new(self.scene);
        let mut dice = Dice::new(self.scene * 1000 + self.seed);
        let (width, height) = self.size;
        #[expect(clippy::cast_precision_loss, reason = "small pictures")]
        let place = |x: usize, y: usize| {
            (
                (x as f64 + 0.5) / width as f64 - self.moved.0 / 100.0,
                (y as f64 + 0.5) / height as f64 - self.moved.1 / 100.0,
            )
        };
        // What an automatic scan brings back: the middle of the picture.
        let level = if self.corrected {
            0.0
        } else {
            self.stops * self.contrast
        };
        let mut out = Vec::with_capacity(width * height * 4);
        for y in 0..height {
            for x in 0..width {
                let (tone, hue) = scene.at(place(x, y));
                let tone = tone * self.contrast + level;
                let shadow = (-tone / 3.0).clamp(0.0, 1.0);
                let grain = dice.bell() * self.noise;
                for colour in 0..3 {
                    let lean = if colour == 2 { self.cast * shadow } else { 0.0 };
                    let own = hue[colour] * self.colour * self.contrast;
                    let stops = tone + own + grain + lean;
                    let stops = if self.negative {
                        ORANGE[colour] - NEGATIVE * stops
                    } else {
                        stops
                    };
                    let light = tone::MIDDLE * stops.exp2();
                    out.push(to_code(tone::code(light)));
                }
                out.push(255);
            }
        }
        out
    }

    pub(crate) fn measured(&self) -> Measured {
        let pixels = self.pixels();
        let pixels = Pixels::new(self.size.0, self.size.1, &pixels).expect("as many as said");
        Measured::of(&pixels)
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "codes of 0 to 255"
)]
pub(crate) fn to_code(code: f64) -> u8 {
    code.round().clamp(0.0, 255.0) as u8
}

/// Contrast of a negative.
const NEGATIVE: f64 = 0.6;
/// Stops by which its mask lets red, green and blue through more.
const ORANGE: [f64; 3] = [1.0, 0.0, -1.0];

/// A scene: patches of tones and colours over a gentle ramp, from three stops under the middle to one and a half above.
struct Scene {
    patches: Vec<([f64; 4], f64, [f64; 3])>,
    ramp: (f64, f64),
}

impl Scene {
    fn new(seed: u64) -> Self {
        let mut dice = Dice::new(seed + 77);
        let patches = (0..40)
            .map(|_| {
                let (x, y) = (dice.share() * 1.2 - 0.1, dice.share() * 1.2 - 0.1);
                let (w, h) = (0.04 + dice.share() * 0.22, 0.04 + dice.share() * 0.22);
                let tone = dice.share() * 4.5 - 3.0;
                // Half of the things are grey; warm and cold ones are as many, and as bright as they would be without their colour.
                let hue = if dice.share() < 0.5 {
                    [0.0; 3]
                } else {
                    let lean = 2.0 * dice.share() - 1.0;
                    [lean, -0.2 * lean, -lean]
                };
                ([x, y, w, h], tone, hue)
            })
            .collect();
        let ramp = (dice.share() - 0.5, dice.share() - 0.5);
        Self { patches, ramp }
    }

    /// Tone in stops, and by how many stops each colour is stronger.
    fn at(&self, (x, y): (f64, f64)) -> (f64, [f64; 3]) {
        let over = self
            .patches
            .iter()
            .rev()
            .find(|([px, py, w, h], ..)| (x - px).abs() < w / 2.0 && (y - py).abs() < h / 2.0);
        let ramp = self.ramp.0 * (x - 0.5) + self.ramp.1 * (y - 0.5);
        over.map_or((-0.5 + ramp, [0.0; 3]), |(_, tone, hue)| {
            (*tone + ramp, *hue)
        })
    }
}
