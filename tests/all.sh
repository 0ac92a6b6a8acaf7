#!/bin/sh
# Everything that must pass: formatting, lints, documentation, every test, what it is made of, what others' packages work out again, a little fuzzing, and real editors as clients of the server.
set -eu
cd "$(dirname "$0")/.."
cargo fmt --check
cargo clippy --locked --all-targets -- -D warnings
RUSTDOCFLAGS="-D warnings" cargo doc --locked --no-deps --quiet
if ! command -v strace >/dev/null && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
  # Calls of the system are disturbed with it; without it that part of tests/faults.rs is skipped, and says so.
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends strace >/dev/null || true
fi
cargo test --locked
sh tests/supply/run.sh
sh tests/outside/run.sh
RUNS=700 sh tests/fuzz/run.sh 60
cargo build --locked
sh tests/clients/run.sh
