"""The joint book on SQLite and PostgreSQL: the same tests on both, what a killed writer leaves, what a changed byte shows,
times with many joints, exchange files looked at by other programs, the record on paper."""
import json
import os
import re
import shutil
import signal
import sqlite3
import subprocess
import tempfile
import time

import ledger as tools
from book_server import Server

KILL_ROUNDS = int(os.environ.get("PROVE_KILL_ROUNDS", "200"))
JOINTS = int(os.environ.get("PROVE_JOINTS", "10000"))
SIGNER = ["--name", "C. Examiner", "--role", "examiner, level 2", "--qualification", "VT level 2, certificate 77 (invented)",
          "--qualification-expires", "2999-12-31", "--vision-test", time.strftime("%Y-%m-%d", time.gmtime(time.time() - 180 * 86400)), "--procedure", "VT-PR-3 (invented)",
          "--light", "1100 lx at the root", "--resolution", "0.8 mm line resolved", "--statement",
          "I examined this root and found what the record says."]
BY = ["--author", "A. Example", "--reason", "proof"]


class Cli:
    """The command, and the last thing it said."""

    def __init__(self, program):
        self.program, self.said = program, ""

    def __call__(self, *words):
        code, self.said, _ = tools.run([self.program] + list(words), 3600)
        return code


def tests(book, programs, work, server):
    book.heading("1. The same tests on both")
    out = os.path.join(work, "tests.json")
    tools.run([programs.path("book_test"), "--gtest_output=json:" + out, "--gtest_filter=-*KillTest*"], 3600)
    cases = [(c["name"], bool(c.get("failures")), c.get("result")) for suite in json.load(open(out))["testsuites"]
             for c in suite["testsuite"]]
    names = {}
    for engine in ("Sqlite", "Postgres"):
        mine = [c for c in cases if c[0].endswith("/" + engine)]
        ran = [c for c in mine if c[2] == "COMPLETED" and not c[1]]
        names[engine] = {c[0].split("/")[0] for c in mine}
        if engine == "Postgres" and not server.address:
            book.skip("tests on PostgreSQL", "PostgreSQL is not installed")
            continue
        book.says("tests passed on " + engine, len(ran) == len(mine) and mine, "%d of %d" % (len(ran), len(mine)), "all")
    only = sorted(names["Postgres"] - names["Sqlite"])
    book.figure("tests of one engine alone", "%s; %s" % (", ".join(sorted(names["Sqlite"] - names["Postgres"])) or "none",
                                                         "%d of roles" % len(only)))
    book.says("tests of neither engine passed", not [c for c in cases if "/" not in c[0] and c[1]], "all", "all")


def many_joints(book, programs, work, addresses):
    book.heading("2. %d joints of 3 revisions" % JOINTS)
    for engine, address in addresses("many"):
        code, said, _ = tools.run([programs.path("book_load"), address, os.path.join(work, "many_evidence_" + engine),
                                   str(JOINTS)], 7200)
        if code:
            book.says("%s filled" % engine, False, said.strip()[-120:], "filled")
            continue
        figures = json.loads(said.strip().splitlines()[-1])
        book.says("%s: joints listed" % engine, figures["listed"] == JOINTS, str(figures["listed"]), str(JOINTS))
        for key, name in (("open_ms", "open, integrity looked at"), ("list_ms", "list all joints"),
                          ("find_ms", "find by welder and date"), ("open_findings_ms", "find open findings"),
                          ("load_ms", "load one record"), ("trend_ms", "first-pass share by welder"),
                          ("save_ms", "save one revision, on the disk")):
            book.figure("%s: %s" % (engine, name), "%.2f ms" % figures[key])
        book.figure("%s: %s" % (engine, "files of the book" if engine == "SQLite" else "database"),
                    "%.1f MB" % (size_of(engine, address) / 1e6))


def size_of(engine, address):
    if engine == "SQLite":
        return sum(os.path.getsize(address + end) for end in ("", "-wal", "-shm") if os.path.exists(address + end))
    return int(Server.sql(address, "SELECT pg_database_size(current_database())"))


