#!/bin/sh
# The colours and the recipe for `:make` in Vim, and the same files in Neovim, each started with no configuration of its own.
# Needs vim, nvim or both; as root, what is missing is installed.
set -eu
root=$(cd "$(dirname "$0")/../../.." && pwd)
. "$root/tests/clients/common.sh"
need vim vim
need nvim neovim

for editor in "vim -es -u NONE" "nvim --headless -u NONE -i NONE -n"; do
  name=${editor%% *}
  echo "# $name: colours"
  export SAID="$scratch/$name-colours"
  timeout -k 5 60 $editor --cmd "set nocompatible rtp^=$root/editors/vim | filetype plugin on | syntax on" -S "$root/tests/clients/vim/syntax.vim" >"$scratch/out" 2>&1 </dev/null || true
  collect "$SAID" "$scratch/out"
  echo "# $name: make"
  export SAID="$scratch/$name-make"
  cp -r "$root/tests/clients/workspace/." "$scratch/$name-bench"
  (cd "$scratch/$name-bench" && PATH="$bin:$PATH" timeout -k 5 60 $editor --cmd "set nocompatible rtp^=$root/editors/vim | filetype plugin on" -S "$root/tests/clients/vim/make.vim" >"$scratch/out" 2>&1 </dev/null) || true
  collect "$SAID" "$scratch/out"
done
finish
