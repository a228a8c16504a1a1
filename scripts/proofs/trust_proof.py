"""Nothing forged, nothing lost, nothing crashes: each case held by its test, one bit turned anywhere, a kill at every call
that changes a file, readers of outside bytes fed with what is broken, and the limits of what is taken in."""
import json
import os
import re
import subprocess
import tempfile
import zipfile

import ledger as tools
from book_server import Server

FLIPS = int(os.environ.get("PROVE_FLIPS", "3400"))  # asked of the book file and of the bundle; half of each other
KILLS = int(os.environ.get("PROVE_KILLS", "500"))
BATCH_KILLS = int(os.environ.get("PROVE_BATCH_KILLS", "200"))
STEPS = int(os.environ.get("PROVE_STEPS", "2000"))
FUZZ_SECONDS = float(os.environ.get("PROVE_FUZZ_SECONDS", "20"))

# What was found, and the tests that hold it now (a filter of book_test, recording_test, cli_test, scan_test).
CASES = [
    ("1 text stored otherwise than hashed, lines forged, formulas", "book_test", "*GateTest*:Shown*:CsvCells*"),
    ("2 a bundle is believed", "book_test", "*AttackTest*:*BundleTest*"),
    ("3 a verdict is believed", "book_test", "*VerdictTest*"),
    ("4 a sign-off's kind, blank fields, keys", "book_test", "*SignTest*:Keys*:*RolesTest*"),
    ("5 verify looks everywhere", "book_test", "*LookTest*:*VerifyTest*:*ForgeTest*"),
    ("6 a damaged picture is measured", "recording_test", "Decode*:LevelsJump*:DamagedVideo*:Still*:Video*"),
    ("6 damage in a predicted video, in scan", "scan_test", "*Predicted*"),
    ("7 read-only media", "book_test", "ReadOnlyBook*"),
    ("7 third-party words, sizes of frames", "scan_test", "*Size*:*Small*"),
    ("keys on a token", "book_test", "TokenTest*:TokenAddress*"),
    ("trusted time", "book_test", "*TimeTest*"),
]


def run_tests(program, pattern, work, environment=()):
    out = os.path.join(work, "tests.json")
    code, said, _ = tools.run(["env", *environment, program, "--gtest_output=json:" + out, "--gtest_filter=" + pattern], 7200)
    cases = [c for suite in json.load(open(out))["testsuites"] for c in suite["testsuite"]]
    ran = [c for c in cases if c["result"] == "COMPLETED"]
    return code, said, len(ran), len([c for c in ran if not c.get("failures")]), len(cases) - len(ran)


def cases(book, programs, work):
    book.heading("1. Every case, the tests that hold it")
    for name, program, pattern in CASES:
        _, _, ran, passed, skipped = run_tests(programs.path(program), pattern, work)
        book.says(name, ran and ran == passed, "%d of %d tests" % (passed, ran), "all")
        if skipped:
            book.skip(name, "%d tests for what is not installed here" % skipped)


def flips(book, programs, work):
    book.heading("2. One bit turned")
    _, said, _, _, _ = run_tests(programs.path("book_test"), "FlipTest*", work, ["ROOTSCROLL_FLIPS=%d" % FLIPS])
    total = 0
    for what, turned, named, harmless, missed, without in re.findall(
            r"flips in (.*): (\d+) turned, (\d+) named, (\d+) harmless, (\d+) missed; without a seal (\d+) missed", said):
        total += int(turned)
        book.figure(what, "%s turned, %s named, %s harmless" % (turned, named, harmless))
        book.at_most(what + ": missed with a seal", int(missed), 0)
        book.figure(what + ": missed without a seal", without)
    book.at_least("bits turned in all", total, int(FLIPS * 2.9))


