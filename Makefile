# nearmark. `make` builds the library and the program, `make help` lists what else there is.
#
# Everything is found by its place and name, nothing is listed by hand:
#   lib/**/*.c                 the library (libc and GMP only)
#   tools/**/*.c               the program; tools/main.c holds main
#   tools/draw/backend/**/*.c  what draws with cairo and pango: goes into nearmark-draw only, so that the program itself
#                              starts without loading a drawing library (DEVELOPERS.md, "Two programs")
#   tests/**/test_*.c          a cmocka program each; other .c files beside them are support, linked where used
#   tests/fuzz/fuzz_*.c a fuzz target each, tests/bench/bench_*.c a benchmark, tests/oracle/*.c a program for the oracles
# A file under tests that needs a Debian package says so in a line `packages: NAME ...`; `make check` installs those.

BUILD ?= build
PREFIX ?= /usr/local
DESTDIR ?=
BINDIR ?= $(PREFIX)/bin
LIBDIR ?= $(PREFIX)/lib
LIBEXECDIR ?= $(PREFIX)/libexec/nearmark
INCLUDEDIR ?= $(PREFIX)/include
DATADIR ?= $(PREFIX)/share
FUZZ_SECONDS ?= 60

ifeq ($(origin CC),default)
CC := $(firstword $(foreach c,gcc clang cc,$(if $(shell command -v $(c)),$(c))) cc)
endif
CFLAGS ?= -O2 -g
WARN := -std=c11 -Wall -Wextra -Wconversion -Wshadow -Werror
VERSION := $(shell sed -n 's/^.define NMK_VERSION "\(.*\)"/\1/p' include/nearmark.h)
SOVERSION := $(firstword $(subst ., ,$(VERSION)))
PYTHON := /usr/bin/python3

# ---- what there is ----

found = $(sort $(shell find $(1) -name '$(2)' 2>/dev/null))
objects_of = $(patsubst %.c,$(BUILD)/%.o,$(1))

PUBLIC := include/nearmark.h $(call found,include/nearmark,*.h)
LIB_SRC := $(call found,lib,*.c)
BACKEND_SRC := $(call found,tools/draw/backend,*.c)
TOOLS_SRC := $(filter-out tools/main.c $(BACKEND_SRC),$(call found,tools,*.c))
MAIN_SRC := $(wildcard tools/main.c)
TEST_SRC := $(call found,tests/unit tests/published,test_*.c)
FUZZ_SRC := $(call found,tests/fuzz,fuzz_*.c)
BENCH_SRC := $(call found,tests/bench,bench_*.c)
ORACLE_SRC := $(call found,tests/oracle,*.c)
REPLAY_SRC := tests/fuzz/replay.c
RUN_SRC := $(TEST_SRC) $(FUZZ_SRC) $(BENCH_SRC) $(ORACLE_SRC)
SUPPORT_SRC := $(filter-out $(RUN_SRC) $(REPLAY_SRC),$(call found,tests,*.c))
ALL_SRC := $(LIB_SRC) $(TOOLS_SRC) $(MAIN_SRC) $(BACKEND_SRC) $(RUN_SRC) $(SUPPORT_SRC) $(wildcard $(REPLAY_SRC))

PROGRAM := $(if $(MAIN_SRC),$(BUILD)/nearmark)
DRAWER := $(if $(BACKEND_SRC),$(BUILD)/libexec/nearmark-draw)
STATIC := $(BUILD)/libnearmark.a
SONAME := libnearmark.so.$(SOVERSION)
SHARED := $(BUILD)/libnearmark.so.$(VERSION)
TESTS := $(TEST_SRC:%.c=$(BUILD)/%)
BENCHES := $(BENCH_SRC:%.c=$(BUILD)/%)
ORACLES := $(ORACLE_SRC:%.c=$(BUILD)/%)
REPLAYS := $(FUZZ_SRC:tests/fuzz/fuzz_%.c=$(BUILD)/tests/fuzz/replay_%)
FUZZERS := $(FUZZ_SRC:%.c=$(BUILD)/%)

# ---- what it needs (Debian's names) ----

BUILD_PACKAGES := libc6-dev pkg-config libgmp-dev libedit-dev libcairo2-dev libpango1.0-dev
CHECK_PACKAGES := $(BUILD_PACKAGES) gcc clang libclang-rt-dev valgrind binutils libcmocka-dev python3 python3-z3 \
	$(sort $(shell grep -rhsoI '^[^a-z]*packages: .*' tests | sed 's/.*packages: //; s,\*/,,'))

.PHONY: all help lib program demo check mutants bench fuzz install uninstall clean deps deps-demo \
	tests benches oracles replays fuzzers objects FORCE
.DELETE_ON_ERROR:
.SECONDARY:

all: lib program ## the library and the program (the default)

