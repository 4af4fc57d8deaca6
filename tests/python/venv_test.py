"""A fresh venv takes the module by pip, and it predicts there as in the build tree, with a material table of its own. Where nothing
was built before, pip sets the build up as the guide does: for Ninja, the one build tool that the packages of the guide bring."""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

from shared import examples, quick_words, root, told

code = """
import sys, warnings; warnings.simplefilter("ignore")
import tymbal, tymbal._materials
assert tymbal.__file__.startswith(sys.prefix), tymbal.__file__
assert tymbal._materials._folder("").startswith(sys.prefix), tymbal._materials._folder("")
sys.stdout.write(tymbal.predict(sys.argv[1], modes=2, accuracy=1e-2).json)
"""

with tempfile.TemporaryDirectory() as folder:
    python = pathlib.Path(folder) / "venv" / "bin" / "python"
    clean = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    subprocess.run(["/usr/bin/python3", "-m", "venv", "--system-site-packages", python.parents[1]], check=True)
    subprocess.run([python, "-m", "pip", "install", "--quiet", "--no-build-isolation", "--no-deps", root / "src" / "python"],
                   check=True, env=clean)
    design = examples.relative_to(root) / "perforated-square.toml"
    done = subprocess.run([python, "-c", code, design], cwd=root, env=clean, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout == told("predict", design, *quick_words)
    subprocess.run([python, "-m", "pip", "uninstall", "--quiet", "--yes", "tymbal"], check=True, env=clean)
    gone = subprocess.run([python, "-c", "import tymbal"], env=clean, cwd=folder, capture_output=True, check=False)
    assert gone.returncode != 0, "something is left behind"

    only_set_up = pathlib.Path(folder) / "bin" / "cmake"  # compiles nothing
    only_set_up.parent.mkdir()
    only_set_up.write_text(f'#!/bin/sh\n[ "$1" != --build ] || exit 1\nexec {shutil.which("cmake")} "$@"\n', encoding="utf-8")
    only_set_up.chmod(0o755)
    fresh = pathlib.Path(folder) / "build"
    subprocess.run([python, "-m", "pip", "install", "--quiet", "--no-build-isolation", "--no-deps", root / "src" / "python"],
                   check=False, capture_output=True,
                   env={**clean, "TYMBAL_BUILD": str(fresh), "PATH": f"{only_set_up.parent}:{clean['PATH']}"})
    settings = (fresh / "CMakeCache.txt").read_text(encoding="utf-8")
    for setting in ("CMAKE_GENERATOR:INTERNAL=Ninja", "TYMBAL_PYTHON:BOOL=ON", "TYMBAL_TESTS:BOOL=OFF"):
        assert setting in settings, setting
print("installed, predicted, removed")
sys.exit(0)
