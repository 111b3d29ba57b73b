/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the verbs that read spectra share: arguments about inputs and the fit, checked and applied.
 * Each says what is wrong, in the name of @verb, and returns FALSE.
 */
#pragma once

#include "common.h"

#include "faint/analysis/analysis.h"

/* An ISO 8601 date, or NULL. */
gboolean faint_check_date (const char *verb, const char *date);
/* "key=value" settings must be right whatever the inputs say: a wrong one is wrong use, not bad
 * input. May be NULL. */
gboolean faint_check_settings (const char *verb, char **settings);

/* One option of the fit, which the user named @name. */
gboolean faint_set_fit_option (const char *verb, FaintFitOptions *options, const char *name,
                               const char *key, const char *value);
/* Those of --threads and --option ("key=value"), both may be NULL. */
gboolean faint_apply_fit_options (const char *verb, const char *threads, char **fit_options,
                                  FaintFitOptions *options);

/* @analysis (taken) with what @read says about the setup of all its spectra. */
FaintAnalysis *
faint_apply_settings (FaintAnalysis *analysis, const FaintReadOptions *read, GError **error);
