"""mypy on the package as it is built, and on a user's lines: right ones pass, wrong ones do not."""

import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

package = pathlib.Path(os.environ["TYMBAL_BUILD"]) / "python" / "tymbal"

right = """
import tymbal
design: tymbal.Design = tymbal.read_design("drum.toml").with_({"holes.diameter": 2e-6})
found: tymbal.Prediction = design.predict(modes=3, near="3.0 MHz")
frequency: float = found.modes[0].frequency_hz
same: tymbal.Prediction = tymbal.predict("drum.toml", modes=3)
for row in design.sweep("holes.diameter=1um..2um:3"):
    print(row.frequency_hz_1)
"""
wrong = {
    'import tymbal\ntymbal.read_design(3)\n': "arg-type",
    'import tymbal\ntymbal.predict("drum.toml", moods=3)\n': "call-arg",
    'import tymbal\nx: str = tymbal.read_design("a").predict().modes[0].frequency_hz\n': "assignment",
}


def checked(*files, folder):
    return subprocess.run(["/usr/bin/python3", "-m", "mypy", "--strict", "--config-file", folder / "mypy.ini", "--cache-dir", folder / "cache", *files],
                          capture_output=True, text=True, check=False,
                          env={**os.environ, "MYPYPATH": str(package.parent)})


class Typing(unittest.TestCase):
    def test_types_hold(self):
        with tempfile.TemporaryDirectory() as name:
            folder = pathlib.Path(name)
            (folder / "mypy.ini").write_text("[mypy]\n[mypy-matplotlib.*,pandas.*]\nignore_missing_imports = True\n", encoding="utf-8")
            done = checked(package, folder=folder)
            self.assertEqual(done.returncode, 0, done.stdout)
            script = folder / "script.py"
            script.write_text(right, encoding="utf-8")
            done = checked(script, folder=folder)
            self.assertEqual(done.returncode, 0, done.stdout)
            for text, code in wrong.items():
                script.write_text(text, encoding="utf-8")
                done = checked(script, folder=folder)
                self.assertIn(f"[{code}]", done.stdout)

    def test_the_stub_says_what_the_extension_is(self):
        with tempfile.TemporaryDirectory() as folder:
            metaclass = pathlib.Path(folder) / "metaclass"  # pybind11's own, of each class itself; members are compared
            metaclass.write_text("tymbal._core.(Fields|HeldChip|HeldDesign|Materials|RunningSweep)\n", encoding="utf-8")
            done = subprocess.run(["/usr/bin/python3", "-m", "mypy.stubtest", "tymbal._core", "--concise", "--ignore-missing-stub",
                                   "--allowlist", metaclass], capture_output=True, text=True, check=False, cwd=folder,
                                  env={**os.environ, "MYPYPATH": str(package.parent), "PYTHONPATH": str(package.parent)})
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)

    def test_the_stub_names_what_the_extension_has(self):
        sys.path.insert(0, str(package.parent))
        import tymbal

        stub = (package / "_core.pyi").read_text(encoding="utf-8")
        for name in vars(tymbal._core):
            if not name.startswith("_"):
                self.assertTrue(f"def {name}(" in stub or f"class {name}:" in stub or f"\n{name}: " in stub, name)


if __name__ == "__main__":
    unittest.main()
