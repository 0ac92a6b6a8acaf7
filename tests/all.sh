#!/bin/sh
# Everything that must pass: formatting, lints, documentation, every test, and what others' packages work out again.
set -eu
cd "$(dirname "$0")/.."
cargo fmt --check
cargo clippy --locked --all-targets -- -D warnings
RUSTDOCFLAGS="-D warnings" cargo doc --locked --no-deps --quiet
cargo test --locked
sh tests/outside/run.sh
