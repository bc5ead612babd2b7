//! The program: arguments to calls of the library, and the exit status.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}
