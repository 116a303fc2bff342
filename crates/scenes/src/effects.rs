//! What each control costs beside light, as lengths on the film: blur of what moves, of a shaken hand, of what is out of focus, and
//! grain.
//!
//! A lens at a focus is [`exposure::DepthOfField`], which has its magnification; diffraction is [`exposure::diffraction`]. Each
//! price of one stop has a size of its own: the time doubles its blur, the aperture makes its disc √2 times as wide, the
//! sensitivity makes grain √2 times as strong (in theory; real films grew less).

use std::f64::consts::{FRAC_1_SQRT_2, LN_2, LOG10_2, LOG10_E};

use exposure::{DepthOfField, Error, Format, range::Range};

/// Speed of a subject in metres a second.
pub const SPEED: Range = Range {
    what: "a speed",
    min: 0.0,
    max: 400.0,
    limits: "standing still and 400 metres a second",
};
/// Angle between the motion and the axis of the lens, in degrees.
pub const ANGLE: Range = Range {
    what: "the angle of a motion",
    min: 0.0,
    max: 90.0,
    limits: "0 degrees, straight towards the camera, and 90 degrees, across",
};
/// How long the shutter is open, in seconds.
pub const OPEN: Range = Range {
    what: "the time that the shutter is open",
    min: 0.0,
    // What a mark of 24 hours gives may be off in its last digit.
    max: 86_400.001,
    limits: "nothing and 24 hours",
};
/// Rate of a turning hand in degrees a second.
pub const RATE: Range = Range {
    what: "the rate at which a hand turns the camera",
    min: 0.0,
    max: 90.0,
    limits: "0 and 90 degrees a second",
};
/// Height of a part of the subject off the axis of the lens, in metres.
pub const HEIGHT: Range = Range {
    what: "a height off the middle",
    min: 0.0,
    max: 1000.0,
    limits: "0 and 1000 m",
};
/// RMS granularity.
pub const GRANULARITY: Range = Range {
    what: "an RMS granularity",
    min: 0.0,
    // What theory makes of the highest sensitivity of a device.
    max: 5000.0,
    limits: "0 and 5000",
};
/// Side of a pixel of a picture, on the film, in micrometres.
pub const PIXEL: Range = Range {
    what: "the side of a pixel on the film",
    min: 0.1,
    max: 10_000.0,
    limits: "0.1 µm and 10 mm",
};

/// A length on the film, with the frame that it lies in.
///
/// ```
/// use exposure::FORMATS;
/// use scenes::effects::Length;
/// let small = FORMATS.iter().find(|format| format.id == "24x36").unwrap();
/// let blur = Length::new(0.24, small);
/// assert!((blur.one_in() - 150.0).abs() < 1e-9);
/// assert!((blur.pixels(1200.0) - 8.0).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length {
    mm: f64,
    frame: f64,
}

impl Length {
    /// A length in millimetres on the film of a format, whose long side is the width of the picture.
    #[must_use]
    pub const fn new(mm: f64, format: &Format) -> Self {
        Self {
            mm,
            frame: format.long,
        }
    }

    /// Millimetres on the film.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.mm
    }

    /// Share of the picture's width, 1 is all of it.
    #[must_use]
    pub fn share(self) -> f64 {
        self.mm / self.frame
    }

    /// The same as one part of so many; infinite for no length.
    #[must_use]
    pub fn one_in(self) -> f64 {
        self.frame / self.mm
    }

    /// Millimetres on the film of one pixel in a picture of that many pixels across.
    #[must_use]
    pub fn one_pixel(self, width: f64) -> f64 {
        self.frame / width
    }

    /// Pixels in a picture of that many pixels across.
    #[must_use]
    pub fn pixels(self, width: f64) -> f64 {
        self.share() * width
    }
}

/// Blur in millimetres on the film of a subject that moves while the shutter is open: b = v · sin α · t · f/(s − f).
///
/// `speed` is in metres a second, `angle` in degrees from the axis of the lens (90 is across), `time` in seconds. The lens is
/// focused on the subject. Source: similar triangles, arithmetic. Straight towards the camera take [`approach`].
///
/// ```
/// use exposure::DepthOfField;
/// use scenes::effects::motion;
/// // Somebody walks by, 1.4 m/s at 5 m, 50 mm, 1/60.
/// let lens = DepthOfField::new(50.0, Some(5000.0), 0.03)?;
/// assert!((motion(&lens, 1.4, 90.0, 1.0 / 60.0)? - 0.23569).abs() < 1e-5);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`SPEED`], [`ANGLE`] or [`OPEN`].
pub fn motion(lens: &DepthOfField, speed: f64, angle: f64, time: f64) -> Result<f64, Error> {
    OPEN.check(time)?;
    Ok(rate(lens, speed, angle)? * time)
}