help: ## this list
	@sed -n 's/^\([a-z-]*\):[^#]*## \(.*\)/  make \1\t\2/p' Makefile | expand -t 20
	@echo
	@echo "  BUILD=$(BUILD)  PREFIX=$(PREFIX)  DESTDIR=$(DESTDIR)  CC=$(CC)  CFLAGS='$(CFLAGS)'"

lib: $(STATIC) $(SHARED) $(BUILD)/nearmark.pc ## the library alone: libnearmark.a and libnearmark.so

program: $(PROGRAM) $(DRAWER) ## the program alone: build/nearmark

# ---- compiling ----

# No file of tools/ sees lib/, and no file of lib/ sees tools/.
INCLUDES = -Iinclude
$(BUILD)/lib/%.o: INCLUDES += -Ilib
$(BUILD)/tools/%.o: INCLUDES += -Itools
$(BUILD)/tools/draw/backend/%.o: INCLUDES += $(shell pkg-config --cflags cairo pangocairo)
$(BUILD)/tests/%.o: INCLUDES += -Ilib -Itools -Itests -DNEARMARK_TESTS='"$(CURDIR)/tests"'

COMPILE = $(CC) $(WARN) $(CFLAGS) -D_POSIX_C_SOURCE=200809L $(CPPFLAGS) -fPIC

$(BUILD)/%.o: %.c $(BUILD)/flags
	@mkdir -p $(@D)
	$(COMPILE) $(INCLUDES) -MMD -MP -c $< -o $@

# Other flags than last time: everything is compiled anew; another place for nearmark-draw: what looks for it there.
keep_up = @mkdir -p $(BUILD); echo '$(subst ','\'',$(1))' | cmp -s - $@ || echo '$(subst ','\'',$(1))' > $@
$(BUILD)/flags: FORCE
	$(call keep_up,$(COMPILE) $(LDFLAGS))
$(BUILD)/places: FORCE
	$(call keep_up,$(PREFIX) $(LIBDIR) $(INCLUDEDIR) $(LIBEXECDIR))

FORCE:

SEEKERS := $(call objects_of,$(shell grep -ls NEARMARK_LIBEXECDIR $(TOOLS_SRC) $(MAIN_SRC) </dev/null))
$(SEEKERS): $(BUILD)/places
$(SEEKERS): INCLUDES += -DNEARMARK_LIBEXECDIR='"$(LIBEXECDIR)"'

# The script and the style of the published page, as lines of a C string.
PAGE_TEXTS := $(patsubst tools/%,$(BUILD)/tools/%.h,$(call found,tools/page,*.js) $(call found,tools/page,*.css))
$(BUILD)/tools/page/%.h: tools/page/%
	@mkdir -p $(@D)
	sed 's/["\\]/\\&/g; s/.*/"&\\n"/' $< > $@
$(BUILD)/tools/page/%.o: INCLUDES += -I$(BUILD)/tools
$(BUILD)/tools/page/page_texts.o: $(PAGE_TEXTS)

objects: $(call objects_of,$(ALL_SRC))
-include $(patsubst %.o,%.d,$(call objects_of,$(ALL_SRC)))

# ---- linking ----

pack = @mkdir -p $(@D); rm -f $@ && $(AR) rcs $@ $(filter %.o,$^)

$(STATIC): $(call objects_of,$(LIB_SRC))
	$(pack)
$(BUILD)/tools.a: $(call objects_of,$(TOOLS_SRC))
	$(pack)
$(BUILD)/backend.a: $(call objects_of,$(BACKEND_SRC))
	$(pack)
$(BUILD)/support.a: $(call objects_of,$(SUPPORT_SRC))
	$(pack)

# What the public headers declare is what the shared library shows; everything else stays inside.
$(BUILD)/nearmark.map: $(PUBLIC)
	@mkdir -p $(@D)
	{ echo 'NEARMARK_$(SOVERSION) { global:'; \
	  $(CC) -E -P -Iinclude include/nearmark.h | grep -o 'nmk_[a-z0-9_]*(' | tr '(' ';'; \
	  echo 'local: *; };'; } > $@

$(SHARED): $(call objects_of,$(LIB_SRC)) $(BUILD)/nearmark.map
	$(CC) $(CFLAGS) $(LDFLAGS) -shared -Wl,-soname,$(SONAME) -Wl,--version-script,$(BUILD)/nearmark.map -Wl,-z,defs \
	 $(filter %.o,$^) -lgmp -o $@
	ln -sf $(@F) $(BUILD)/$(SONAME)
	ln -sf $(SONAME) $(BUILD)/libnearmark.so

