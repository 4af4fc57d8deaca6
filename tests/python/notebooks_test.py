"""The notebooks of examples/notebooks hold no outputs, and run from clean, each within a minute."""

import os
import sys
import tempfile
import time

import nbformat
from nbclient import NotebookClient

from shared import examples

most_seconds = 60.0
notebooks = sorted((examples / "notebooks").glob("*.ipynb"))
faults = [] if len(notebooks) >= 4 else ["fewer than four notebooks"]
for path in notebooks:
    notebook = nbformat.read(path, as_version=4)
    nbformat.validate(notebook)
    if any(cell.get("outputs") or cell.get("execution_count") for cell in notebook.cells):
        faults.append(f"{path.name}: is stored with outputs")
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as home:
        os.environ.pop("MPLBACKEND", None)  # pictures go into the notebook
        os.environ["IPYTHONDIR"] = os.environ["JUPYTER_RUNTIME_DIR"] = home
        NotebookClient(notebook, timeout=600, kernel_name="python3", resources={"metadata": {"path": str(path.parent)}}).execute()
    seconds = time.monotonic() - start
    pictures = sum("image/png" in output.get("data", {}) for cell in notebook.cells for output in cell.get("outputs", []))
    print(f"{path.name}: {seconds:.0f} s, {pictures} pictures")
    if pictures == 0:
        faults.append(f"{path.name}: shows no picture")
    if seconds > most_seconds:
        faults.append(f"{path.name}: took {seconds:.0f} s, more than a minute")
print(*faults, sep="\n")
sys.exit(bool(faults))
