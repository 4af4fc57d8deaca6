"""What the tests share: where the project is, its program, designs that are solved quickly."""

import os
import pathlib
import subprocess
import warnings

root = pathlib.Path(os.environ["TYMBAL_ROOT"])
program = os.environ["TYMBAL_PROGRAM"]
examples = root / "examples"
quick = {"modes": 2, "accuracy": 1e-2}
quick_words = ["--modes", "2", "--accuracy", "1e-2"]

warnings.simplefilter("ignore")  # each test that is about them asks for them


def told(*words):
    """What the program writes as JSON; None where it refuses."""
    done = subprocess.run([program, *map(str, words), "--json", "-"], cwd=root, capture_output=True, text=True, check=False)
    return done.stdout if done.returncode == 0 else None


def designs():
    """The examples that are designs."""
    return sorted(path for path in examples.glob("*.toml") if path.name != "wafer.toml")
