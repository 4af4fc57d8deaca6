# The builds that tests/run, .ci/run and tests/deep share, sourced by all with $root set: the same options, so that none builds
# anew what another has built; and which tests each build has for every change.
work=$root/build-checks
mkdir -p "$work"

# One compiler cache serves clones in any folder: paths count from the checkout, and no object holds one (but tests/support/places.cpp
# and the library's assets).
export CCACHE_BASEDIR=$root CCACHE_NOHASHDIR=1 CCACHE_SLOPPINESS=pch_defines,time_macros,include_file_mtime,include_file_ctime
export CMAKE_CXX_COMPILER_LAUNCHER=ccache

# Optimised a little: with sanitizers the unoptimised programs take several times as long. Precompiled headers help clang; the g++
# build goes without and does not see ghosts out of bounds in the library's own headers, as g++ 12 does with them.
configure_sanitized() {
    cmake -S "$root" -B "$work/clang" -G Ninja -DCMAKE_COMPILE_WARNING_AS_ERROR=ON -DCMAKE_CXX_COMPILER=clang++ -DTYMBAL_SANITIZE=ON \
        -DTYMBAL_FUZZ=ON -DTYMBAL_PRECOMPILE=ON -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld -DCMAKE_BUILD_TYPE=Debug \
        -DCMAKE_CXX_FLAGS_DEBUG="-O1 -gline-tables-only -fsanitize-ignorelist=$root/tests/not-ours" >/dev/null
}

configure_release() {
    cmake -S "$root" -B "$work/release" -G Ninja -DCMAKE_COMPILE_WARNING_AS_ERROR=ON -DTYMBAL_BENCH=ON -DCMAKE_CXX_COMPILER=g++ \
        -DCMAKE_BUILD_TYPE=Release -DCMAKE_VERIFY_INTERFACE_HEADER_SETS=ON -DTYMBAL_PYTHON=ON >/dev/null
}

configure_threads() {
    cmake -S "$root" -B "$work/threads" -G Ninja -DTYMBAL_THREADS=ON -DTYMBAL_PRECOMPILE=ON -DCMAKE_CXX_COMPILER=clang++ >/dev/null
}

# Each source by itself, as the others are compiled several in one go (TYMBAL_UNITY). Is read, not built.
configure_tidy() {
    cmake -S "$root" -B "$work/tidy" -G Ninja -DCMAKE_CXX_COMPILER=clang++ -DTYMBAL_TESTS=OFF -DTYMBAL_UNITY=OFF -DTYMBAL_PYTHON=ON >/dev/null
}

# build_KIND [TARGET...]. What clang precompiles holds the folder that it was built in: its cache serves that folder alone.
build_release() {
    configure_release
    cmake --build "$work/release" ${1:+--target "$@"}
}

build_sanitized() {
    configure_sanitized
    CCACHE_HASHDIR=1 cmake --build "$work/clang" ${1:+--target "$@"}
}

each_source_alone() {
    configure_tidy
    "$root/tests/alone" "$work/tidy"
}

build_threads() {
    configure_threads
    CCACHE_HASHDIR=1 cmake --build "$work/threads" --target threads_tests
}

# test_KIND [CTEST ARGUMENTS]: what every change is tested with.
test_release() {
    ctest --test-dir "$work/release" --no-tests=error -j"$(nproc)" --output-on-failure -LE deep "$@"
}

test_sanitized() {
    ctest --test-dir "$work/clang" --no-tests=error -j"$(nproc)" --output-on-failure -L 'unit|invariant|cli|reference|convergence' \
        -E '^(spline|film|modes|task): (reference|convergence)$' "$@"
}

test_threads() {
    ctest --test-dir "$work/threads" --no-tests=error -L threads --output-on-failure "$@"
}

rows=

# step WHAT COMMAND...: a headline, the command, and a row of the table of times.
step() {
    echo "== $1"
    local TIMEFORMAT='%R %U %S'
    { time "${@:2}" 2>&3; } 3>&2 2>"$work/step"
    rows+="$1|$(cat "$work/step")"$'\n'
}

# Where the time went, in minutes.
times() {
    printf '%s' "$rows" | awk -F '|' -v row='%-52s %6.1f %10.1f\n' '
        BEGIN { printf "%-52s %6s %10s\n", "minutes", "wall", "processor" }
        { split($2, s, " "); wall += s[1]; busy += s[2] + s[3]; printf row, $1, s[1] / 60, (s[2] + s[3]) / 60 }
        END { printf row, "in all", wall / 60, busy / 60 }'
}
