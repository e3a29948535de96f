#include "start/starter.h"

#include <string.h>

/* Room, ranges and steps are chosen so that each design holds in every one of its editions at every size in its ranges;
 * tests/unit/start tries that. Eighths of an inch ask for the most room: a mark every 3.175 mm, and errors beside it. */

static const char sleeve_text[] =
    "design \"Sleeve for a tea tin\"\n"
    "\n"
    "# The tin at its widest place, with a ruler; half a millimetre either way.\n"
    "measure wide \"width of your tin\"   {wide} ± 0.5 mm  from 40 to 85 mm\n"
    "measure deep \"depth of your tin\"   {deep} ± 0.5 mm  from 20 to 50 mm\n"
    "measure tall \"height of your tin\"  {tall} ± 0.5 mm  from 60 to 200 mm\n"
    "\n"
    "stock paper \"heavy patterned paper\"  thickness 0.20 mm ± 0.02 mm  sheet 12x12\n"
    "\n"
    "# It wraps round and is glued; a few millimetres of the tin show at the top.\n"
    "piece sleeve \"Sleeve\"  of paper\n"
    "  across  face over wide clear 2.5 mm (0 to 5.5 mm) |\n"
    "          side over deep clear 2.5 mm (0 to 5.5 mm) | face | side |\n"
    "          tab = 12 mm or 1/2 in  glue\n"
    "  down    height inside tall clear 5 mm (2 to 8 mm)\n"
    "\n"
    "keep sleeve.tab at least 9 mm        # wide enough for the glue to hold\n"
    "\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

static const char box_and_lid_text[] =
    "design \"Box and lid for recipe cards\"\n"
    "\n"
    "# The stack of cards, pressed lightly together, at its widest place.\n"
    "measure long  \"long side of your cards\"    {long} ± 0.5 mm  from 70 to 160 mm\n"
    "measure short \"short side of your cards\"    {short} ± 0.5 mm  from 50 to 95 mm\n"
    "measure tall  \"height of your stack\"        {tall} ± 0.5 mm  from 18 to 45 mm\n"
    "\n"
    "stock card \"plain card\"  thickness 0.30 mm ± 0.03 mm  sheet A4 or Letter\n"
    "\n"
    "piece box \"Box\"  of card\n"
    "  across  wall over tall clear 2.5 mm (0 to 5.5 mm) |\n"
    "          base over short clear 2.5 mm (0 to 5.5 mm) | wall\n"
    "  down    wall | base_long over long clear 2.5 mm (0 to 5.5 mm) | wall\n"
    "  score from both edges\n"
    "  corners snipped down, tapered 2 mm or 1/16 in\n"
    "\n"
    "# The lid goes over the outside of the box, card and all.\n"
    "piece lid \"Lid\"  of card\n"
    "  across  rim = 15 mm or 5/8 in |\n"
    "          top over outside box.base clear 1.5 mm (0 to 4.5 mm) | rim\n"
    "  down    rim | top_long over outside box.base_long clear 1.5 mm (0 to 4.5 mm) |\n"
    "          rim\n"
    "  score from both edges\n"
    "  corners snipped down, tapered 2 mm or 1/16 in\n"
    "\n"
    "keep lid.rim at least 10 mm          # deep enough to stay on\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

