#!/bin/sh
# Installs the C libraries into a folder of its own and uses them as a stranger would: by pkg-config and by CMake, shared and
# static. Exits with another status than 0 if something is amiss; says what was skipped.
#
# CC chooses the compiler; CARGO_TARGET_DIR is honoured. Linux only.
set -eu

here=$(cd "$(dirname "$0")" && pwd)
capi=$(cd "$here/.." && pwd)
cc=${CC:-cc}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
LC_ALL=C
export LC_ALL
# An incoming path must not lead to an older library.
unset LD_LIBRARY_PATH LD_RUN_PATH LIBRARY_PATH CPATH PKG_CONFIG_SYSROOT_DIR DESTDIR

fail() {
    echo "test of install: $*" >&2
    exit 1
}

# equal NAME GOT WANTED
equal() {
    [ "$2" = "$3" ] || fail "$1 is '$2', not '$3'"
    echo "$1: $2"
}

# passes NAME PROGRAM: all its checks hold
passes() {
    "$2" >"$work/log" 2>&1 || { cat "$work/log"; fail "$1: the program failed"; }
    grep -qx '[0-9]* passed, 0 failed' "$work/log" || { cat "$work/log"; fail "$1: no score"; }
    echo "$1: $(cat "$work/log")"
}

# needs PROGRAM SONAME: it loads that library, or "" for none
needs() {
    equal "$(basename "$1") loads" "$(readelf -d "$1" | sed -n 's/.*(NEEDED).*\[\(libspheresum.*\)\]/\1/p')" "$2"
}

# have COMMAND PACKAGE: whether there is a command, after a try to install it where this is a machine of Debian's that we may change
have() {
    command -v "$1" >/dev/null 2>&1 && return
    [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null 2>&1 || return
    { apt-get update -q && apt-get install -yq "$2"; } >/dev/null 2>&1
}

stripped() {
    strip -o "$work/stripped" "$1"
    wc -c <"$work/stripped" | tr -d ' '
}

# The installation: a relative prefix with a blank in it, from another folder, once over an older one and once under a DESTDIR.
cd "$work"
"$capi/install.sh" "usr local" || fail "the first run of install.sh"
prefix="$work/usr local"
"$capi/install.sh" "$prefix" >log || fail "install.sh over an installation"
(cd "$prefix" && find . ! -type d) | sort >here.txt
"$capi/install.sh" /opt/spheresum "stage d" >log || fail "install.sh with a DESTDIR"
(cd "stage d/opt/spheresum" && find . ! -type d) | sort >staged.txt
diff here.txt staged.txt || fail "a DESTDIR changes what is installed"
! grep '\.new' here.txt || fail "an unfinished file was left"
for file in lib/libspheresum.so lib/libspheresum.a include/spheresum.h lib/pkgconfig/spheresum.pc \
    lib/cmake/spheresum/spheresum-config.cmake lib/cmake/spheresum/spheresum-config-version.cmake; do
    [ -f "$prefix/$file" ] || fail "$file was not installed"
done
for file in "$capi"/include/*; do
    cmp "$file" "$prefix/include/${file##*/}" || fail "a header is not the committed one"
done
equal "prefix under a DESTDIR" "$(sed -n 's/^prefix=//p' "stage d/opt/spheresum/lib/pkgconfig/spheresum.pc")" /opt/spheresum
if "$capi/install.sh" >log 2>&1 || "$capi/install.sh" 'a$b' >log 2>&1 || [ -e 'a$b' ]; then
    fail "install.sh took wrong arguments"
fi