def kills(book, programs, server):
    book.heading("3. The writer killed %d times during saves" % KILL_ROUNDS)
    for engine in ("Sqlite", "Postgres"):
        if engine == "Postgres" and not server.address:
            book.skip("kill -9 on PostgreSQL", "PostgreSQL is not installed")
            continue
        code, said, _ = tools.run(["env", "ROOTSCROLL_KILL_ROUNDS=%d" % KILL_ROUNDS, programs.path("book_test"),
                                   "--gtest_filter=*KillTest*/" + engine], 7200)
        found = re.search(r"killed (\d+) times: (\d+) saves acknowledged, (\d+) lost, (\d+) revisions, (\d+) faults", said)
        if not found:
            book.says("%s: kill -9" % engine, False, "exit %d" % code, "counted")
            continue
        book.at_least("%s: times killed" % engine, int(found[1]), KILL_ROUNDS)
        book.figure("%s: saves acknowledged, revisions found" % engine, "%s, %s" % (found[2], found[4]))
        book.at_most("%s: acknowledged and lost" % engine, int(found[3]), 0)
        book.at_most("%s: faults that verify finds afterwards" % engine, int(found[5]), 0)


def demo_joint(folder, name, frames=1):
    """A copy of the demo under another id, with this many of its stills."""
    demo = os.path.join(tools.ROOT, "fixtures", "demo")
    os.makedirs(folder, exist_ok=True)
    joint = json.load(open(os.path.join(demo, "joint.json")))
    joint["joint"]["id"] = name
    joint["recordings"] = joint["recordings"][:1]
    del joint["recordings"][0]["frames"][frames:]
    for frame in joint["recordings"][0]["frames"]:
        shutil.copy2(os.path.join(demo, frame["file"]), folder)
    path = os.path.join(folder, name + ".json")
    json.dump(joint, open(path, "w"))
    return path


def conflict(book, cli, work, address, engine):
    cli("book", "add", address, demo_joint(os.path.join(work, "c"), "C-1"), "--recording", "root", "--welder", "W-12", *BY)
    cli("book", "show", address, "C-1")
    edit, record = os.path.join(work, "edit.json"), cli.said
    for welder, who in (("W-13", "B. First"), ("W-14", "C. Second")):
        with open(edit, "w") as file:
            file.write(record.replace("W-12", welder))
        code = cli("book", "put", address, edit, "--on", "1", "--author", who, "--reason", "read the stamp again")
    book.says("%s: the second writer is refused and shown both versions" % engine,
              code == 2 and '"W-12" -> "W-13"' in cli.said and '"W-12" -> "W-14"' in cli.said, "exit %d" % code, "exit 2")
    print("    " + cli.said.strip().replace("\n", "\n    "))


def workers(book, cli, work, address, engine):
    """Real measuring by four processes; one is killed while at work."""
    count = 8
    for n in range(count):
        cli("book", "add", address, demo_joint(os.path.join(work, "w"), "W-%d" % n), "--recording", "root", *BY)
    batch = subprocess.Popen([cli.program, "batch", address, "--workers", "4"], stdout=subprocess.PIPE, text=True)
    killed = None
    while batch.poll() is None and killed is None:
        time.sleep(0.3)
        children = open("/proc/%d/task/%d/children" % (batch.pid, batch.pid)).read().split()
        if len(children) == 4 and queue_has_claim(cli, address):
            killed = int(children[0])
            os.kill(killed, signal.SIGKILL)
    said = batch.communicate()[0]
    readings = []
    for n in range(count):
        cli("book", "show", address, "W-%d" % n)
        readings.append(len(json.loads(cli.said)["cycles"][0].get("readings", [])))
    book.says("%s: four workers, one killed: recordings measured exactly once" % engine,
              killed is not None and readings == [1] * count and "claim given back" in said,
              "%d of %d" % (readings.count(1), count), "all")
    print("    " + "\n    ".join(line for line in said.splitlines() if "died" in line or "measured" in line))


def queue_has_claim(cli, address):
    query = "SELECT count(*) FROM recording WHERE state = 'claimed'"
    if address.startswith("postgresql"):
        return int(Server.sql(address, query.replace("recording", "rootscroll.recording"))) == 4
    return sqlite3.connect("file:%s?mode=ro" % address, uri=True).execute(query).fetchone()[0] == 4


def conflict_and_workers(book, cli, work, addresses):
    book.heading("4. Two writers, four workers")
    for engine, address in addresses("work"):
        cli("book", "new", address, "--evidence", os.path.join(work, "work_evidence_" + engine))
        conflict(book, cli, work, address, engine)
        workers(book, cli, work, address, engine)


