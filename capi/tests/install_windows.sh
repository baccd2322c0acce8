#!/bin/sh
# Builds the libraries for 64-bit Windows, and compiles and links the C program against them; runs nothing. Needs MinGW-w64 and
# `rustup target add x86_64-pc-windows-gnu`.
set -eu

triple=x86_64-pc-windows-gnu
tools=x86_64-w64-mingw32
here=$(cd "$(dirname "$0")" && pwd)
cd "$here/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
LC_ALL=C
export LC_ALL

fail() {
    [ ! -s "$work/log" ] || cat "$work/log"
    echo "test for Windows: $*" >&2
    exit 1
}

CARGO_TERM_COLOR=never cargo rustc -p spheresum-capi --lib --target $triple --crate-type cdylib,staticlib \
    --message-format json-render-diagnostics -- --print native-static-libs >"$work/built" 2>"$work/log" || fail "the build"
natives=$(sed -n 's/^note: native-static-libs: *//p' "$work/log" | tail -n 1)
libraries=$(dirname "$(grep -o '"[^"]*/spheresum\.dll"' "$work/built" | tail -n 1 | tr -d '"')")

$tools-objdump -p "$libraries/spheresum.dll" | grep -o ' spheresum_[a-z0-9_]*$' | tr -d ' ' | sort >"$work/exported"
diff "$work/exported" capi/exports.txt || fail "the library does not export what capi/exports.txt says"
link() {
    $tools-gcc -std=c99 -Wall -Wextra -Wpedantic -Wconversion -Werror -Icapi/include capi/tests/c/trp.c "$@" -o "$work/trp.exe" \
        >"$work/log" 2>&1 || fail "the program with $1"
}
link "$libraries/libspheresum.dll.a"
# shellcheck disable=SC2086 # several libraries
link "$libraries/libspheresum.a" $natives
echo "Windows: exports, compiled and linked with both libraries; not run"
