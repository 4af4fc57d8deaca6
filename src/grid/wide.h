// Marks the few functions that are compiled twice, for the plain processor and for wider vectors, the one that fits
// chosen when the program starts. Without fused multiplications both give the same digits.
#pragma once

#if defined(__x86_64__) && defined(__linux__) && defined(__GNUC__) && !defined(__clang__) && \
    !defined(__SANITIZE_ADDRESS__) && defined(__OPTIMIZE__)
#define TYMBAL_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define TYMBAL_WIDE
#endif
#define TYMBAL_INLINE inline __attribute__((always_inline))
