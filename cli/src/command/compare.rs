//! To be.
use crate::args::CompareArgs;
use crate::status::Status;
pub fn run(_args: &CompareArgs) -> Status { Status::DONE }
