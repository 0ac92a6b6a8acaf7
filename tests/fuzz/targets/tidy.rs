//! A layout changes nothing but blanks: twice is once, the tree is the same, the same is found.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::tidy::holds(bytes));
