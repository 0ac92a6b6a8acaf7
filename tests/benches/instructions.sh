#!/bin/sh
# Instructions of the hot paths, a line, counted by callgrind, beside those that are kept in instructions.txt: a noisy machine counts them all the same.
# `sh tests/benches/instructions.sh` says which moved by more than 2 %; with --record it writes instructions.txt anew. Some minutes; no test, and in no test.
set -eu
cd "$(dirname "$0")/../.."
kept=tests/benches/instructions.txt
# Built without optimising over all crates at once: that takes minutes, and moves every count by little.
export CARGO_TARGET_DIR="${CARGO_TARGET_DIR:-target}/instructions"
export CARGO_PROFILE_RELEASE_LTO=off CARGO_PROFILE_RELEASE_CODEGEN_UNITS=16 CARGO_PROFILE_RELEASE_DEBUG=line-tables-only
cargo build --quiet --release --locked --bin gudgeon --example hot_paths --example repository
built="$CARGO_TARGET_DIR/release"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
: > "$work/now"

# count NAME LINES [valgrind options] -- PROGRAM ARGUMENT...
count() {
    name=$1 lines=$2
    shift 2
    # Findings end with 1: that is no failure here.
    valgrind --tool=callgrind --callgrind-out-file="$work/out" "$@" > /dev/null 2> "$work/said" || true
    total=$(sed -n 's/.*Collected : \([0-9]*\).*/\1/p' "$work/said")
    [ -n "$total" ] || { cat "$work/said" >&2; exit 1; }
    echo "$name $lines $total" >> "$work/now"
}

"$built/examples/repository" "$work/small" 1 485 1
count start_to_finish 485 "$built/gudgeon" inspect --jobs 1 --as line "$work/small"
"$built/examples/hot_paths" > "$work/names"
while read -r name lines; do
    count "$name" "$lines" --toggle-collect='*hot_paths::counted*' "$built/examples/hot_paths" "$name" < /dev/null
done < "$work/names"

if [ "${1:-}" = --record ]; then
    {
        echo "# Instructions a line, by tests/benches/instructions.sh: name, lines, instructions, instructions a line. $(rustc --version)"
        awk '{ printf "%s %d %d %.1f\n", $1, $2, $3, $3 / $2 }' "$work/now"
    } > "$kept"
fi
# Nothing is kept yet where there is no such file.
[ -f "$kept" ] || kept=/dev/null
awk '
    BEGIN { printf "%-18s %8s %14s %14s %14s %8s\n", "path", "lines", "instructions", "a line", "kept", "moved" }
    FILENAME == ARGV[1] { if ($1 !~ /^#/) kept[$1] = $4; next }
    {
        line = $3 / $2
        moved = $1 in kept && kept[$1] > 0 ? sprintf("%+.1f %%", (line / kept[$1] - 1) * 100) : "new"
        far = $1 in kept && (line / kept[$1] > 1.02 || line / kept[$1] < 0.98) ? "  <- moved" : ""
        printf "%-18s %8d %14d %14.1f %14s %8s%s\n", $1, $2, $3, line, ($1 in kept ? kept[$1] : "-"), moved, far
    }' "$kept" "$work/now"
