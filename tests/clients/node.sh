# What the tests of the clients that run in Node.js have in common: the program under test, the version of Node.js, packages and what else is missing.
# Read by each run.sh in its own folder, with $root set.

GUDGEON=$(realpath -m "${GUDGEON:-${CARGO_TARGET_DIR:-$root/target}/debug/gudgeon}")
export GUDGEON
mkdir -p .work
if [ ! -x "$GUDGEON" ]; then
    echo "there is no program $GUDGEON: build it (cargo build), or name one in GUDGEON" >&2
    exit 1
fi
major=$(node -p 'process.versions.node.split(".")[0]' 2>/dev/null || echo 0)
if [ "$major" -lt 20 ]; then
    echo "Node.js 20 or newer is needed" >&2
    exit 1
fi

# quiet COMMAND…: shows what it said only where it fails, and then ends the test.
quiet() {
    if ! "$@" >.work/last.log 2>&1; then
        cat .work/last.log >&2
        echo "failed: $*" >&2
        exit 1
    fi
}

# packages FOLDER: what its lock names. What is put down already by this lock is left as it is.
packages() {
    if grep -q '"resolved"' "$1/package-lock.json"; then
        echo "$1/package-lock.json names hosts; write it anew with omit-lockfile-registry-resolved" >&2
        exit 1
    fi
    if [ ! "$1/node_modules/.package-lock.json" -nt "$1/package-lock.json" ]; then
        echo "== packages of ${1#"$root"/}"
        quiet npm ci --prefix "$1" --ignore-scripts --no-audit --no-fund
    fi
}

# need COMMAND PACKAGE: notes what is missing; `install` then installs it.
missing=
need() {
    command -v "$1" >/dev/null || missing="$missing $2"
}

install() {
    [ -n "$missing" ] || return 0
    echo "installing$missing"
    quiet apt-get update
    # shellcheck disable=SC2086
    DEBIAN_FRONTEND=noninteractive quiet apt-get install -y --no-install-recommends $missing
}

# skipped WHAT: says loudly that there was no browser.
skipped() {
    echo "##"
    echo "## SKIP_BROWSER=1: $1"
    echo "##"
}
