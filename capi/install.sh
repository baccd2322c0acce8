#!/bin/sh
# Builds the C libraries as they ship, and installs them with header, pkg-config file and CMake package.
#
#   capi/install.sh PREFIX [DESTDIR]
#
# PREFIX is where they will be used, DESTDIR a folder to put in front of it while packaging. CARGO_TARGET_DIR and
# CARGO_BUILD_TARGET are honoured. Each file is written beside its place and renamed into it, the packages' files last.
set -eu

fail() {
    echo "install: $*" >&2
    exit 1
}

# absolute PATH: the path from the root, without a slash at its end
absolute() {
    case $1 in /*) path=$1 ;; *) path=$PWD/$1 ;; esac
    while [ "$path" != "${path%/}" ]; do path=${path%/}; done
    printf '%s\n' "$path"
}

[ $# -eq 1 ] || [ $# -eq 2 ] || fail "give PREFIX, or PREFIX and DESTDIR"
[ -n "$1" ] || fail "PREFIX is empty; the root folder is /"
prefix=$(absolute "$1")
root=${2:+$(absolute "$2")}$prefix
case $prefix in *[\"\'\`\$\\\#\;]* | *"
"*) fail "pkg-config and CMake files cannot say this PREFIX; choose one without quotes, \$, \\, #, ; and line ends" ;; esac
# Mach-O and PE libraries have other names, and other ways to say the ABI.
case ${CARGO_BUILD_TARGET:-$(uname -s)} in
    *inux* | *BSD* | *bsd*) ;;
    *) fail "knows ELF libraries only; see \"Building and installing\" in capi/README.md" ;;
esac

work=$(mktemp -d)
new=
trap 'rm -rf "$work"; [ -z "$new" ] || rm -f "$new"' EXIT
trap 'exit 1' HUP INT TERM
cd "$(dirname "$0")/.."

id=$(cargo pkgid -p spheresum-capi)
version=${id##*[#@]}
# What may change between versions without recompiling: nothing but the patch before 1.0, then all but the major.
case $version in 0.*) abi=${version%.*} ;; *) abi=${version%%.*} ;; esac
so=libspheresum.so

echo "building spheresum $version"
# Without the rlib, which would switch link-time optimisation off.
if ! CARGO_TERM_COLOR=never cargo rustc --profile dist -p spheresum-capi --lib --crate-type cdylib,staticlib \
    --message-format json-render-diagnostics -- --print native-static-libs -C "link-arg=-Wl,-soname,$so.$abi" >"$work/built" 2>"$work/log"; then
    cat "$work/log" >&2
    fail "the build failed"
fi
# built NAME: the path under which cargo put a library
built() {
    grep -o "\"[^\"]*/$1\"" "$work/built" | tail -n 1 | tr -d '"'
}
shared=$(built $so)
static=$(built libspheresum.a)
[ -n "$shared" ] && [ -n "$static" ] || fail "cargo did not build both libraries; is this a target without shared ones?"
natives=$(sed -n 's/^note: native-static-libs: *//p' "$work/log" | tail -n 1)
[ -n "$natives" ] || fail "cargo did not name the system libraries that the static library needs"

# put SOURCE PLACE MODE: a file
put() {
    mkdir -p "$(dirname "$root/$2")"
    new=$root/$2.new$$
    cp "$1" "$new"
    chmod "$3" "$new"
    mv -f "$new" "$root/$2"
    new=
    printf '%9d  %s\n' "$(wc -c <"$root/$2")" "$root/$2"
}

# point PLACE NAME: a symbolic link to a file beside it
point() {
    new=$root/$1.new$$
    rm -f "$new"
    ln -s "$2" "$new"
    mv -f "$new" "$root/$1"
    new=
    printf '%9s  %s\n' link "$root/$1"
}

# fill TEMPLATE PLACE: a file of package/, with its @WORDS@
fill() {
    sed -e "s|@VERSION@|$version|g" -e "s|@ABI@|$abi|g" -e "s|@NATIVES@|$natives|g" \
        -e "s|@NATIVES_LIST@|$(printf %s "$natives" | tr -s ' ' ';')|g" \
        -e "s|@PREFIX@|$(printf %s "$prefix" | sed 's/[|&]/\\&/g')|g" "capi/package/$1" >"$work/filled"
    put "$work/filled" "$2" 644
}

put "$shared" "lib/$so.$version" 755
point "lib/$so.$abi" "$so.$version"
point "lib/$so" "$so.$abi"
put "$static" lib/libspheresum.a 644
for header in capi/include/*; do
    put "$header" "include/${header##*/}" 644
done
fill spheresum.pc.in lib/pkgconfig/spheresum.pc
fill spheresum-config-version.cmake.in lib/cmake/spheresum/spheresum-config-version.cmake
fill spheresum-config.cmake.in lib/cmake/spheresum/spheresum-config.cmake
echo "installed spheresum $version, ABI $abi"