def kills(book, programs, work, server):
    book.heading("3. Killed at every call that changes a file, and at random")
    _, said, ran, passed, _ = run_tests(programs.path("book_test"), "*CrashTest*", work)
    rows = re.findall(r"  (\w+)(, half of each write done)?: (\d+) calls, (\d+) kills, (\d+) acknowledged before the kill, "
                      r"(\d+) lost, (\d+) faults", said)
    for verb, half, calls, killed, acknowledged, lost, faults in rows:
        book.at_least("%s%s: kills, of %s calls" % (verb, half, calls), int(killed), int(calls) - 2)
        book.at_most("%s%s: lost or faulty (%s acknowledged)" % (verb, half, acknowledged), int(lost) + int(faults), 0)
    book.says("all verbs", ran == passed == len(rows) == 10, "%d of %d" % (passed, ran), "10")
    for engine in ("Sqlite", "Postgres"):
        if engine == "Postgres" and not server.address:
            book.skip("random kills on PostgreSQL", "PostgreSQL is not installed")
            continue
        _, said, _, _, _ = run_tests(programs.path("book_test"), "*KillTest*/" + engine, work,
                                     ["ROOTSCROLL_KILL_ROUNDS=%d" % KILLS])
        found = re.search(r"killed (\d+) times: (\d+) saves acknowledged, (\d+) lost, (\d+) revisions, (\d+) faults", said)
        book.at_least("%s: random kills of a writer" % engine, int(found[1]) if found else None, KILLS)
        book.at_most("%s: lost or faulty" % engine, int(found[3]) + int(found[5]) if found else None, 0)
    _, said, _, _, _ = run_tests(programs.path("book_test"), "*BatchTest.Killed*/Sqlite", work,
                                 ["ROOTSCROLL_BATCH_KILLS=%d" % BATCH_KILLS])
    found = re.search(r"batch killed (\d+) times: each of (\d+) recordings measured once, (\d+) faults", said)
    book.at_least("batch: random kills", int(found[1]) if found else None, BATCH_KILLS)
    book.at_most("batch: faults", int(found[3]) if found else None, 0)
    _, said, _, _, _ = run_tests(programs.path("book_test"), "*SequenceTest*", work, ["ROOTSCROLL_STEPS=%d" % STEPS])
    for steps, people, revisions, signoffs in re.findall(r"  (\d+) steps by (\d+) people: (\d+) revisions, (\d+) sign-offs, 0 faults", said):
        book.says("any verbs by any roles", True, "%s steps, %s roles" % (steps, people), "0 faults")
        book.figure("  of them", "%s revisions, %s sign-offs" % (revisions, signoffs))


def fuzz(book, programs):
    book.heading("4. Readers fed with what is broken (seeds and inputs made of them by chance, %g s each)" % FUZZ_SECONDS)
    seeds = os.path.join(tools.ROOT, "tests", "fuzz", "seeds")
    for reader in sorted(os.listdir(seeds)):
        code, said, _ = tools.run([programs.path("fuzz_replay"), seeds, reader, str(FUZZ_SECONDS)], 600)
        found = re.search(r"(\d+) inputs", said)
        book.says(reader, code == 0 and found, "%s inputs" % (found[1] if found else "none"), "no crash, no hang")


def memory_of(command):
    """Exit code, what was said, MiB at most (of this command alone: measured in a process of its own)."""
    script = ("import resource, subprocess, sys; d = subprocess.run(sys.argv[1:], stdout=subprocess.PIPE, "
              "stderr=subprocess.STDOUT, text=True, errors='replace'); print(d.returncode, "
              "resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024); print(d.stdout)")
    done = subprocess.run(["python3", "-c", script] + command, stdout=subprocess.PIPE, text=True, errors="replace")
    head, _, said = done.stdout.partition("\n")
    code, mib = head.split()
    return int(code), said.strip(), int(mib)


