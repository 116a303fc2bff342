//! Chance from a seed, the same on every machine: whole numbers alone.

/// Draws from a seed. Two of the same seed draw the same.
///
/// Source: `SplitMix64`, Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014; its constants from
/// memory, held by a test against the first draws of seed 1234567 that public implementations print.
///
/// ```
/// use scenes::Dice;
/// let (mut one, mut other) = (Dice::new(7), Dice::new(7));
/// assert_eq!(one.below(100), other.below(100));
/// ```
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Begins with a seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A whole number below `end`; 0 where `end` is 0. What is drawn a hair too often is under one in 2³¹ for any use here.
    pub const fn below(&mut self, end: u32) -> u32 {
        (((self.next() >> 32) * end as u64) >> 32) as u32
    }

    /// A whole number from one end to the other, both included.
    pub const fn from_to(&mut self, least: i32, most: i32) -> i32 {
        least + self.below((most - least + 1).unsigned_abs()).cast_signed()
    }

    /// One of several things.
    ///
    /// # Panics
    ///
    /// If there is nothing to take one of: a mistake in the program.
    pub fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.index(of.len())]
    }

    /// An index below `len`.
    pub fn index(&mut self, len: usize) -> usize {
        usize::try_from(self.below(u32::try_from(len).unwrap_or(u32::MAX))).unwrap_or(0)
    }

    /// True as often as not.
    pub const fn coin(&mut self) -> bool {
        self.next() >> 63 == 1
    }

    /// A number from 0 to 1, 1 not included. For pictures alone: nothing that is asked hangs on it.
    pub fn share(&mut self) -> f64 {
        f64::from(u32::try_from(self.next() >> 32).unwrap_or(0)) / 4_294_967_296.0
    }
}

#[cfg(test)]
mod tests {
    use super::Dice;

    #[test]
    fn draws_what_public_implementations_draw() {
        let mut dice = Dice::new(1_234_567);
        let draws = [(); 3].map(|()| dice.next());
        assert_eq!(
            draws,
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423
            ]
        );
    }

    #[test]
    fn stays_below() {
        let mut dice = Dice::new(1);
        let mut seen = [false; 6];
        for _ in 0..1000 {
            seen[dice.index(6)] = true;
            assert!((-2..=3).contains(&dice.from_to(-2, 3)), "within both ends");
            assert!((0.0..1.0).contains(&dice.share()), "a share");
        }
        assert_eq!(seen, [true; 6], "every face comes up");
        assert_eq!(dice.below(0), 0, "nothing to draw from");
    }
}
