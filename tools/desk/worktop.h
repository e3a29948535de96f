/* worktop.h -- the design that lies open at the desk, with the person's own sizes put in, settled for its editions. */
#ifndef TOOLS_DESK_WORKTOP_H
#define TOOLS_DESK_WORKTOP_H

#include <sys/stat.h>

#include "judgement.h"

struct worktop {
    struct call call; /* own sizes and marks, as of a call of the program; always there */
    char *path;       /* NULL: nothing is open, and what follows is not there */
    char *text;       /* as the file has it */
    size_t size;
    struct stat stamp; /* the file as it was read */
    struct nmk_design *design;
    struct judgement judgement;
};

void worktop_clear(struct worktop *w);
/* Opens a design in place of the one that is open. false: the message was given, and what was open still is. */
bool worktop_open(struct worktop *w, const char *path);
/* Reads the file again where it changed, with the own sizes put in again; says so. */
void worktop_refresh(struct worktop *w);
/* Gives a measure another size. false: as worktop_open. */
bool worktop_set(struct worktop *w, const char *name, const struct nmk_rat *size, enum nmk_unit unit);
/* Other marks than the editions have; NULL: their own again. false: as worktop_open. */
bool worktop_marks(struct worktop *w, const struct nmk_rat *step, enum nmk_unit unit);
/* Writes the design with the own sizes; it then is what is open. false: as worktop_open. */
bool worktop_save(struct worktop *w, const char *path);

#endif
