#!/bin/sh
# Runs the programs of tests/c under memory checkers; exits with another status than 0 if one of them finds something, or if one
# misses a planted fault.
#
#   capi/tests/sanitize.sh              valgrind (where installed), then AddressSanitizer and UBSan in the C programs
#   capi/tests/sanitize.sh --rust-asan  also AddressSanitizer in the library itself; needs RUSTC_BOOTSTRAP, x86-64 Linux
#   capi/tests/sanitize.sh --rust-tsan  ThreadSanitizer in the library and threads.c alone; the same needs
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

# build LIBRARY_DIR SOURCE PROGRAM FLAG...
build() {
    dir=$1 source=$2 program=$3
    shift 3
    # shellcheck disable=SC2086 # the flags are several words
    "$cc" $flags "$here/c/$source" -o "$work/$program" "-L$dir" -lspheresum "-Wl,-rpath,$dir" "$@" -lm -lpthread
}

# plugins LIBRARY_DIR: what misuse.c and whole.c load
plugins() {
    for kind in GOOD NOTHING NO_TABLE OTHER_VERSION NO_ADAPTERS TWICE TWO; do
        build "$1" plugin.c "$(echo $kind | tr '[:upper:]' '[:lower:]').so" -shared -fPIC "-D$kind"
    done
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

triple=x86_64-unknown-linux-gnu

# instrumented KIND FLAGS: builds the library with a sanitizer of rustc, and sets `dir` and `runtime`
instrumented() {
    runtime=$(rustc --print sysroot)/lib/rustlib/$triple/lib/librustc-stable_rt.$1.a
    [ -f "$runtime" ] || fail "$runtime is not there"
    RUSTC_BOOTSTRAP=1 RUSTFLAGS=$2 cargo build --quiet -p spheresum-capi --target "$triple" --target-dir "$target/$1"
    dir=$target/$1/$triple/debug
}

# rust_build SOURCE PROGRAM FLAG...
rust_build() {
    source=$1 program=$2
    shift 2
    build "$dir" "$source" "$program" "$@" -Wl,--whole-archive "$runtime" -Wl,--no-whole-archive -Wl,--export-dynamic \
        -lm -lpthread -ldl -lrt -lstdc++
}

if [ "${1:-}" = --rust-tsan ]; then
    instrumented tsan '-Zsanitizer=thread -Cunsafe-allow-abi-mismatch=sanitizer'
    # The standard library is not instrumented: what a OnceLock hands from the thread that fills it to others looks like a race.
    echo 'race:once_lock::OnceLock*initialize' >"$work/suppressions"
    # With the history that it keeps by itself it misses every other planted race.
    export TSAN_OPTIONS="exitcode=66 history_size=7 suppressions=$work/suppressions"
    rust_build threads.c tsan
    rust_build threads.c tsan_race -DRACE
    clean "ThreadSanitizer in the library" "$work/tsan"
    caught "ThreadSanitizer in the library, race" "data race" "$work/tsan_race"
    exit 0
fi

cargo build --quiet -p spheresum-capi
lib=$target/debug
[ -f "$lib/libspheresum.so" ] || fail "$lib/libspheresum.so was not built"
plugins "$lib"

if command -v valgrind >/dev/null 2>&1; then
    checkers=$((checkers + 1))
    grind() {
        valgrind -q --leak-check=full --show-leak-kinds=definite,indirect,possible \
            --errors-for-leak-kinds=definite,indirect,possible --error-exitcode=9 "$@"
    }
    for each in trp whole misuse running; do
        build "$lib" $each.c plain
        build "$lib" $each.c leak -DLEAK
        build "$lib" $each.c freed -DUSE_AFTER_FREE
        clean "valgrind, $each" grind "$work/plain" "$work"
        caught "valgrind, $each, leak" "lost in loss record" grind "$work/leak" "$work"
        caught "valgrind, $each, use after free" "Invalid read" grind "$work/freed" "$work"
    done
    build "$lib" threads.c plain
    clean "valgrind, threads" grind "$work/plain"
else
    echo "valgrind: not installed, skipped"
fi

echo 'int main(void) { return 0; }' >"$work/probe.c"
if "$cc" -fsanitize=address,undefined "$work/probe.c" -o "$work/probe" 2>/dev/null; then
    checkers=$((checkers + 1))
    with="-fsanitize=address,undefined -fno-sanitize-recover=all"
    for each in trp whole misuse running threads; do
        # shellcheck disable=SC2086 # the flags are several words
        build "$lib" $each.c asan $with
        clean "AddressSanitizer, UBSan, $each" "$work/asan" "$work"
        [ $each = threads ] && continue
        # The library is not instrumented here, so that a read after free inside it would be missed: only the leak is planted.
        # shellcheck disable=SC2086
        build "$lib" $each.c asan_leak $with -DLEAK
        caught "AddressSanitizer, $each, leak" "LeakSanitizer" "$work/asan_leak" "$work"
    done
else
    echo "AddressSanitizer: $cc has none, skipped"
fi

if [ "${1:-}" = --rust-asan ]; then
    checkers=$((checkers + 1))
    instrumented asan -Zsanitizer=address
    plugins "$dir"
    for each in trp whole misuse running threads; do
        rust_build $each.c rust_asan
        clean "AddressSanitizer in the library, $each" "$work/rust_asan" "$work"
        [ $each = threads ] && continue
        rust_build $each.c rust_leak -DLEAK
        rust_build $each.c rust_freed -DUSE_AFTER_FREE
        caught "AddressSanitizer in the library, $each, leak" "LeakSanitizer" "$work/rust_leak" "$work"
        caught "AddressSanitizer in the library, $each, use after free" "heap-use-after-free" "$work/rust_freed" "$work"
    done
fi

[ "$checkers" -gt 0 ] || echo "sanitize: no memory checker on this machine; nothing was checked"
