#!/bin/sh
# Reports for people, as a browser shows and prints them: every sample, a log full of markup, one without a reading, one with ten thousand. Needs Node.js 20, npm, and
# (for the browser) Chromium and poppler's tools, which are installed where they are missing and this is run as root on Debian.
#
# GUDGEON is the program that writes them, SKIP_BROWSER=1 leaves out the browser: the markup is then still checked. ONLY=hostile tries only reports whose name has that.
set -eu
cd "$(dirname "$0")"
root=$(cd ../../.. && pwd)
. ../node.sh
packages "$(pwd)"

if [ "${SKIP_BROWSER:-}" = 1 ]; then
    skipped "the reports were NOT shown in a browser"
    timeout -k 10 120 node --test --test-reporter=spec markup.test.mjs
    exit
fi

need "${CHROMIUM:-/usr/bin/chromium}" chromium
need pdftoppm poppler-utils
install
# One after the other: they write the same reports, and two browsers at once help nobody.
timeout -k 10 900 node --test --test-concurrency=1 --test-reporter=spec markup.test.mjs browser.test.mjs
echo "pictures of what was seen and printed: tests/clients/report/.work/pictures"
