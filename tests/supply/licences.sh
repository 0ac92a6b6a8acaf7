#!/bin/sh
# Prints the list of everything that is built into the program on any system, with its licence: sh tests/supply/licences.sh > LICENSE-THIRD-PARTY
set -eu
cd "$(dirname "$0")/../.."
cat <<'HEAD'
What Gudgeon is built from, by others, each with the licence it comes under. The text of each licence
is in the package's own source, which crates.io keeps under the name and version given here. Gudgeon
itself is under MIT or Apache-2.0, as you like: LICENSE-MIT, LICENSE-APACHE.

HEAD
cargo tree --locked --edges normal --target all --prefix none --no-dedupe --format '{p}|{l}|{r}' \
  | grep -v '^gudgeon v' | sed 's/ (proc-macro)|/|/; s/ (\*)$//' | LC_ALL=C sort -u \
  | awk -F'|' '{ printf "%-34s %-46s %s\n", $1, $2, $3 }' | sed 's/ *$//'
