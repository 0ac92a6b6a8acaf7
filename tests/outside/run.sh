#!/bin/sh
# Every outside check: what the program says, worked out again by the packages of others. Any failure fails, a missing package too.
set -eu
cd "$(dirname "$0")/../.."
target=${CARGO_TARGET_DIR:-target}
venv=target/outside/venv
python3 -m venv "$venv"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check --requirement tests/outside/requirements.txt
cargo build --locked
table=target/outside/units.jsonl
cargo run --locked --quiet --example units > "$table"
"$venv/bin/python" tests/outside/propagation.py --selftest
"$venv/bin/python" tests/outside/propagation.py "$target/debug/gudgeon"
"$venv/bin/python" tests/outside/units.py "$table"
"$venv/bin/python" tests/outside/order.py "$target/debug/gudgeon"
"$venv/bin/python" tests/outside/trade.py "$target/debug/gudgeon"
"$venv/bin/python" tests/outside/readings.py "$target/debug/gudgeon"
"$venv/bin/python" tests/outside/junit.py "$target/debug/gudgeon"
sh tests/outside/hooks.sh "$venv/bin/pre-commit" "$target/debug/gudgeon"
