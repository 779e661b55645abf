// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What every harness shares: one entry point, and an assertion that stops the fuzzer at the input
// that broke it. A harness is one file: fuzz/<name>.c, seeds in fuzz/seeds/<name>/.
#ifndef GW_FUZZ_H
#define GW_FUZZ_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

// Memory of one run: far above what any input needs, far below what the machine has.
#define FUZZ_ARENA_BYTES ((size_t)256 << 20)

#define fuzz_must(condition, ...)                                                                  \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            fprintf(stderr, "%s:%d: not so: %s\n", __FILE__, __LINE__, #condition);                \
            fprintf(stderr, __VA_ARGS__);                                                          \
            fputc('\n', stderr);                                                                   \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t length);
int LLVMFuzzerInitialize(int *argc, char ***argv);

#endif
