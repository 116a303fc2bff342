//! Film curves, and what becomes of a tone between the scene and the screen.

use std::f64::consts::{LN_10, LOG10_2};

use exposure::{FilmKind, Stops};

/// Tones on a screen: [`exposure::tone`].
pub use exposure::tone::{MIDDLE, code, light};

/// A characteristic curve with a toe and a shoulder: density against the logarithm of exposure.
///
/// D = B + g/n · (log10(1 + (H/toe)^n) − log10(1 + (H/shoulder)^n)). A curve of this project, close to what negatives do and exact
/// to compute with; no film's published curve.
///
/// ```
/// use scenes::film::Curve;
/// let curve = Curve::NEGATIVE;
/// assert!((curve.density(-2.0) - 0.530764).abs() < 1e-6);
/// // One stop more light is 0.19 denser in the middle.
/// assert!((curve.density(curve.middle() + 0.30103) - 1.1003).abs() < 1e-4);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    fog: f64,
    half_slope: f64,
    toe: f64,
    shoulder: f64,
}

impl Curve {
    /// A negative of about ISO 200: base plus fog 0.25, slope 0.64 at the middle tone, most density 2.2.
    pub const NEGATIVE: Self = Self {
        fog: 0.25,
        half_slope: 0.325,
        toe: -2.4,
        shoulder: 0.6,
    };

    /// How far above the speed point the middle tone lies, in log10 of exposure (common practice).
    pub const MIDDLE_ABOVE_SPEED_POINT: f64 = 1.0;

    /// Density at log10 of an exposure in lx·s.
    #[must_use]
    pub fn density(&self, log: f64) -> f64 {
        // log10(1 + 10^(2x)) without leaving the range of numbers.
        let rise = |x: f64| (1.0 + (2.0 * x * LN_10).min(600.0).exp()).log10();
        self.fog + self.half_slope * (rise(log - self.toe) - rise(log - self.shoulder))
    }

    /// Slope of density against log10 of exposure.
    #[must_use]
    pub fn slope(&self, log: f64) -> f64 {
        let part = |x: f64| 1.0 / (1.0 + (-2.0 * x * LN_10).min(600.0).exp());
        2.0 * self.half_slope * (part(log - self.toe) - part(log - self.shoulder))
    }

    /// log10 of the exposure at the speed point: 0.10 above base plus fog.
    #[must_use]
    pub fn speed_point(&self) -> f64 {
        let (mut low, mut high) = (self.toe - 4.0, self.shoulder);
        for _ in 0..60 {
            let between = f64::midpoint(low, high);
            if self.density(between) < self.fog + 0.10 {
                low = between;
            } else {
                high = between;
            }
        }
        high
    }

    /// log10 of the exposure of the middle tone.
    #[must_use]
    pub fn middle(&self) -> f64 {
        self.speed_point() + Self::MIDDLE_ABOVE_SPEED_POINT
    }
}

/// How the picture on the screen comes from the film.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Printing {
    /// Every picture alike, so that more light is a brighter picture: what a fixed scan does, and what a slide is.
    Fixed,
    /// The middle tone is brought back to where it belongs: what a laboratory does. A slide cannot be printed so.
    Corrected,
}

/// The way of a tone from the scene to the screen.
///
/// ```
/// use exposure::{FilmKind, Stops};
/// use scenes::film::{MIDDLE, Printing, Tones, code};
/// let said = |stops, printing| {
///     code(Tones::new(FilmKind::ColourNegative, Stops::constant(stops), printing).shown(MIDDLE)).round()
/// };
/// assert_eq!(said(0.0, Printing::Fixed), 118.0);
/// assert_eq!(said(-2.0, Printing::Fixed), 62.0);
/// assert_eq!(said(-2.0, Printing::Corrected), 118.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tones {
    negative: bool,
    /// Stops of light more than the film's rating asks for.
    more: f64,
    /// log10 of the exposure of a middle tone without more light.
    middle: f64,
    /// Density that the print makes a middle tone of, and the contrast of the print.
    print: f64,
    contrast: f64,
}

impl Tones {
    /// A film that got so much more light than it asks for, printed in that way.
    #[must_use]
    pub fn new(film: FilmKind, more: Stops, printing: Printing) -> Self {
        let curve = Curve::NEGATIVE;
        let middle = curve.middle();
        let at = match printing {
            Printing::Fixed => middle,
            Printing::Corrected => middle + more.get() * LOG10_2,
        };
        Self {
            negative: film != FilmKind::Reversal,
            more: more.get(),
            middle,
            print: curve.density(at),
            contrast: 1.0 / curve.slope(middle),
        }
    }

