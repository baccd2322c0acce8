//! `formats`: the adapters.

use super::fail;
use crate::args::FormatsArgs;
use crate::status::Status;
use crate::{output, text};

/// Runs the command.
pub fn run(args: &FormatsArgs) -> Status {
    let text = text::formats(&spheresum_adapters::registry(), spheresum_adapters::KNOWN);
    match output::write(&text, args.output.output.as_deref()) {
        Ok(()) => Status::DONE,
        Err(error) => fail([error]),
    }
}
