#!/bin/sh
# Neovim with the plugin of editors/neovim and a configuration of two lines, driven by keys through a day at the bench, against the real server.
# GUDGEON says where the program is (else target/debug/gudgeon), NVIM which Neovim (else the one on the path). As root a missing Neovim is installed.
set -eu
root=$(cd "$(dirname "$0")/../../.." && pwd)
. "$root/tests/clients/common.sh"
[ -n "${NVIM:-}" ] || need nvim neovim

export ROOT="$root" BENCH="$scratch/bench" SAID="$scratch/said" NVIM_UNDER_TEST="${NVIM:-nvim}" PATH="$bin:$PATH"
cp -r "$root/tests/clients/workspace" "$BENCH"
echo "# $("$NVIM_UNDER_TEST" --version | head -1)"
timeout -k 5 60 "$NVIM_UNDER_TEST" --headless -u NONE -i NONE -n -c "luafile $root/tests/clients/neovim/drive.lua" >"$scratch/out" 2>&1 </dev/null || true
collect "$SAID" "$scratch/out"
if [ "$failed" -gt 0 ]; then
  # What the client wrote down about the server.
  find "$HOME" -name 'lsp.log' -exec tail -n 20 {} \; 2>/dev/null | cut -c1-400 | sed 's/^/# /'
fi
finish