static const char cover_text[] =
    "design \"Cover for a tea tin\"\n"
    "\n"
    "# The tin at its widest place; it bulges in the middle.\n"
    "measure long  \"length of your tin\"  {long} ± 0.5 mm  from 80 to 150 mm\n"
    "measure short \"depth of your tin\"    {short} ± 0.5 mm  from 60 to 100 mm\n"
    "measure tall  \"height of your tin\"   {tall} ± 0.5 mm  from 60 to 190 mm\n"
    "\n"
    "stock card  \"plain card\"       thickness 0.30 mm ± 0.03 mm  sheet A4 or Letter\n"
    "stock paper \"patterned paper\"  thickness 0.16 mm ± 0.02 mm  sheet 12x12\n"
    "let step = 5 mm or 1/4 in            # how much smaller each layer is\n"
    "let rim  = 25 mm or 1 in             # how far the lid comes down\n"
    "\n"
    "piece wrap \"Half of the wrap\"  2 of card\n"
    "  across  face over long clear 2.5 mm (0 to 5.5 mm) |\n"
    "          side over short clear 2.5 mm (0 to 5.5 mm) | tab = 12 mm or 1/2 in  glue\n"
    "  down    height over tall clear 2.5 mm (0 to 5.5 mm)\n"
    "\n"
    "piece lid \"Lid\"  of card\n"
    "  across  rim | top over outside wrap.face clear 1.5 mm (0 to 4.5 mm) | rim\n"
    "  down    rim | top_short over outside wrap.side clear 1.5 mm (0 to 4.5 mm) | rim\n"
    "  score from both edges\n"
    "  corners snipped down, tapered 2 mm or 1/16 in\n"
    "\n"
    "# Layers on the lid, strips on its sides; the same border shows everywhere.\n"
    "mat layer  of card     on lid.top x lid.top_short  smaller by step  shows 1.5 to 4 mm\n"
    "mat upper  of paper    on layer                    smaller by step  shows 1.5 to 4 mm\n"
    "mat strip  2 of paper  on lid.top x lid.rim        smaller by step  shows 1.5 to 4 mm\n"
    "mat end    2 of paper  on lid.top_short x lid.rim  smaller by step  shows 1.5 to 4 mm\n"
    "keep lid.rim at least 20 mm          # deep enough to stay on\n"
    "keep wrap.tab at least 9 mm          # wide enough for the glue to hold\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

static const char drawer_text[] =
    "design \"Drawer for recipe cards\"\n"
    "\n"
    "# The stack of cards, pressed lightly together, at its widest place.\n"
    "measure long  \"long side of your cards\"   {long} ± 0.5 mm  from 70 to 150 mm\n"
    "measure short \"short side of your cards\"   {short} ± 0.5 mm  from 45 to 85 mm\n"
    "measure tall  \"height of your stack\"       {tall} ± 0.5 mm  from 12 to 26 mm\n"
    "\n"
    "stock card \"plain card\"  thickness 0.30 mm ± 0.03 mm  sheet A4 or Letter\n"
    "\n"
    "piece tray \"Tray\"  of card\n"
    "  across  wall over tall clear 2.5 mm (0 to 5.5 mm) |\n"
    "          base over short clear 2.5 mm (0 to 5.5 mm) | wall\n"
    "  down    wall | base_long over long clear 2.5 mm (0 to 5.5 mm) | wall\n"
    "  score from both edges\n"
    "  corners snipped down, tapered 2 mm or 1/16 in\n"
    "\n"
    "# The tray slides into the sleeve, walls and all; both ends are open.\n"
    "piece sleeve \"Sleeve\"  of card\n"
    "  across  face over outside tray.base clear 1.5 mm (0 to 4.5 mm) |\n"
    "          side over outside tray.wall clear 1.5 mm (0 to 4.5 mm) | face | side |\n"
    "          tab = 12 mm or 1/2 in  glue\n"
    "  down    depth = outside tray.base_long\n"
    "\n"
    "keep sleeve.tab at least 9 mm        # wide enough for the glue to hold\n"
    "fit \"as deep as the tray\"  sleeve.depth over outside tray.base_long  clear -2 to 2 mm\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

