#!/bin/sh
# The extension for VS Code: type check, package, grammars, and the whole of it in the real editor in a browser. Needs Node.js 20, npm, and (for the
# browser) a compiler, Python, Chromium and ripgrep, which are installed where they are missing and this is run as root on Debian.
#
# GUDGEON is the program to serve with, SKIP_BROWSER=1 leaves out the browser.
set -eu
cd "$(dirname "$0")"
here=$(pwd)
root=$(cd ../../.. && pwd)
. ../node.sh
packages "$root/editors/vscode"
packages "$here"

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
    skipped "the extension was NOT tried in the editor"
    exit 0
fi

echo "== the editor"
need c++ build-essential
need python3 python3
need rg ripgrep
need "${CHROMIUM:-/usr/bin/chromium}" chromium
install
sh browser/install.sh
journey() {
    timeout -k 10 240 node --test-reporter=spec browser/journey.test.mjs
}
# A window that takes the keys a moment later than a person would notice is no fault of ours; what fails twice is.
journey || { echo "== the editor, once more"; journey; }
echo "pictures of what was seen: ${here#"$root"/}/.work/pictures"
