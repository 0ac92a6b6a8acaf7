//! What is read and judged again where an edit reaches is what reading and judging all gives.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::edits::holds(bytes));
