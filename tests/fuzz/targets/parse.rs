//! A log and a manual are read whatever they are: nothing is lost, every place lies in the text, every line is said or named.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::parse::holds(bytes));
