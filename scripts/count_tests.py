"""count_tests.py NAME TESTS.xml: one line with the counts of ctest's JUnit file; exit 1 when no test passed."""
import sys
import xml.etree.ElementTree

name, path = sys.argv[1:]
try:
    suite = xml.etree.ElementTree.parse(path).getroot()
except (OSError, xml.etree.ElementTree.ParseError):
    sys.exit("%s: 0 passed, no result of the tests at %s" % (name, path))
states = [case.get("status") for case in suite.iter("testcase")]
passed, failed = states.count("run"), states.count("fail")
print("%s: %d passed, %d failed, %d skipped" % (name, passed, failed, len(states) - passed - failed))
sys.exit(0 if passed else 1)
