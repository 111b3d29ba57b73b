/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The parts of the report; each adds its pages to the paper.
 */
#pragma once

#include "figure/figure-data.h"
#include "figure/report.h"

typedef struct
{
  const FaintAnalysis *analysis;
  gsize i; /* which spectrum of the analysis the next four are about */
  const FaintSpectrum *spectrum;
  const FaintSetup *setup;
  const FaintFit *fit; /* or NULL */
  const FaintLineList *lines;
  FaintFigureData *data;
  const GPtrArray *bands; /* of faint_report_bands_new(), or NULL */
  const char *date;       /* or NULL */
  const char *start;      /* which lines it began with, and */
  const char *repeat;     /* the command that repeats it, markup; NULL: those of a fit */
  const char *stored;     /* name of the file that holds the analysis; NULL: analysis.faintline */
  guint contents;         /* headings to make room for in the list of contents; 0: none */
  FaintPaper *paper;
  FaintPaperColumn *columns; /* room for the columns of two tables, FAINT_REPORT_COLUMNS each, that
                                lasts as long as the paper */
} FaintReport;
#define FAINT_REPORT_COLUMNS 16
/* Probability that an expanded uncertainty is stated for: that of two standard deviations. */
#define FAINT_REPORT_LEVEL 0.9545

/* Title, result, and the first spectrum (report-front.c). */
void faint_report_front (FaintReport *self);
/* Measurement, conditions, comb, cavity and instrument of the spectrum. */
void faint_report_spectrum (FaintReport *self);
void faint_report_noise (FaintReport *self);
/* What the fit found of the instrument, where it was asked (report-instrument.c). */
void faint_report_instrument (FaintReport *self);
/* The further spectra of a series, a section each; the coefficients of the lines
 * (report-series.c). */
void faint_report_series (FaintReport *self);
void faint_report_spectrum_head (FaintReport *self);
void faint_report_coefficients (FaintReport *self);
/* Method with its equations, warnings (report-method.c). */
void faint_report_method (FaintReport *self);
void faint_report_warnings (FaintReport *self);
/* Inputs and settings; what was done by hand (report-provenance.c). */
void faint_report_provenance (FaintReport *self);
void faint_report_record (FaintReport *self);
/* The setup key by key, as it can be typed again. */
void faint_report_header (FaintReport *self);
/* One figure of the whole span. */
void faint_report_overview (FaintReport *self);
/* The whole span, then every window of the fit, or without a fit the parts of the span
 * (report-figures.c). */
void faint_report_figures (FaintReport *self);
/* Goodness window by window, and what is correlated most (report-quality.c). */
void faint_report_quality (FaintReport *self);
void faint_report_correlations (FaintReport *self);
/* The table of lines (report-lines.c). */
void faint_report_lines (FaintReport *self);
/* Bars of the strongest line, a table of all strengths (report-budget.c). */
void faint_report_budget (FaintReport *self);
/* Constants of the bands: tables, or in a few words (report-bands.c). */
void faint_report_bands (FaintReport *self);
void faint_report_constants (FaintReport *self);
/* A page of its own kind, in the place of all others (report-short.c). */
void faint_report_short (FaintReport *self);

/* "faintline-batch" and @words as a shell reads them: in quotes where needed, in one line or broken
 * between two words only, so that it can be copied. Markup. Free with g_free. */
char *faint_report_command (const char *const *words);
/* A name and plain text. */
void faint_report_pair (FaintReport *self, const char *name, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

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
