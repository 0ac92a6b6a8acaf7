//! Chance, by a seed: the same seed throws the same on every machine.

use rand::{RngExt as _, SeedableRng as _};
use rand_pcg::Pcg64Mcg;

/// Seeded chance.
pub struct Dice(Pcg64Mcg);

impl Dice {
    /// The dice of one thing (a log, a machine) of a repository. `what` keeps different things with one number apart.
    pub fn new(seed: u64, what: u64, number: u64) -> Dice {
        let mixed = seed
            .wrapping_mul(0x9E37_79B9_7F4A_7C15)
            .wrapping_add(number.wrapping_mul(0xD1B5_4A32_D192_ED03))
            .wrapping_add(what.wrapping_mul(0x8CB9_2BA7_2F3D_8DD7));
        Dice(Pcg64Mcg::seed_from_u64(mixed))
    }

    /// One of `low ..= high`.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0.random_range(low..=high)
    }

    /// One of `low ..= high` in steps.
    pub fn step(&mut self, low: i64, high: i64, step: i64) -> i64 {
        low + step * self.between(0, (high - low) / step)
    }

    /// Whether it happens, so many times in a hundred.
    pub fn chance(&mut self, percent: u32) -> bool {
        self.0.random_range(0..100_u32) < percent
    }

    /// One of these.
    pub fn pick<'a, T: ?Sized>(&mut self, list: &[&'a T]) -> &'a T {
        list[self.0.random_range(0..list.len() as u64) as usize]
    }

    /// How long until something that happens once in `mean`: never less than 1.
    pub fn wait(&mut self, mean: u64) -> u64 {
        let share = f64::from(self.0.random_range(1..=1_000_000_u32)) / 1e6;
        (-share.ln() * mean as f64).ceil().max(1.0) as u64
    }
}