    /// Density on the film of a share of light in the scene, where 0.18 is a middle tone. A slide is densest where it got least;
    /// it is taken as exact over four densities and clear above white.
    #[must_use]
    pub fn density(&self, scene: f64) -> f64 {
        let scene = scene.max(1e-6) * exposure::of_two(self.more);
        if self.negative {
            Curve::NEGATIVE.density(self.middle + (scene / MIDDLE).log10())
        } else {
            -scene.clamp(1e-4, 1.0).log10()
        }
    }

    /// The share of light on the screen of a density on the film, 0 to 1.
    #[must_use]
    pub fn of_density(&self, density: f64) -> f64 {
        let power = if self.negative {
            MIDDLE.log10() + self.contrast * (density - self.print)
        } else {
            -density
        };
        (power * LN_10).exp().min(1.0)
    }

    /// The density that a share of light on the screen comes from: the inverse of [`Tones::of_density`] below white.
    #[must_use]
    pub fn density_of(&self, shown: f64) -> f64 {
        let log = shown.log10();
        if self.negative {
            self.print + (log - MIDDLE.log10()) / self.contrast
        } else {
            -log
        }
    }

    /// The share of light on the screen of a share of light in the scene.
    #[must_use]
    pub fn shown(&self, scene: f64) -> f64 {
        self.of_density(self.density(scene))
    }

    /// From how far below the middle tone to how far above it, in stops, a tone keeps at least this share of the middle tone's
    /// contrast. Each end lies between the darkest and the brightest that are looked at, ten stops either way; nothing where the
    /// middle tone itself does not keep it.
    ///
    /// ```
    /// use exposure::{FilmKind, Stops};
    /// use scenes::film::{Printing, Tones};
    /// let slide = Tones::new(FilmKind::Reversal, Stops::ZERO, Printing::Fixed);
    /// let (dark, bright) = slide.keeps(0.1).unwrap();
    /// assert!((bright - 2.474).abs() < 1e-3 && dark == -10.0);
    /// ```
    #[must_use]
    pub fn keeps(&self, share: f64) -> Option<(f64, f64)> {
        let kept = |tone: f64| self.contrast_left(tone) >= share;
        // Where what is kept begins or ends, between a tone that is kept and the last one that is looked at.
        let end = |last: f64, inside: f64| {
            if kept(last) {
                return last;
            }
            let (mut lost, mut found) = (last, inside);
            for _ in 0..40 {
                let between = f64::midpoint(lost, found);
                if kept(between) {
                    found = between;
                } else {
                    lost = between;
                }
            }
            found
        };
        // Contrast rises to one top and falls from it, so that any tone that is kept lies between both ends.
        let inside = (-40..=40).map(|quarter| f64::from(quarter) / 4.0);
        let best =
            inside.max_by(|a, b| self.contrast_left(*a).total_cmp(&self.contrast_left(*b)))?;
        kept(best).then(|| (end(-10.0, best), end(10.0, best)))
    }

    /// How much of the contrast of the middle tone is left at a tone of so many stops above it: 1 is all of it.
    ///
    /// ```
    /// use exposure::{FilmKind, Stops};
    /// use scenes::film::{Printing, Tones};
    /// let fine = Tones::new(FilmKind::BlackAndWhite, Stops::ZERO, Printing::Fixed);
    /// assert!((fine.contrast_left(-3.0) - 0.6230).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn contrast_left(&self, tone: f64) -> f64 {
        if self.negative {
            let curve = Curve::NEGATIVE;
            let at = self.middle + (self.more + tone) * LOG10_2;
            curve.slope(at) * self.contrast
        } else {
            // Clear film and the deepest black hold nothing.
            let shown = MIDDLE * exposure::of_two(self.more + tone);
            f64::from(u8::from(shown > 1e-4 && shown < 1.0))
        }
    }
}

/// Granularity of a film of ISO 100 and of another sensitivity by theory, and what lists print.
///
/// Printed figures of different kinds were read at different densities and do not compare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Granularity {
    /// At ISO 100.
    pub at_100: f64,
    /// Where that comes from.
    pub source: &'static str,
    /// What is printed: sensitivity and granularity.
    pub printed: &'static [(f64, f64)],
}

/// What is known of the grain of a kind of film.
#[must_use]
pub const fn granularity(film: FilmKind) -> Granularity {
    match film {
        FilmKind::ColourNegative => Granularity {
            at_100: 4.0,
            source: "a list of makers' figures of 1999",
            printed: &[(100.0, 4.0), (400.0, 5.0), (800.0, 5.0)],
        },
        FilmKind::Reversal => Granularity {
            at_100: 9.5,
            source: "a list of makers' figures of 1999, 9 to 10",
            printed: &[(100.0, 9.5)],
        },
        FilmKind::BlackAndWhite => Granularity {
            at_100: 8.0,
            source: "an estimate of this project",
            printed: &[],
        },
    }
}
