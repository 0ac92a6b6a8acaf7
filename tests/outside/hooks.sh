#!/bin/sh
# The hooks, run by pre-commit in a repository made for it: a bad log stops a commit, a good one does not, and a changed manual judges the logs that rest on it.
# usage: sh tests/outside/hooks.sh PRE-COMMIT GUDGEON
set -eu
pre_commit=$(realpath "$1")
gudgeon=$(realpath "$2")
root=$(realpath "$(dirname "$0")/../..")
"$pre_commit" validate-manifest "$root/.pre-commit-hooks.yaml"

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOME="$work/home" PRE_COMMIT_HOME="$work/cache" GIT_CONFIG_GLOBAL=/dev/null GIT_CONFIG_SYSTEM=/dev/null
mkdir -p "$HOME" "$work/shop/manuals" "$work/bin"
ln -s "$gudgeon" "$work/bin/gudgeon"
PATH="$work/bin:$PATH"
cd "$work/shop"
git init --quiet
git config user.name Ada
git config user.email ada@shop.invalid

# What the manifest says, with the program that was just built in the place of one that would be built for the hook.
{
	echo 'repos:'
	echo '- repo: local'
	echo '  hooks:'
	grep -v '^#' "$root/.pre-commit-hooks.yaml" |
		sed -e 's/^/  /' -e 's/language: rust/language: system/'
} > .pre-commit-config.yaml
"$pre_commit" validate-config .pre-commit-config.yaml
"$pre_commit" install > hook.txt

manual() {
	printf 'manual  pellan 90\nsource  invented\nunits   mm\n\nfeature web width\n  build  48.95 to %s mm\n' "$1" > manuals/pellan-90.manual
	gudgeon tidy manuals > said.txt
}
log() {
	printf 'job      crank\nmachine  Pellan 90\nmanual   pellan-90\n\n2026-03-14  build\nweb width = %s mm\n' "$2" > "$1"
	gudgeon tidy "$1" > said.txt
}
# Whether a commit of all there is comes about, and why not.
commits() {
	git add --all
	git commit --quiet --message "$1" > said.txt 2>&1
}
must() {
	commits "$1" || { cat said.txt; echo "stopped, and should not be: $1"; exit 1; }
}
must_not() {
	if commits "$1"; then echo "not stopped: $1"; exit 1; fi
	grep -q "$2" said.txt || { cat said.txt; echo "stopped for another reason than $2: $1"; exit 1; }
}
printf 'said.txt\nhook.txt\n' > .gitignore

manual 49.05
log good.rebuild 49.01
must 'a good log, and the first commit there is'
log bad.rebuild 49.09
must_not 'a reading out of limit' 'limit.out'
log bad.rebuild 49.05
must 'the same put right'
manual 49.02
must_not 'a manual that makes an old log wrong' 'bad.rebuild'
git checkout --quiet HEAD -- .
printf 'job   crank  \n2026-03-14  build\nnote  all well\n' > untidy.rebuild
must_not 'a log that is not laid out' 'tidied untidy.rebuild'
must 'the same as the hook laid it out'
test "$(git rev-list --count HEAD)" -eq 3
echo "hooks: 3 commits made and 3 stopped, as they should be"
