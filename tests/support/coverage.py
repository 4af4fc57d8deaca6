"""Prints, from llvm-cov's export and annotated lines: lines covered per folder, and throws that no test reaches."""
import json
import re
import sys

folders, files = {}, json.load(open(sys.argv[1]))["data"][0]["files"]
for file in files:
    found = re.search(r"/(?:src|include/tymbal)/(\w+)/", file["filename"])
    if found:
        lines, count = file["summary"]["lines"], folders.setdefault(found.group(1), [0, 0])
        count[0] += lines["covered"]
        count[1] += lines["count"]
for name, (covered, count) in sorted(folders.items()):
    print(f"{name:15s} {100.0 * covered / count:5.1f} %  of {count} lines")

name = ""
for line in open(sys.argv[2], errors="replace"):
    if line.startswith("/") and line.rstrip().endswith(":"):
        name = re.sub(r".*/(src|include/tymbal)/", "", line.strip().rstrip(":")) if "/tests/" not in line else ""
    missed = re.match(r"\s*(\d+)\|\s*0\|(.*)", line)
    if name and missed and re.search(r"throw |refuse\(|NoAnswer\(", missed.group(2)):
        print(f"no test: {name}:{missed.group(1)}: {missed.group(2).strip()[:100]}")
