"""The examples of the guide's pages on Python, run in order from the project's folder, print what they show."""

import doctest
import os
import re
import sys

from shared import root

os.chdir(root)
failed = 0
for name, least in (("python", 10), ("python-drawings", 10)):
    page = root / "examples" / "guide" / f"{name}.md"
    text = "\n".join(re.findall(r"```python\n(>>>.*?)```", page.read_text(encoding="utf-8"), re.S))
    test = doctest.DocTestParser().get_doctest(text, {}, page.name, str(page), 0)
    results = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test)
    print(f"{page.name}: {results.attempted} examples, {results.failed} failed")
    failed += results.failed > 0 or results.attempted < least
sys.exit(failed)
