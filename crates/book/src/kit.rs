//! The person's own reading devices and lenses: what a device is to be corrected by, and what a lens can be set to.

use exposure::{Scale, Steps, Stops, meter, words};
use serde::Serialize;

use crate::{Aperture, Error, Light, Speed, text};

/// Most that a device may be corrected by, either way, in twelfths of a stop: 10 stops. A device that is further off does
/// not work, or the two readings were not of the same light (judgement of this project).
pub const MOST_CORRECTION: i32 = 120;

/// Longest focal length that is kept, in millimetres.
pub const LONGEST_FOCAL: u16 = 2000;

/// How a device's scales are divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum DeviceSteps {
    /// In third stops.
    #[default]
    Thirds,
    /// In half stops.
    Halves,
}

impl DeviceSteps {
    /// The same as the calculation knows it: how a figure that belongs to both series is read.
    #[must_use]
    pub const fn steps(self) -> Steps {
        match self {
            Self::Thirds => Steps::Third,
            Self::Halves => Steps::Half,
        }
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Thirds => "in third stops",
            Self::Halves => "in half stops",
        }
    }
}

#[expect(
    clippy::trivially_copy_pass_by_ref,
    reason = "serde passes a reference to what it may leave out"
)]
pub(crate) const fn is_zero(value: &i32) -> bool {
    *value == 0
}

/// Whether a correction is one that records keep.
pub(crate) fn check_correction(twelfths: i32) -> Result<i32, Error> {
    if (-MOST_CORRECTION..=MOST_CORRECTION).contains(&twelfths) {
        Ok(twelfths)
    } else {
        Err(Error::new(
            "a correction has to lie between 10 stops less light and 10 stops more light; \
             compare two readings of the same place in the same light",
        ))
    }
}

/// A correction as a difference; what no record keeps is held at the end of the range.
pub(crate) fn correction(twelfths: i32) -> Stops {
    text::from_twelfths(twelfths.clamp(-MOST_CORRECTION, MOST_CORRECTION))
}

/// A correction in words; none where nothing is corrected.
pub(crate) fn correction_words(twelfths: i32) -> Option<String> {
    let done = if twelfths > 0 { "added" } else { "given" };
    (twelfths != 0).then(|| {
        format!(
            "asks for {} than is needed: {} is {done}",
            text::twelfths(-twelfths),
            text::twelfths(twelfths)
        )
    })
}

