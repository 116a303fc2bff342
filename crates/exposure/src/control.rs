/// One of the three controls of an exposure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Control {
    /// Shutter time.
    Time,
    /// Aperture.
    Aperture,
    /// Sensitivity: the ISO of a device, or the rating (EI) of a film.
    Sensitivity,
}

impl Control {
    /// All three, in the order in which they are always listed.
    pub const ALL: [Self; 3] = [Self::Time, Self::Aperture, Self::Sensitivity];

    /// Place in [`Control::ALL`].
    #[must_use]
    pub const fn index(self) -> usize {
        match self {
            Self::Time => 0,
            Self::Aperture => 1,
            Self::Sensitivity => 2,
        }
    }

    /// The trade's name for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Time => "Time",
            Self::Aperture => "Aperture",
            Self::Sensitivity => "Sensitivity",
        }
    }
}
