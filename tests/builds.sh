# The builds that tests/run and tests/deep share, sourced by both with $root set: the same options, so that neither builds anew what
# the other has built.
work=$root/build-checks

# One compiler cache serves clones in any folder: paths count from the checkout, and no object holds one (but tests/support/places.cpp
# and the library's assets).
export CCACHE_BASEDIR=$root CCACHE_NOHASHDIR=1 CCACHE_SLOPPINESS=pch_defines,time_macros,include_file_mtime,include_file_ctime
export CMAKE_CXX_COMPILER_LAUNCHER=ccache

# Optimised a little: with sanitizers the unoptimised programs take several times as long. Precompiled headers halve the
# building; the g++ build goes without, shows includes that are missing, and does not see ghosts out of bounds in the library's
# own headers, as g++ 12 does with them.
configure_clang() {
    cmake -S "$root" -B "$work/clang" -G Ninja -DCMAKE_COMPILE_WARNING_AS_ERROR=ON -DCMAKE_CXX_COMPILER=clang++ -DTYMBAL_SANITIZE=ON \
        -DTYMBAL_FUZZ=ON -DTYMBAL_PRECOMPILE=ON -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld -DCMAKE_BUILD_TYPE=Debug \
        -DCMAKE_CXX_FLAGS_DEBUG="-O1 -gline-tables-only -fsanitize-ignorelist=$root/tests/not-ours" >/dev/null
}

configure_release() {
    cmake -S "$root" -B "$work/release" -G Ninja -DCMAKE_COMPILE_WARNING_AS_ERROR=ON -DTYMBAL_BENCH=ON -DCMAKE_CXX_COMPILER=g++ \
        -DCMAKE_BUILD_TYPE=Release -DCMAKE_VERIFY_INTERFACE_HEADER_SETS=ON >/dev/null
}

# Is read, not built.
configure_tidy() {
    cmake -S "$root" -B "$work/tidy" -G Ninja -DCMAKE_CXX_COMPILER=clang++ -DTYMBAL_TESTS=OFF >/dev/null
}
