//! Whatever is written is judged without harm, twice the same, every figure a figure.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::judge::holds(bytes));