# libedit is loaded when a terminal asks for it (tools/desk/editor.c): what calc loads beside the C library is GMP alone.
TOOL_LIBS := -lgmp
DRAW_LIBS = $(shell pkg-config --libs cairo pangocairo) -lm
LINK = $(CC) $(CFLAGS) $(LDFLAGS) -Wl,--as-needed $(filter %.o,$^) -Wl,--start-group $(filter %.a,$^) -Wl,--end-group
TEST_PARTS := $(BUILD)/support.a $(BUILD)/tools.a $(BUILD)/backend.a $(STATIC)
TEST_LIBS = $(if $(BACKEND_SRC),$(DRAW_LIBS)) $(if $(TOOLS_SRC),$(TOOL_LIBS)) -lgmp

$(BUILD)/nearmark: $(call objects_of,$(MAIN_SRC)) $(BUILD)/tools.a $(STATIC)
	$(LINK) $(TOOL_LIBS) -o $@

$(BUILD)/libexec/nearmark-draw: $(call objects_of,$(BACKEND_SRC)) $(BUILD)/tools.a $(STATIC)
	@mkdir -p $(@D)
	$(LINK) $(DRAW_LIBS) $(TOOL_LIBS) -o $@

$(TESTS): $(BUILD)/%: $(BUILD)/%.o $(TEST_PARTS)
	$(LINK) $(TEST_LIBS) -lcmocka -o $@
$(BENCHES) $(ORACLES): $(BUILD)/%: $(BUILD)/%.o $(TEST_PARTS)
	$(LINK) $(TEST_LIBS) $(shell sed -n 's,^ \* libs: \(.*[^ */]\)[ */]*$$,\1,p' $*.c) -o $@
$(REPLAYS): $(BUILD)/tests/fuzz/replay_%: $(BUILD)/tests/fuzz/fuzz_%.o $(call objects_of,$(REPLAY_SRC)) $(TEST_PARTS)
	$(LINK) $(TEST_LIBS) -o $@
$(FUZZERS): $(BUILD)/%: $(BUILD)/%.o $(TEST_PARTS)
	$(LINK) -fsanitize=fuzzer $(TEST_LIBS) -o $@

tests: $(TESTS)
benches: $(BENCHES)
oracles: $(ORACLES)
replays: $(REPLAYS)
fuzzers: $(FUZZERS)

$(BUILD)/nearmark.pc: include/nearmark.h Makefile $(BUILD)/places
	@mkdir -p $(@D)
	printf '%s\n' 'prefix=$(PREFIX)' 'libdir=$(LIBDIR)' 'includedir=$(INCLUDEDIR)' '' 'Name: nearmark' \
	 'Description: cut and score measurements that still fit after rounding' 'Version: $(VERSION)' \
	 'Libs: -L$${libdir} -lnearmark' 'Libs.private: -lgmp' 'Cflags: -I$${includedir}' > $@

# ---- showing and checking ----

# Installs what is missing of the Debian packages $(1); says so; the package lists are fetched only if need be.
define need
@if ! command -v dpkg-query >/dev/null; then echo "make: not a Debian system; these are needed: $(1)"; else \
 missing=; for p in $(1); do \
  dpkg-query -W -f '$${db:Status-Status}\n' $$p 2>/dev/null | grep -qx installed || missing="$$missing $$p"; done; \
 if [ -n "$$missing" ]; then \
  as=; [ "$$(id -u)" = 0 ] || as="sudo"; \
  get="$$as env DEBIAN_FRONTEND=noninteractive apt-get -q -y --no-install-recommends"; \
  echo "make: installing by apt-get:$$missing"; \
  { $$get -s install $$missing >/dev/null 2>&1 && $$get install $$missing </dev/null; } || \
  { echo "make: fetching the package lists first"; $$get update && $$get install $$missing </dev/null; } || \
  { echo "make: could not install:$$missing" >&2; exit 1; }; \
 fi; fi
endef

deps-demo: ## install what the program needs (Debian)
	$(call need,$(BUILD_PACKAGES))

deps: ## install what the program and its tests need (Debian)
	$(call need,$(CHECK_PACKAGES))

demo: deps-demo ## install what is missing, build, and show the built-in example
	@echo "make: building $(BUILD)/nearmark"
	@$(MAKE) --no-print-directory -s -j2 program
	@echo "make: $(BUILD)/nearmark demo"
	@$(BUILD)/nearmark demo

check: deps ## install what is missing, build, and run every test
	@BUILD='$(BUILD)' $(PYTHON) tests/run

mutants: ## plant the bugs of tests/mutants one by one; each must be caught
	@BUILD='$(BUILD)' $(PYTHON) tests/mutants/run

bench: benches program ## build and run the benchmarks
	@for b in $(BENCHES); do echo "== $$b"; $$b || exit 1; done

