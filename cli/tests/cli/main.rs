//! The command as a person or a pipeline meets it: what is typed, what comes out, and the exit status.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bench;
mod check;
mod compare;
mod data;
mod demo;
mod encodings;
mod errors;
mod help;
mod history;
mod layout;
mod look;
mod noise;
mod output;
mod reduce;
mod touchstone;