/// The longest time in seconds whose blur stays within `blur` millimetres; without end for a subject that stands still.
///
/// ```
/// use exposure::DepthOfField;
/// use scenes::effects::longest_time;
/// let lens = DepthOfField::new(50.0, Some(5000.0), 0.03)?;
/// assert!((1.0 / longest_time(&lens, 1.4, 90.0, 0.03)? - 471.4).abs() < 0.1);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error as for [`motion`], and beyond [`exposure::range::CIRCLE`].
pub fn longest_time(lens: &DepthOfField, speed: f64, angle: f64, blur: f64) -> Result<f64, Error> {
    Ok(exposure::range::CIRCLE.check(blur)? / rate(lens, speed, angle)?)
}

/// How fast the image moves, in millimetres a second.
fn rate(lens: &DepthOfField, speed: f64, angle: f64) -> Result<f64, Error> {
    let across = SPEED.check(speed)? * ANGLE.check(angle)?.to_radians().sin();
    Ok(across * 1000.0 * lens.magnification())
}

/// Blur in millimetres on the film of a point `height` metres off the axis that comes straight towards the camera: its image
/// grows from y(s) to y(s − v·t), y(s) = f·h/(s − f).
///
/// Source: similar triangles, arithmetic.
///
/// ```
/// use exposure::DepthOfField;
/// use scenes::effects::approach;
/// let lens = DepthOfField::new(50.0, Some(10_000.0), 0.03)?;
/// assert!((approach(&lens, 10.0, 1.0, 1.0 / 60.0)? - 0.08561).abs() < 1e-5);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`SPEED`], [`HEIGHT`] or [`OPEN`], or where the subject would reach the lens in that time.
pub fn approach(lens: &DepthOfField, speed: f64, height: f64, time: f64) -> Result<f64, Error> {
    let way = SPEED.check(speed)? * OPEN.check(time)? * 1000.0;
    let high = HEIGHT.check(height)? * 1000.0;
    let Some(distance) = lens.distance() else {
        return Ok(0.0);
    };
    let arrives = Range {
        what: "the way towards the camera while the shutter is open",
        min: 0.0,
        max: (distance - lens.focal()) * 0.99,
        limits: "nothing and the distance of the subject",
    };
    arrives.check(way)?;
    let image = |distance: f64| lens.focal() * high / (distance - lens.focal());
    Ok(image(distance - way) - image(distance))
}

/// The rate of a hand at which the rule of one over the focal length gives 0.03 mm for every lens: 0.03 rad/s in degrees a second.
///
/// The rule is common practice; that it means a constant rate is arithmetic (b = f · ω · t is ω in millimetres at t = 1/f). How
/// fast hands really turn was found in no readable source.
pub const HAND: f64 = 0.03 * 180.0 / std::f64::consts::PI;

/// Blur in millimetres on the film when the camera turns at `rate` degrees a second: b = f · tan(ω·t).
///
/// ```
/// use scenes::effects::{HAND, shake};
/// assert!((shake(50.0, HAND, 1.0 / 15.0)? - 0.1).abs() < 1e-4);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`exposure::range::FOCAL`], [`RATE`] or [`OPEN`]. A turn of more than 45 degrees counts as 45.
pub fn shake(focal: f64, rate: f64, time: f64) -> Result<f64, Error> {
    exposure::range::FOCAL.check(focal)?;
    let turned = RATE.check(rate)? * OPEN.check(time)?;
    Ok(focal * turned.min(45.0).to_radians().tan())
}

/// The chance that one of `tries` frames by hand is sharp, `slower` stops slower than one over the focal length.
///
/// A model of this project and no measurement: the blur is normal on two axes with a median of 0.03 mm at one over the focal
/// length, so that a try is sharp with 1 − ½^(4^−k). Good for "take three", never a promise.
///
/// ```
/// use scenes::effects::steady;
/// assert!((steady(1.0, 1) - 0.1591).abs() < 1e-4);
/// assert!((steady(1.0, 3) - 0.4054).abs() < 1e-4);
/// ```
#[must_use]
pub fn steady(slower: f64, tries: i32) -> f64 {
    let shaken = (-LN_2 * exposure::of_two(-2.0 * slower)).exp();
    1.0 - shaken.powi(tries.max(0))
}

