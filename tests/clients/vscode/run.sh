#!/bin/sh
# The extension for VS Code: type check, package, grammars, and the whole of it in the real editor in a browser. Needs Node.js 20, npm, and (for the
# browser) a compiler, Python, Chromium and ripgrep, which are installed where they are missing and this is run as root on Debian.
#
# GUDGEON is the program to serve with, SKIP_BROWSER=1 leaves out the browser.
set -eu
cd "$(dirname "$0")"
here=$(pwd)
root=$(cd ../../.. && pwd)
GUDGEON=$(realpath -m "${GUDGEON:-$root/target/debug/gudgeon}")
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
packages() {
    if [ ! "$1/node_modules/.package-lock.json" -nt "$1/package-lock.json" ]; then
        echo "== packages of ${1#"$root"/}"
        quiet npm ci --prefix "$1" --ignore-scripts --no-audit --no-fund
    fi
}

packages "$root/editors/vscode"
packages "$here"
for lock in "$root/editors/vscode/package-lock.json" "$here/package-lock.json"; do
    if grep -q '"resolved"' "$lock"; then
        echo "$lock names hosts; write it anew with omit-lockfile-registry-resolved" >&2
        exit 1
    fi
done

echo "== type check, bundle, package"
quiet npm run --prefix "$root/editors/vscode" package
ls -l "$root/editors/vscode/gudgeon.vsix"

echo "== grammars"
syntaxes=$root/editors/vscode/syntaxes
node_modules/.bin/vscode-tmgrammar-test -g "$syntaxes/rebuild.tmLanguage.json" -g "$syntaxes/rebuild-manual.tmLanguage.json" \
    'grammar/*.{rebuild,manual}'
node grammar/every-line.mjs

echo "== snippets"
node snippets.mjs

if [ "${SKIP_BROWSER:-}" = 1 ]; then
    echo "#################################################################"
    echo "## SKIP_BROWSER=1: the extension was NOT tried in the editor   ##"
    echo "#################################################################"
    exit 0
fi

echo "== the editor"
missing=
command -v c++ >/dev/null || missing="$missing build-essential"
command -v python3 >/dev/null || missing="$missing python3"
command -v rg >/dev/null || missing="$missing ripgrep"
command -v "${CHROMIUM:-/usr/bin/chromium}" >/dev/null || missing="$missing chromium"
if [ -n "$missing" ]; then
    echo "installing$missing"
    quiet apt-get update
    # shellcheck disable=SC2086
    DEBIAN_FRONTEND=noninteractive quiet apt-get install -y --no-install-recommends $missing
fi
sh browser/install.sh
journey() {
    timeout -k 10 240 node --test-reporter=spec browser/journey.test.mjs
}
# A window that takes the keys a moment later than a person would notice is no fault of ours; what fails twice is.
journey || { echo "== the editor, once more"; journey; }
echo "pictures of what was seen: ${here#"$root"/}/.work/pictures"
