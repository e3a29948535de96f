/* commands.h -- what each command does. Each writes its result to `out`, gives its messages, and says how it ended; what
 * stands in `out` after ENDING_WRONG is not written. */
#ifndef TOOLS_COMMANDS_H
#define TOOLS_COMMANDS_H

#include "options.h"

enum ending command_calc(const struct call *call, struct sink *out);
enum ending command_convert(const struct call *call, struct sink *out); /* writes as it goes on, also after wrong lines */
enum ending command_check(const struct call *call, struct sink *out);
enum ending command_cuts(const struct call *call, struct sink *out);
enum ending command_draw(const struct call *call, struct sink *out); /* to call->output itself; `out` is standard output */
enum ending command_start(const struct call *call, struct sink *out);
enum ending command_explain(const struct call *call, struct sink *out);
enum ending command_rules(const struct call *call, struct sink *out);
enum ending command_chart(const struct call *call, struct sink *out); /* writes as it goes on, but its table */
enum ending command_publish(const struct call *call, struct sink *out); /* makes call->output itself, a folder */
enum ending command_plan(const struct call *call, struct sink *out);
enum ending command_cue(const struct call *call, struct sink *out);
enum ending command_proofread(const struct call *call, struct sink *out);
enum ending command_demo(const struct call *call, struct sink *out);

#endif
