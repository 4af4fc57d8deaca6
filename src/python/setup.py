"""Builds the module by the project's CMake, in build/ of the checkout or in the build folder that TYMBAL_BUILD names.

    pip install --no-build-isolation --no-deps ./src/python
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys

from setuptools import Extension, setup
from setuptools.command.build_ext import build_ext

here = pathlib.Path(__file__).resolve().parent
root = here.parents[1]
build = pathlib.Path(os.environ.get("TYMBAL_BUILD") or root / "build").resolve()
version = re.search(r"project\(tymbal VERSION ([\d.]+)", (root / "CMakeLists.txt").read_text(encoding="utf-8"))


class ByCMake(build_ext):
    """Everything in the package comes from the build folder: what was built together stays together."""

    def run(self):
        first = ["-G", "Ninja", "-DTYMBAL_TESTS=OFF", f"-DPython_EXECUTABLE={sys._base_executable}"]
        subprocess.run(["cmake", "-S", root, "-B", build, "-DTYMBAL_PYTHON=ON",
                        *([] if (build / "CMakeCache.txt").exists() else first)], check=True)
        subprocess.run(["cmake", "--build", build, "--target", "tymbal-python"], check=True)
        package = pathlib.Path(self.build_lib) / "tymbal"
        shutil.copytree(build / "python" / "tymbal", package, dirs_exist_ok=True,
                        ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copytree(root / "materials", package / "materials", dirs_exist_ok=True)


setup(
    version=version[1],
    ext_modules=[Extension("tymbal._core", [])],
    packages=[],
    cmdclass={"build_ext": ByCMake},
    options={"build": {"build_base": str(build / "wheel")}, "egg_info": {"egg_base": str(build)}},
)
