//! Whatever comes in, the server ends by itself, with a reason; what is asked in good form is answered once.
#![no_main]

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::rpc::holds(bytes));
