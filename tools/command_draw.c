/* command_draw.c -- cutting diagrams: what is drawn for each edition, and the files it goes into. */
#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "commands.h"
#include "draw/drawer.h"
#include "draw/page.h"
#include "ground/json.h"
#include "ground/message.h"
#include "ground/store.h"
#include "judgement.h"
#include "load.h"
#include "near_name.h"

enum view { VIEW_PAGE, VIEW_PIECE, VIEW_PICTURE };
static const char *const view_names[] = {"page", "piece", "picture"};

struct drawing { /* pages that belong together; PDF puts them into one file */
    enum view view;
    const char *edition;
    const char *piece; /* PIECE; else NULL */
    bool actual;
    struct scenes scenes;
};

struct file {
    char *path; /* NULL: standard output */
    enum format format;
    size_t drawing, scene;
    struct sink bytes;
    bool written; /* and was not there before */
};

struct job {
    const struct call *call;
    struct drawing *drawings;
    size_t drawing_count;
    struct file *files;
    size_t file_count;
    bool folder;
};

static void job_clear(struct job *job)
{
    for (size_t i = 0; i < job->drawing_count; i++)
        scenes_clear(&job->drawings[i].scenes);
    for (size_t i = 0; i < job->file_count; i++) {
        store_free(job->files[i].path);
        sink_drop(&job->files[i].bytes);
    }
    store_free(job->drawings);
    store_free(job->files);
}

/* ---- what is asked for ---- */

static bool is_word(const char *value, const char *word)
{
    return value && !strcmp(value, word);
}

static bool wants_actual(const struct call *call)
{
    return is_word(call->scale, "actual");
}

/* Left out: with a folder everything, else the page; of one piece, or at true size, the pieces. */
static bool wants(const struct job *job, enum view view)
{
    const struct call *call = job->call;
    if (call->view)
        return is_word(call->view, "all") ? !wants_actual(call) || view == VIEW_PIECE
                                          : !strncmp(call->view, view_names[view], strlen(view_names[view]));
    if (call->piece || wants_actual(call))
        return view == VIEW_PIECE;
    return job->folder || view == VIEW_PAGE;
}

static const char *extension_of(const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path, *point = strrchr(name, '.');
    return point && point != name ? point + 1 : "";
}

static enum format format_of(const char *word)
{
    enum format f = FORMAT_SVG;
    while (f < FORMAT_COUNT && strcmp(word, format_names[f]) != 0)
        f++;
    return f;
}

/* A folder that is there, or a name that is no file's. */
static bool is_folder(const char *path)
{
    struct stat at;
    if (!stat(path, &at))
        return S_ISDIR(at.st_mode);
    return path[strlen(path) - 1] == '/' || !*extension_of(path);
}

static bool check_call(struct job *job)
{
    const struct call *call = job->call;
    job->folder = call->output && is_folder(call->output);
    bool named = call->output && !job->folder && format_of(extension_of(call->output)) < FORMAT_COUNT;
    if (wants_actual(call) && (is_word(call->view, "page") || is_word(call->view, "picture")))
        message_error("--scale actual draws pieces one by one: leave out --view %s", call->view);
    else if (call->piece && call->view && strcmp(call->view, "pieces") != 0)
        message_error("--piece draws one piece: leave out --view %s", call->view);
    else if (named && call->format && strcmp(call->format, extension_of(call->output)) != 0)
        message_error("--format %s does not go with the name %s", call->format, call->output);
    else if (call->output && !job->folder && !named && !call->format)
        message_error("%s: let the name end in .svg, .pdf or .png, or give --format", call->output);
    else
        return true;
    return false;
}

static bool find_piece(size_t *out, const struct nmk_design *design, const char *name)
{
    struct near_name near = near_name_begin(name, strlen(name));
    for (size_t i = 0; i < nmk_design_piece_count(design); i++) {
        near_name_offer(&near, nmk_design_piece(design, i)->name);
        *out = i;
        if (!strcmp(nmk_design_piece(design, i)->name, name))
            return true;
    }
    if (near.best)
        message_error("the design has no piece %s; did you mean %s?", name, near.best);
    else
        message_error("the design has no piece %s", name);
    return false;
}

/* ---- drawing ---- */

static struct drawing *add_drawing(struct job *job, enum view view, const struct nmk_settled *settled, const char *piece)
{
    job->drawings = store_resize(job->drawings, (job->drawing_count + 1) * sizeof *job->drawings);
    struct drawing *drawing = &job->drawings[job->drawing_count++];
    *drawing = (struct drawing){.view = view, .edition = nmk_draft_edition(nmk_settled_draft(settled))->name, .piece = piece,
                                .actual = view == VIEW_PIECE && wants_actual(job->call)};
    return drawing;
}