def full_record(cli, work, address, evidence):
    """The demo measured, purged, closed out and signed."""
    cli("book", "new", address, "--evidence", evidence)
    film = os.path.join(tools.ROOT, "fixtures", "pictures", "report_page_2.png")
    cli("book", "add", address, demo_joint(os.path.join(work, "full"), "F-1", 2), "--recording", "root", "--welder", "W-12",
        "--welded-on", "2026-03-01", "--recorder-clock", "2026-03-01T07:12:00", "--time-zone", "set to UTC+1", *BY)
    cli("batch", address)
    cli("book", "purge", address, "F-1", "--time", "07:00", "--oxygen-ppm", "35", "--gas", "argon", "--dew-point-c", "-52", *BY)
    cli("book", "film", address, "F-1", film, *BY)
    cli("book", "foreign-material", address, "F-1", "--after", "purge", "--by", "A. Example", "--when", "2026-03-01", "--found",
        "dam taken out, nothing left inside", *BY)
    key = os.path.join(work, "key_%d.pem" % len(os.listdir(work)))
    cli("book", "key", key)
    public = re.search("Public key: (\\w+)", cli.said)[1]
    cli("book", "trust", address, "--name", "C. Examiner", "--key", public, "--author", "owner")
    cli("book", "sign", address, "F-1", "--revision", "5", "--key", key, *SIGNER)
    return cli("--json", "book", "verify", address) == 0


def alter(engine, address, sql):
    """As somebody with full power over the database: rules first taken away."""
    tables = ("revision", "signoff")
    if engine == "SQLite":
        base = sqlite3.connect(address)
        for table in tables:
            base.execute("DROP TRIGGER IF EXISTS %s_kept" % table)
        base.execute(sql)
        base.commit()
        base.close()
        return
    drop = "".join("DROP TRIGGER IF EXISTS %s_kept ON %s;" % (t, t) for t in tables)
    Server.sql(address, "SET search_path TO rootscroll; " + drop + sql)


def flip(path):
    os.chmod(path, 0o644)
    with open(path, "r+b") as file:
        file.seek(100)
        byte = file.read(1)
        file.seek(100)
        file.write(bytes([byte[0] ^ 1]))


def flipped_bytes(book, cli, work, addresses):
    book.heading("5. One byte flipped, each named by verify")
    for engine, address in addresses("flip"):
        evidence = os.path.join(work, "flip_evidence_" + engine)
        book.says("%s: verify is clean before" % engine, full_record(cli, work, address, evidence), "clean", "clean")
        cli("book", "show", address, "F-1")
        cycle = json.loads(cli.said)["cycles"][0]
        original, derived = cycle["recordings"][0]["files"][0], cycle["readings"][0]["pictures"][0]
        steps = [("original", lambda: flip(os.path.join(evidence, original["sha256"][:2], original["sha256"]))),
                 ("derived", lambda: flip(os.path.join(evidence, derived["sha256"][:2], derived["sha256"]))),
                 ("revision", lambda: alter(engine, address, "UPDATE revision SET body = replace(body, 'argon', 'argun') "
                                                             "WHERE number = 5")),
                 ("signature", lambda: alter(engine, address, "UPDATE signoff SET signature = CASE WHEN substr(signature, "
                                             "1, 1) = '0' THEN '1' ELSE '0' END || substr(signature, 2)"))]
        for what, change in steps:
            change()
            code = cli("--json", "book", "verify", address)
            faults = [f for f in json.loads(cli.said)["faults"] if f["what"] == what]
            book.says("%s: %s of which one byte changed is named" % (engine, what), code == 1 and faults,
                      "named" if faults else "not named", "named")
            print("    " + (faults[0]["text"] if faults else cli.said[:300]))


def exchange(book, cli, work):
    book.heading("6. Exchange")
    address = os.path.join(work, "exchange.book")
    full_record(cli, work, address, os.path.join(work, "exchange_evidence"))
    folder = os.path.join(work, "dicom")
    code = cli("book", "diconde", address, "F-1", "--out", folder)
    files = sorted(os.listdir(folder)) if code == 0 else []
    book.at_least("DICOM files written", len(files), 3)
    if shutil.which("dciodvfy") and shutil.which("dcmdump"):
        for name in files:
            _, said, _ = tools.run(["dciodvfy", os.path.join(folder, name)])
            errors = [line for line in said.splitlines() if line.startswith("Error")]
            book.at_most("dciodvfy errors, " + name, len(errors), 0)
            code, said, _ = tools.run(["dcmdump", os.path.join(folder, name)])
            book.says("dcmdump reads " + name, code == 0, "exit %d" % code, "exit 0")
    else:
        book.skip("dciodvfy, dcmdump", "dicom3tools and dcmtk are not installed")
    one, two, other = (os.path.join(work, n) for n in ("one.zip", "two.zip", "other.book"))
    cli("book", "export", address, "F-1", "--out", one)
    cli("book", "new", other)
    code = cli("book", "import", other, one, "--trust-keys")
    cli("book", "export", other, "F-1", "--out", two)
    same = os.path.exists(one) and os.path.exists(two) and open(one, "rb").read() == open(two, "rb").read()
    book.says("bundle taken into an empty book and out again is the same bytes", code == 0 and same,
              "same" if same else "differs", "same")
    book.says("the other book verifies", cli("book", "verify", other) == 0, "clean", "clean")
    return address