/// A reading device of the person's own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Device {
    /// Id, unique among devices.
    pub id: String,
    /// The person's name for it.
    pub name: String,
    /// How its scales are divided.
    pub steps: DeviceSteps,
    /// What its readings are to be corrected by, in twelfths of a stop, at most 10 stops either way; positive: the film
    /// is to get that much more light than the device asks for.
    #[serde(skip_serializing_if = "is_zero")]
    pub correction_twelfths: i32,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Device {
    /// A device that is not corrected.
    #[must_use]
    pub fn new(id: &str, name: &str, steps: DeviceSteps) -> Self {
        Self {
            id: id.to_owned(),
            name: name.to_owned(),
            steps,
            correction_twelfths: 0,
            note: String::new(),
        }
    }

    /// The correction that makes a device agree with a reference, in twelfths of a stop; positive is more light.
    ///
    /// Both readings are of the same place in the same light.
    /// The reference's own correction counts. The device's does not: what it showed is compared, so the result takes the
    /// place of an earlier correction and does not come on top of it.
    /// The difference is **rounded** to the nearest twelfth, half a twelfth away from zero. Figures of the standard series
    /// lie on twelfths and lose nothing; others lose at most a twenty-fourth of a stop.
    ///
    /// ```
    /// use book::{Device, Light};
    /// use exposure::{Control, Mark, Reading, Steps};
    /// let light = |time| {
    ///     let mark = |control, text| Mark::parse(control, text, Steps::Third);
    ///     let reading = Reading::new(mark(Control::Time, time)?, mark(Control::Aperture, "8")?, mark(Control::Sensitivity, "100")?)?;
    ///     Light::new(&reading, None)
    /// };
    /// // The device asks for 1/250 where the reference asks for 1/125: one stop more light is needed.
    /// assert_eq!(Device::compare(&light("1/250")?, &light("1/125")?)?, 12);
    /// # Ok::<(), book::Error>(())
    /// ```
    ///
    /// # Errors
    ///
    /// If they are more than 10 stops apart.
    pub fn compare(device_reading: &Light, reference: &Light) -> Result<i32, Error> {
        let more = reference
            .reading()
            .light()
            .light_relative_to(device_reading.shown().light());
        #[expect(
            clippy::cast_possible_truncation,
            reason = "the light of readings is within 100 EV"
        )]
        check_correction((more.get() * 12.0).round() as i32)
    }

    /// What its readings are to be corrected by; positive is more light than the device asks for.
    #[must_use]
    pub fn correction(&self) -> Stops {
        correction(self.correction_twelfths)
    }

    /// The correction in words: `asks for ⅓ stop less light than is needed: ⅓ stop more light is added`, or `is not
    /// corrected`. Odd twelfths are written as such and not rounded.
    #[must_use]
    pub fn correction_words(&self) -> String {
        correction_words(self.correction_twelfths).unwrap_or_else(|| "is not corrected".to_owned())
    }

    /// What could be set on it instead of the correction, by where it would else stand, in words: `or set ISO 80 on it
    /// instead of 100, and type its readings with ISO 100 all the same`. None where it agrees with the reference, or its scale
    /// has nothing nearer. Either of both counts, never both.
    ///
    /// ```
    /// use book::{Device, DeviceSteps, Speed};
    /// let device = Device { correction_twelfths: 8, ..Device::new("old", "Old hand meter", DeviceSteps::Thirds) };
    /// let said = device.set_instead(Speed::parse("ISO 100")?).unwrap();
    /// assert!(said.starts_with("or set ISO 64 on it instead of 100,"), "{said}");
    /// # Ok::<(), book::Error>(())
    /// ```
    #[must_use]
    pub fn set_instead(&self, stands: Speed) -> Option<String> {
        // What it asks for too little, the film would get too little.
        let effect = -self.correction();
        let on = meter::on_device(effect, &stands.mark(), &Scale::sensitivities())?;
        let rest = if on.rest.is_even() {
            String::new()
        } else {
            format!(", which leaves {} on the film", words::difference(on.rest))
        };
        let stood = stands.mark();
        Some(format!(
            "or set {} on it instead of {}{rest}, and type its readings with {} all the same",
            words::value(&on.set),
            words::figure(&stood),
            words::value(&stood)
        ))
    }

    /// Whether the parts fit together: what every record has to pass before it is taken.
    pub(crate) fn check(&self) -> Result<(), Error> {
        check_correction(self.correction_twelfths).map(|_| ())
    }
}

/// A lens of the person's own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lens {
    /// Id, unique among lenses.
    pub id: String,
    /// The person's name for it.
    pub name: String,
    /// Focal length in millimetres, 1 to 2000.
    pub focal_mm: u16,
    /// The widest aperture it can be set to.
    pub widest: Aperture,
    /// The smallest aperture it can be set to; the widest again where it cannot be set.
    pub smallest: Aperture,
    /// Which cameras it fits, in the person's words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub fits: String,
    /// Anything else.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl Lens {
    /// A lens with its ends.
    ///
    /// # Errors
    ///
    /// If the focal length is out of range, or the smallest aperture is wider than the widest.
    pub fn new(
        id: &str,
        name: &str,
        focal_mm: u16,
        widest: Aperture,
        smallest: Aperture,
    ) -> Result<Self, Error> {
        let lens = Self {
            id: id.to_owned(),
            name: name.to_owned(),
            focal_mm,
            widest,
            smallest,
            fits: String::new(),
            note: String::new(),
        };
        lens.check().map(|()| lens)
    }

    /// As it is said: `50 mm, f/2 to f/16`; `50 mm, f/8` where its aperture cannot be set.
    #[must_use]
    pub fn shown(&self) -> String {
        let (widest, smallest) = (self.widest.shown(), self.smallest.shown());
        if widest == smallest {
            format!("{} mm, {widest}", self.focal_mm)
        } else {
            format!("{} mm, {widest} to {smallest}", self.focal_mm)
        }
    }

    /// Whether the parts fit together: what every record has to pass before it is taken.
    pub(crate) fn check(&self) -> Result<(), Error> {
        if !(1..=LONGEST_FOCAL).contains(&self.focal_mm) {
            return Err(Error::new(format!(
                "a focal length is given in whole millimetres, 1 to {LONGEST_FOCAL}"
            )));
        }
        if self
            .smallest
            .mark()
            .relative_to(&self.widest.mark())
            .is_more()
        {
            return Err(Error::new(
                "the smallest aperture cannot be wider than the widest; the widest has the lower f-number",
            ));
        }
        Ok(())
    }
}
