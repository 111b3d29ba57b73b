/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parts of the report; each adds its pages to the paper.
 */
#pragma once

#include "figure/figure-data.h"
#include "figure/paper.h"
#include "faint/analysis/analysis.h"

typedef struct
{
  const FaintAnalysis *analysis;
  const FaintSpectrum *spectrum;
  const FaintSetup *setup;
  const FaintFit *fit; /* or NULL */
  const FaintLineList *lines;
  FaintFigureData *data;
  const char *date; /* or NULL */
  FaintPaper *paper;
} FaintReport;

/* Title, measurement, conditions, comb, cavity, result (report-front.c). */
void faint_report_front (FaintReport *self);
/* Method with its equations, warnings, provenance (report-method.c). */
void faint_report_method (FaintReport *self);
void faint_report_warnings (FaintReport *self);
void faint_report_provenance (FaintReport *self);
/* The whole span, then its parts (report-figures.c). */
void faint_report_figures (FaintReport *self);
/* Lines, and the uncertainty budget of the strongest (report-lines.c). */
void faint_report_lines (FaintReport *self);
void faint_report_budget (FaintReport *self);

/* Numbers as they are printed (report-text.c). All new strings. */
/* "7790.22034(12)", "1.234(56)×10⁻²⁵", "−0.3": value with its uncertainty, or with six digits
 * where there is none; "–" when not known. */
char *faint_report_number (double value, double u);
/* @digits significant digits; "–" when not known. */
char *faint_report_plain (double value, int digits);
/* "1.30(2) hPa" in the unit it was stated in; @missing when it is not known. */
char *faint_report_quantity (FaintQuantity quantity, const char *missing);
/* "cm⁻¹" for "cm-1", "°C" for "degC". */
const char *faint_report_unit (const FaintUnit *unit);