static const char band_text[] =
    "design \"Band for a jar\"\n"
    "\n"
    "# Round the jar: a strip of paper laid round it, marked where it meets, unrolled.\n"
    "measure round \"round your jar\"                 {round} ± 0.5 mm  from 120 to 250 mm\n"
    "measure tall  \"straight part of the jar's side\"  {tall} ± 0.5 mm  from 40 to 150 mm\n"
    "\n"
    "stock card  \"plain card\"       thickness 0.30 mm ± 0.03 mm  sheet A4 or Letter\n"
    "stock paper \"patterned paper\"  thickness 0.16 mm ± 0.02 mm  sheet 12x12\n"
    "let step = 5 mm or 1/4 in            # how much smaller the paper is\n"
    "\n"
    "# Bent round, the inside is shorter than the flat card by three thicknesses.\n"
    "piece band \"Band\"  of card\n"
    "  across  body over round + 3 * card clear 2.5 mm (0 to 5.5 mm) |\n"
    "          tab = 12 mm or 1/2 in  glue\n"
    "  down    height inside tall clear 5 mm (2 to 8 mm)\n"
    "\n"
    "mat strip  of paper  on band.body x band.height  smaller by step  shows 1.5 to 4 mm\n"
    "keep band.tab at least 9 mm          # wide enough for the glue to hold\n"
    "\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

static const char mats_text[] =
    "design \"Layered card for your envelope\"\n"
    "\n"
    "# The inside of the envelope, flap open, from edge to edge.\n"
    "measure wide \"inside width of your envelope\"   {wide} ± 0.5 mm  from 90 to 140 mm\n"
    "measure high \"inside height of your envelope\"  {high} ± 0.5 mm  from 110 to 205 mm\n"
    "\n"
    "stock card  \"plain card\"       thickness 0.30 mm ± 0.03 mm  sheet A4 or Letter\n"
    "stock paper \"patterned paper\"  thickness 0.16 mm ± 0.02 mm  sheet 12x12\n"
    "let step = 6 mm or 1/4 in            # how much smaller each layer is\n"
    "\n"
    "# One fold in the middle; it slips in with room on every side.\n"
    "piece folded \"Card\"  of card\n"
    "  across  front inside wide clear 5 mm (2 to 8 mm) | front\n"
    "  down    height inside high clear 5 mm (2 to 8 mm)\n"
    "\n"
    "mat under   of paper  on folded.front x folded.height  smaller by step  shows 1.5 to 4 mm\n"
    "mat middle  of card   on under                         smaller by step  shows 1.5 to 4 mm\n"
    "mat upper   of paper  on middle                        smaller by step  shows 1.5 to 4 mm\n"
    "\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

static const char envelope_text[] =
    "design \"Envelope for a card\"\n"
    "\n"
    "# The card as it goes in, folded and with its layers on.\n"
    "measure wide \"width of your card\"   {wide} ± 0.5 mm  from 85 to 190 mm\n"
    "measure high \"height of your card\"  {high} ± 0.5 mm  from 60 to 132 mm\n"
    "\n"
    "stock paper \"patterned paper\"  thickness 0.16 mm ± 0.02 mm  sheet 12x12\n"
    "\n"
    "# The back folds up and is stuck to the tabs beside the front; the flap goes over it.\n"
    "# Beside the flap and the back there are no tabs: there the corners are cut away.\n"
    "piece envelope \"Envelope\"  of paper\n"
    "  down    flap = 40 mm or 1 1/2 in |\n"
    "          front over high clear 5 mm (2 to 8 mm) |\n"
    "          back inside front clear 12 mm (9 to 15 mm)\n"
    "  across  tab = 15 mm or 5/8 in  glue |\n"
    "          body over wide clear 5 mm (2 to 8 mm) | tab  glue   beside front\n"
    "  across  rest | body | rest                                  beside flap, back\n"
    "  say \"Fold the tabs in first, then the back up over them.\"\n"
    "\n"
    "keep envelope.tab at least 10 mm     # wide enough for the glue to hold\n"
    "keep envelope.tab at most envelope.body / 3   # and out of the card's way\n"
    "# The flap covers the opening and reaches well down over the back.\n"
    "keep envelope.flap + envelope.back at least envelope.front + 20 mm\n"
    "\n"
    "edition metric    unit mm  marks 1 mm\n"
    "edition imperial  unit in  marks 1/16 in\n"
    "edition eighths   unit in  marks 1/8 in\n";

