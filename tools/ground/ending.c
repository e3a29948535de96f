#include "ground/ending.h"

#include <signal.h>
#include <string.h>
#include <unistd.h>

static const char *volatile unfinished;
static volatile sig_atomic_t interrupted;
static bool survives;

enum ending ending_worse(enum ending a, enum ending b)
{
    return a > b ? a : b;
}

void ending_unfinished(const char *path)
{
    unfinished = path;
}

static void remove_unfinished(void)
{
    if (unfinished)
        unlink(unfinished);
    unfinished = NULL;
}

static void on_signal(int number)
{
    remove_unfinished();
    signal(number, SIG_DFL);
    raise(number);
}

static void on_interrupt(int number)
{
    if (interrupted)
        on_signal(number);
    interrupted = 1;
}

/* A signal that the caller had ignored (nohup) stays ignored. */
static void catch(int number, void (*handler)(int))
{
    struct sigaction old, now;
    memset(&now, 0, sizeof now);
    now.sa_handler = handler;
    if (!sigaction(number, NULL, &old) && old.sa_handler != SIG_IGN)
        sigaction(number, &now, NULL);
}

void ending_prepare(void)
{
    signal(SIGPIPE, SIG_IGN);
    catch(SIGHUP, on_signal);
    catch(SIGINT, on_signal);
    catch(SIGTERM, on_signal);
}

void ending_note_interrupts(void)
{
    interrupted = 0;
    catch(SIGINT, on_interrupt);
}

bool ending_was_interrupted(void)
{
    return interrupted;
}

void ending_interrupt(void)
{
    interrupted = 0;
    if (!survives)
        on_signal(SIGINT);
}

void ending_heed_interrupts(void)
{
    if (!survives)
        catch(SIGINT, on_signal);
    if (interrupted)
        ending_interrupt();
}

void ending_survive_interrupts(void)
{
    survives = true;
}

_Noreturn void ending_without_memory(size_t wanted)
{
    static const char text[] = "nearmark: there is not enough memory for this\n";
    (void)wanted;
    remove_unfinished();
    ssize_t written = write(STDERR_FILENO, text, sizeof text - 1);
    (void)written;
    _exit(ENDING_FAILED);
}
