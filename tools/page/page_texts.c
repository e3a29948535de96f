#include "page/page_texts.h"

/* Made of the two files by the Makefile. */
const char page_script[] =
#include <page/calculator.js.h>
    ;

const char page_style[] =
#include <page/page_style.css.h>
    ;
