//! The `cotter` command. All it does lives in the library, in `cli/`.

fn main() -> std::process::ExitCode {
    cotter::cli::main()
}
