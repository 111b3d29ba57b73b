/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a program that uses this library does first, and what a library must not do by itself, since
 * it holds for the whole process.
 */
#pragma once

/* GSL reports errors by their status instead of ending the program. The BLAS keeps to the thread
 * that calls it: windows already share out the processors. And the C library keeps memory that is
 * freed, as a fit asks for the same amounts again and again, and every page that comes anew from the
 * system costs more than what is computed in it. Before any other thread is started. */
void faint_program_begin (void);
