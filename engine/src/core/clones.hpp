// One copy of a function for each instruction set that pays; contraction is off, so all give the same bytes. Sanitizers know no such
// dispatch.
#pragma once

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define LEAFHUNGER_CLONES __attribute__((target_clones("avx2", "default")))
#define LEAFHUNGER_WIDE __attribute__((target("arch=x86-64-v4")))
#else
#define LEAFHUNGER_CLONES
#endif