def limits(book, programs, work):
    book.heading("5. Limits: what is taken, what one byte above says")
    program, address = programs.path("rootscroll"), os.path.join(work, "limits.book")
    tools.run([program, "book", "new", address])
    _, _, base = memory_of([program, "book", "list", address])
    by = ["--author", "A. Example", "--reason", "limits"]

    def put(text_length):
        record = {"format": "rootscroll.record/1", "joint": "L-%d" % text_length, "line": "x" * text_length,
                  "cycles": [{"id": "R0"}]}
        file = os.path.join(work, "record.json")
        json.dump(record, open(file, "w"))
        return memory_of([program, "book", "put", address, file, "--on", "0"] + by)

    code, said, mib = put(4000)
    book.says("a text of 4000 bytes", code == 0, "taken, %d MiB (an empty list: %d)" % (mib, base), "taken")
    code, said, mib = put(4001)
    book.says("a text of 4001 bytes", code == 2 and "4001 bytes long" in said, "exit %d, %d MiB" % (code, mib), "exit 2")
    for mebibytes in (64, 65):
        bundle = os.path.join(work, "large.zip")
        history = b'{"revisions": [], "signoffs": [], "keys": {}, "x": "' + b" " * (mebibytes * (1 << 20)) + b'"}'
        with zipfile.ZipFile(bundle, "w", zipfile.ZIP_DEFLATED) as out:
            out.writestr("manifest.json", json.dumps({"format": "rootscroll.bundle/1", "joint": "x", "files": [
                {"name": "history.json", "sha256": "0" * 64, "bytes": len(history)}]}))
            out.writestr("history.json", history)
        code, said, mib = memory_of([program, "book", "import", address, bundle])
        book.says("a bundle of %.1f MB whose history unpacks to %d MiB" % (os.path.getsize(bundle) / 1e6, mebibytes),
                  code == 2 and "bytes; at most" in said, "exit %d" % code, "exit 2 before unpacking")
        book.at_most("  memory", mib, base + 64, "MiB")
    bundles(book, program, work, by)
    pictures(book, program, work, base)
    folder = os.path.join(work, "one")
    os.makedirs(folder)
    for name, width, height in (("1x1", 1, 1), ("20000x1", 20000, 1)):
        file = os.path.join(folder, "a.png")
        png(file, width, height)
        code, said, mib = memory_of([program, "scan", folder])
        book.says("scan of a picture of %s" % name, code == 2 and "OpenCV" not in said, "exit %d, %d MiB" % (code, mib),
                  "exit 2, our own words")
        print("    " + said.splitlines()[-1][:150])


def bundles(book, program, work, by):
    """One joint with a file of 64 MiB, exported and imported; then the same with one byte behind the end."""
    source, target = os.path.join(work, "from.book"), os.path.join(work, "to.book")
    file, record = os.path.join(work, "large.avi"), os.path.join(work, "record.json")
    with open(file, "wb") as out:
        for _ in range(64):
            out.write(os.urandom(1 << 20))
    for address in (source, target):
        tools.run([program, "book", "new", address])
    json.dump({"format": "rootscroll.record/1", "joint": "L-1", "cycles": [{"id": "R0"}]}, open(record, "w"))
    tools.run([program, "book", "put", source, record, "--on", "0"] + by)
    tools.run([program, "book", "sample", source, "L-1", file] + by)
    bundle = os.path.join(work, "file.zip")
    code, said, mib = memory_of([program, "book", "export", source, "L-1", "--out", bundle])
    size = os.path.getsize(bundle) if os.path.exists(bundle) else 0
    book.figure("a bundle of %.0f MB written" % (size / 1e6), "exit %d, %d MiB" % (code, mib))
    with open(bundle, "ab") as out:
        out.write(b"x")
    code, said, mib = memory_of([program, "book", "import", target, bundle])
    book.says("  with one byte behind its end", size > 64 << 20 and code == 2, "exit %d, %d MiB" % (code, mib), "exit 2")
    with open(bundle, "r+b") as out:
        out.truncate(size)
    code, said, mib = memory_of([program, "book", "import", target, bundle])
    book.says("  as it was written", code == 0, "taken, exit %d, %d MiB" % (code, mib), "taken")


def pictures(book, program, work, base):
    """The largest picture, and one row more; a byte above is in decode_test, a video's frame in recording_test."""
    for height in (10000, 10001):
        folder = os.path.join(work, "picture_%d" % height)
        os.makedirs(folder)
        png(os.path.join(folder, "a.png"), 20000, height)
        code, said, mib = memory_of([program, "scan", folder])
        if height == 10000:
            book.figure("scan of a picture of 20000 x 10000", "exit %d, %d MiB" % (code, mib))
            book.at_most("  memory", mib, 2048, "MiB")
        else:
            book.says("scan of a picture of 20000 x 10001", code == 2, "exit %d" % code, "exit 2")
            book.at_most("  memory", mib, base + 200, "MiB")


def png(path, width, height):
    import struct
    import zlib

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    rows = b"".join(b"\0" + b"\x60" * (3 * width) for _ in range(height))
    with open(path, "wb") as out:
        out.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)) +
                  chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))


def prove():
    names = ["rootscroll", "book_test", "book_step", "book_writer", "book_worker", "crash_at", "recording_test", "scan_test",
             "fuzz_replay"]
    with tempfile.TemporaryDirectory(prefix="prove-") as work, Server() as server:
        programs = tools.Programs([n for n in names if n != "crash_at"], os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book = tools.Ledger()
        cases(book, programs, work)
        flips(book, programs, work)
        kills(book, programs, work, server)
        fuzz(book, programs)
        limits(book, programs, work)
    return book.close()
