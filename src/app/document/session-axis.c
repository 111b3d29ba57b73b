/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/document/session-axis.h"

#include <math.h>

FaintAxisUnit
faint_session_axis (FaintSession *session, const FaintSetup *setup)
{
  FaintAxisUnit unit = { .kind = faint_session_get_axis_unit (session) };
  double lower, upper;

  if (unit.kind == FAINT_AXIS_UNIT_GHZ || unit.kind == FAINT_AXIS_UNIT_MHZ)
    {
      unit.origin = faint_session_get_origin (session);
      faint_session_get_limits (session, &lower, &upper);
      if (isnan (unit.origin))
        unit.origin = isnan (lower) ? 0 : 0.5 * (lower + upper);
    }
  if (unit.kind == FAINT_AXIS_UNIT_TOOTH)
    {
      if (setup == NULL || !(setup->repetition_rate.value > 0))
        return FAINT_AXIS_UNIT_DEFAULT;
      unit.repetition_rate = setup->repetition_rate.value;
      unit.offset_frequency
          = faint_quantity_is_known (setup->offset_frequency) ? setup->offset_frequency.value : 0;
    }
  return unit;
}
