#!/bin/sh
# Compares the C ABI of the sources with the one that was released. README.md says what is promised.
#
#   capi/abi/check.sh              compares with spheresum-ABI.abi and .constants, where they are; fails on what breaks callers
#   capi/abi/check.sh --bless      writes these files; commit them at a release only
#   capi/abi/check.sh --self-test  checks that planted differences are noticed
#
# Needs abidiff (Debian: abigail-tools) on x86-64 Linux; elsewhere it says so and checks the constants alone.
set -eu

here=$(cd "$(dirname "$0")" && pwd)
cd "$here/../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
LC_ALL=C
export LC_ALL

fail() {
    echo "ABI: $*" >&2
    exit 1
}
skip() {
    echo "ABI: $*, skipped"
    exit 0
}

id=$(cargo pkgid -p spheresum-capi)
version=${id##*[#@]}
case $version in 0.*) abi=${version%.*} ;; *) abi=${version%%.*} ;; esac
baseline=$here/spheresum-$abi
header=capi/include/spheresum.h
mode=${1:-compare}
case $mode in compare | --bless | --self-test) ;; *) fail "give nothing, --bless or --self-test" ;; esac

# Numbers behind names: compiled into callers, and in no library.
constants() {
    sed -n 's/^#define \(SPHERESUM_[A-Z0-9_]*\) \(.*\)/\1 \2/p' "$header" | grep -v '^SPHERESUM_VERSION' | sort
}
# kept OLD NEW: whether every constant is still there, with its value
kept() {
    comm -23 "$1" "$2" >"$work/lost"
    [ ! -s "$work/lost" ]
}
constants >"$work/now.constants"
if [ "$mode" = compare ]; then
    [ -f "$baseline.abi" ] || skip "nothing of ABI $abi was released yet"
    kept "$baseline.constants" "$work/now.constants" || { cat "$work/lost"; fail "these constants of ABI $abi changed or are gone"; }
fi

[ "$(uname -sm)" = "Linux x86_64" ] || skip "the functions are compared on x86-64 Linux"
command -v abidiff >/dev/null 2>&1 || { [ "$(id -u)" -eq 0 ] && apt-get update -q && apt-get install -yq abigail-tools; } \
    >/dev/null 2>&1 || skip "no abidiff"

# Whole debug information: without it abidiff compares names only, and does not say so. In a folder of its own, lest a test runs
# with this library.
target=$(cargo metadata --no-deps --format-version 1 | sed -n 's/.*"target_directory":"\([^"]*\)".*/\1/p')/abi
capi=profile.dev.package.spheresum-capi
cargo rustc --quiet -p spheresum-capi --lib --crate-type cdylib --target-dir "$target" --target x86_64-unknown-linux-gnu \
    --config $capi.debug=2 --config $capi.codegen-units=1 --config profile.dev.package.spheresum-core.opt-level=0
library=$target/x86_64-unknown-linux-gnu/debug/libspheresum.so

# Types that callers see through pointers only may change inside: those that the header declares without members. spheresum_error
# is SpheresumError in Rust.
opaque=$(sed -n 's/^typedef struct \(spheresum_[a-z0-9_]*\) \1;$/\1/p' "$header" |
    awk -F_ '{ for (i = 1; i <= NF; i++) printf "%s%s", toupper(substr($i, 1, 1)), substr($i, 2); print "" }' | paste -sd '|' -)
[ -n "$opaque" ] || fail "the header declares no opaque type"
printf '[suppress_type]\n  name_regexp = (^|::)(%s)$\n' "$opaque" >"$work/opaque.supp"

# describe FILE: the ABI of the library
describe() {
    abidw --no-corpus-path --no-comp-dir-path --no-show-locs --suppressions "$work/opaque.supp" "$library" --out-file "$1"
    grep -q "<function-decl name='spheresum_" "$1" || fail "abidw saw no types of functions"
}

# compare OLD: whether callers of it may use the library. Any difference counts but new functions.
compare() {
    status=0
    abidiff --no-added-syms --suppressions "$work/opaque.supp" "$1" "$library" >"$work/report" 2>&1 || status=$?
    return $status
}

# noticed WHAT PATTERN SED: plants a difference into what was released, and checks that the report names it
noticed() {
    sed "$3" "$work/now.abi" >"$work/planted.abi"
    ! cmp -s "$work/now.abi" "$work/planted.abi" || fail "$1: nothing was planted"
    ! compare "$work/planted.abi" || fail "$1: not noticed"
    grep -q "$2" "$work/report" || { cat "$work/report"; fail "$1: not named"; }
    echo "ABI: $1: noticed"
}

case $mode in
    compare)
        compare "$baseline.abi" || {
            cat "$work/report"
            fail "callers of an earlier $abi would break (abidiff: $status); put back what they use, or raise the ABI version"
        }
        echo "ABI: $abi as released"
        ;;
    --bless)
        describe "$baseline.abi"
        cp "$work/now.constants" "$baseline.constants"
        echo "ABI: wrote $baseline.abi and .constants"
        ;;
    --self-test)
        describe "$work/now.abi"
        compare "$work/now.abi" || { cat "$work/report"; fail "the library differs from itself"; }
        noticed "a function that is gone" spheresum_gone "s/spheresum_version_number/spheresum_gone/g"
        noticed "a parameter less" spheresum_trp_dbm "/name='spheresum_trp_dbm'/,/<return/{/name='rule'/d;}"
        type=$(sed -n "s/.*type-id='\(.*\)' name='rule'.*/\1/p" "$work/now.abi" | head -n 1)
        noticed "a parameter of another type" spheresum_trp_dbm "s/type-id='.*' name='count'/type-id='$type' name='count'/"
        kept "$work/now.constants" "$work/now.constants" || fail "the constants differ from themselves"
        sed 's/^\(SPHERESUM_STATUS_LIMIT\) .*/\1 4/' "$work/now.constants" >"$work/planted.constants"
        ! kept "$work/planted.constants" "$work/now.constants" || fail "a changed constant: not noticed"
        echo "ABI: a changed constant: noticed"
        ;;
esac
