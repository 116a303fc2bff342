//! What must be said where it applies: one quiet line each. Of the sun, `readings::sky` says it.

/// Where an old meter or camera is entered.
pub(crate) const MERCURY: &str = "An old meter or camera may hold a mercury cell: do not burn or bin it, follow your local rules for hazardous waste.";
/// Where flash is worked out.
pub(crate) const FLASH: &str = "The capacitor of a flash unit stays charged at hundreds of volts, even without a battery: never open one, repair is for licensed hands.";
