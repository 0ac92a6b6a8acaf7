#!/bin/sh
# Every client that was not written here: editors, Microsoft's own libraries and the protocol's own description against the server; a browser for the reports. Each runs to its end, also where one
# before it failed. GUDGEON says where the program is, else it is the debug build of this repository. As root on Debian, what is missing is installed by name.
set -eu
cd "$(dirname "$0")/../.."
GUDGEON=$(realpath -m "${GUDGEON:-${CARGO_TARGET_DIR:-target}/debug/gudgeon}")
export GUDGEON
test -x "$GUDGEON" || { echo "no program at $GUDGEON: cargo build first, or name one in GUDGEON" >&2; exit 2; }
if ! command -v node >/dev/null && [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
  DEBIAN_FRONTEND=noninteractive apt-get update -qq >/dev/null
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends nodejs npm >/dev/null
fi
failed=
for client in protocol vim neovim emacs vscode report; do
  echo "==== $client"
  sh "tests/clients/$client/run.sh" || failed="$failed $client"
done
if [ -n "$failed" ]; then
  echo "these clients failed:$failed" >&2
  exit 1
fi
