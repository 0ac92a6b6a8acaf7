#!/bin/sh
# Emacs with the modes of editors/emacs and a configuration of three lines, driven by keys through a day at the bench, against the real server.
# GUDGEON says where the program is (else target/debug/gudgeon), EMACS which Emacs (else the one on the path). As root, what is missing is installed.
set -eu
root=$(cd "$(dirname "$0")/../../.." && pwd)
. "$root/tests/clients/common.sh"
[ -n "${EMACS:-}" ] || need emacs emacs-nox elpa-eglot
emacs=${EMACS:-emacs}
"$emacs" -q --batch --eval "(require 'eglot)" 2>/dev/null || { [ "$(id -u)" = 0 ] && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends elpa-eglot >/dev/null; }

export ROOT="$root" BENCH="$scratch/bench" SAID="$scratch/modes" PATH="$bin:$PATH" TERM=xterm SERVERS="$scratch/servers"
cp -r "$root/tests/clients/workspace" "$BENCH"
echo "# $("$emacs" --version | head -1)"

# As it is meant to be: it compiles without a warning, and its documentation is in the usual form.
mode="$root/editors/emacs/gudgeon-mode.el"
cp "$mode" "$scratch"
if "$emacs" -Q --batch --eval '(setq byte-compile-error-on-warn t)' -f batch-byte-compile "$scratch/gudgeon-mode.el" >"$scratch/out" 2>&1; then
  echo "ok - the modes compile without a warning"
  passed=$((passed + 1))
else
  echo "not ok - the modes compile without a warning: $(cat "$scratch/out")"
  failed=$((failed + 1))
fi
"$emacs" -Q --batch --eval "(progn (require 'checkdoc) (checkdoc-file \"$mode\"))" >"$scratch/out" 2>&1 || true
if [ -s "$scratch/out" ]; then
  echo "not ok - its documentation is in the usual form: $(cat "$scratch/out")"
  failed=$((failed + 1))
else
  echo "ok - its documentation is in the usual form"
  passed=$((passed + 1))
fi

timeout -k 5 60 "$emacs" -Q --batch -L "$root/editors/emacs" -l "$root/tests/clients/emacs/modes.el" >"$scratch/out" 2>&1 </dev/null || true
collect "$SAID" "$scratch/out"

# A terminal of its own: a batch has neither keys nor idle time.
export SAID="$scratch/drive"
ended=0
(cd "$BENCH" && timeout -k 5 60 script -qefc "$emacs -nw -q --eval '(setq native-comp-deferred-compilation nil)' -l '$root/tests/clients/emacs/init.el' -l '$root/tests/clients/emacs/drive.el'" "$scratch/typescript" >"$scratch/out" 2>&1 </dev/null) || ended=$?
collect "$SAID" "$scratch/out"
if [ "$ended" -eq 0 ]; then
  echo "ok - the editor ends with 0"
  passed=$((passed + 1))
else
  echo "not ok - the editor ends with 0: got $ended"
  failed=$((failed + 1))
fi
sleep 1
left=0
for server in $(cat "$SERVERS" 2>/dev/null); do
  # The server is a child of what is named there.
  if [ -d "/proc/$server" ] && ! grep -q '^State:.*zombie' "/proc/$server/status"; then
    left=$((left + 1))
    kill "$server" || true
  fi
done
if [ "$left" -eq 0 ] && [ -s "$SERVERS" ]; then
  echo "ok - no server outlives the editor"
  passed=$((passed + 1))
else
  echo "not ok - no server outlives the editor: $left left"
  failed=$((failed + 1))
fi
if grep -q panicked "$STDERR" 2>/dev/null; then
  echo "not ok - the server says nothing of a panic: $(tail -5 "$STDERR")"
  failed=$((failed + 1))
fi
finish
