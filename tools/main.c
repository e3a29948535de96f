/* main.c -- reads the call, runs the command, and sees that results are whole. */
#include <fcntl.h>
#include <unistd.h>

#include "commands.h"
#include "desk/desk.h"
#include "nearmark.h"
#include "options.h"

/* A stream that the caller closed must not become a file that is opened here. Writing to a closed one still fails. */
static void fill_streams(void)
{
    for (int fd = 0; fd <= 2; fd++)
        if (fcntl(fd, F_GETFD) < 0)
            (void)!open("/dev/null", fd == STDERR_FILENO ? O_WRONLY : O_RDONLY);
}

static enum ending run(const struct call *call, struct sink *out)
{
    if (call->given[OPTION_VERSION])
        sink_string(out, "nearmark " NMK_VERSION "\n");
    else if (call->given[OPTION_HELP] && call->command)
        help_command(out, call->command);
    else if (call->given[OPTION_HELP])
        help_program(out);
    else if (call->given[OPTION_MANUAL])
        manual_page(out);
    else if (call->given[OPTION_COMPLETION])
        shell_completion(out, call->shell);
    else if (call->command)
        return call->command->run(call, out);
    else
        return desk_run(out, call->colour);
    return ENDING_DONE;
}

/* After ENDING_WRONG nothing is written; `convert` is the one that goes on (and the desk, in its own way). */
static bool keeps_output(const struct call *call, enum ending ending)
{
    return ending < ENDING_WRONG || (ending == ENDING_WRONG && (!call->command || call->command->run == command_convert));
}

static enum ending run_into(const struct call *call, struct sink *out)
{
    enum ending ending = run(call, out);
    if (!keeps_output(call, ending)) {
        sink_drop(out);
        return ending;
    }
    return sink_close(out, ending);
}

static bool opens_output(const struct call *call)
{
    return call->command && command_opens_output(call->command) && !call->given[OPTION_HELP] && !call->given[OPTION_VERSION];
}

static enum ending run_call(const struct call *call)
{
    struct sink out;
    if (!call->output || opens_output(call))
        sink_init(&out, call->colour);
    else if (!sink_open(&out, call->output, call->colour))
        return ENDING_WRONG;
    return run_into(call, &out);
}

int main(int argc, char **argv)
{
    struct call call;
    fill_streams();
    nmk_memory_handler_set(ending_without_memory);
    ending_prepare();
    enum ending ending = call_read(&call, argc, argv) ? run_call(&call) : ENDING_WRONG;
    call_clear(&call);
    return (int)ending;
}
