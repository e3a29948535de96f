/* cue.h -- the steps of a plan in words: what to set, what to do, how to say it. The plan's screen, the cue page and the
 * prompter show the same list. */
#ifndef TOOLS_REPORT_PLAN_CUE_H
#define TOOLS_REPORT_PLAN_CUE_H

#include "ground/sink.h"
#include "nearmark/plan.h"

enum cue_part { CUE_CUT, CUE_PUNCH, CUE_SCORE, CUE_MAKE }; /* the parts of the work */

struct cue { /* one thing to do; texts are plain, NULL where there is nothing */
    enum cue_part part;
    size_t number;  /* of the step; several cues may belong to one */
    bool opens;     /* the first of its step */
    bool own;       /* the design's own words: what is done is what is said */
    char *figure;   /* "5 5/16 in"; NULL where nothing is set */
    char *other;    /* the same in the other unit, "13.5 cm" */
    char *hint;     /* how to find the mark */
    char *what;     /* what to take: "sheet 1", "Tray, each of 20" */
    char *how;      /* how it lies, or what is done */
    char *gives;    /* of cuts: what comes of it */
    char *say;      /* to be spoken */
};

struct cue_list {
    size_t count, space;
    struct cue *all;
};

/* `both`: figures and words in the other unit too. */
void cue_list_make(struct cue_list *out, const struct nmk_plan *plan, bool both);
void cue_list_clear(struct cue_list *list);

#endif
