#include "unit/solve/instances.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

static bool skip_header(FILE *file)
{
    char line[512];
    while (fgets(line, sizeof line, file))
        if (strcmp(line, "1\n") == 0 || strcmp(line, "1\r\n") == 0)
            return true;
    return false;
}

bool instance_read(struct instance *out, const char *folder, const char *name, bool turning)
{
    char path[512];
    snprintf(path, sizeof path, NEARMARK_TESTS "/data/packing/%s/%s.txt", folder, name);
    FILE *file = fopen(path, "r");
    if (!file)
        return false;
    bool right = skip_header(file) &&
                 fscanf(file, "%" SCNd64 " %" SCNd64 " %zu", &out->sheet.width, &out->sheet.height, &out->count) == 3 &&
                 out->count <= MOST_INSTANCE_PIECES;
    for (size_t i = 0; right && i < out->count; i++) {
        struct nmk_cutting_piece *p = &out->pieces[i];
        right = fscanf(file, "%" SCNd64 " %" SCNd64 " %" SCNd64, &p->width, &p->height, &p->demand) == 3;
        p->may_turn = turning;
    }
    fclose(file);
    return right;
}

static bool row_read(struct proven *row, const char *line)
{
    char set[40], value[40];
    int turning;
    if (sscanf(line, "%39[^,],%39[^,],%d,%39[^,]", set, row->name, &turning, value) != 4)
        return false;
    row->onesheet = strcmp(set, "fits one sheet") == 0;
    row->turning = turning == 1;
    if (row->onesheet)
        row->value = strcmp(value, "feasible") == 0;
    else
        return sscanf(value, "%" SCNd64, &row->value) == 1;
    return true;
}

size_t proven_read(struct proven *rows, size_t most)
{
    FILE *file = fopen(NEARMARK_TESTS "/data/packing/values.csv", "r");
    char line[512];
    size_t count = 0;
    if (!file)
        return 0;
    if (fgets(line, sizeof line, file))
        while (count < most && fgets(line, sizeof line, file) && row_read(&rows[count], line))
            count++;
    fclose(file);
    return count;
}

struct nmk_cutting_problem instance_problem(const struct instance *from)
{
    return (struct nmk_cutting_problem){.piece_count = from->count, .kind_count = 1, .pieces = from->pieces,
                                        .kinds = &from->sheet};
}
