# What the tests of the clients have in common: a scratch folder, the program under test, missing editors, counting. Read by each run.sh, with $root set.
# The lines that a test says are those of the Test Anything Protocol without its plan: `ok - …` and `not ok - …`.

passed=0
failed=0
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
# Editors keep their own files here, not in the home of whoever runs this.
export HOME="$scratch/home" XDG_CONFIG_HOME="$scratch/home/.config" XDG_DATA_HOME="$scratch/home/.local/share" XDG_STATE_HOME="$scratch/home/.local/state" XDG_CACHE_HOME="$scratch/home/.cache"
export LC_ALL=C.UTF-8
mkdir -p "$HOME"

GUDGEON=${GUDGEON:-${CARGO_TARGET_DIR:-$root/target}/debug/gudgeon}
if [ ! -x "$GUDGEON" ]; then
  echo "not ok - no program at $GUDGEON: run \`cargo build\`, or say where it is in GUDGEON"
  exit 1
fi
export GUDGEON
# The program by its plain name, as a mechanic has it on the path. Of a server it keeps what it said on its standard error, and how it ended.
bin="$scratch/bin"
mkdir -p "$bin"
export SERVED="$scratch/served" STDERR="$scratch/stderr" SERVERS="$scratch/servers"
cat >"$bin/gudgeon" <<'END'
#!/bin/sh
[ "${1:-}" = serve ] || exec "$GUDGEON" "$@"
ended=0
exec 3<&0
# A server in the background would read nothing, so it is given the standard input by its number.
"$GUDGEON" "$@" 2>>"$STDERR" <&3 &
server=$!
echo "$server" >>"$SERVERS"
wait "$server" || ended=$?
echo "$ended" >>"$SERVED"
END
chmod +x "$bin/gudgeon"

# need COMMAND PACKAGE…: an editor that is missing is installed where that can be, else the test ends.
need() {
  command=$1
  shift
  command -v "$command" >/dev/null && return 0
  if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    DEBIAN_FRONTEND=noninteractive apt-get update -qq >/dev/null
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$@" >/dev/null
  fi
  command -v "$command" >/dev/null || { echo "not ok - $command is missing (Debian: apt-get install $*)"; exit 1; }
}

# collect SAID OUT: shows what an editor said and counts it. One that did not come to its last line has failed, and shows what it printed.
collect() {
  touch "$1"
  grep -v ' passed, ' "$1" || true
  passed=$((passed + $(grep -c '^ok - ' "$1" || true)))
  failed=$((failed + $(grep -c '^not ok - ' "$1" || true)))
  if ! grep -q ' passed, ' "$1"; then
    failed=$((failed + 1))
    echo "not ok - the editor came to its end"
    sed 's/^/# /' "$2" | tail -40
  fi
}

# finish: the last line, and the exit code.
finish() {
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
}
