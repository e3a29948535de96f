/* nearmark.h -- the whole public interface. */
#ifndef NEARMARK_H
#define NEARMARK_H

#define NMK_VERSION "0.1.0"

#include "nearmark/affine.h"
#include "nearmark/chance.h"
#include "nearmark/chart.h"
#include "nearmark/cutting.h"
#include "nearmark/design.h"
#include "nearmark/diagnostics.h"
#include "nearmark/draft.h"
#include "nearmark/enclosure.h"
#include "nearmark/fit.h"
#include "nearmark/length.h"
#include "nearmark/marks.h"
#include "nearmark/plan.h"
#include "nearmark/rat.h"
#include "nearmark/rules.h"
#include "nearmark/runs.h"
#include "nearmark/settle.h"
#include "nearmark/sofar.h"
#include "nearmark/sheet.h"
#include "nearmark/slips.h"
#include "nearmark/status.h"
#include "nearmark/weight.h"
#include "nearmark/whole.h"

#endif
