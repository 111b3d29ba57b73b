/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A fuzzed reader is one function, called by libFuzzer or by replay.c: any bytes may come, and
 * nothing may abort, read outside or leak.
 */
#pragma once

#include <stddef.h>
#include <stdint.h>

/* As the programs begin: libFuzzer calls it by itself. */
int LLVMFuzzerInitialize (int *argc, char ***argv);
int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);
