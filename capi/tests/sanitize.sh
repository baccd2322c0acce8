#!/bin/sh
# Runs tests/c/trp.c under memory checkers; exits with another status than 0 if one of them finds something, or if one misses a
# planted fault.
#
#   capi/tests/sanitize.sh              valgrind (where installed), then AddressSanitizer and UBSan in the C program
#   capi/tests/sanitize.sh --rust-asan  also AddressSanitizer in the library itself; needs RUSTC_BOOTSTRAP, x86-64 Linux
#
# CC chooses the compiler; CARGO_TARGET_DIR is honoured.
set -eu

here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
cd "$root"
target=${CARGO_TARGET_DIR:-$root/target}
cc=${CC:-cc}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
flags="-std=c99 -g -Wall -Wextra -Wpedantic -Werror -I$root/capi/include"
checkers=0

fail() {
    echo "sanitize: $*" >&2
    exit 1
}

# build LIBRARY_DIR PROGRAM FLAG...
build() {
    dir=$1 program=$2
    shift 2
    # shellcheck disable=SC2086 # the flags are several words
    "$cc" $flags "$here/c/trp.c" -o "$work/$program" "-L$dir" -lspheresum "-Wl,-rpath,$dir" "$@" -lm
}

# clean NAME COMMAND...: must succeed, and print nothing but its score
clean() {
    name=$1
    shift
    "$@" >"$work/log" 2>&1 || { cat "$work/log"; fail "$name: found something"; }
    grep -qx '[0-9]* passed, 0 failed' "$work/log" && [ "$(wc -l <"$work/log")" -eq 1 ] ||
        { cat "$work/log"; fail "$name: printed more than its score"; }
    echo "$name: $(cat "$work/log")"
}

# caught NAME PATTERN COMMAND...: must fail with a report that has the pattern
caught() {
    name=$1 pattern=$2
    shift 2
    if "$@" >"$work/log" 2>&1; then
        fail "$name: the planted fault was missed"
    fi
    grep -q "$pattern" "$work/log" || { cat "$work/log"; fail "$name: failed without naming the planted fault"; }
    echo "$name: planted fault found"
}

cargo build --quiet -p spheresum-capi
lib=$target/debug
[ -f "$lib/libspheresum.so" ] || fail "$lib/libspheresum.so was not built"

if command -v valgrind >/dev/null 2>&1; then
    checkers=$((checkers + 1))
    grind() {
        valgrind -q --leak-check=full --show-leak-kinds=all --errors-for-leak-kinds=definite,indirect,possible \
            --error-exitcode=9 "$@"
    }
    build "$lib" plain
    build "$lib" leak -DLEAK
    build "$lib" freed -DUSE_AFTER_FREE
    clean valgrind grind "$work/plain"
    caught "valgrind, leak" "lost in loss record" grind "$work/leak"
    caught "valgrind, use after free" "Invalid read" grind "$work/freed"
else
    echo "valgrind: not installed, skipped"
fi

echo 'int main(void) { return 0; }' >"$work/probe.c"
if "$cc" -fsanitize=address,undefined "$work/probe.c" -o "$work/probe" 2>/dev/null; then
    checkers=$((checkers + 1))
    build "$lib" asan -fsanitize=address,undefined -fno-sanitize-recover=all
    # The library is not instrumented here, so that a read after free inside it would be missed: only the leak is planted.
    build "$lib" asan_leak -fsanitize=address,undefined -fno-sanitize-recover=all -DLEAK
    clean "AddressSanitizer, UBSan" "$work/asan"
    caught "AddressSanitizer, leak" "LeakSanitizer" "$work/asan_leak"
else
    echo "AddressSanitizer: $cc has none, skipped"
fi

if [ "${1:-}" = --rust-asan ]; then
    checkers=$((checkers + 1))
    triple=x86_64-unknown-linux-gnu
    runtime=$(rustc --print sysroot)/lib/rustlib/$triple/lib/librustc-stable_rt.asan.a
    [ -f "$runtime" ] || fail "$runtime is not there"
    RUSTC_BOOTSTRAP=1 RUSTFLAGS=-Zsanitizer=address \
        cargo build --quiet -p spheresum-capi --target "$triple" --target-dir "$target/asan"
    rust_build() {
        program=$1
        shift
        build "$target/asan/$triple/debug" "$program" "$@" -Wl,--whole-archive "$runtime" -Wl,--no-whole-archive \
            -Wl,--export-dynamic -lm -lpthread -ldl -lrt -lstdc++
    }
    rust_build rust_asan
    rust_build rust_leak -DLEAK
    rust_build rust_freed -DUSE_AFTER_FREE
    clean "AddressSanitizer in the library" "$work/rust_asan"
    caught "AddressSanitizer in the library, leak" "LeakSanitizer" "$work/rust_leak"
    caught "AddressSanitizer in the library, use after free" "heap-use-after-free" "$work/rust_freed"
fi

[ "$checkers" -gt 0 ] || echo "sanitize: no memory checker on this machine; nothing was checked"
