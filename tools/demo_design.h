/* demo_design.h -- the text of the built-in example, a drawer for recipe cards. */
#ifndef TOOLS_DEMO_DESIGN_H
#define TOOLS_DEMO_DESIGN_H

extern const char demo_design[];

#endif
