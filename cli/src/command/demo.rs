//! To be.
use crate::args::DemoArgs;
use crate::status::Status;
pub fn run(_args: &DemoArgs) -> Status { Status::DONE }
