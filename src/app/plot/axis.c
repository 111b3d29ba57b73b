/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/plot/plot.h"

#include "app/document/session-axis.h"

FaintAxisUnit
faint_plot_axis_unit (FaintSession *session, const FaintFigureData *data)
{
  return faint_session_axis (session, data != NULL ? data->spectrum->setup : NULL);
}