static bool draw_piece(struct job *job, const struct gallery *gallery, size_t piece, struct paper paper)
{
    const struct nmk_design *design = nmk_draft_design(nmk_settled_draft(gallery->settled));
    const char *name = nmk_design_piece(design, piece)->name;
    struct drawing *drawing = add_drawing(job, VIEW_PIECE, gallery->settled, name);
    if (!drawing->actual) {
        page_piece(scenes_add(&drawing->scenes), gallery, piece);
        return true;
    }
    if (page_actual(&drawing->scenes, gallery, piece, paper))
        return true;
    message_error("this paper is too small to draw %s at its true size; give a larger --paper", name);
    return false;
}

static bool draw_edition(struct job *job, const struct gallery *gallery, size_t piece)
{
    struct paper paper = page_paper(job->call->given[OPTION_PAPER] ? &job->call->paper : NULL, gallery->settled);
    bool good = page_takes(paper);
    if (!good)
        message_error("drawings need paper of 90 mm to 5000 mm each way; give another --paper");
    if (good && wants(job, VIEW_PAGE))
        page_all(&add_drawing(job, VIEW_PAGE, gallery->settled, NULL)->scenes, gallery, paper);
    for (size_t i = 0; good && i < gallery->count && wants(job, VIEW_PIECE); i++)
        if (piece == NMK_NONE || piece == i)
            good = draw_piece(job, gallery, i, paper);
    if (good && wants(job, VIEW_PICTURE))
        page_picture(&add_drawing(job, VIEW_PICTURE, gallery->settled, NULL)->scenes, gallery);
    return good;
}

/* ---- files ---- */

static struct file *add_file(struct job *job, enum format format, size_t drawing, size_t scene)
{
    job->files = store_resize(job->files, (job->file_count + 1) * sizeof *job->files);
    struct file *file = &job->files[job->file_count++];
    *file = (struct file){.format = format, .drawing = drawing, .scene = scene, .bytes = {.fd = -1}};
    return file;
}

/* FOLDER/metric-page.pdf, metric-piece-tray.svg, metric-picture.png; further pages -2, -3. */
static void name_file(const struct job *job, struct file *file)
{
    const struct drawing *d = &job->drawings[file->drawing];
    struct sink path = {0};
    const char *folder = job->call->output;
    sink_format(&path, "%s%s%s-%s%s%s%s", folder, folder[strlen(folder) - 1] == '/' ? "" : "/", d->edition,
                view_names[d->view], d->piece ? "-" : "", d->piece ? d->piece : "", d->actual ? "-actual" : "");
    if (file->scene)
        sink_format(&path, "-%zu", file->scene + 1);
    sink_format(&path, ".%s", format_names[file->format]);
    file->path = path.data;
}

/* A page to print, drawings for the web, a picture for the film; what is larger than one sheet is to be printed too. */
static enum format usual_format(const struct drawing *d)
{
    return d->view == VIEW_PICTURE ? FORMAT_PNG : d->view == VIEW_PAGE || d->actual ? FORMAT_PDF : FORMAT_SVG;
}

static void plan_folder(struct job *job)
{
    for (size_t i = 0; i < job->drawing_count; i++) {
        const struct drawing *d = &job->drawings[i];
        enum format format = job->call->format ? format_of(job->call->format) : usual_format(d);
        for (size_t page = 0; page < (format == FORMAT_PDF ? 1 : d->scenes.count); page++)
            name_file(job, add_file(job, format, i, page));
    }
}

static bool plan_file(struct job *job)
{
    const struct call *call = job->call;
    enum format format = call->format   ? format_of(call->format)
                         : call->output ? format_of(extension_of(call->output))
                                        : FORMAT_SVG;
    size_t pages = 0;
    for (size_t i = 0; i < job->drawing_count; i++)
        pages += job->drawings[i].scenes.count;
    if (pages > 1 && format != FORMAT_PDF) {
        message_error("these are %zu drawings, and %s holds one: name an --edition or a --piece, take a PDF, or give a folder, "
                      "-o diagrams/", pages, format_names[format]);
        return false;
    }
    if (!call->output && format != FORMAT_SVG && isatty(STDOUT_FILENO)) {
        message_error("a %s is not for reading on a terminal; name a file, -o drawing.%s", format_names[format],
                      format_names[format]);
        return false;
    }
    struct file *file = add_file(job, format, 0, 0);
    file->path = call->output ? store_copy(call->output, strlen(call->output)) : NULL;
    return true;
}

/* All that goes into one file, borrowed from the drawings. */
static enum ending make_bytes(struct job *job, struct file *file)
{
    struct scenes part = {0};
    for (size_t i = 0; i < job->drawing_count; i++) {
        const struct scenes *all = &job->drawings[i].scenes;
        for (size_t page = 0; page < all->count; page++) {
            if (job->folder && (i != file->drawing || (file->format != FORMAT_PDF && page != file->scene)))
                continue;
            *scenes_add(&part) = all->list[page];
        }
    }
    enum ending ending = drawer_write(&file->bytes, file->format, &part);
    store_free(part.list);
    return ending;
}

static enum ending make_folder(const char *path, bool *made)
{
    *made = !mkdir(path, 0777);
    if (*made || errno == EEXIST)
        return ENDING_DONE;
    bool full = errno == ENOSPC || errno == EIO;
    message_error("the folder %s cannot be made: %s", path, strerror(errno));
    return full ? ENDING_FAILED : ENDING_WRONG;
}

