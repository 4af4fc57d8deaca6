"""Pictures, pages and masks are the program's, byte for byte; what it refuses to write over is not written over."""

import html
import os
import pathlib
import pickle
import re
import subprocess
import tempfile
import unittest
import warnings

import tymbal
from shared import designs, examples, program, quick, quick_words, root, small_search

os.chdir(root)  # designs are named alike in both
chip_file = "examples/whole-chip/chip.toml"


class Drawings(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def written(self, *words, out):
        """What the program writes into a file; None where it refuses."""
        path = self.folder / f"program{out}"
        done = subprocess.run([program, *map(str, words), "--out", path, "--quiet"], capture_output=True, check=False)
        return path.read_bytes() if done.returncode == 0 else None

    def same(self, made, *words, out):
        made = made if isinstance(made, bytes) else made.encode()
        self.assertEqual(made, self.written(*words, out=out))

    def refused(self, words, call, error=tymbal.InputError):
        before = {path: path.read_bytes() for path in self.folder.iterdir()}
        with self.assertRaisesRegex(error, words) as caught:
            call()
        self.assertEqual({path: path.read_bytes() for path in self.folder.iterdir()}, before)
        return caught.exception


class Pictures(Drawings):
    def test_every_example_is_drawn_as_the_program_draws_it(self):
        drawn = 0
        for path in designs():
            with self.subTest(path.name):
                theirs = self.written("draw", path.relative_to(root), out=".svg")
                try:
                    self.assertEqual(tymbal.draw(path.relative_to(root)).encode(), theirs)
                    drawn += 1
                except tymbal.NoAnswer:
                    self.assertIsNone(theirs)
        self.assertGreater(drawn, 20)

    def test_a_chip_is_drawn_as_the_program_draws_it(self):
        chip = tymbal.read_chip(chip_file)
        self.same(chip.draw(), "draw", chip_file, out=".svg")
        self.assertEqual(chip._repr_svg_(), chip.draw())

    def test_a_picture_goes_into_a_file_and_a_notebook(self):
        out = self.folder / "pad.svg"
        drawing = tymbal.draw("examples/tethered-pad.toml", out)
        self.assertEqual(out.read_text(encoding="utf-8"), drawing)
        self.assertEqual(drawing._repr_svg_(), drawing)
        self.assertLess(len(repr(drawing)), 60)
        self.assertEqual(pickle.loads(pickle.dumps(drawing)), drawing)

    def test_what_is_no_picture_or_is_read_is_not_written(self):
        design = self.folder / "pad.svg"  # a design may have any name
        design.write_bytes((examples / "tethered-pad.toml").read_bytes())
        pad = tymbal.read_design(design)
        self.refused("out: is '.*pad.png', and must end in .svg", lambda: pad.draw(self.folder / "pad.png"))
        self.refused(r"is read by this run \(design\)", lambda: pad.draw(self.folder / "." / "pad.svg"))
        self.refused("out: is '-'", lambda: pad.draw("-"))
        self.refused("out: is 3; accepted: a path", lambda: pad.draw(3))
        self.refused("cannot be written; check that the folder exists", lambda: pad.draw(self.folder / "none" / "pad.svg"))
        self.refused("", lambda: pad.with_({"film.thickness": "3 s"}).draw(self.folder / "other.svg"))


class Pages(Drawings):
    def test_the_page_of_a_design_is_the_programs(self):
        for name in ("perforated-square", "hole-field", "cavity"):
            with self.subTest(name):
                self.same(tymbal.report(f"examples/{name}.toml", **quick), "report", f"examples/{name}.toml", *quick_words, out=".html")

    def test_measured_lines_and_a_sweep_go_onto_the_page(self):
        square, vary = tymbal.read_design("examples/plain-square.toml"), "film.thickness=50nm,60nm"
        sweep, csv, lines = square.sweep(vary, **quick), self.folder / "sweep.csv", "examples/measured-peaks.csv"
        subprocess.run([program, "sweep", "examples/plain-square.toml", "--vary", vary, "--csv", csv, *quick_words, "--quiet"], check=True)
        self.assertEqual(sweep.table().csv.encode(), csv.read_bytes())
        for given in (csv, sweep, pickle.loads(pickle.dumps(sweep.table()))):
            page = square.report(self.folder / "page.html", measured=lines, sweep=given, **quick)
            self.same(page, "report", "examples/plain-square.toml", "--measured", lines, "--sweep", csv, *quick_words, out=".html")
            self.assertEqual((self.folder / "page.html").read_text(encoding="utf-8"), page)
        table = square.report(measured={"frequency (kHz)": [787.04, 1243.45, 1245.27]}, **quick)
        self.assertIn("measured-1", table)
        self.refused("sweep_mode: is 7", lambda: square.report(sweep=sweep, sweep_mode=7))
        self.refused("is read by this run", lambda: square.report(csv, sweep=csv, **quick))

    def test_no_page_replaces_a_file_of_the_material_table(self):
        for table in (root / "materials").glob("*.toml"):
            (self.folder / table.name).write_bytes(table.read_bytes())
        square = tymbal.read_design("examples/plain-square.toml", materials=self.folder)
        chip = tymbal.read_chip(chip_file, materials=self.folder)
        for page in (lambda: square.report(self.folder / "gases.toml", **quick), lambda: chip.report(self.folder / "films.toml", **quick)):
            self.refused(r"is read by this run \(material table\)", page)
        (self.folder / "page.html").write_text("a page of yesterday", encoding="utf-8")
        self.assertIn("<html", square.report(self.folder / "page.html", **quick))

    def test_the_page_of_a_chip_is_the_programs_with_its_record(self):
        file, record = "examples/ladder/chip.toml", tymbal.ChipRecord(self.folder / "record.db")
        record.add_chip(file, name="Skerry 12", date="2026-03-10")
        record.add({"step": "fitted", "chip": "Skerry 12", "date": "2026-03-25", "values": {"film.stress": "1.004 +- 0.006 GPa"}})
        chip = tymbal.read_chip(file)
        told = []
        page = chip.report(record=record, progress=lambda share, what: told.append(share), **quick)
        self.same(page, "report", file, "--record", record.path, *quick_words, out=".html")
        self.assertEqual(chip.report(record=record.path, record_chip="Skerry 12", **quick), page)
        self.assertEqual(told, sorted(told))
        self.assertGreater(len(told), 0)
        self.assertIn("1.004", page)
        self.refused("has no chip 'Heron'", lambda: chip.report(record=record, record_chip="Heron"))
        self.refused("is read by this run", lambda: chip.report(record.path, record=record, **quick))

    def test_a_page_shows_itself_in_a_frame_of_its_own(self):
        page = tymbal.report("examples/plain-square.toml", **quick)
        frame = page._repr_html_()
        self.assertEqual(html.unescape(re.search("srcdoc='([^']*)'", frame)[1]), page)
        self.assertNotIn("allow-same-origin", frame)

    def test_a_page_without_an_answer_is_not_written(self):
        unstable = tymbal.read_design("examples/plain-square.toml").with_({"film.stress": "-0.9 GPa"})
        self.refused("not stable", lambda: unstable.report(self.folder / "page.html", **quick), tymbal.NoAnswer)

    def test_a_callback_that_raises_leaves_no_page(self):
        def refuse(share, what):
            raise ZeroDivisionError("enough")

        self.refused("enough", lambda: tymbal.report(small_search(), self.folder / "page.html", progress=refuse), ZeroDivisionError)


class Masks(Drawings):
    def test_the_mask_of_a_design_is_the_programs_in_every_format(self):
        witnesses = ["undercut-ruler", "hole-ladder"]
        for format in ("gds", "svg", "csv"):
            with self.subTest(format):
                found = tymbal.pattern("examples/pattern.toml", format=format, witnesses=witnesses, label="Drum 3", corners=64)
                words = ["pattern", "examples/pattern.toml", *(w for name in witnesses for w in ("--witness", name)), "--label", "Drum 3",
                         "--corners", "64", "--json", self.folder / "mask.json"]
                self.same(found.drawing, *words, out=f".{format}")
                self.assertEqual(found.json, (self.folder / "mask.json").read_text(encoding="utf-8"))
        again = pickle.loads(pickle.dumps(found))
        self.assertEqual((again, again.drawing), (found, found.drawing))
        self.assertIn("hole-ladder", found._repr_html_())

    def test_the_mask_of_a_chip_goes_to_layers_of_ones_own(self):
        layers = self.folder / "layers.toml"
        layers.write_text("holes = [12, 0]\nlabel = [63, 0]\n", encoding="utf-8")
        chip = tymbal.read_chip(chip_file)
        for given in (layers, {"holes": (12, 0), "label": [63, 0]}):
            found = chip.pattern(self.folder / "chip.gds", layers=given)
            self.same(found.drawing, "pattern", chip_file, "--layers", layers, out=".gds")
            self.assertEqual((self.folder / "chip.gds").read_bytes(), found.drawing)
        self.refused("^layers: hols: is no kind of figure.*'holes'", lambda: chip.pattern(layers={"hols": (1, 0)}))
        self.refused("^layers: holes: must be a layer and a datatype", lambda: chip.pattern(layers={"holes": 3}))
        named = layers.rename(self.folder / "layers.gds")
        self.refused("is read by this run", lambda: chip.pattern(named, layers=named))

    def test_widths_that_cannot_be_printed_are_not_drawn(self):
        fine = tymbal.read_design("examples/pattern.toml").with_({"process.least_feature": "3 um"})
        out = self.folder / "drum.gds"
        fault = self.refused("least_feature, so nothing was drawn", lambda: fine.pattern(out), tymbal.NoAnswer)
        self.assertIs(fault.result.checks[0].held, False)
        self.assertEqual(fault.result.drawing, b"")
        self.assertEqual(out.exists(), False)
        self.assertEqual(fine.pattern(out, allow_broken=True).drawing, out.read_bytes())

    def test_options_that_are_none_are_refused(self):
        drum = tymbal.read_design("examples/pattern.toml")
        self.refused("witnesses: has 'rulr'; accepted: undercut-ruler, ", lambda: drum.pattern(witnesses="rulr"))
        self.refused("format: is 'png'; accepted: gds", lambda: drum.pattern(format="png"))
        self.refused("format: is 'txt'", lambda: drum.pattern(self.folder / "drum.txt"))
        self.refused("format: is 'gds'", lambda: drum.pattern(self.folder / "drum.svg", format="gds"))
        self.refused("label: is longer", lambda: drum.pattern(label="x" * 61))
        self.refused("corners: must be a number from 8", lambda: drum.pattern(corners=7))
        self.refused("neither holes nor openings", lambda: tymbal.pattern("examples/plain-square.toml", self.folder / "a.gds"), tymbal.NoAnswer)

    def test_what_to_know_of_a_mask_is_a_warning(self):
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always")
            found = tymbal.pattern("examples/pattern.toml")
        self.assertEqual([str(w.message) for w in caught], found.warnings)
        self.assertEqual({w.filename for w in caught}, {__file__})


if __name__ == "__main__":
    unittest.main(warnings="ignore")
