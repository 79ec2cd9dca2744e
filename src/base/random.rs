//! Numbers that look random and are the same on every machine for the same seed.
//!
//! Not for secrets. Invariant: the sequence depends on the seed alone.

/// The generator SplitMix64: a counter with a fixed step, its bits mixed.
///
/// # Source
/// Steele, Lea and Flood, *Fast splittable pseudorandom number generators*, OOPSLA 2014 (from memory).
#[derive(Clone, Debug)]
pub struct Random(u64);

impl Random {
    /// Begins a sequence.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to, not including, 1; every one of 2^53 steps is as likely.
    pub fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A whole number below `bound`; 0 where that is 0.
    pub fn below(&mut self, bound: usize) -> usize {
        ((u128::from(self.bits()) * bound as u128) >> 64) as usize
    }

    /// Puts a list into a random order.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for last in (1..list.len()).rev() {
            let other = self.below(last + 1);
            list.swap(last, other);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sequence_is_the_published_one() {
        // The first five of seed 1234567, as the public-domain reference code prints them (from memory).
        let mut random = Random::new(1_234_567);
        let first: Vec<u64> = (0..5).map(|_| random.bits()).collect();
        let published = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(first, published);
    }

    #[test]
    fn a_shuffled_list_has_the_same_items_in_another_order() {
        let mut list: Vec<usize> = (0..100).collect();
        Random::new(7).shuffle(&mut list);
        assert_ne!(list, (0..100).collect::<Vec<_>>());
        list.sort_unstable();
        assert_eq!(list, (0..100).collect::<Vec<_>>());
    }
}
