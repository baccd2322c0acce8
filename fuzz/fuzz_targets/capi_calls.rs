//! Fuzz target: see the body in the library.
#![no_main]
libfuzzer_sys::fuzz_target!(|data: &[u8]| spheresum_fuzz::run("capi_calls", data));
