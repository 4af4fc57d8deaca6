"""The examples of examples/guide/python.md, run in order from the project's folder, print what they show."""

import doctest
import os
import re
import sys

from shared import root

page = root / "examples" / "guide" / "python.md"
os.chdir(root)
text = "\n".join(re.findall(r"```python\n(>>>.*?)```", page.read_text(encoding="utf-8"), re.S))
test = doctest.DocTestParser().get_doctest(text, {}, "python.md", str(page), 0)
results = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test)
print(f"{results.attempted} examples, {results.failed} failed")
sys.exit(results.failed > 0 or results.attempted < 10)
