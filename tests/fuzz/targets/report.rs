//! Every report can be written, is whole, and holds nothing of the log as markup.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::report::holds(bytes));
