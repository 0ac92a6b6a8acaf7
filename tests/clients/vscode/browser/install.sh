#!/bin/sh
# Makes the editor that `npm ci` put down run: its own packages, and the four of them that are compiled. The scripts that come with them are not
# run: one of them wants a file from elsewhere (the search program, which comes from Debian here), another fails on its last, needless line.
set -eu
cd "$(dirname "$0")/.."
here=$(pwd)
server=$here/node_modules/code-server
code=$server/lib/vscode

# Headers lie beside Node where its package has them; otherwise node-gyp fetches them.
prefix=$(dirname "$(dirname "$(readlink -f "$(command -v node)")")")
if [ -f "$prefix/include/node/node.h" ]; then
    export npm_config_nodedir="$prefix"
fi

cd "$code"
# Not `npm ci`: its shrinkwrap lacks one package. What it has stays at its version.
if [ ! -f node_modules/.package-lock.json ]; then
    npm install --omit=dev --ignore-scripts --no-audit --no-fund >"$here/.work/npm-code.log" 2>&1 || { cat "$here/.work/npm-code.log" >&2; exit 1; }
fi

compile() {
    if [ ! -f "$2" ]; then
        echo "compiling $1"
        if ! (cd "$1" && "$here/node_modules/.bin/node-gyp" rebuild -j 2) >"$here/.work/compile.log" 2>&1; then
            cat "$here/.work/compile.log" >&2
            exit 1
        fi
    fi
}
compile node_modules/@vscode/spdlog node_modules/@vscode/spdlog/build/Release/spdlog.node
compile node_modules/native-watchdog node_modules/native-watchdog/build/Release/watchdog.node
compile node_modules/node-pty node_modules/node-pty/build/Release/pty.node

cd "$here"
if [ ! -f node_modules/argon2/lib/binding/napi-v3/argon2.node ]; then
    echo "compiling argon2"
    if ! npm rebuild argon2 --build-from-source --foreground-scripts >"$here/.work/compile.log" 2>&1; then
        cat "$here/.work/compile.log" >&2
        exit 1
    fi
fi

ln -sfn node_modules "$code/node_modules.asar"
mkdir -p "$code/node_modules/@vscode/ripgrep/bin"
ln -sf "$(command -v rg)" "$code/node_modules/@vscode/ripgrep/bin/rg"
