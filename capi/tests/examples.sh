#!/bin/sh
# Builds and runs the examples of capi/examples against the installed library. Each checks itself by a closed form, or has to say
# what the command says of the same files. Exits with another status than 0 if one does not; says what was skipped.
#
#   capi/tests/examples.sh [PREFIX]     PREFIX of an installation; without it, one is made in a folder of its own
#
# CC, CXX and PYTHON choose the tools; CARGO_TARGET_DIR is honoured. Linux only.
set -eu

here=$(cd "$(dirname "$0")" && pwd)
capi=$(cd "$here/.." && pwd)
root=$(cd "$capi/.." && pwd)
examples=$capi/examples
target=${CARGO_TARGET_DIR:-$root/target}
cc=${CC:-cc}
cxx=${CXX:-c++}
python=${PYTHON:-python3}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
LC_ALL=C
export LC_ALL
unset LD_LIBRARY_PATH LD_RUN_PATH LIBRARY_PATH CPATH DESTDIR PYTHONPATH

fail() {
    echo "examples: $*" >&2
    exit 1
}

# passes NAME COMMAND...: succeeds; its output stays in $work/out
passes() {
    name=$1
    shift
    "$@" >"$work/out" 2>"$work/err" || { cat "$work/out" "$work/err"; fail "$name failed"; }
    echo "$name: ok"
}

# says_the_same NAME COMMAND...: succeeds, and says sentence and difference as the command does
says_the_same() {
    passes "$@"
    while read -r line; do
        grep -qxF -- "$line" "$work/out" || { cat "$work/out"; fail "$1 does not say: $line"; }
    done <"$work/wanted"
}

# clean NAME COMMAND...: valgrind finds no leak and no wrong access. What is installed is optimised across crates, and such code
# may branch on bytes whose value does not matter, so that "uninitialised" says nothing here; sanitize.sh looks for that.
clean() {
    if command -v valgrind >/dev/null 2>&1; then
        name=$1
        shift
        passes "$name, under valgrind" valgrind -q --undef-value-errors=no --leak-check=full \
            --errors-for-leak-kinds=definite,indirect,possible --error-exitcode=9 "$@"
    fi
}

if [ $# -gt 0 ]; then
    prefix=$(cd "$1" && pwd)
else
    prefix=$work/usr
    "$capi/install.sh" "$prefix" >"$work/log" || { cat "$work/log"; fail "install.sh failed"; }
fi
so=$prefix/lib/libspheresum.so
[ -f "$so" ] || fail "there is no $so"
use="-I$prefix/include -L$prefix/lib -Wl,-rpath,$prefix/lib"
strict="-Wall -Wextra -Wpedantic -Wconversion -Werror"

# What the command says: the sentence, and the first difference of its JSON document, which is that of the TRP.
(cd "$root" && cargo build --quiet -p spheresum)
demo=$root/cli/demo
reference=$demo/gauge-rev-a.csv test=$demo/gauge-rev-b.csv loss=$demo/range-loss.csv
"$target/debug/spheresum" compare --run "rev-a=$reference" --run "rev-b=$test" --range "$loss" --json --output "$work/command.json"
sed -n 's/^ *"sentence": "\(.*\)",$/\1/p' "$work/command.json" >"$work/wanted"
awk '/"difference_db":/ { printf "trp %.6f dB\n", $2; exit }' "$work/command.json" >>"$work/wanted"
[ "$(wc -l <"$work/wanted")" -eq 2 ] && grep -q '^trp -' "$work/wanted" || { cat "$work/wanted"; fail "the command says something else"; }
cat "$work/wanted"

# C.
# shellcheck disable=SC2086 # the flags are several words, here and below
"$cc" -std=c99 $strict "$examples/compare.c" $use -lspheresum -o "$work/compare_c"
says_the_same "C, the whole job" "$work/compare_c" "$reference" "$test" "$loss"
clean "C, the whole job" "$work/compare_c" "$reference" "$test" "$loss"
if "$work/compare_c" "$reference" "$loss" "$loss" >"$work/out" 2>"$work/err" || [ "$(wc -l <"$work/err")" -ne 2 ]; then
    fail "a wrong file is no error, or not said in message and hint"
fi
[ "$(wc -l <"$examples/compare.c")" -lt 60 ] || fail "the first example is longer than a screen"
"$cc" -std=c99 $strict "$examples/live.c" $use -lspheresum -lm -o "$work/live"
for limit in -3 -0.5 2 6; do
    passes "C, a live sweep with a limit of $limit dBm" "$work/live" "$limit"
    # What is far from the limit is decided before the sweep is over.
    case $limit in
    -3 | 6) grep -q '^after [1-9] of 13 rings' "$work/out" || { cat "$work/out"; fail "the sweep did not stop early"; } ;;
    esac
