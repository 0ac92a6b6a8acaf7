#!/bin/sh
# Looks for inputs that break what must hold of any input, with libFuzzer: `sh tests/fuzz/run.sh SECONDS [TARGET…]`, SECONDS a target, all targets if none is named.
#
# Longer: `sh tests/fuzz/run.sh 3600 judge`, or `sh tests/fuzz/run.sh 400` for an hour over all of them. What was learnt stays in tests/fuzz/corpus, so a later
# run goes on from there; `rm -r tests/fuzz/corpus` begins anew. Two at a time: run it twice with other targets.
#
# With RUNS=N in the environment each target makes no more than N runs, always the same ones from the seeds alone: what `tests/all.sh` does, so that a test that passed
# does not fail on the next day by chance.
#
# What is found stands in tests/fuzz/artifacts/TARGET. Make it small with `cargo fuzz tmin`, as the last lines of a run say, put it into tests/regress/TARGET under a
# name that says what it is about, and mend what it shows: `cargo test --test regress` replays it.
set -eu
cd "$(dirname "$0")"
seconds=${1:?"how many seconds a target? sh tests/fuzz/run.sh SECONDS [TARGET…]"}
shift
if [ $# -eq 0 ]; then
    for target in targets/*.rs; do
        set -- "$@" "$(basename "$target" .rs)"
    done
fi
command -v cargo-fuzz >/dev/null || cargo install --quiet cargo-fuzz --version 0.13.2 --locked
# Edges of the code are counted by a pass that the stable compiler has too. Nothing here is unsafe, so no sanitizer is needed.
RUSTC_BOOTSTRAP=1
export RUSTC_BOOTSTRAP
how="--fuzz-dir . -s none --no-cfg-fuzzing --strip-dead-code=true"
# shellcheck disable=SC2086
nice cargo fuzz build $how
python3 seeds.py
# The server writes the built-in manuals into the user's cache folder.
XDG_CACHE_HOME=$PWD/target/cache
export XDG_CACHE_HOME
mkdir -p "$XDG_CACHE_HOME" target/logs
found=0
for target in "$@"; do
    learnt=corpus/$target
    bounded=
    if [ -n "${RUNS:-}" ]; then
        learnt=target/learnt/$target
        rm -rf "$learnt"
        bounded="-runs=$RUNS -seed=20"
    fi
    mkdir -p "$learnt" "artifacts/$target"
    log=target/logs/$target
    code=0
    # shellcheck disable=SC2086
    nice cargo fuzz run $how "$target" "$learnt" "seeds/$target" -- $bounded -max_total_time="$seconds" -timeout=10 -rss_limit_mb=2048 \
        -max_len=8192 -dict=words.dict -print_final_stats=1 >"$log" 2>&1 || code=$?
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")
    rate=$(sed -n 's/^stat::average_exec_per_sec: *//p' "$log")
    covered=$(sed -n 's/.* cov: \([0-9]*\) ft: \([0-9]*\).*/\1 edges, \2 features/p' "$log" | tail -n 1)
    echo "$target: ${runs:-no} runs, ${rate:-0} a second, ${covered:-nothing covered}"
    if [ "$code" -ne 0 ]; then
        found=1
        echo "$target: ended with $code (the whole of it in tests/fuzz/$log):"
        if grep -q "Test unit written" "$log"; then
            grep -a -E -A 4 "panicked at|ERROR: libFuzzer|Test unit written" "$log" | head -n 20
            echo "make it small: cd tests/fuzz && RUSTC_BOOTSTRAP=1 cargo fuzz tmin $how $target FILE"
        else
            tail -n 20 "$log"
        fi
    fi
done
exit $found
