"""One truth: for every example and every command the module's text is the program's, and its numbers are that text's."""

import json
import os
import sys
import unittest

import tymbal
from shared import coupled_search, designs, examples, heaviest, quick, quick_words, root, told

os.chdir(root)  # designs are named alike in both


def leaves(value, path=""):
    """All that a result holds, by the path that leads there; fields of the library's own apart."""
    if isinstance(value, tymbal.Record):
        for name in value:
            if not isinstance(value[name], tymbal.Shape):
                yield from leaves(value[name], f"{path}.{name}")
    elif isinstance(value, dict):
        for name in value:
            yield from leaves(value[name], f"{path}.{name}")
    elif isinstance(value, list) or hasattr(value, "tolist"):
        for number, one in enumerate(value if isinstance(value, list) else value.tolist()):
            yield from leaves(one, f"{path}[{number}]")
    else:
        yield path, value


def bits(value):
    return float(value).hex() if isinstance(value, float) else value


class Same(unittest.TestCase):
    compared = 0

    def same(self, result, text):
        self.assertIsNotNone(text, "the program refuses")
        self.assertEqual(result.json, text)
        ours, theirs = dict(leaves(result)), dict(leaves(json.loads(text)))
        self.assertEqual({k: bits(v) for k, v in ours.items()}, {k: bits(v) for k, v in theirs.items()})
        type(self).compared += len(ours)

    def refused_alike(self, task, text):
        """Where the program has no answer, neither has the module."""
        try:
            result = task()
        except (tymbal.NoAnswer, tymbal.InputError):
            self.assertIsNone(text)
            return
        self.same(result, text)

    def same_prediction(self, path):
        with self.subTest(path.name):
            self.refused_alike(lambda: tymbal.read_design(path.relative_to(root)).predict(**quick),
                               told("predict", path.relative_to(root), *quick_words))

    def same_chip(self, path):
        self.same(tymbal.read_chip(path).predict(**quick), told("predict", path, *quick_words))
        self.same(tymbal.read_chip(path).release(), told("release", path))
        self.same(tymbal.read_chip(path).plan(**quick), told("plan", path, *quick_words))

    def same_choice(self, path):
        self.same(tymbal.choose(path, samples=6, **quick), told("choose", path, "--samples", "6", *quick_words))

    @classmethod
    def tearDownClass(cls):
        if cls.compared < cls.least:
            raise AssertionError(f"only {cls.compared} values were compared")
        print(f"{cls.compared} values compared")


class Heaviest(Same):
    """What takes minutes: before a release (tests/deep slow)."""
    least = 500

    def test_predict(self):
        for path in designs():
            if path.stem in heaviest:
                self.same_prediction(path)

    def test_chip(self):
        self.same_chip("examples/whole-chip/chip.toml")

    def test_choose(self):
        self.same_choice("examples/choose-drum.toml")


class SameNumbers(Same):
    least = 2000

    def test_predict(self):
        for path in designs():
            if path.stem not in heaviest:
                self.same_prediction(path)

    def test_chip(self):
        self.same_chip("examples/ladder/chip.toml")

    def test_release(self):
        for path in designs():
            with self.subTest(path.name):
                self.refused_alike(lambda: tymbal.release(path.relative_to(root)), told("release", path.relative_to(root)))

    def test_near_and_within(self):
        design = tymbal.read_design("examples/string.toml")
        self.same(design.predict(**quick, near="3.0 MHz", within=60e-6),
                  told("predict", "examples/string.toml", *quick_words, "--near", "3.0 MHz", "--within", "60 um"))

    def test_changed_design(self):
        text = (examples / "plain-square.toml").read_text(encoding="utf-8")
        design = tymbal.read_design("examples/plain-square.toml").with_({"film.thickness": "60 +- 1 nm"})
        self.assertEqual(text.count('"50 +- 1 nm"'), 1)
        changed = tymbal.Design.from_text(text.replace('"50 +- 1 nm"', '"60 +- 1 nm"'))
        ours, theirs = design.predict(**quick), changed.predict(**quick)
        self.assertEqual([m.frequency_hz for m in ours.modes], [m.frequency_hz for m in theirs.modes])

    def test_size(self):
        self.same(tymbal.size("examples/perforated-square.toml", "3.25 MHz", **quick),
                  told("size", "examples/perforated-square.toml", "--target-frequency", "3.25 MHz", *quick_words))

    def test_sweep(self):
        vary = ["film.thickness=50nm,60nm", "film.material=nitride-stoichiometric,nitride-silicon-rich"]
        sweep = tymbal.sweep("examples/plain-square.toml", vary, **quick)
        rows = list(sweep)
        text = told("sweep", "examples/plain-square.toml", "--vary", vary[0], "--vary", vary[1], *quick_words)
        self.same(sweep.table(), text)
        self.assertEqual([dict(leaves(row)) for row in rows], [dict(leaves(row)) for row in json.loads(text)["rows"]])

    def test_choose(self):
        self.same_choice(coupled_search())

    def test_plan(self):
        for name in ("perforated-square", "disc"):
            with self.subTest(name):
                self.same(tymbal.plan(f"examples/{name}.toml", modes=3, accuracy=1e-2, aim=["(1,1)"] if name != "disc" else []),
                          told("plan", f"examples/{name}.toml", "--modes", "3", "--accuracy", "1e-2",
                               *(["--aim", "(1,1)"] if name != "disc" else [])))

    def test_light(self):
        for name in ("lamp-mirror", "perforated-square"):
            with self.subTest(name):
                self.same(tymbal.light(f"examples/{name}.toml"), told("light", f"examples/{name}.toml"))

    def test_cavity(self):
        self.same(tymbal.cavity("examples/cavity.toml", **quick), told("cavity", "examples/cavity.toml", *quick_words))
        scan = "examples/measured-detuning.csv"
        self.same(tymbal.compare_cavity("examples/cavity.toml", scan, modes=3), told("compare", "examples/cavity.toml", scan, "--modes", "3"))

    def test_film(self):
        self.same(tymbal.film("examples/wafer.toml"), told("film", "examples/wafer.toml"))
        self.same(tymbal.film("examples/wafer.toml", design="examples/perforated-square.toml"),
                  told("film", "examples/wafer.toml", "--design", "examples/perforated-square.toml"))

    def test_compare(self):
        for name in ("peaks", "spectrum", "ringdown"):
            with self.subTest(name):
                self.same(tymbal.compare("examples/plain-square.toml", f"examples/measured-{name}.csv"),
                          told("compare", "examples/plain-square.toml", f"examples/measured-{name}.csv"))

    def test_materials(self):
        self.same(tymbal.materials(), told("materials"))
        self.same(tymbal.materials("silicon"), told("materials", "silicon"))


if __name__ == "__main__":
    unittest.main(defaultTest=sys.argv[1:] or "SameNumbers", argv=sys.argv[:1], warnings="ignore")
