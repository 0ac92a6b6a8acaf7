#!/bin/sh
# Reports for people, as a browser shows and prints them: every sample, a log full of markup, one without a reading, one with ten thousand. Needs Node.js 20, npm, and
# (for the browser) Chromium and poppler's tools, which are installed where they are missing and this is run as root on Debian.
#
# GUDGEON is the program that writes them, SKIP_BROWSER=1 leaves out the browser: the markup is then still checked. ONLY=hostile tries only reports whose name has that.
set -eu
cd "$(dirname "$0")"
root=$(cd ../../.. && pwd)
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

quiet() {
    if ! "$@" >.work/last.log 2>&1; then
        cat .work/last.log >&2
        echo "failed: $*" >&2
        exit 1
    fi
}

# What is put down already by this lock is left as it is.
if [ ! node_modules/.package-lock.json -nt package-lock.json ]; then
    quiet npm ci --ignore-scripts --no-audit --no-fund
fi
if grep -q '"resolved"' package-lock.json; then
    echo "package-lock.json names hosts; write it anew with omit-lockfile-registry-resolved" >&2
    exit 1
fi

if [ "${SKIP_BROWSER:-}" = 1 ]; then
    echo "##################################################################"
    echo "## SKIP_BROWSER=1: the reports were NOT shown in a browser      ##"
    echo "##################################################################"
    timeout -k 10 120 node --test --test-reporter=spec markup.test.mjs
    exit
fi

missing=
command -v "${CHROMIUM:-/usr/bin/chromium}" >/dev/null || missing="$missing chromium"
command -v pdftoppm >/dev/null || missing="$missing poppler-utils"
if [ -n "$missing" ]; then
    echo "installing$missing"
    quiet apt-get update
    # shellcheck disable=SC2086
    DEBIAN_FRONTEND=noninteractive quiet apt-get install -y --no-install-recommends $missing
fi
# One after the other: they write the same reports, and two browsers at once help nobody.
timeout -k 10 900 node --test --test-concurrency=1 --test-reporter=spec markup.test.mjs browser.test.mjs
echo "pictures of what was seen and printed: tests/clients/report/.work/pictures"