# Versions: of the header, and of everything beside it.
version=$(sed -n 's/^#define SPHERESUM_VERSION "\(.*\)"/\1/p' "$prefix/include/spheresum.h")
case $version in 0.*) abi=${version%.*} ;; *) abi=${version%%.*} ;; esac
so=$prefix/lib/libspheresum.so
equal "file" "$(basename "$(readlink -f "$so")")" "libspheresum.so.$version"
equal "SONAME" "$(readelf -d "$so" | sed -n 's/.*(SONAME).*\[\(.*\)\]/\1/p')" "libspheresum.so.$abi"
[ -e "$so.$abi" ] || fail "$so.$abi, which the loader looks for, is not there"
equal "version for pkg-config" "$(sed -n 's/^Version: *//p' "$prefix/lib/pkgconfig/spheresum.pc")" "$version"
equal "version for CMake" "$(sed -n 's/^set(PACKAGE_VERSION "\(.*\)")/\1/p' \
    "$prefix/lib/cmake/spheresum/spheresum-config-version.cmake")" "$version"

# Symbols: those that the library has, those that the header declares, and those of the committed list.
nm -D --defined-only "$so" | awk '{ print $NF }' | sort >exported.txt
"$cc" -E -P "$prefix/include/spheresum.h" | grep -oE '\bspheresum_[a-z0-9_]+ *\(' | tr -d ' (' | sort >declared.txt
diff exported.txt "$capi/exports.txt" || fail "the library does not export what capi/exports.txt says"
diff exported.txt declared.txt || fail "the library does not export what the header declares"
echo "symbols: $(wc -l <exported.txt), as declared and as listed"

# pkg-config.
strict="-std=c99 -Wall -Wextra -Wpedantic -Werror"
if have pkg-config pkg-config; then
    PKG_CONFIG_PATH=$prefix/lib/pkgconfig
    export PKG_CONFIG_PATH
    equal "pkg-config --modversion" "$(pkg-config --modversion spheresum)" "$version"
    # pkg-config escapes the blanks of the prefix, hence eval.
    eval "$cc $strict \"$here/c/trp.c\" $(pkg-config --cflags --libs spheresum) -lm -o by_pc \"-Wl,-rpath,$prefix/lib\""
    needs by_pc "libspheresum.so.$abi"
    passes "pkg-config, shared" ./by_pc
    eval "$cc $strict \"$here/c/trp.c\" $(pkg-config --cflags --static --libs spheresum |
        sed 's/-lspheresum/-l:libspheresum.a/') -lm -o by_pc_static"
    needs by_pc_static ""
    passes "pkg-config, static" ./by_pc_static
    echo "size of the shared library, stripped: $(stripped "$so") bytes"
    echo "size of a program with the static library, stripped: $(stripped by_pc_static) bytes"
else
    echo "pkg-config: not installed, skipped"
fi

# CMake, after the installation has moved.
if have cmake cmake; then
    cmake "-DTEMPLATE=$capi/package/spheresum-config-version.cmake.in" "-DOUT=$work/version.cmake" -P "$here/install/versions.cmake" ||
        fail "the CMake package stands for wrong versions"
    mv "$prefix" "$work/moved"
    cmake -S "$here/install" -B built "-DCMAKE_PREFIX_PATH=$work/moved" "-DVERSION=$version" "-DCMAKE_C_COMPILER=$cc" >log 2>&1 ||
        { cat log; fail "CMake did not find the package"; }
    cmake --build built >log 2>&1 || { cat log; fail "CMake did not build the program"; }
    needs built/shared "libspheresum.so.$abi"
    passes "CMake, shared" built/shared
    needs built/static ""
    passes "CMake, static" built/static
    for wanted in 99 "$abi.999" "0...<$version"; do
        if cmake -S "$here/install" -B refused "-DCMAKE_PREFIX_PATH=$work/moved" "-DVERSION=$wanted" >log 2>&1; then
            fail "CMake took $version for $wanted"
        fi
        grep -q 'could not be found\|Could not find' log || { cat log; fail "CMake refused $wanted for another reason"; }
        rm -rf refused
    done
    echo "CMake: other versions are refused"
else
    echo "CMake: not installed, skipped"
fi

# Windows.
mingw=x86_64-w64-mingw32-gcc
triple=x86_64-pc-windows-gnu
if command -v $mingw >/dev/null 2>&1 && [ -d "$(rustc --print sysroot)/lib/rustlib/$triple" ]; then
    "$here/install_windows.sh"
else
    echo "Windows: no $mingw or no Rust for $triple, skipped"
fi
