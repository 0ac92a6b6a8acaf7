//! Manuals that extend each other, in rings, twice over, themselves, or what is not there, do no harm.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::manuals::holds(bytes));
