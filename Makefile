# nearmark: `make help` lists the targets.
CC ?= gcc
BUILD ?= build
WARN := -std=c11 -Wall -Wextra -Wconversion -Wshadow -Werror
CFLAGS ?= -O2 -g
CPPFLAGS_ALL := -Iinclude -Ilib -D_POSIX_C_SOURCE=200809L $(CPPFLAGS)

LIB_SRC := $(sort $(shell find lib -name '*.c'))
LIB_OBJ := $(LIB_SRC:%.c=$(BUILD)/%.o)

.PHONY: all lib clean
all: lib
lib: $(BUILD)/libnearmark.a

$(BUILD)/libnearmark.a: $(LIB_OBJ)
	rm -f $@ && $(AR) rcs $@ $^

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(WARN) $(CFLAGS) $(CPPFLAGS_ALL) -fPIC -MMD -MP -c $< -o $@

-include $(LIB_OBJ:.o=.d)

clean:
	rm -rf $(BUILD)
