"""What the tests share: where the project is, its program, designs that are solved quickly."""

import os
import pathlib
import subprocess
import tempfile
import warnings

root = pathlib.Path(os.environ["TYMBAL_ROOT"])
program = os.environ["TYMBAL_PROGRAM"]
examples = root / "examples"
quick = {"modes": 2, "accuracy": 1e-2}
quick_words = ["--modes", "2", "--accuracy", "1e-2"]

warnings.simplefilter("ignore")  # each test that is about them asks for them


heaviest = {"every-hole", "quiet-pad", "lattice-defect"}  # 30, 10 and 10 s for program and module


def small_search():
    """A design file whose search ends in a second or two: that of choose-drum.toml with its outline's width alone free."""
    lines = (examples / "choose-drum.toml").read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith(('"holes.diameter"', '"holes.pitch"'))]
    if len(kept) != len(lines) - 2:
        raise AssertionError("choose-drum.toml has other free keys now")
    path = pathlib.Path(tempfile.mkdtemp()) / "small-search.toml"
    path.write_text("\n".join(kept), encoding="utf-8")
    return path


def coupled_search():
    """A search that takes a second: cavity.toml, which has no holes, with the film's thickness alone free."""
    lines = (examples / "cavity.toml").read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith('"outline.width"')]
    if len(kept) != len(lines) - 1:
        raise AssertionError("cavity.toml has other free keys now")
    path = pathlib.Path(tempfile.mkdtemp()) / "coupled-search.toml"
    path.write_text("\n".join(kept), encoding="utf-8")
    return path


def told(*words):
    """What the program writes as JSON; None where it refuses."""
    done = subprocess.run([program, *map(str, words), "--json", "-"], cwd=root, capture_output=True, text=True, check=False)
    return done.stdout if done.returncode == 0 else None


def designs():
    """The examples that are designs."""
    return sorted(path for path in examples.glob("*.toml") if path.name != "wafer.toml")
