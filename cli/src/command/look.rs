//! To be.
use crate::args::LookArgs;
use crate::status::Status;
pub fn run(_args: &LookArgs) -> Status { Status::DONE }
