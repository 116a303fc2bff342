//! Depth of field, hyperfocal distance and diffraction.

use crate::{Error, range};

/// Wavelength by which diffraction is judged, mm: 0.55 µm, green, where the eye sees best (common practice, no source).
pub const WAVELENGTH: f64 = 0.000_55;

/// Diameter of the first dark ring over wavelength and f-number: 2 · 3.831 705 97 / π, the first zero of the Bessel function
/// J1 (standard optics, from memory; the figure is arithmetic).
const FIRST_DARK_RING: f64 = 2.439_339_782_5;

/// A lens at a focus, and how large a blur still counts as sharp.
///
/// Distances are in millimetres from the lens; scales on lenses count from the film, which close up is a focal length or
/// two more. The formulas are those of a thin symmetrical lens: H = f²/(N·c) + f, near = s(H − f)/(H + s − 2f), far =
/// s(H − f)/(H − s), without end from s = H on (source: the usual encyclopedia, quoted by a public page).
///
/// ```
/// use exposure::DepthOfField;
/// let field = DepthOfField::new(50.0, Some(2000.0), 0.03)?;
/// let sharp = field.at(8.0);
/// assert!((sharp.near - 1684.64).abs() < 0.01);
/// assert!(sharp.far.is_some_and(|far| (far - 2460.63).abs() < 0.01));
/// assert!((field.hyperfocal(8.0) - 10_466.67).abs() < 0.01);
/// # Ok::<(), exposure::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DepthOfField {
    focal: f64,
    distance: Option<f64>,
    circle: f64,
}

/// From where to where a picture is sharp, in millimetres from the lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sharp {
    /// Nearest sharp distance.
    pub near: f64,
    /// Farthest sharp distance; none is infinity.
    pub far: Option<f64>,
}

impl DepthOfField {
    /// Takes a focal length, a focus distance (none is infinity) and a circle of confusion, all in millimetres.
    ///
    /// # Errors
    ///
    /// Range error beyond [`range::FOCAL`], [`range::FOCUS`] or [`range::CIRCLE`], or for a focus that is no farther than the
    /// focal length.
    pub fn new(focal: f64, distance: Option<f64>, circle: f64) -> Result<Self, Error> {
        range::FOCAL.check(focal)?;
        range::CIRCLE.check(circle)?;
        if let Some(distance) = distance {
            range::FOCUS.check(distance)?;
            if distance <= focal {
                return Err(Error::range(
                    "a focus distance has to be longer than the focal length",
                ));
            }
        }
        Ok(Self {
            focal,
            distance,
            circle,
        })
    }

    /// Focal length in millimetres.
    #[must_use]
    pub const fn focal(&self) -> f64 {
        self.focal
    }

    /// Focus distance in millimetres; none is infinity.
    #[must_use]
    pub const fn distance(&self) -> Option<f64> {
        self.distance
    }

    /// Circle of confusion in millimetres.
    #[must_use]
    pub const fn circle(&self) -> f64 {
        self.circle
    }

    /// Size of the image over size of the subject: f/(s − f), 0 at infinity.
    #[must_use]
    pub fn magnification(&self) -> f64 {
        self.distance
            .map_or(0.0, |distance| self.focal / (distance - self.focal))
    }

    /// The hyperfocal distance in millimetres at an f-number: focused there, everything from half of it to infinity is sharp.
    #[must_use]
    pub fn hyperfocal(&self, f_number: f64) -> f64 {
        self.focal * self.focal / (f_number * self.circle) + self.focal
    }

    /// What is sharp at an f-number.
    #[must_use]
    pub fn at(&self, f_number: f64) -> Sharp {
        let hyperfocal = self.hyperfocal(f_number);
        let Some(distance) = self.distance else {
            return Sharp {
                near: hyperfocal - self.focal,
                far: None,
            };
        };
        let reach = distance * (hyperfocal - self.focal);
        Sharp {
            near: reach / (hyperfocal + distance - 2.0 * self.focal),
            far: (distance < hyperfocal).then(|| reach / (hyperfocal - distance)),
        }
    }

    /// Diameter in millimetres of the disc that diffraction makes of a point at an f-number, at this focus.
    #[must_use]
    pub fn diffraction(&self, f_number: f64) -> f64 {
        diffraction(f_number, self.magnification())
    }

    /// Whether that disc is wider than the circle of confusion, so that stopping down further costs sharpness everywhere.
    #[must_use]
    pub fn diffraction_shows(&self, f_number: f64) -> bool {
        self.diffraction(f_number) > self.circle
    }
}

/// Diameter in millimetres of the disc (to the first dark ring) that diffraction makes of a point: 2.43934 · λ · N · (1 + m) at
/// 0.55 µm (standard optics, from memory).
///
/// ```
/// assert!((exposure::diffraction(16.0, 0.0) - 0.021_466).abs() < 1e-6);
/// ```
#[must_use]
pub fn diffraction(f_number: f64, magnification: f64) -> f64 {
    FIRST_DARK_RING * WAVELENGTH * f_number * (1.0 + magnification)
}

