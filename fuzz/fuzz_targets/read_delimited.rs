#![no_main]
libfuzzer_sys::fuzz_target!(|data: &[u8]| spheresum_fuzz::read_delimited(data));
