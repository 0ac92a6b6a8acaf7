#!/bin/sh
# Everything that must pass: formatting, lints, documentation, every test, what others' packages work out again, a little fuzzing, and real editors as clients of the server.
set -eu
cd "$(dirname "$0")/.."
cargo fmt --check
cargo clippy --locked --all-targets -- -D warnings
RUSTDOCFLAGS="-D warnings" cargo doc --locked --no-deps --quiet
cargo test --locked
sh tests/outside/run.sh
sh tests/fuzz/run.sh 12
cargo build --locked
sh tests/clients/run.sh
