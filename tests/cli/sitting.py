"""The program at a pseudo-terminal: what is typed into it, and what then stands on the screen.

The screen is kept by a small terminal written for these tests: printing, line ends, and the few sequences that a line
editor sends to a terminal of the kind `vt100`; anything else fails the test.
"""
import codecs
import fcntl
import os
import pty
import re
import select
import signal
import struct
import termios
import time

from calling import CHECKED


class Screen:
    def __init__(self, rows, columns):
        self.rows, self.columns = rows, columns
        self.lines, self.row, self.column, self.pending = [[]], 0, 0, ""

    def put(self, letter):
        if self.column >= self.columns:
            self.row, self.column = self.row + 1, 0
        while len(self.lines) <= self.row:
            self.lines.append([])
        line = self.lines[self.row]
        line.extend(" " * (self.column + 1 - len(line)))
        line[self.column] = letter
        self.column += 1

    def obey(self, numbers, letter):
        number = int(numbers.split(";")[0] or 0) if numbers.replace(";", "").isdigit() else 0
        while len(self.lines) <= self.row:
            self.lines.append([])
        line = self.lines[self.row]
        if letter == "K":
            assert number == 0
            del line[self.column:]
        elif letter == "J":
            del line[self.column:], self.lines[self.row + 1:]
        elif letter == "C":
            self.column += number or 1
        elif letter == "D":
            self.column = max(0, self.column - (number or 1))
        elif letter == "A":
            self.row = max(0, self.row - (number or 1))
        elif letter == "B":
            self.row += number or 1
        elif letter == "P":
            del line[self.column:self.column + (number or 1)]
        elif letter == "@":
            line[self.column:self.column] = " " * (number or 1)
        elif letter == "H" and not numbers:
            self.row = self.column = 0
        elif letter not in "mhl":
            raise AssertionError(f"the terminal was sent ESC [ {numbers} {letter}")

    def take(self, text):
        text, self.pending = self.pending + text, ""
        while text:
            found = re.match(r"\x1b\[([0-9;?]*)([A-Za-z@])|\x1b[=>78MDE]|\x1b\([A-Z0-9]|[\x00\x0f\x0e\x07]|\$<\d+>", text)
            if found:
                if found[2]:
                    self.obey(found[1], found[2])
                text = text[found.end():]
            elif text[0] == "\x1b" and len(text) < 12:
                self.pending, text = text, ""
            else:
                letter, text = text[0], text[1:]
                if letter == "\n":
                    self.row += 1
                elif letter == "\r":
                    self.column = 0
                elif letter == "\b":
                    self.column = max(0, self.column - 1)
                else:
                    assert letter >= " ", repr(letter)
                    self.put(letter)

    def text(self):
        return "\n".join("".join(line).rstrip() for line in self.lines)


class Sitting:
    """A program at a pseudo-terminal."""

    def __init__(self, folder, *words, rows=40, columns=100):
        self.screen, self.decoder = Screen(rows, columns), codecs.getincrementaldecoder("utf-8")()
        environment = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR",)} | {
            "TERM": "vt100", "XDG_STATE_HOME": str(folder / "state"), "LC_ALL": "C.UTF-8"}
        # libedit does not let go of the two names given to EL_ADDFN; nothing of ours calls wcsdup.
        (folder / "leaks").write_text("leak:wcsdup\n")
        environment["LSAN_OPTIONS"] = f"{os.environ.get('LSAN_OPTIONS', '')}:suppressions={folder}/leaks:print_suppressions=0"
        self.process, self.end = pty.fork()
        if not self.process:
            os.chdir(folder)
            os.execve(CHECKED, [CHECKED, *words], environment)
        self.size(rows, columns)

    def size(self, rows, columns):
        self.screen.rows, self.screen.columns = rows, columns
        fcntl.ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def read(self, seconds=0.05):
        while select.select([self.end], [], [], seconds)[0]:
            try:
                data = os.read(self.end, 65536)
            except OSError:
                return False
            if not data:
                return False
            self.screen.take(self.decoder.decode(data))
        return True

    def until(self, words, seconds=20):
        end = time.monotonic() + seconds
        while words not in self.screen.text():
            assert time.monotonic() < end, f"{words!r} did not come:\n{self.screen.text()}"
            if not self.read():
                assert words in self.screen.text(), f"it ended, and {words!r} had not come:\n{self.screen.text()}"

    def type(self, keys):
        os.write(self.end, keys.encode())

    def ask(self, line, until):
        """Types a line; what stands on the screen below it when it has been answered and the prompt is back."""
        before = len(self.screen.lines)
        self.type(line + "\r")
        self.until(until)
        end = time.monotonic() + 20
        while not self.screen.text().rstrip("\n").split("\n")[-1] == ">":
            assert time.monotonic() < end, self.screen.text()
            self.read()
        return "\n".join(self.screen.text().split("\n")[before:])

    def close(self):
        """The status it ends with, after Ctrl-D."""
        while self.read(0.2):
            if os.waitpid(self.process, os.WNOHANG)[0]:
                raise AssertionError("ended twice")
            break
        end = time.monotonic() + 20
        while time.monotonic() < end:
            ended, status = os.waitpid(self.process, os.WNOHANG)
            if ended:
                os.close(self.end)
                return os.waitstatus_to_exitcode(status)
            self.read(0.05)
        os.kill(self.process, signal.SIGKILL)
        raise AssertionError("it does not end:\n" + self.screen.text())
