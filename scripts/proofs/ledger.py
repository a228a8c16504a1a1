"""The list a proof prints: one line a figure, beside its floor; and the programs it runs to get them."""
import os
import shutil
import subprocess
import time

ROOT = os.path.abspath(os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", ".."))
SHARED = os.path.normpath(os.path.join(ROOT, "..", "shared"))
RELEASE = os.path.join(ROOT, "build", "release")


class Ledger:
    """Prints figures as they come and counts the floors held, missed and skipped."""

    def __init__(self):
        self.held = self.missed = self.skipped = 0

    def heading(self, text):
        print("\n" + text)

    def _line(self, word, name, got, floor):
        print("  %-7s %-74s %-28s %s" % (word, name, got, floor))

    def _judge(self, holds, name, got, floor):
        self.held += holds
        self.missed += not holds
        self._line("OK" if holds else "MISSED", name, got, "floor " + floor)

    def at_most(self, name, value, floor, unit=""):
        """A number that is absent ([] or None) misses its floor."""
        absent = value in ([], None)
        self._judge(not absent and value <= floor, name, "none" if absent else ("%g %s" % (value, unit)).strip(),
                    ("<= %g %s" % (floor, unit)).strip())

    def at_least(self, name, value, floor, unit=""):
        absent = value in ([], None)
        self._judge(not absent and value >= floor, name, "none" if absent else ("%g %s" % (value, unit)).strip(),
                    (">= %g %s" % (floor, unit)).strip())

    def says(self, name, holds, got, wanted):
        self._judge(bool(holds), name, got, wanted)

    def figure(self, name, got):
        """A figure that is asked for but has no floor."""
        self._line("-", name, got, "no floor")

    def skip(self, name, reason):
        self.skipped += 1
        self._line("SKIPPED", name, "", reason)

    def close(self):
        """Prints the counts; the exit code."""
        print("\n%d floors held, %d missed, %d skipped" % (self.held, self.missed, self.skipped))
        return 1 if self.missed or not self.held else 0


def run(command, timeout=1800):
    """Runs a program without a terminal; returns exit code, both outputs together, seconds taken."""
    began = time.time()
    done = subprocess.run(command, cwd=ROOT, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          text=True, errors="replace", timeout=timeout)
    return done.returncode, done.stdout, time.time() - began


def used_by(command):
    """Runs a program in silence; returns exit code and what it used (resource.struct_rusage)."""
    child = subprocess.Popen(command, cwd=ROOT, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                             stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    return os.waitstatus_to_exitcode(status), used


class Programs:
    """Programs built for release and copied to a folder of their own, so that a rebuild meanwhile changes nothing."""

    def __init__(self, targets, folder):
        self.folder = folder
        self.trouble = None  # why they could not be built
        for command in (["cmake", "--preset", "release"],
                        ["cmake", "--build", "--preset", "release", "--target"] + targets):
            code, said, _ = run(command, 7200)
            if code:
                self.trouble = "%s failed:\n%s" % (" ".join(command), said[-4000:])
                return
        os.makedirs(folder)
        for target in targets:
            shutil.copy2(self._built(target), folder)

    def path(self, name):
        return os.path.join(self.folder, name)

    @staticmethod
    def _built(name):
        for folder, _, files in os.walk(RELEASE):
            path = os.path.join(folder, name)
            if name in files and os.access(path, os.X_OK):
                return path
        raise FileNotFoundError("no program named %s under build/release" % name)
