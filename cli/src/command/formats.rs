//! `formats`: the adapters.

use super::fail;
use crate::args::FormatsArgs;
use crate::intake::Layouts;
use crate::status::Status;
use crate::{output, text};

/// Runs the command.
pub fn run(args: &FormatsArgs) -> Status {
    let mut registry = spheresum_adapters::registry();
    if let Err(error) = Layouts::add(&args.layouts, &mut registry) {
        return fail([error]);
    }
    let text = text::formats(&registry, spheresum_adapters::KNOWN);
    match output::write(&text, args.output.output.as_deref()) {
        Ok(()) => Status::DONE,
        Err(error) => fail([error]),
    }
}
