//! The command `spheresum`: arguments, files, hashes and printing. What is computed is computed by `spheresum-core`.

mod args;
mod command;
mod failure;
mod intake;
mod output;
mod progress;
mod status;
mod text;

use clap::Parser;
use status::Status;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

fn main() -> ExitCode {
    std::panic::set_hook(Box::new(|info| failure::print_panic(info)));
    let status = catch_unwind(AssertUnwindSafe(|| match args::Cli::try_parse() {
        Ok(cli) => command::run(cli.command),
        Err(error) => {
            // What cannot be printed because nobody listens is not worth another error.
            let _ = error.print();
            if error.use_stderr() { Status::USAGE } else { Status::DONE }
        }
    }))
    .unwrap_or(Status::PANIC);
    ExitCode::from(status.code())
}