/// Diameter in millimetres on the film of the disc that a lens at an f-number makes of a point at another distance in
/// millimetres; none is infinity: c = |D − s|/D · f²/(N·(s − f)).
///
/// Source: the thin lens, as [`DepthOfField`] has it: the disc at its near and far ends is its circle of confusion.
///
/// ```
/// use exposure::DepthOfField;
/// use scenes::effects::defocus;
/// let lens = DepthOfField::new(50.0, Some(2000.0), 0.03)?;
/// assert!((defocus(&lens, 8.0, Some(4000.0))? - 0.08013).abs() < 1e-5);
/// assert!((defocus(&lens, 8.0, None)? - 0.16026).abs() < 1e-5);
/// assert!((defocus(&lens, 8.0, Some(lens.at(8.0).near))? - 0.03).abs() < 1e-9);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`exposure::range::APERTURE`] or [`exposure::range::FOCUS`].
pub fn defocus(lens: &DepthOfField, f_number: f64, other: Option<f64>) -> Result<f64, Error> {
    exposure::range::APERTURE.check(f_number)?;
    let other = other
        .map(|other| exposure::range::FOCUS.check(other))
        .transpose()?;
    let opening = lens.focal() / f_number;
    Ok(match (lens.distance(), other) {
        (None, None) => 0.0,
        // The limit of the same for a focus that goes to infinity.
        (None, Some(other)) => opening * lens.focal() / other,
        (Some(_), None) => opening * lens.magnification(),
        (Some(focus), Some(other)) => {
            opening * lens.magnification() * (other - focus).abs() / other
        }
    })
}

/// Deviation in millimetres of the Gaussian curve that stands in for the disc of diffraction: 0.42 · λ · N (from memory).
///
/// ```
/// assert!((scenes::effects::diffraction_spread(16.0) * 1000.0 - 3.696).abs() < 1e-3);
/// ```
#[must_use]
pub fn diffraction_spread(f_number: f64) -> f64 {
    0.42 * exposure::WAVELENGTH * f_number
}

/// Side in micrometres of the square with the area of the round aperture of 48 µm through which granularity is measured.
pub const MEASURED_SIDE: f64 = 42.538_9;

/// Deviation of density in a picture whose pixels are `side` micrometres on the film: R/1000 · 42.54 µm / side.
///
/// RMS granularity R is 1000 times the deviation of density through a round aperture of 48 µm on film of mean density 1.0 (source: an
/// encyclopaedia's text that cites Keelan 2002 and Stroebel et al. 2000; measured by ISO 10505:2009). Deviation times the root
/// of the area is constant where the area is not too small (Selwyn).
///
/// ```
/// // Granularity 10 in a picture of 1200 pixels of 36 mm.
/// assert!((scenes::effects::grain(10.0, 30.0)? - 0.01418).abs() < 1e-5);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`GRANULARITY`] or [`PIXEL`].
pub fn grain(granularity: f64, side: f64) -> Result<f64, Error> {
    Ok(GRANULARITY.check(granularity)? / 1000.0 * MEASURED_SIDE / PIXEL.check(side)?)
}

/// Selwyn's granularity in micrometres: deviation times √(2·area) (from memory).
///
/// ```
/// assert!((scenes::effects::selwyn(10.0)? - 0.6016).abs() < 1e-4);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`GRANULARITY`].
pub fn selwyn(granularity: f64) -> Result<f64, Error> {
    Ok(GRANULARITY.check(granularity)? / 1000.0 * MEASURED_SIDE / FRAC_1_SQRT_2)
}

/// Area of a dot of silver or dye in square micrometres.
pub const DOT: Range = Range {
    what: "the area of a dot",
    min: 0.0,
    max: 1000.0,
    limits: "0 and 1000 µm²",
};

/// Deviation of density through the aperture of 48 µm where density is made of independent dots of one area in square
/// micrometres: √(0.4343 · a · D / A), so that denser film deviates more (Nutting's and Selwyn's theory, from memory).
///
/// ```
/// assert!((scenes::effects::grain_of_dots(0.5, 1.0)? - 0.01095).abs() < 1e-5);
/// # Ok::<(), exposure::Error>(())
/// ```
///
/// # Errors
///
/// Range error beyond [`DOT`].
pub fn grain_of_dots(area: f64, density: f64) -> Result<f64, Error> {
    let measured = MEASURED_SIDE * MEASURED_SIDE;
    let dots = LOG10_E * DOT.check(area)? * density.max(0.0) / measured;
    Ok(dots.sqrt())
}

/// Granularity that a film of another sensitivity would have if both used light equally well: it grows with the root of
/// the sensitivity (theory, from memory). `stops` is how many stops more sensitive it is.
///
/// ```
/// assert!((scenes::effects::granularity_at(4.0, 2.0) - 8.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn granularity_at(granularity: f64, stops: f64) -> f64 {
    granularity * exposure::of_two(stops / 2.0)
}

/// Deviation of density in terms of the scene, in stops: σ / slope / 0.30103. Where the film's curve is flat the same grain hides
/// more, so that thin negatives look grainier.
///
/// ```
/// let curve = scenes::film::Curve::NEGATIVE;
/// assert!((scenes::effects::in_stops(0.0142, curve.slope(curve.middle())) - 0.0733).abs() < 1e-4);
/// ```
#[must_use]
pub fn in_stops(deviation: f64, slope: f64) -> f64 {
    deviation / slope / LOG10_2
}
