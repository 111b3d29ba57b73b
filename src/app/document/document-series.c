/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The spectra of the document, and the one of them that is shown.
 */
#include "app/document/document-private.h"

gsize
faint_document_get_shown (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), 0);
  if (self->analysis == NULL)
    return 0;
  return MIN (self->shown, faint_analysis_get_n_spectra (self->analysis) - 1);
}

void
faint_document_set_shown (FaintDocument *self, gsize i)
{
  g_return_if_fail (FAINT_IS_DOCUMENT (self));
  if (i == self->shown || self->analysis == NULL
      || i >= faint_analysis_get_n_spectra (self->analysis))
    return;
  self->shown = i;
  _faint_document_tell (self, FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_SETUP | FAINT_CHANGE_FIT);
}

FaintSpectrum *
faint_document_get_spectrum (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return self->analysis
             ? faint_analysis_get_spectrum_at (self->analysis, faint_document_get_shown (self))
             : NULL;
}

FaintSetup *
faint_document_get_setup (FaintDocument *self)
{
  FaintSpectrum *spectrum = faint_document_get_spectrum (self);

  return spectrum ? spectrum->setup : NULL;
}

FaintFit *
faint_document_get_fit (FaintDocument *self)
{
  g_return_val_if_fail (FAINT_IS_DOCUMENT (self), NULL);
  return self->analysis
             ? faint_analysis_get_fit_at (self->analysis, faint_document_get_shown (self))
             : NULL;
}

FaintSetup *
faint_document_copy_setup (FaintDocument *self)
{
  FaintSetup *setup = faint_document_get_setup (self);

  return setup ? faint_setup_copy (setup) : NULL;
}
