"""What the tests of the program share: running it, and counting what passed."""
import os
import signal
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
DATA = ROOT / "tests/data"
GOLDEN = Path(__file__).resolve().parent / "golden"
PLAIN = os.environ["NEARMARK"]
CHECKED = os.environ.get("NEARMARK_SAN") or PLAIN  # a finding of the sanitizers ends it with status 99

for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):  # ignored in the background of a script, and by its children
    if signal.getsignal(number) == signal.SIG_IGN:
        signal.signal(number, signal.SIG_DFL)


class Ran:
    """One call: status, out and err as text (raw and raw_err as bytes)."""

    def __init__(self, ran):
        self.status, self.raw, self.raw_err = ran.returncode, ran.stdout, ran.stderr
        self.out, self.err = self.raw.decode("utf-8"), self.raw_err.decode("utf-8")


class ProgramTest(unittest.TestCase):
    maxDiff = None

    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="nearmark-cli-")
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)

    def run_program(self, *words, stdin=b"", program=CHECKED, env=None, timeout=120, **more):
        """Runs it in the test's own folder, without a terminal, and without a colour setting of the caller's."""
        environment = {k: v for k, v in os.environ.items() if k not in ("NO_COLOR", "TERM")} | (env or {})
        stdin = stdin.encode() if isinstance(stdin, str) else stdin
        ran = subprocess.run([program, *map(str, words)], input=stdin, capture_output=True, cwd=self.folder,
                             env=environment, timeout=timeout, **more)
        return Ran(ran)

    def good(self, *words, status=0, **more):
        ran = self.run_program(*words, **more)
        self.assertEqual((ran.status, "nearmark" if status == 0 and "Sanitizer" in ran.err else ""), (status, ""), ran.err)
        return ran

    def wrong(self, *words, says=None, status=2, **more):
        """The call is wrong: nothing on standard output, a message with these words on standard error."""
        ran = self.run_program(*words, **more)
        self.assertEqual(ran.status, status, ran.out + ran.err)
        self.assertEqual(ran.raw, b"")
        self.assertTrue(ran.err.strip(), "no message")
        self.assert_plain(ran.err)
        for words in [says] if isinstance(says, str) else says or []:
            self.assertIn(words, ran.err)
        return ran

    def assert_plain(self, text):
        """Nothing in it can drive a terminal."""
        bad = [c for c in text if (ord(c) < 32 and c not in "\n\t") or 0x7F <= ord(c) < 0xA0 or c in "\u202e\u2066\u200e\u2028"]
        self.assertEqual(bad, [])

    def write(self, name, text):
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path


def main():
    ran = unittest.main(exit=False, verbosity=2).result
    # A test with several wrong cases is one that failed.
    failed = len({getattr(test, "test_case", test).id() for test, _ in ran.failures + ran.errors + ran.skipped})
    print(f"{ran.testsRun - failed} passed, {failed} failed")
    sys.exit(failed > 0 or not ran.testsRun)