const struct starter starter_table[] = {
    {"sleeve", "a sleeve round a tin, glued along one edge", sleeve_text,
     {{"wide", "62 mm", "How wide is your tin?",
       "Lay a ruler across the front at the widest place, with the lid on if the lid is wider."},
      {"deep", "41 mm", "How deep is your tin, from front to back?",
       "Lay the ruler across the side, again at the widest place."},
      {"tall", "96 mm", "How tall is your tin?",
       "Stand it on the table and measure up to where the sleeve may end."}}},
    {"box-and-lid", "a box with corners glued, and a lid over it", box_and_lid_text,
     {{"long", "105 mm", "How long are your cards?",
       "Measure the long side of the largest card."},
      {"short", "74 mm", "How long is their short side?",
       "Measure the short side of the largest card."},
      {"tall", "30 mm", "How tall is the stack?",
       "Stack them, press lightly, and measure from the table to the top."}}},
    {"cover", "a wrap of two pieces for a tin, a lid, layers and strips", cover_text,
     {{"long", "118 mm", "How long is your tin?",
       "Lay a ruler along the front at the widest place; tins bulge in the middle."},
      {"short", "86 mm", "How deep is your tin, from front to back?",
       "Lay the ruler across the side, again at the widest place."},
      {"tall", "97 mm", "How tall is your tin?",
       "Stand it on the table and measure to the very top."}}},
    {"drawer", "a tray that slides in a sleeve", drawer_text,
     {{"long", "105 mm", "How long are your cards?",
       "Measure the long side of the largest card."},
      {"short", "74 mm", "How long is their short side?",
       "Measure the short side of the largest card."},
      {"tall", "20 mm", "How tall is the stack?",
       "Stack them, press lightly, and measure from the table to the top."}}},
    {"band", "a band round a jar, with a layer of patterned paper", band_text,
     {{"round", "212 mm", "How far is it round your jar?",
       "Lay a strip of paper round it, mark where it meets itself, unroll it and measure."},
      {"tall", "70 mm", "How tall is the straight part of its side?",
       "Measure from where the side becomes straight up to where it curves in."}}},
    {"mats", "a folded card for an envelope, with three layers", mats_text,
     {{"wide", "120 mm", "How wide is your envelope inside?",
       "Open the flap and measure from edge to edge."},
      {"high", "165 mm", "How high is your envelope inside?",
       "Measure from the bottom up to the fold of the flap."}}},
    {"envelope", "an envelope for a card, with tabs and a flap", envelope_text,
     {{"wide", "148 mm", "How wide is your card?",
       "Lay it as it goes in, fold and layers and all, and measure along its upper edge."},
      {"high", "105 mm", "How high is your card?",
       "Measure from the lower edge up to the upper one."}}},
    {NULL, NULL, NULL, {{NULL, NULL, NULL, NULL}}},
};

const struct starter *starter_find(const char *kind)
{
    for (const struct starter *s = starter_table; s->kind; s++)
        if (!strcmp(s->kind, kind))
            return s;
    return NULL;
}

size_t starter_question(const struct starter *starter, const char *measure, size_t size)
{
    for (size_t i = 0; i < STARTER_QUESTIONS && starter->questions[i].measure; i++)
        if (strlen(starter->questions[i].measure) == size && !memcmp(starter->questions[i].measure, measure, size))
            return i;
    return STARTER_QUESTIONS;
}

void starter_write(struct sink *out, const struct starter *starter, const char *const sizes[])
{
    for (const char *at = starter->text; *at;) {
        size_t plain = strcspn(at, "{");
        sink_add(out, at, plain);
        at += plain;
        if (!*at)
            break;
        size_t name = strcspn(++at, "}"), i = starter_question(starter, at, name);
        sink_string(out, sizes[i] ? sizes[i] : starter->questions[i].usual);
        at += name + 1;
    }
}
