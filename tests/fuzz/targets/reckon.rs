//! A sum comes to a figure or is refused in words.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::reckon::holds(bytes));
