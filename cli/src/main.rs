//! The command `spheresum`: arguments, files, hashes and printing. What is computed is computed by `spheresum-core`.

mod args;
mod command;
mod failure;
mod intake;
mod junit;
mod output;
mod progress;
mod status;
mod text;

use status::Status;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(failure::print_panic));
    ExitCode::from(guarded(parse_and_run).code())
}

fn parse_and_run() -> Status {
    match args::Cli::read() {
        Ok(cli) => command::run(cli.command),
        Err(error) => {
            // What cannot be printed because nobody listens is not worth another error.
            let _ = error.print();
            if error.use_stderr() {
                Status::USAGE
            } else {
                Status::DONE
            }
        }
    }
}

/// Turns a panic into an exit status; the hook has said what happened.
fn guarded(work: impl FnOnce() -> Status) -> Status {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or(Status::PANIC)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_a_status() {
        assert_eq!(guarded(|| panic!("on purpose")).code(), 70);
        assert_eq!(guarded(|| Status::NO).code(), 1);
    }
}