/// A size of image on film. Nominal sizes, from memory; real gates differ by a millimetre or so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Format {
    /// Stable id.
    pub id: &'static str,
    /// Plain name.
    pub name: &'static str,
    /// Long side of the image in millimetres.
    pub long: f64,
    /// Short side of the image in millimetres.
    pub short: f64,
}

impl Format {
    /// Diagonal of the image in millimetres.
    #[must_use]
    pub fn diagonal(&self) -> f64 {
        (self.long * self.long + self.short * self.short).sqrt()
    }
}

const fn format(id: &'static str, name: &'static str, long: f64, short: f64) -> Format {
    Format {
        id,
        name,
        long,
        short,
    }
}

/// The usual sizes, smallest first.
pub const FORMATS: &[Format] = &[
    format("8x11", "8 × 11 mm", 11.0, 8.0),
    format("18x24", "Half frame, 18 × 24 mm", 24.0, 18.0),
    format("24x36", "35 mm film, 24 × 36 mm", 36.0, 24.0),
    format("4x4", "127 film, 4 × 4 cm", 40.0, 40.0),
    format("6x4.5", "6 × 4.5 cm", 56.0, 42.0),
    format("6x6", "6 × 6 cm", 56.0, 56.0),
    format("6x7", "6 × 7 cm", 70.0, 56.0),
    format("6x9", "6 × 9 cm", 84.0, 56.0),
    format("9x12", "Plate, 9 × 12 cm", 120.0, 90.0),
    format("4x5in", "4 × 5 in", 127.0, 101.6),
    format("5x7in", "5 × 7 in", 177.8, 127.0),
    format("8x10in", "8 × 10 in", 254.0, 203.2),
];

/// A convention for the circle of confusion: published ones differ by a factor of two, so each has a name and none is
/// silently taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Circle {
    /// The diagonal over 1500.
    Over1500,
    /// The diagonal over 1730.
    Over1730,
    /// The diagonal over 1000.
    Over1000,
    /// Fixed values of the film era: 0.03 mm for 24 × 36 mm, 0.05, 0.06 and 0.065 for three sizes of roll film.
    FilmEra,
    /// 0.2 mm on a print held at 25 cm, over the enlargement: 0.026 mm for 24 × 36 mm.
    FinePrint,
    /// 0.25 mm on a print of 8 × 10 in: 0.033 mm for 24 × 36 mm.
    Print,
    /// 0.002 in, as army and navy training manuals take it for 35 mm film.
    Manuals,
}

impl Circle {
    /// All of them, the common ones first.
    pub const ALL: [Self; 7] = [
        Self::Over1500,
        Self::FilmEra,
        Self::Over1730,
        Self::FinePrint,
        Self::Print,
        Self::Manuals,
        Self::Over1000,
    ];

    /// Stable id.
    #[must_use]
    pub const fn id(self) -> &'static str {
        match self {
            Self::Over1500 => "diagonal/1500",
            Self::Over1730 => "diagonal/1730",
            Self::Over1000 => "diagonal/1000",
            Self::FilmEra => "film-era",
            Self::FinePrint => "0.2-on-print",
            Self::Print => "0.25-on-print",
            Self::Manuals => "manuals",
        }
    }

    /// Plain name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Over1500 => "diagonal over 1500",
            Self::Over1730 => "diagonal over 1730, stricter",
            Self::Over1000 => "diagonal over 1000, looser",
            Self::FilmEra => "film-era value",
            Self::FinePrint => "0.2 mm on the print",
            Self::Print => "0.25 mm on an 8 × 10 in print",
            Self::Manuals => "army and navy manuals, 0.002 in",
        }
    }

    /// The diameter in millimetres for a format, where this convention has a value for it.
    ///
    /// Sources: public pages on the circle of confusion (the three fractions of the diagonal, 0.026, 0.03 and 0.033 for 24 × 36 mm);
    /// US Army SS0507 and NAVEDTRA 14209 (0.002 in, inferred from their worked examples); 0.05, 0.06 and 0.065 are common
    /// practice, no source.
    ///
    /// ```
    /// use exposure::{Circle, FORMATS};
    /// let small = FORMATS.iter().find(|format| format.id == "24x36").unwrap();
    /// assert_eq!(Circle::FilmEra.of(small), Some(0.03));
    /// assert!((Circle::Over1500.of(small).unwrap() - 0.0288).abs() < 0.0001);
    /// ```
    #[must_use]
    pub fn of(self, format: &Format) -> Option<f64> {
        match (self, format.id) {
            (Self::Over1500, _) => Some(format.diagonal() / 1500.0),
            (Self::Over1730, _) => Some(format.diagonal() / 1730.0),
            (Self::Over1000, _) => Some(format.diagonal() / 1000.0),
            (Self::FilmEra, "24x36") => Some(0.03),
            (Self::FilmEra, "6x4.5") => Some(0.05),
            (Self::FilmEra, "6x6") => Some(0.06),
            (Self::FilmEra, "6x7") => Some(0.065),
            (Self::FinePrint, "24x36") => Some(0.026),
            (Self::Print, "24x36") => Some(0.033),
            (Self::Manuals, "24x36") => Some(0.0508),
            _ => None,
        }
    }
}