done
clean "C, a live sweep" "$work/live" -3
"$cc" -std=c99 $strict "$examples/adapter.c" "$examples/scanlog.c" $use -lspheresum -lm -o "$work/adapter"
passes "C, an adapter by callbacks" "$work/adapter"
clean "C, an adapter by callbacks" "$work/adapter"
"$cc" -std=c99 $strict -shared -fPIC -fvisibility=hidden "$examples/plugin.c" "$examples/scanlog.c" $use -lspheresum -o "$work/plugin.so"
[ "$(nm -D --defined-only "$work/plugin.so" | awk '{ print $NF }')" = spheresum_plugin ] || fail "the plug-in exports something else"
passes "C, a plug-in" "$work/adapter" "$work/plugin.so"
clean "C, a plug-in" "$work/adapter" "$work/plugin.so"

# C++.
if command -v "$cxx" >/dev/null 2>&1; then
    "$cxx" -std=c++17 $strict "$examples/compare.cpp" $use -lspheresum -o "$work/compare_cpp"
    says_the_same "C++, the whole job" "$work/compare_cpp" "$reference" "$test" "$loss"
    clean "C++, the whole job" "$work/compare_cpp" "$reference" "$test" "$loss"
    "$cxx" -std=c++17 $strict "$here/cpp/wrapper.cpp" $use -lspheresum -o "$work/wrapper"
    passes "C++, the test of the wrapper" "$work/wrapper" "$demo"
    clean "C++, the test of the wrapper" "$work/wrapper" "$demo"
else
    echo "C++: no $cxx, skipped"
fi

# Python.
if command -v "$python" >/dev/null 2>&1; then
    passes "Python, ctypes with $("$python" -c 'import numpy' 2>/dev/null && echo NumPy || echo the standard library)" \
        "$python" "$examples/python/arrays_ctypes.py" "$so"
    if ! "$python" -c 'import cffi, numpy' 2>/dev/null && { "$python" -m venv "$work/venv" &&
        "$work/venv/bin/pip" install --quiet --disable-pip-version-check cffi numpy pycparser; } >"$work/log" 2>&1; then
        python=$work/venv/bin/python
    fi
    if "$python" -c 'import cffi, numpy' 2>/dev/null; then
        passes "Python, ctypes with NumPy" "$python" "$examples/python/arrays_ctypes.py" "$so"
        says_the_same "Python, cffi on the header as it is installed" "$python" "$examples/python/files_cffi.py" \
            "$prefix/include/spheresum.h" "$so" "$reference" "$test" "$loss"
    else
        echo "Python: no cffi and NumPy, and no environment to install them into, skipped"
    fi
else
    echo "Python: no $python, skipped"
fi

# Java 17: later versions have the same under another name.
if command -v java >/dev/null 2>&1 && command -v javac >/dev/null 2>&1 && java --list-modules 2>/dev/null | grep -q '^jdk.incubator.foreign'; then
    says_the_same "Java, the whole job" java --add-modules jdk.incubator.foreign --enable-native-access=ALL-UNNAMED \
        "$examples/java/Compare.java" "$so" "$reference" "$test" "$loss"
else
    echo "Java: no JDK 17, skipped"
fi
