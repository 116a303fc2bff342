//! What a few scenes that agree can show: shares and signs.

/// The square of the two-sided 95 % point of the normal distribution, 1.959964².
const Z2: f64 = 3.841_459;

/// The share of all scenes that a few stand for, between its 95 % limits, 0 to 1. Nothing is known of none.
///
/// Wilson's interval (E. B. Wilson, 1927): ((k + z²/2) ± z·√(k·(n − k)/n + z²/4)) / (n + z²).
///
/// ```
/// let (least, most) = book::share(3, 3);
/// assert!((least - 0.4385).abs() < 0.0001 && (most - 1.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn share(agree: u32, of: u32) -> (f64, f64) {
    if of == 0 {
        return (0.0, 1.0);
    }
    let (k, n) = (f64::from(agree.min(of)), f64::from(of));
    let middle = k + Z2 / 2.0;
    let reach = (Z2 * (k * (n - k) / n + Z2 / 4.0)).sqrt();
    let within = |share: f64| share.clamp(0.0, 1.0);
    (
        within((middle - reach) / (n + Z2)),
        within((middle + reach) / (n + Z2)),
    )
}

/// How likely chance alone is to be as one-sided as this, if each scene agrees or not with equal chance: the sign test, two-sided.
///
/// ```
/// assert!((book::by_chance(6, 6) - 0.03125).abs() < 1e-12);
/// ```
#[must_use]
pub fn by_chance(agree: u32, of: u32) -> f64 {
    let rare = agree.min(of).max(of - agree.min(of));
    // The chance of exactly k of n, from k = n downwards: each is the one before by k / (n − k + 1).
    let mut one = 0.5_f64.powi(i32::try_from(of).unwrap_or(i32::MAX));
    let mut tail = 0.0;
    let mut k = of;
    while k >= rare && k > 0 {
        tail += one;
        one *= f64::from(k) / f64::from(of - k + 1);
        k -= 1;
    }
    if of == 0 { 1.0 } else { (2.0 * tail).min(1.0) }
}

/// Whether so many of these agree that chance alone is ruled out at 5 %; never of fewer than six.
#[must_use]
pub fn is_shown(agree: u32, of: u32) -> bool {
    2 * agree > of && by_chance(agree, of) <= 0.05
}