static enum ending save(struct job *job, struct file *file, struct sink *out)
{
    struct sink to;
    if (!file->path) {
        sink_add(out, file->bytes.data, file->bytes.size);
        return ENDING_DONE;
    }
    bool is_new = access(file->path, F_OK) != 0;
    if (!sink_open(&to, file->path, job->call->colour))
        return ENDING_WRONG;
    sink_add(&to, file->bytes.data, file->bytes.size);
    enum ending ending = sink_close(&to, ENDING_DONE);
    file->written = is_new && !ending;
    return ending;
}

/* Some files could not be written: those that were do not stay alone. */
static void take_back(const struct job *job, bool made)
{
    for (size_t i = 0; i < job->file_count; i++)
        if (job->files[i].written)
            unlink(job->files[i].path);
    if (made)
        rmdir(job->call->output);
}

/* Everything is drawn before anything is written. */
static enum ending write_files(struct job *job, struct sink *out)
{
    enum ending ending = ENDING_DONE;
    bool made = false;
    if (!job->drawing_count || !(job->folder ? (plan_folder(job), true) : plan_file(job)))
        return job->drawing_count ? ENDING_WRONG : ENDING_DONE;
    if (job->call->given[OPTION_JSON] && !job->call->output)
        return ENDING_DONE;
    for (size_t i = 0; i < job->file_count && !ending; i++)
        ending = make_bytes(job, &job->files[i]);
    if (!ending && job->folder)
        ending = make_folder(job->call->output, &made);
    for (size_t i = 0; i < job->file_count && !ending; i++)
        ending = save(job, &job->files[i], out);
    if (ending && job->folder)
        take_back(job, made);
    return ending;
}

/* ---- what was drawn ---- */

static void put_drawing(struct json *j, const struct job *job, const struct file *file, const struct drawing *d, size_t page)
{
    json_object(j, NULL);
    json_text(j, "edition", d->edition);
    json_text(j, "view", view_names[d->view]);
    json_text(j, "piece", d->piece);
    json_text(j, "scale", d->actual ? "actual" : "fit");
    json_count(j, "page", page + 1);
    json_count(j, "pages", d->scenes.count);
    json_text(j, "format", format_names[file->format]);
    json_text(j, "file", job->call->output ? file->path : NULL);
    json_close(j);
}

static bool holds(const struct job *job, const struct file *file, size_t drawing, size_t page)
{
    return !job->folder || (file->drawing == drawing && (file->format == FORMAT_PDF || file->scene == page));
}

static void put_json(const struct job *job, struct sink *out)
{
    struct json j;
    json_begin(&j, out, JSON_INDENTED);
    json_list(&j, NULL);
    for (size_t f = 0; f < job->file_count; f++)
        for (size_t i = 0; i < job->drawing_count; i++)
            for (size_t page = 0; page < job->drawings[i].scenes.count; page++)
                if (holds(job, &job->files[f], i, page))
                    put_drawing(&j, job, &job->files[f], &job->drawings[i], page);
    json_end(&j);
}

static void tell(const struct job *job, struct sink *out)
{
    if (job->call->given[OPTION_JSON]) {
        put_json(job, out);
        return;
    }
    for (size_t i = 0; job->folder && i < job->file_count; i++) {
        sink_plain(out, job->files[i].path);
        sink_string(out, "\n");
    }
}

/* ---- the whole ---- */

static enum ending draw_all(struct job *job, const struct judgement *j, size_t piece)
{
    bool good = true;
    for (size_t i = 0; i < j->count && good; i++) {
        struct gallery gallery;
        if (!nmk_settled_holds_together(j->editions[i].settled))
            continue;
        gallery_init(&gallery, j->editions[i].settled);
        good = draw_edition(job, &gallery, piece);
        gallery_clear(&gallery);
    }
    return good ? ENDING_DONE : ENDING_WRONG;
}

static enum ending draw_design(struct job *job, const struct nmk_design *design, struct sink *out)
{
    const struct call *call = job->call;
    struct judgement j = {0};
    size_t piece = NMK_NONE;
    if (call->piece && !find_piece(&piece, design, call->piece))
        return ENDING_WRONG;
    enum ending ending = judge_design(&j, design, call->words[0], call);
    if (!ending)
        ending = draw_all(job, &j, piece);
    if (!ending)
        ending = write_files(job, out);
    if (!ending) {
        tell(job, out);
        ending = judgement_ending(&j, call);
    }
    judgement_clear(&j);
    return ending;
}

enum ending command_draw(const struct call *call, struct sink *out)
{
    struct job job = {.call = call};
    enum ending ending;
    if (!check_call(&job))
        return ENDING_WRONG;
    struct nmk_design *design = load_design(call->words[0], call, &ending);
    if (!design)
        return ending;
    ending = draw_design(&job, design, out);
    job_clear(&job);
    nmk_design_free(design);
    return ending;
}