def paper(book, cli, work, address):
    book.heading("7. The record on paper")
    keep = os.path.join(tools.ROOT, "build", "proof_book")
    shutil.rmtree(keep, ignore_errors=True)
    code = cli("book", "report", address, "F-1", "--out", keep)
    pdf = os.path.join(keep, "report.pdf")
    book.says("report of the signed revision", code in (0, 1, 3) and os.path.exists(pdf), "exit %d" % code, "written")
    if not os.path.exists(pdf):
        return print(cli.said)
    _, said, _ = tools.run(["pdffonts", pdf])
    fonts = [line.split() for line in said.splitlines()[2:]]
    book.says("fonts embedded (pdffonts)", fonts and all(f[-5] == "yes" for f in fonts), "%d of %d" % (
        sum(f[-5] == "yes" for f in fonts), len(fonts)), "all")
    pages = int(re.search(r"Pages:\s+(\d+)", tools.run(["pdfinfo", pdf])[1])[1])
    text = " ".join(tools.run(["pdftotext", "-layout", pdf, "-"])[1].split())
    book.says("pages that name joint and revision", text.count("Joint F-1, R0, revision 5") == pages,
              "%d of %d" % (text.count("Joint F-1, R0, revision 5"), pages), "all")
    tools.run(["pdftoppm", "-r", "72", "-png", pdf, os.path.join(keep, "page")])
    print("    pages as pictures, to be looked at: %s" % keep)


def trends(book, cli, work, address):
    book.heading("Trends, drawn")
    out = os.path.join(work, "trends")
    code = cli("book", "trends", address, "--out", out)
    names = sorted(os.listdir(out)) if os.path.isdir(out) else []
    book.says("pages and pictures of the trends", code == 0 and {"trends.pdf", "trends.html", "trend_clock.png",
                                                                 "trend_welders.png"} <= set(names), " ".join(names),
              "page and a picture each")
    cli("book", "trends", address, "--of", "welders")
    book.says("interval beside each share", "low_95,high_95" in cli.said, cli.said.splitlines()[-1], "said")


def reader(book, programs, server):
    book.heading("8. What logins without the right tried and were refused")
    if not server.address:
        return book.skip("roles", "PostgreSQL is not installed")
    code, said, _ = tools.run([programs.path("book_test"), "--gtest_filter=*RolesTest*"])
    tried = re.findall(r"  (test_\w+) tried: (.*)\n    (.*)", said)
    refused = [t for t in tried if t[2].startswith("Refused")]
    book.says("refused of tried", tried and code == 0 and len(refused) == len(tried), "%d of %d" % (len(refused), len(tried)),
              "all")
    for login, sql, answer in tried:
        print("    %s: %s\n      %s" % (login, sql[:110], re.sub(r".*\(the server says: ", "", answer)[:110]))


def prove():
    names = ["rootscroll", "book_test", "book_load", "book_writer", "book_worker"]
    with tempfile.TemporaryDirectory(prefix="prove-") as work, Server() as server:
        programs = tools.Programs(names, os.path.join(work, "bin"))
        if programs.trouble:
            print(programs.trouble)
            return 1
        book, cli = tools.Ledger(), Cli(programs.path("rootscroll"))

        def addresses(stem):
            yield "SQLite", os.path.join(work, stem + ".book")
            if server.address:
                yield "PostgreSQL", server.database()
            else:
                book.skip(stem + " on PostgreSQL", "PostgreSQL is not installed")

        tests(book, programs, work, server)
        many_joints(book, programs, work, addresses)
        kills(book, programs, server)
        conflict_and_workers(book, cli, work, addresses)
        flipped_bytes(book, cli, work, addresses)
        address = exchange(book, cli, work)
        paper(book, cli, work, address)
        trends(book, cli, work, address)
        reader(book, programs, server)
    return book.close()