fuzz: ## fuzz every target for FUZZ_SECONDS each (clang)
	$(MAKE) CC=clang CFLAGS='-O1 -g -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all' \
	 BUILD=$(BUILD)/fuzz fuzzers
	for f in $(patsubst tests/fuzz/fuzz_%.c,%,$(FUZZ_SRC)); do \
	 mkdir -p $(BUILD)/fuzz/corpus/$$f tests/fuzz/corpus/$$f; \
	 dict=; [ ! -f tests/fuzz/$$f.dict ] || dict=-dict=tests/fuzz/$$f.dict; \
	 $(BUILD)/fuzz/tests/fuzz/fuzz_$$f -max_total_time=$(FUZZ_SECONDS) -timeout=10 $$dict \
	  -artifact_prefix=$(BUILD)/fuzz/ $(BUILD)/fuzz/corpus/$$f tests/fuzz/corpus/$$f || exit 1; done

# ---- installing ----

# The program writes its own manual page and completions.
$(BUILD)/nearmark.1: $(BUILD)/nearmark
	$< --manual > $@
$(BUILD)/completion/%: $(BUILD)/nearmark
	@mkdir -p $(@D)
	$< --completion $* > $@
PAPERS := $(if $(PROGRAM),$(BUILD)/nearmark.1 $(addprefix $(BUILD)/completion/,bash zsh fish))

MAN1DIR := $(DATADIR)/man/man1
MAN5DIR := $(DATADIR)/man/man5
BASHDIR := $(DATADIR)/bash-completion/completions
ZSHDIR := $(DATADIR)/zsh/site-functions
FISHDIR := $(DATADIR)/fish/vendor_completions.d
put = install -d '$(DESTDIR)$(2)' && install -m $(1)

install: all $(PAPERS) ## install under PREFIX (DESTDIR is put before it)
	$(call put,644,$(INCLUDEDIR)/nearmark) include/nearmark/*.h '$(DESTDIR)$(INCLUDEDIR)/nearmark'
	install -m 644 include/nearmark.h '$(DESTDIR)$(INCLUDEDIR)'
	$(call put,644,$(LIBDIR)/pkgconfig) $(BUILD)/nearmark.pc '$(DESTDIR)$(LIBDIR)/pkgconfig'
	install -m 644 $(STATIC) '$(DESTDIR)$(LIBDIR)'
	install -m 755 $(SHARED) '$(DESTDIR)$(LIBDIR)'
	ln -sf $(notdir $(SHARED)) '$(DESTDIR)$(LIBDIR)/$(SONAME)'
	ln -sf $(SONAME) '$(DESTDIR)$(LIBDIR)/libnearmark.so'
ifneq ($(PROGRAM),)
	$(call put,755,$(BINDIR)) $(PROGRAM) '$(DESTDIR)$(BINDIR)'
	$(call put,644,$(MAN1DIR)) $(BUILD)/nearmark.1 '$(DESTDIR)$(MAN1DIR)'
	$(call put,644,$(MAN5DIR)) tools/manual/nearmark-design.5 '$(DESTDIR)$(MAN5DIR)'
	$(call put,644,$(BASHDIR)) $(BUILD)/completion/bash '$(DESTDIR)$(BASHDIR)/nearmark'
	$(call put,644,$(ZSHDIR)) $(BUILD)/completion/zsh '$(DESTDIR)$(ZSHDIR)/_nearmark'
	$(call put,644,$(FISHDIR)) $(BUILD)/completion/fish '$(DESTDIR)$(FISHDIR)/nearmark.fish'
endif
ifneq ($(DRAWER),)
	$(call put,755,$(LIBEXECDIR)) $(DRAWER) '$(DESTDIR)$(LIBEXECDIR)'
endif

uninstall: ## take away what install put there
	rm -f $(patsubst %,'$(DESTDIR)$(INCLUDEDIR)/nearmark/%',$(notdir $(wildcard include/nearmark/*.h)))
	rm -f '$(DESTDIR)$(LIBEXECDIR)/nearmark-draw' '$(DESTDIR)$(INCLUDEDIR)/nearmark.h' '$(DESTDIR)$(LIBDIR)/pkgconfig/nearmark.pc' '$(DESTDIR)$(BINDIR)/nearmark' \
	 '$(DESTDIR)$(MAN1DIR)/nearmark.1' '$(DESTDIR)$(MAN5DIR)/nearmark-design.5' '$(DESTDIR)$(BASHDIR)/nearmark' \
	 '$(DESTDIR)$(ZSHDIR)/_nearmark' '$(DESTDIR)$(FISHDIR)/nearmark.fish' \
	 $(foreach l,libnearmark.a libnearmark.so $(SONAME) $(notdir $(SHARED)),'$(DESTDIR)$(LIBDIR)/$(l)')
	rmdir '$(DESTDIR)$(INCLUDEDIR)/nearmark' '$(DESTDIR)$(LIBEXECDIR)' 2>/dev/null || true

clean: ## take away everything that was built
	rm -rf $(BUILD)
