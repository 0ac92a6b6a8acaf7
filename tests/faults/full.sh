#!/bin/sh
# A small disk of its own that is filled to the last byte, and everything that writes files run on it: the old file must still be whole, nothing half, nothing left
# behind, and what was said must name a way out. 77 where no such disk can be had. Takes the program.
set -u
if [ "${2:-}" != inside ]; then
  if unshare -m true 2>/dev/null; then exec unshare -m sh "$0" "$1" inside; fi
  if unshare -rm true 2>/dev/null; then exec unshare -rm sh "$0" "$1" inside; fi
  echo "no disk of one's own may be mounted here" >&2
  exit 77
fi
gudgeon=$1
place=$(mktemp -d)
trap 'cd / && umount "$place" 2>/dev/null; rmdir "$place"' EXIT
if ! mount -t tmpfs -o size=256k none "$place" 2>/dev/null; then
  echo "no disk of one's own may be mounted here" >&2
  exit 77
fi
cd "$place" || exit 1
printf 'manual  test bench\nsource  invented for this test\nunits   mm\n\nfeature web width\n  build  51.90 to 52.05 mm\n' > bench.manual
{ printf 'job   a crank\nmanual bench\n\n2026-03-14    build\nweb   width =   53.00 mm   \n'; yes 'note   what was   seen   ' | head -n 500; } > a.rebuild
"$gudgeon" report a.rebuild --out a.html || exit 1
"$gudgeon" inspect --write-baseline known.jsonl >/dev/null
# All that is left is taken; a file or two more may still be made, and nothing be written into them.
cat /dev/zero > filler 2>/dev/null
cat /dev/zero >> filler 2>/dev/null
list=$(ls -A)
sums=$(cksum a.rebuild a.html known.jsonl)
said=0
full() {
  words=$("$gudgeon" "$@" 2>&1 >/dev/null)
  code=$?
  [ "$code" = 2 ] || { echo "gudgeon $*: ended with $code: $words"; exit 1; }
  case $words in
    *"the disk is full; nothing was changed. Make room, and run it again"*) said=$((said + 1)) ;;
    *) echo "gudgeon $*: no word of the disk: $words"; exit 1 ;;
  esac
  [ "$(cksum a.rebuild a.html known.jsonl)" = "$sums" ] || { echo "gudgeon $*: a file is not what it was"; exit 1; }
  [ "$(ls -A)" = "$list" ] || { echo "gudgeon $*: something is left behind: $(ls -A)"; exit 1; }
}
full tidy a.rebuild
full report a.rebuild --out a.html
full report a.rebuild --as csv --out new.csv
full inspect --write-baseline known.jsonl
full start bench --out b.rebuild
[ "$said" = 5 ] && echo "all five said so"
