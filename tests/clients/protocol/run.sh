#!/bin/sh
# The language server held against the protocol by clients that were not written here. The program is $GUDGEON, by default the debug build of this repository.
# With an argument only those test files: sh tests/clients/protocol/run.sh cases/wire.test.mjs
set -eu
GUDGEON=${GUDGEON:+$(realpath -m "$GUDGEON")}
cd "$(dirname "$0")/../../.."
GUDGEON=${GUDGEON:-$(realpath -m "${CARGO_TARGET_DIR:-target}/debug/gudgeon")}
export GUDGEON
test -x "$GUDGEON" || { echo "no program at $GUDGEON: cargo build first, or name one in GUDGEON" >&2; exit 2; }
cd tests/clients/protocol
npm ci --silent
node description.mjs
test $# -gt 0 || set -- *.test.mjs cases/*.test.mjs
exec node --test --test-force-exit "$@"
