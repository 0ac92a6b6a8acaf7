#!/bin/sh
# Writes the pages and schemas that are made from the code anew (tests/pages.rs lists them), and says which of them differ from what was committed.
set -eu
cd "$(dirname "$0")/.."
UPDATE_PAGES=1 cargo test --locked --quiet --test pages
git status --short -- grammar src/report
