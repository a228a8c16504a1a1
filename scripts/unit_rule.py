#!/usr/bin/env python3
"""Files that are compiled as one unit must not hide names from each other.

An entry with spaces in SOURCES of a CMakeLists.txt is one unit. A name in an unnamed namespace of one of its files is seen by
the files after it: if one of them defines or uses the same name, the compiler may take the wrong one without a word.
Exit 1 and a line for each such name.
"""
import glob
import os
import re
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
UNNAMED = re.compile(r"^namespace \{\n(.*?)^\}  // namespace$", re.S | re.M)
TYPE = re.compile(r"(?:template.*> )?(?:struct|class|enum class|enum) (\w+)")
VALUE = re.compile(r"(?:template.*> )?[A-Za-z_][\w:<>,\s*&\[\]]*?[\s*&](\w+)\s*[(={;\[]")
ALIAS = re.compile(r"(?:using|namespace) (\w+) = ([^;]*);")


def bare(text):
    """Without comments, texts, and names that are members or qualified."""
    text = re.sub(r'//[^\n]*|"(?:\\.|[^"\\\n])*"', "", text)
    return re.sub(r"(?:\.|->|::)\s*[A-Za-z_]\w*", "", text)


def hidden(text):
    """Names at the outermost level of the unnamed namespaces; an alias with what it stands for."""
    names = {}
    for block in UNNAMED.findall(text):
        for line in block.split("\n"):
            alias = ALIAS.match(line)
            if alias:
                names[alias[1]] = alias[2]
                continue
            found = TYPE.match(line) or VALUE.match(line)
            if found:
                names[found[1]] = None
    for name in re.findall(r"^#define (\w+)", text, re.M):
        names[name] = None
    return names


def units():
    for path in sorted(glob.glob(ROOT + "/**/CMakeLists.txt", recursive=True)):
        if os.sep + "build" + os.sep in path:
            continue
        with open(path, encoding="utf-8") as file:
            text = re.sub(r"#[^\n]*", "", file.read())
            for entry in re.findall(r'"((?:pch\.h\s+)?\w+\.cpp(?:\s+\w+\.cpp)+)"', text):
                yield [os.path.join(os.path.dirname(path), name) for name in entry.split() if name.endswith(".cpp")]


def told(one, other, texts, names):
    """Sentences on names that `one` hides and `other` means otherwise."""
    for name, stands_for in names[one].items():
        if not (name[0].isupper() or re.match(r"k[A-Z]", name)):
            continue  # aliases of namespaces, small helpers: the compiler tells
        if stands_for is not None and names[other].get(name) == stands_for:
            continue
        if re.search(r"\b%s\b" % name, bare(texts[other])):
            yield "%s hides `%s`, which %s says too: not in one unit" % (
                os.path.relpath(one, ROOT), name, os.path.basename(other))


def main():
    faults, count = [], 0
    for unit in units():
        count += 1
        texts = {}
        for path in unit:
            with open(path, encoding="utf-8") as file:
                texts[path] = file.read()
        names = {path: hidden(text) for path, text in texts.items()}
        for one in unit:
            for other in unit:
                if one != other:
                    faults += told(one, other, texts, names)
    for fault in sorted(set(faults)):
        print("unit_rule: " + fault)
    if not count:
        print("unit_rule: no unit of several files was found")
    return 1 if faults or not count else 0


if __name__ == "__main__":
    sys.exit(main())
