//! The second program: takes the words, hands them to the library, returns its exit code.

fn main() -> std::process::ExitCode {
    cuffnote::service::run(std::env::args_os())
}
