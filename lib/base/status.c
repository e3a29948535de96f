#include "nearmark/status.h"

const char *nmk_status_name(enum nmk_status status)
{
    static const char *const names[] = {
        [NMK_OK] = "ok",
        [NMK_INVALID] = "invalid input",
        [NMK_DIVISION_BY_ZERO] = "division by zero",
        [NMK_NEGATIVE_ROOT] = "root of a negative number",
        [NMK_OVERFLOW] = "out of range",
        [NMK_TOO_LARGE] = "too large",
        [NMK_BUDGET] = "budget of steps used up",
        [NMK_STOPPED] = "stopped",
    };
    return (unsigned)status < sizeof names / sizeof *names ? names[status] : "unknown status";
}
