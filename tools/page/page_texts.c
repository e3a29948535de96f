#include "page/page_texts.h"

/* Made of the files beside this one by the Makefile. */
const char page_script[] = "(function () {\n\"use strict\";\n"
#include <page/own_length.js.h>
#include <page/own_rules.js.h>
#include <page/own_judge.js.h>
#include <page/own_diagram.js.h>
#include <page/calculator.js.h>
                           "})();\n";

const char page_style[] =
#include <page/page_style.css.h>
    ;
