#!/bin/sh
# Judges the book in any CI. What known.jsonl has stands in nobody's way; what is new and weighs enough fails the run, and so does what cannot be read.
#
#   sh ci.sh [FOLDER]    the results go there: findings.sarif for code hosts and viewers, findings.xml for a view of tests
#
# In a change under review, `--since` the branch it is to go into judges only what the change touches:
#   gudgeon inspect --since "$(git merge-base HEAD main)"
set -u
cd "$(dirname "$0")" || exit 2
gudgeon=${GUDGEON:-gudgeon}
results=${1:-results}
mkdir -p "$results" || exit 2
"$gudgeon" inspect --as sarif > "$results/findings.sarif" 2> /dev/null
"$gudgeon" inspect --as junit > "$results/findings.xml" 2> /dev/null
# The same for whoever reads the build's own page; its exit code is that of the run.
"$gudgeon" inspect
