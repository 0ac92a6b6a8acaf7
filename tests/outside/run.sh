#!/bin/sh
# Every outside check: what the program says, worked out again by the packages of others. Any failure fails, a missing package too.
set -eu
cd "$(dirname "$0")/../.."
target=${CARGO_TARGET_DIR:-target}
venv=target/outside/venv
python3 -m venv "$venv"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check --requirement tests/outside/requirements.txt
cargo build --locked
"$venv/bin/python" tests/outside/propagation.py --selftest
ran=0
for script in tests/outside/*.py; do
    echo "$script"
    "$venv/bin/python" "$script" "$target/debug/gudgeon"
    ran=$((ran + 1))
done
[ "$ran" -gt 0 ]
echo "$ran outside checks passed"
