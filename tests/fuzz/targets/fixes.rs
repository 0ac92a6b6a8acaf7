//! A fix removes its finding and adds none.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::fixes::holds(bytes));
