"""The house: one language for what is measured. Counts that a script can make, and one path for command, batch, window."""
import json
import os
import re
import sys

import ledger as tools

COMMENT = re.compile(r"\s*//")
CONTROL = re.compile(r"^\s*(?:if|for|while|switch|do|else|try|catch|namespace|struct|class|enum|union|extern|return|case)\b")


def sources(*folders, endings=(".cpp", ".h")):
    """{path: lines} of the files of these folders."""
    found = {}
    for folder in folders:
        for here, _, names in os.walk(os.path.join(tools.ROOT, folder)):
            for name in names:
                if name.endswith(endings):
                    path = os.path.join(here, name)
                    with open(path, encoding="utf-8") as file:
                        found[os.path.relpath(path, tools.ROOT)] = file.read().split("\n")
    return found


def code_lines(files):
    """Lines that hold more than a comment."""
    return sum(bool(line.strip()) and not COMMENT.match(line) for lines in files.values() for line in lines)


def bodies(files):
    """[(lines, place)] of function bodies: an opening line at the depth of a namespace or class, closed by a brace
    that stands as far in (the sources are set by clang-format)."""
    found = []
    for path, lines in files.items():
        i = 0
        while i < len(lines):
            line = lines[i]
            indent = len(line) - len(line.lstrip())
            opens = line.rstrip().endswith("{") and ")" in line and indent <= 8 and not CONTROL.match(line)
            head = i
            while opens and head > 0 and len(lines[head]) - len(lines[head].lstrip()) > 2:
                head -= 1  # the head of a function whose parameters run over lines
            indent = len(lines[head]) - len(lines[head].lstrip())
            if not opens or indent not in (0, 2) or CONTROL.match(lines[head]):
                i += 1
                continue
            end = i + 1
            while end < len(lines) and not lines[end].startswith(" " * indent + "}"):
                end += 1
            found.append((end - i - 1, "%s:%d" % (path, head + 1)))
            i = end + 1
    return found


def matches(files, pattern):
    """Places whose code (no comment) matches."""
    found = []
    for path, lines in files.items():
        for number, line in enumerate(lines, 1):
            if not COMMENT.match(line) and re.search(pattern, line.split("  //")[0]):
                found.append("%s:%d" % (path, number))
    return found


def twice(files, length=6):
    """Lines of code that stand in a stretch of `length` lines or more which stands elsewhere too."""
    at, kept = {}, set()
    for path, lines in files.items():
        own = [(i, line.strip()) for i, line in enumerate(lines)
               if len(line.strip()) > 3 and not COMMENT.match(line) and not line.startswith("#include")]
        for k in range(len(own) - length + 1):
            at.setdefault("\n".join(text for _, text in own[k:k + length]), []).append([(path, i) for i, _ in own[k:k + length]])
    for places in at.values():
        if len(places) > 1:
            for place in places:
                kept.update(place)
    return len(kept)


def none(book, name, places, floor=0):
    book.at_most(name, len(places), floor)
    for place in places[:8]:
        print("            " + place)


def numbers(book):
    book.heading("Numbers that change a result")
    code, said, _ = tools.run([os.path.join(tools.ROOT, "scripts", "constants"), "--json"])
    told = json.loads(said) if code == 0 else None
    if not told:
        return book.says("scripts/constants ran", False, said[-200:], "exit 0")
    book.at_most("constants in files of vision that may change a result", told["constants_left"], 100)
    book.figure("all constants in files of vision", str(told["constants"]))
    book.figure("numbers in Options structs", str(told["numbers"]))
    book.at_most("of them without a unit", len(told["without_unit"]), 0)
    book.at_most("of them without a range", len(told["without_range"]), 0)
    book.at_most("of them without a word on their source", len(told["without_source"]), 0)
    book.figure("of them chosen, no source known", str(told["chosen"]))


def language(book, vision, app):
    book.heading("One language")
    both = {**vision, **app}
    none(book, "compares of messages",
         matches(both, r"(?:message|why|reason)\w*\s*(?:\.|->)(?:starts_with|ends_with|find|compare)\(|"
                       r"(?:message|why|reason)\w* [!=]= \"|starts_with\(\"[a-z]+ [a-z]+ "))
    none(book, "places that un-write in vision/reading",
         matches({p: l for p, l in vision.items() if p.startswith("vision/reading")}, r"\b(?:TakeBack|Withdraw|DropLuck|DropShort|HoldTo|HideToes)\w*\(|erase_if\((?:measured\.)?reading\."))
    none(book, "places beside vision/bore that say how many station lines there are",
         [p for p in matches(vision, r"\bk\w+ = 720\b|\(720\)|columns = 720\b")
          if not p.startswith(("vision/bore", "vision/pose"))])  # pose: columns of a polar picture
    none(book, "places in which z is set to zero anew", matches(vision, r"z_from_mm [-+]= |z_mm -= at_z_mm_|translation_mm\.z\(\) [-+]= (?!off;|setting)"), 1)
    none(book, "harmonic bases beside vision/statistics",
         [p for p in matches(vision, r"cos\((?:k|2) \* t|sin\((?:k|2) \* t") if not p.startswith("vision/statistics")])
    book.figure("lines that stand twice (6 in a row or more), vision and app", str(twice(both)))


def size(book, vision, app):
    book.heading("Size")
    both, tests = {**vision, **app}, sources("tests")
    product, test = code_lines(both), code_lines(tests)
    book.figure("lines of code, vision", str(code_lines(vision)))
    book.figure("lines of code, app", str(code_lines(app)))
    book.at_least("test lines to product lines", round(test / product, 3), 0.6)
    lengths = sorted(bodies(both))
    book.figure("function bodies", str(len(lengths)))
    book.at_most("90 in 100 bodies have at most so many lines", lengths[int(0.9 * (len(lengths) - 1))][0], 20)
    longest = [(n, place) for n, place in lengths if n > 60]
    none(book, "bodies of more than 60 lines", ["%s, %d" % (place, n) for n, place in reversed(longest)])
    none(book, "files of more than 400 lines", ["%s, %d" % (p, len(l)) for p, l in both.items() if len(l) > 401])


def one_path(book):
    book.heading("One path")
    program = os.path.join(tools.RELEASE, "tests", "measure", "measure_joint_test")
    if not os.path.exists(program):
        return book.skip("the same joint by command, batch and window", "measure_joint_test is not built")
    code, said, _ = tools.run([program, "--gtest_filter=OnePath.CommandBatchAndWindow*"], 3600)
    passed = re.search(r"\[  PASSED  \] (\d+) test", said)
    book.says("the same joint by command, batch and window: the same bytes", code == 0 and passed and int(passed[1]) > 0,
              (passed[1] + " tests passed") if passed else said[-200:], "all pass, one or more")


def prove():
    book = tools.Ledger()
    vision, app = sources("vision"), sources("app")
    numbers(book)
    language(book, vision, app)
    size(book, vision, app)
    one_path(book)
    return book.close()


if __name__ == "__main__":
    sys.exit(prove())
