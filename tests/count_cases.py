"""Prints how many cases of a JUnit file passed and how many failed, as two numbers. Cases that were skipped count as neither."""
import sys
import xml.etree.ElementTree as ET

passed = failed = 0
for case in ET.parse(sys.argv[1]).getroot().iter("testcase"):
    outcomes = {child.tag for child in case}
    if outcomes & {"failure", "error"} or case.get("status") == "fail":
        failed += 1
    elif "skipped" not in outcomes and case.get("status") not in ("disabled", "notrun") and case.get("result") != "skipped":
        passed += 1
print(passed, failed)
