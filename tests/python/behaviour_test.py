"""Designs, errors, warnings, pickles, lifetimes, threads, Ctrl-C."""

import datetime
import gc
import json
import os
import pathlib
import pickle
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time
import unittest
import warnings

import numpy as np

import tymbal
from shared import examples, quick, root

drum = {
    "title": "Harbour drum",
    "film": {"material": "nitride-stoichiometric", "thickness": 50e-9, "stress": "0.90 +- 0.03 GPa"},
    "outline": {"shape": "rectangle", "width": "500 um", "height": 500e-6},
}


class Chips(unittest.TestCase):
    chip_file = examples / "whole-chip" / "chip.toml"

    def test_a_device_alone_is_the_device_on_the_chip(self):
        chip = tymbal.read_chip(examples / "ladder" / "chip.toml")
        there = chip.predict(**quick)
        self.assertEqual([d.name for d in there.devices], chip.devices)
        for name in ("L1", "L3"):
            alone = pickle.loads(pickle.dumps(chip.device(name))).predict(**quick)
            here = next(d for d in there.devices if d.name == name)
            self.assertEqual([m.frequency_hz for m in alone.modes], [m.frequency_hz for m in here.modes])

    def test_one_film_for_all_devices_from_a_list_or_from_tables(self):
        chip = tymbal.read_chip(examples / "ladder" / "chip.toml")
        lines = examples / "ladder" / "lines.csv"
        rows = [row.split(",") for row in lines.read_text(encoding="utf-8").splitlines()[2:]]
        tables = {name: {"frequency (MHz)": [float(row[1]) for row in rows if row[0] == name],
                         "sigma (Hz)": [float(row[2]) for row in rows if row[0] == name]} for name in chip.devices}
        found = chip.compare(lines)
        self.assertEqual([d.name for d in found.devices], chip.devices)
        self.assertLess(abs(found.fit.undercut_m - 3.05e-6), 2 * found.fit.undercut_std_m)
        self.assertEqual(chip.compare(tables, threads=1).fit.undercut_m, found.fit.undercut_m)
        with self.assertRaisesRegex(tymbal.InputError, "'Z9' is no device of"):
            chip.compare({"Z9": tables["L1"]})
        with self.assertRaisesRegex(tymbal.InputError, "signal: is 'loud'"):
            chip.compare(lines, signal="loud")

    def test_bad_chips_and_devices_are_refused(self):
        chip = tymbal.read_chip(self.chip_file)
        with self.assertRaisesRegex(KeyError, "no device 'Z9' among P1"):
            chip.device("Z9")
        with self.assertRaisesRegex(tymbal.InputError, "neighbours: is '3 um'"):
            chip.predict(neighbours="3 um")
        with self.assertRaises(tymbal.InputError) as caught:
            tymbal.read_chip(examples / "disc.toml")
        self.assertEqual((caught.exception.file, caught.exception.key), (str(examples / "disc.toml"), "device"))


class Records(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.record = tymbal.ChipRecord(pathlib.Path(folder.name, "record.db"))

    def test_what_two_chips_teach_goes_into_a_design(self):
        for name, stress in (("Skerry 12", 1.004e9), ("Skerry 13", 1.010e9)):
            self.record.add_chip(Chips.chip_file, name=name, wafer="W7", date="2026-03-10")
            self.record.add({"step": "fitted", "chip": name, "date": "2026-03-25", "values": {"film.stress": stress}})
        self.assertEqual(self.record.chips, ["Skerry 12", "Skerry 13"])
        learned = self.record.learn()
        design = tymbal.Design(drum).with_(learned.changes)
        self.assertAlmostEqual(design["film.stress"] / 1.007e9, 1.0, places=12)
        line = next(line for line in learned.lines if line.key == "film.stress")
        self.assertAlmostEqual(design.deviation("film.stress") / line.std, 1.0, places=12)
        self.assertEqual([c.name for c in self.record.list().chips], ["Skerry 12", "Skerry 13"])
        self.assertIn("Skerry 13", str(self.record.show()))
        self.assertTrue(self.record.check().sound)
        self.assertIn("Skerry 13", self.record.show()._repr_html_())
        folder = pathlib.Path(self.record.path).parent / "export"
        self.record.export(folder)
        self.assertEqual(len((folder / "chip.csv").read_text(encoding="utf-8").splitlines()), 3)

    def test_what_has_no_scatter_claims_no_deviation(self):
        for name in ("Skerry 12", "Skerry 13"):
            self.record.add_chip(Chips.chip_file, name=name, date="2026-03-10")
            self.record.add({"step": "fitted", "chip": name, "date": "2026-03-25", "values": {"film.stress": 1e9}})
        self.assertNotIn("+-", self.record.learn().changes["film.stress"])

    def test_steps_that_are_wrong_leave_the_record_as_it_was(self):
        self.record.add_chip(Chips.chip_file, name="Skerry 12")
        before = self.record.list().json
        for step, words in (({"step": "nonsense", "chip": "Skerry 12"}, "^step: step: is 'nonsense'"),
                            ({"step": "note", "chip": "Heron 1", "note": "seen"}, "has no chip 'Heron 1'"),
                            ({"step": "fitted", "chip": "Skerry 12", "values": {"film.stress": "2 um"}}, "film.stress"),
                            ({"step": "fitted", "chip": "Skerry 12", "values": {"film.material": "nitride"}}, "no row")):
            with self.assertRaisesRegex(tymbal.InputError, words):
                self.record.add(step)
        self.assertEqual(self.record.list().json, before)


class Designs(unittest.TestCase):
    def test_a_design_of_dicts_is_the_same_as_one_of_text(self):
        text = """title = "Harbour drum"
[film]
material = "nitride-stoichiometric"
thickness = "5e-08 m"
stress = "0.90 +- 0.03 GPa"
[outline]
shape = "rectangle"
width = "500 um"
height = "0.0005 m"
"""
        made, written = tymbal.Design(drum), tymbal.Design.from_text(text)
        self.assertEqual(made, written)
        self.assertEqual(made, tymbal.Design(**drum))
        self.assertEqual(made.predict(**quick).modes[0].frequency_hz, written.predict(**quick).modes[0].frequency_hz)

    def test_every_example_read_as_dicts_is_the_design_itself(self):
        import tomllib

        for path in sorted(examples.glob("*.toml")):
            if path.name == "wafer.toml":
                continue
            with self.subTest(path.name):
                read = tymbal.read_design(path)
                made = tymbal.Design(tomllib.loads(path.read_text(encoding="utf-8")))
                self.assertEqual(made, read)

    def test_changes_leave_the_design_as_it_was(self):
        design = tymbal.Design(drum)
        thicker = design.with_({"film.thickness": 60e-9})
        self.assertEqual(design["film.thickness"], 50e-9)
        self.assertEqual(thicker["film.thickness"], 60e-9)
        self.assertEqual(thicker.with_(film__thickness="50 nm")["film.thickness"], design.with_(film__thickness="50 nm")["film.thickness"])
        self.assertNotEqual(design, thicker)

    def test_a_text_changes_the_deviation_a_number_keeps_it(self):
        design = tymbal.Design(drum)
        self.assertAlmostEqual(design.with_({"film.stress": 1e9}).deviation("film.stress") / 0.03e9, 1.0)
        self.assertAlmostEqual(design.with_({"film.stress": "1.00 +- 0.01 GPa"}).deviation("film.stress") / 0.01e9, 1.0)

    def test_a_key_can_be_taken_away(self):
        design = tymbal.read_design(examples / "perforated-square.toml")
        self.assertIn("holes", design)
        self.assertNotIn("holes", design.without("holes"))
        self.assertNotIn("holes", pickle.loads(pickle.dumps(design.without("holes"))))

    def test_lists_change_too(self):
        design = tymbal.Design({**drum, "outline": {"shape": "polygon", "vertices": [[0.0, 0.0], [1e-4, 0.0], [0.0, 1e-4]]}})
        other = design.with_({"outline.vertices": np.array([[0.0, 0.0], [2e-4, 0.0], [0.0, 2e-4]])})
        small, large = design.predict(**quick), other.predict(**quick)
        self.assertLess(large.modes[0].frequency_hz, 0.6 * small.modes[0].frequency_hz)

    def test_numpy_numbers_are_numbers(self):
        self.assertEqual(tymbal.Design(drum).with_({"film.thickness": np.float64(60e-9)})["film.thickness"], 60e-9)

    def test_every_key_that_holds_a_list_takes_one(self):
        drum_to_choose = tymbal.read_design(examples / "choose-drum.toml")
        for window in ([1e6, 4e6], ["1 MHz", "4 MHz"], ("1 MHz", 4e6), np.array([1e6, 4e6])):
            design = drum_to_choose.with_({"limits.frequency": window})
            limits = {line.key: (line.limit, line.unit, line.held) for line in design.predict(**quick).limits}
            self.assertEqual(limits["limits.frequency (low)"], (1e6, "Hz", True))
            self.assertEqual(limits["limits.frequency (high)"], (4e6, "Hz", True))
        with self.assertRaisesRegex(tymbal.InputError, "limits.frequency.*um"):
            drum_to_choose.with_({"limits.frequency": ["1 um", "2 um"]}).predict(**quick)
        holes = tymbal.read_design(examples / "perforated-square.toml").with_({"holes.diameter": "8 um", "holes.pitch": "25 um"})
        fewer = holes.with_({"holes.omit": np.array([[0, 0], [1, 0]])}).predict(**quick)
        self.assertEqual(fewer.film.hole_count, holes.predict(**quick).film.hole_count - 2)
        self.assertEqual(holes.with_({"holes.omit": [[0, 0]]}), holes.with_({"holes.omit": "[[0, 0]]"}))
        self.assertIsInstance(holes.with_({"chip.held": ["left", "right"]}).check(), tymbal.Design)
        with self.assertRaisesRegex(tymbal.InputError, "chip.held: has 'lefd'.*left"):
            holes.with_({"chip.held": ["lefd"]}).check()
        for wrong in ({"holes.omit": [[0.5, 0]]}, {"holes.omit": "[[0, 0"}, {"holes.omit": "[1]\ntitle = 3"}, {"holes.field": [1e-4]},
                      {"holes.field": [True, 1e-4]}, {"holes.field": ["1 +- 0.1 um", "1 um"]}, {"film.material": ["a", "b"]},
                      {"title": ["a"]}, {"outline.scale": [1.0, 2.0]}):
            with self.subTest(str(wrong)), self.assertRaises(tymbal.InputError):
                holes.with_(wrong).check()

    def test_lists_of_numpys_numbers_are_lists(self):
        holes = tymbal.read_design(examples / "perforated-square.toml")
        for field in (np.array([5e-5, 4e-5]), (np.float64(5e-5), np.float64(4e-5)), [np.float64(5e-5), 4e-5]):
            self.assertEqual(holes.with_({"holes.field": field}), holes.with_({"holes.field": [5e-5, 4e-5]}))
        with self.assertRaisesRegex(tymbal.InputError, "film.thickness"):
            holes.with_({"film.thickness": np.array([5e-8])}).check()

    def test_a_design_keeps_no_list_of_its_caller(self):
        field = [5e-5, 5e-5]
        design = tymbal.read_design(examples / "perforated-square.toml").with_({"holes.field": field})
        field[0] = 1.0
        self.assertEqual(pickle.loads(pickle.dumps(design)), design)
        self.assertEqual(design.changes["holes.field"], (5e-5, 5e-5))

    def test_texts_and_long_lists_of_dicts_are_read_back(self):
        title = "Drum \U0001f600 \x7f \t \\ \""
        self.assertEqual(tymbal.Design({**drum, "title": title})["title"], title)
        corners = [[2e-4 * np.cos(a), 2e-4 * np.sin(a)] for a in np.linspace(0.0, 2.0 * np.pi, 500, endpoint=False)]
        many = tymbal.Design({**drum, "outline": {"shape": "polygon", "vertices": corners}}).check()
        self.assertEqual(many.with_({"outline.vertices": corners}), many)

    def test_none_is_no_value_whatever_stands_beside_it(self):
        design = tymbal.Design(drum)
        for changes in ({"film.stress": None}, {"film.stress": None, "film.thickness": 60e-9}):
            with self.assertRaisesRegex(tymbal.InputError, "film.stress: is None"):
                design.with_(changes)
        self.assertEqual(design.without("film.stress").changes, {"film.stress": None})

    def test_a_card_has_the_designs_title(self):
        self.assertIn("Harbour drum", tymbal.Design(drum)._repr_html_())
        self.assertIn("class", tymbal.Design(film={"thickness": 1e-7})._repr_html_())


class Errors(unittest.TestCase):
    def test_a_broken_file_names_file_line_and_key(self):
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "buoy.toml"
            path.write_text('[film]\nmaterial = "nitride-stoichiometric"\nthickness = "50 bar"\n[outline]\nshape = "disc"\n'
                            'diameter = "1 mm"\n', encoding="utf-8")
            with self.assertRaises(tymbal.InputError) as caught:
                tymbal.read_design(path)
        self.assertEqual((caught.exception.file, caught.exception.line), (str(path), 3))
        self.assertEqual(caught.exception.key, "film.thickness")
        self.assertIn("bar", str(caught.exception))
        again = pickle.loads(pickle.dumps(caught.exception))
        self.assertEqual((again.file, again.line, again.key, str(again)),
                         (str(path), 3, "film.thickness", str(caught.exception)))

    def test_what_is_no_design_is_refused(self):
        good = tymbal.Design(drum)
        for wrong in ({"film.thicknes": 1e-7}, {"film.thickness": float("nan")}, {"film.thickness": True}, {"film.thickness": None},
                      {"film.thickness": [1, 2, 3]}, {"film.thickness": {"a": 1}}, {"film": "x"}, {"": 1.0},
                      {"film.thickness": "50"}):
            with self.subTest(str(wrong)), self.assertRaises(tymbal.InputError):
                good.with_(wrong).check()
        with self.assertRaises(tymbal.InputError):
            tymbal.read_design("no-such-skerry.toml")
        with self.assertRaises(tymbal.InputError):
            tymbal.Design({"film": {"thickness": object()}})
        with self.assertRaises(tymbal.InputError):
            good.size("1 bar")
        with self.assertRaises(tymbal.InputError):
            good.size("1 MHz", sizing="sideways")
        with self.assertRaises(tymbal.InputError):
            good.sweep("film.thickness")
        with self.assertRaises(tymbal.InputError):
            good.sweep({})
        with self.assertRaises(tymbal.InputError):
            tymbal.materials("nitrid")

    def test_options_keep_the_programs_ranges(self):
        for wrong in ({"modes": 0}, {"modes": 10**6}, {"accuracy": 2.0}, {"model": "guess"}, {"near": -1.0}):
            with self.subTest(str(wrong)), self.assertRaises(tymbal.InputError):
                tymbal.Design(drum).predict(**wrong)
        for wrong in ({"allowed_shift": -1.0}, {"allowed_shift": float("nan")}, {"gas_share": 2.0}, {"measured_q": {"(1,1)": -5.0}}):
            with self.subTest(str(wrong)), self.assertRaises(tymbal.InputError):
                tymbal.Design(drum).plan(**quick, **wrong)
        for wrong in ({"samples": 0}, {"least_chance": 2.0}, {"threads": 10**7}):
            with self.subTest(str(wrong)), self.assertRaises(tymbal.InputError):
                tymbal.read_design(examples / "choose-drum.toml").choose(**quick, **wrong)

    def test_numbers_of_numpy_are_options(self):
        found = tymbal.Design(drum).predict(modes=np.int64(2), accuracy=np.float32(0.01))
        self.assertEqual(len(found.modes), 2)

    def test_wrong_types_are_refused_in_plain_words(self):
        design, choose = tymbal.Design(drum), tymbal.read_design(examples / "choose-drum.toml")
        surrogate = "\ud800"
        for words, call in {
                "film.thickness: is True": lambda: design.with_({"film.thickness": np.bool_(True)}),
                "key: is 1; accepted: a text": lambda: design.with_({1: 1}),
                "changes: is 3; accepted: a dict": lambda: design.with_(3),
                "title: is .*no Unicode": lambda: design.with_({"title": surrogate}),
                "title: is .*no Unicode text": lambda: tymbal.Design(title=surrogate),
                "text: is .*no Unicode": lambda: tymbal.Design.from_text(surrogate),
                "key: is 1; accepted": lambda: tymbal.Design({"film": {1: 2}}),
                "sections: is 3": lambda: tymbal.Design(3),
                "key: is 3": lambda: design[3],
                "path: is 3; accepted: a path": lambda: tymbal.read_design(3),
                "materials: is 3; accepted: a path": lambda: tymbal.Design(drum, materials=3),
                "most_holes: must be a number from 1 to 1e": lambda: tymbal.Design(drum, most_holes=-1),
                "most_holes: must": lambda: tymbal.Design(drum, most_holes=10**9),
                "modes: must be a whole number": lambda: design.predict(modes=2.5),
                "near: is True": lambda: design.predict(near=np.bool_(True)),
                "near: takes no deviation": lambda: design.predict(near="1.0 +- 0.1 MHz"),
                "model: is 3": lambda: design.predict(model=3),
                "stress_map: is 'no'": lambda: design.predict(stress_map="no"),
                "samples: must be a whole number": lambda: choose.choose(samples=4.5),
                "also: accepted": lambda: design.compare({"frequency (Hz)": [1e6]}, also=(design, {})),
                "wavelength: is": lambda: design.light([1e-6, 2e-6, 3e-6]),
                "progress: is 3; accepted: None": lambda: design.predict(progress=3),
                "row: is 3": lambda: tymbal.materials(3),
                "name: is 3": lambda: tymbal.ChipRecord("none.db").add_chip("chip.toml", name=3),
                "date: is datetime": lambda: tymbal.ChipRecord("none.db").add_chip("chip.toml", date=datetime.date(2026, 3, 1)),
                "step: is 3": lambda: tymbal.ChipRecord("none.db").add(3),
                "wafer: is 3": lambda: tymbal.ChipRecord("none.db").learn(wafer=3),
                "aim: is 3": lambda: design.plan(aim=3),
                "measured_q: is 3": lambda: design.plan(measured_q=3),
                "vary: is 3": lambda: design.sweep(3),
                "film.stress: is .*a list of values": lambda: design.sweep({"film.stress": 1e9}),
        }.items():
            with self.subTest(words), self.assertRaisesRegex(tymbal.InputError, words):
                call()
        self.assertEqual(tymbal.Design(drum).size(0.8e6, mode=1, **quick).target.mode, "(1,1)")
        mirror = tymbal.read_design(examples / "lamp-mirror.toml")
        self.assertEqual(mirror.light(np.array([1.5e-6, 1.6e-6])), mirror.light((1.5e-6, 1.6e-6)))

    def test_a_text_is_one_aim(self):
        design = tymbal.read_design(examples / "perforated-square.toml")
        self.assertEqual(design.plan(aim="(1,1)", **quick).json, design.plan(aim=["(1,1)"], **quick).json)

    def test_a_film_that_is_not_stable_says_where_it_would_be(self):
        with self.assertRaises(tymbal.NoAnswer) as caught:
            tymbal.Design(drum).with_({"film.stress": "-0.9 GPa"}).predict(**quick)
        self.assertIs(caught.exception.result.film.stable, False)
        self.assertIn("buckling_stress_pa", caught.exception.result.film)
        self.assertEqual(pickle.loads(pickle.dumps(caught.exception)).result.json, caught.exception.result.json)

    def test_names_that_are_not_there_are_told_with_the_nearest(self):
        film = tymbal.Design(drum).predict(**quick).film
        with self.assertRaisesRegex(AttributeError, "mass_kg"):
            film.mass_kgs
        with self.assertRaises(KeyError):
            film["mass"]
        with self.assertRaises(AttributeError):
            film.mass_kg = 1.0

    def test_a_record_becomes_a_dict_and_a_mode_goes_by_its_number(self):
        found = tymbal.Design(drum).predict(**quick)
        self.assertEqual(dict(found.film)["mass_kg"], found.film.mass_kg)
        self.assertIs(found.mode(2), found.modes[1])
        self.assertIs(found.mode("1,1"), found.modes[0])

    def test_a_running_sweep_is_no_pickle(self):
        with tymbal.Design(drum).sweep({"film.thickness": [5e-8]}, **quick) as sweep:
            with self.assertRaisesRegex(TypeError, r"its table\(\) can"):
                pickle.dumps(sweep)

    def test_warnings_are_warnings(self):
        design = tymbal.read_design(examples / "perforated-square.toml")
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always")
            found = design.predict(**quick)
        self.assertEqual([str(w.message) for w in caught], found.warnings)
        self.assertGreater(len(caught), 0)
        self.assertEqual({w.category for w in caught}, {tymbal.DesignWarning})
        self.assertEqual({w.filename for w in caught}, {__file__})
        self.assertTrue(all(" " not in w.message.code for w in caught))

    def test_a_warning_names_the_line_that_asked_for_the_result(self):
        for call in (lambda: tymbal.predict(examples / "perforated-square.toml", **quick),
                     lambda: tymbal.film(examples / "wafer.toml", design=examples / "perforated-square.toml")):
            with warnings.catch_warnings(record=True) as caught:
                warnings.simplefilter("always")
                call()
            self.assertEqual({w.filename for w in caught} - {__file__}, set())


class Results(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.design = tymbal.read_design(examples / "perforated-square.toml")
        cls.found = cls.design.predict(**quick, stress_map=True)

    def test_shapes_are_normalised_and_lie_on_the_film(self):
        shape = self.found.modes[0].shape
        self.assertEqual(shape.w.shape, (len(shape.y), len(shape.x)))
        self.assertAlmostEqual(float(np.max(np.abs(shape.w))), 1.0, delta=0.02)
        half = 0.5 * self.design["outline.width"]
        self.assertLessEqual(np.max(np.abs(shape.x)), half * 1.001)

    def test_a_shape_is_the_programs_field(self):
        with tempfile.TemporaryDirectory() as folder:
            subprocess.run([os.environ["TYMBAL_PROGRAM"], "predict", examples / "perforated-square.toml", "--modes", "2", "--accuracy",
                            "1e-2", "--fields", folder, "--fields-csv", "--quiet"], check=True, capture_output=True)
            table = np.genfromtxt(pathlib.Path(folder) / "modes.csv", delimiter=",", names=True)
            stress = np.genfromtxt(pathlib.Path(folder) / "stress.csv", delimiter=",", names=True)
        shape = self.found.modes[1].shape
        self.assertTrue(np.array_equal(table["mode_2"], shape.w.ravel()))
        self.assertTrue(np.array_equal(table["x_m"], np.tile(shape.x, len(shape.y))))
        largest = self.found.stress_map.largest_pa
        self.assertTrue(np.array_equal(stress["stress_largest_pa"], largest[~np.isnan(largest)]))
        xy = self.found.stress_map.xy_pa
        self.assertTrue(np.array_equal(stress["stress_xy_pa"], xy[~np.isnan(largest)]))

    def test_arrays_cannot_be_written_to_and_outlive_their_result(self):
        found = self.design.predict(**quick)
        w = found.modes[0].shape.w
        again = w.copy()
        with self.assertRaises(ValueError):
            w[0, 0] = 1.0
        with self.assertRaises(ValueError):
            w.setflags(write=True)
        self.assertIsNotNone(w.base)
        del found
        gc.collect()
        waste = [np.full(w.shape, 7.0) for _ in range(200)]
        self.assertTrue(np.array_equal(w, again))
        self.assertEqual(len(waste), 200)

    def test_no_array_can_be_written_to_and_no_field_changed(self):
        light = tymbal.light(examples / "lamp-mirror.toml")
        fields = [self.found.modes[0].shape, self.found.stress_map, light.spectrum]
        for field in (*fields, *pickle.loads(pickle.dumps(fields)), pickle.loads(pickle.dumps(self.found)).modes[1].shape):
            for name, value in vars(field).items():
                with self.subTest(f"{type(field).__name__}.{name}"):
                    self.assertFalse(hasattr(value, "flags") and value.flags.writeable)
                    self.assertRaises(AttributeError, setattr, field, name, 3)
                    self.assertRaises(AttributeError, delattr, field, name)
        with self.assertRaises(AttributeError):
            del self.found.film

    def test_results_with_arrays_can_be_compared(self):
        mirror = tymbal.read_design(examples / "lamp-mirror.toml")
        light = mirror.light()
        self.assertEqual(light, mirror.light())
        self.assertEqual(pickle.loads(pickle.dumps(light)), light)
        self.assertNotEqual(light, mirror.light((1.5e-6, 1.6e-6)))
        self.assertNotEqual(self.found, self.design.predict(**quick))  # has a map of stress

    def test_memory_goes_with_the_last_array(self):
        def resident():
            return int(pathlib.Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE")

        plain = tymbal.Design(drum)
        plain.predict(**quick)
        gc.collect()
        before = resident()
        for _ in range(60):
            plain.predict(**quick).modes[0].shape.w
        gc.collect()
        self.assertLess(resident() - before, 30e6)

    def test_results_can_be_pickled(self):
        again = pickle.loads(pickle.dumps(self.found))
        self.assertEqual(again, self.found)
        self.assertEqual(again.json, self.found.json)
        self.assertTrue(np.array_equal(again.modes[1].shape.w, self.found.modes[1].shape.w))
        self.assertEqual(again.stress_map, self.found.stress_map)
        self.assertEqual(str(again), str(self.found))
        self.assertEqual(pickle.loads(pickle.dumps(self.found.modes[0])), self.found.modes[0])
        self.assertEqual(pickle.loads(pickle.dumps(self.design)), self.design)
        light = tymbal.light(examples / "lamp-mirror.toml")
        self.assertTrue(np.array_equal(pickle.loads(pickle.dumps(light)).spectrum.reflectivity, light.spectrum.reflectivity))

    def test_no_name_of_the_json_hides_one_of_the_class(self):
        for schema in (root / "examples" / "schema").glob("*.json"):
            names = set(json.loads(schema.read_text(encoding="utf-8")).get("properties", {}))
            kind = {"predict": tymbal.Prediction, "light": tymbal.Light, "sweep": tymbal.SweepTable, "choose": tymbal.Choice,
                    "compare": tymbal.Comparison, "cavity": tymbal.CavityReport}.get(schema.stem, tymbal.Result)
            hidden = {name for name in names if hasattr(kind, name)}
            self.assertEqual(hidden, set(), schema.name)

    def test_size_leads_to_the_design_of_that_size(self):
        sized = self.design.size("3.25 MHz", **quick)
        again = self.design.with_(sized.changes).predict(modes=2, accuracy=sized.accuracy)
        self.assertAlmostEqual(again.modes[0].frequency_hz / 3.25e6, 1.0, delta=2e-4)


class Sweeps(unittest.TestCase):
    def setUp(self):
        self.design = tymbal.Design(drum)

    def test_rows_come_in_the_order_of_the_grid(self):
        thicknesses = np.linspace(40e-9, 90e-9, 11)
        rows = list(self.design.sweep({"film.thickness": thicknesses}, modes=1, accuracy=1e-2))
        self.assertEqual([row["film.thickness"] for row in rows], list(thicknesses))
        self.assertEqual([row.index for row in rows], list(range(11)))

    def test_a_sweep_is_what_single_predictions_are(self):
        for row in self.design.sweep({"film.thickness": [50e-9, 60e-9]}, **quick):
            alone = self.design.with_({"film.thickness": row["film.thickness"]}).predict(**quick)
            self.assertEqual(row.frequency_hz_1, alone.modes[0].frequency_hz)

    def test_a_row_without_an_answer_says_why(self):
        rows = list(self.design.sweep({"film.stress": [0.9e9, -0.9e9]}, **quick))
        self.assertIsNone(rows[0].error)
        self.assertIn("compress", rows[1].error.lower() + "compress" * ("stable" in rows[1].error))
        self.assertIsNone(rows[1].frequency_hz_1)

    def test_a_frame_has_a_line_per_design(self):
        frame = self.design.sweep({"film.thickness": "40nm..90nm:3"}, modes=1, accuracy=1e-2).frame()
        for got, wanted in zip(frame["film.thickness"], [40e-9, 65e-9, 90e-9], strict=True):
            self.assertAlmostEqual(got / wanted, 1.0, delta=1e-15)
        self.assertEqual(len(frame), 3)

    def test_a_dict_keeps_the_rules_of_a_text(self):
        for key, values, words in (("solve.modes", [1, 2], r"\(modes\)"), ("film.stres", [1e9], "film.stress"), ("title", ["e\nf"], "line break"),
                                   ("film.stress", [], "no values"), ("film.stress", [1e9, 1e9], "twice"), ("title", [""], "empty")):
            with self.subTest(key), self.assertRaisesRegex(tymbal.InputError, words) as caught:
                self.design.sweep({key: values})
            self.assertEqual(caught.exception.key, key)

    def test_threads_share_the_rows_and_all_come_to_an_end(self):
        sweep = self.design.sweep({"film.thickness": np.linspace(40e-9, 90e-9, 6)}, modes=1, accuracy=1e-2)
        got = []
        threads = [threading.Thread(target=lambda: got.extend(row.index for row in sweep), daemon=True) for _ in range(3)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(60.0)
        self.assertEqual([thread.is_alive() for thread in threads], [False] * 3)
        self.assertEqual(sorted(got), list(range(6)))
        self.assertEqual([row.index for row in sweep.table().rows], list(range(6)))

    def test_a_sweep_can_be_closed_while_another_thread_takes_its_rows(self):
        code = ("import tymbal, sys, threading, time\n"
                "s = tymbal.sweep(sys.argv[1], {'film.thickness': [4e-8 + 1e-11 * k for k in range(2000)]}, modes=8, accuracy=1e-4)\n"
                "taker = threading.Thread(target=lambda: list(s)); taker.start()\n"
                "time.sleep(0.5); s.close(); taker.join(); print('closed')")
        done = subprocess.run([sys.executable, "-W", "ignore", "-c", code, examples / "choose-drum.toml"], capture_output=True, text=True,
                              check=False, timeout=120)
        self.assertEqual((done.returncode, done.stdout, done.stderr), (0, "closed\n", ""))

    def test_progress_that_raises_ends_the_sweep(self):
        def refuse(share, what):
            raise ZeroDivisionError("enough")

        sweep = self.design.sweep({"film.thickness": np.linspace(40e-9, 90e-9, 3000)}, modes=1, accuracy=1e-2, progress=refuse)
        self.assertRaises(ZeroDivisionError, next, sweep)
        self.assertRaises(StopIteration, next, sweep)
        self.assertEqual(sweep.table().rows[0].index, 0)

    def test_a_sweep_that_is_left_stops(self):
        sweep = self.design.sweep({"film.thickness": np.linspace(40e-9, 90e-9, 5000)}, modes=1, accuracy=1e-2)
        self.assertEqual(len(sweep), 5000)
        next(sweep)
        start = time.monotonic()
        sweep.close()
        self.assertLess(time.monotonic() - start, 20.0)
        self.assertRaises(StopIteration, next, sweep)
        del sweep


class Measurements(unittest.TestCase):
    table = {"frequency (kHz)": [787.04, 1243.45, 1245.27, 1573.9, 1760.3], "uncertainty (Hz)": [24, 37, 37, 47, 53]}

    def setUp(self):
        self.design = tymbal.read_design(examples / "plain-square.toml")

    def test_a_table_goes_by_a_name_that_stays(self):
        once, again = (self.design.compare(self.table) for _ in range(2))
        self.assertEqual(once.json, again.json)
        self.assertEqual(str(once), str(again))
        self.assertIn('"measured-1"', once.json)
        self.assertNotIn(tempfile.gettempdir() + "/tymbal-", once.json + str(once))
        with self.assertRaisesRegex(tymbal.InputError, "^measured-2:2: ") as caught:
            self.design.compare(self.table, also=[(self.design, {"frequency (kHz)": [float("nan")]})])
        self.assertEqual((caught.exception.file, caught.exception.line), ("measured-2", 2))

    def test_texts_stand_in_quotes(self):
        spots = {**self.table, "spot": ["3,4", "b", "b", "b", "b"]}
        self.assertEqual(self.design.compare(spots).fit.stress_pa, self.design.compare(self.table).fit.stress_pa)

    def test_tables_that_are_none_are_refused(self):
        for words, table in (("equally long: 'a' has 1, 'b' has 2", {"a": [1], "b": [1, 2]}), ("there are none", {}),
                             ("is a int", 3), ("holds None", {"frequency (Hz)": [None]}), ("';'", {"a;b": [1]}),
                             ("one line", {"frequency (Hz)": [1e6], "spot": ["a\nb"]})):
            with self.subTest(words), self.assertRaisesRegex(tymbal.InputError, words):
                self.design.compare(table)
        with self.assertRaisesRegex(tymbal.InputError, "decimal: is for files"):
            self.design.compare(self.table, decimal="comma")


class Waiting(unittest.TestCase):
    def test_two_threads_at_once_get_the_same_digits(self):
        design = tymbal.read_design(examples / "perforated-square.toml")
        alone = design.predict(**quick).json
        got = []
        threads = [threading.Thread(target=lambda: got.append(design.predict(**quick).json)) for _ in range(2)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual(got, [alone, alone])

    def test_the_interpreter_goes_on_while_the_library_works(self):
        turns = []
        done = threading.Event()

        def count():
            while not done.is_set():
                turns.append(None)
                time.sleep(0.001)

        counter = threading.Thread(target=count)
        counter.start()
        before = len(turns)
        tymbal.Design(drum).predict(modes=60, accuracy=1e-6)  # most of a second
        during = len(turns) - before
        done.set()
        counter.join()
        self.assertGreater(during, 5)

    def test_progress_is_told_on_the_callers_thread(self):
        told = []
        tymbal.read_design(examples / "perforated-square.toml").size(
            "3.25 MHz", progress=lambda share, what: told.append((threading.get_ident(), share)))
        self.assertGreater(len(told), 0)
        self.assertEqual({who for who, _ in told}, {threading.get_ident()})
        shares = [share for _, share in told]
        self.assertEqual(shares, sorted(shares))
        self.assertLessEqual(shares[-1], 1.0)

    def test_films_on_splines_and_without_openings_tell_their_grids(self):
        for name in ("few-holes", "hole-field"):
            with self.subTest(name):
                told = []
                tymbal.predict(examples / f"{name}.toml", progress=lambda share, what: told.append(what))
                self.assertGreater(len(told), 0)
                self.assertTrue(all(re.fullmatch(r"(modes|stress), \d+ unknowns, step \d+", what) for what in told), told)

    def test_what_a_callback_raises_ends_the_work_and_passes_through(self):
        def refuse(share, what):
            raise ZeroDivisionError("enough")

        with self.assertRaisesRegex(ZeroDivisionError, "enough"):
            tymbal.read_design(examples / "choose-drum.toml").choose(progress=refuse)

    def test_ctrl_c_is_obeyed(self):
        for call in ("tymbal.choose(path)", "list(tymbal.sweep(path, 'film.thickness=40nm..90nm:9000'))",
                     "tymbal.predict(path, modes=200, accuracy=1e-6)", "tymbal.predict(pad, accuracy=1e-5)",
                     "tymbal.size(pad, '1 MHz')", "tymbal.report(pad, 'never.html')", "tymbal.read_chip(chip).predict(modes=20)",
                     "tymbal.read_design(lamp).with_({'holes.lattice': 'honeycomb'}).light()"):
            with self.subTest(call):
                code = (f"import signal, tymbal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell may have it ignored
                        f"path = {str(examples / 'choose-drum.toml')!r}; pad = {str(examples / 'tethered-pad.toml')!r}\n"
                        f"chip = {str(Chips.chip_file)!r}; lamp = {str(examples / 'lamp-mirror.toml')!r}; print('go', flush=True)\n"
                        f"try:\n    {call}\nexcept KeyboardInterrupt:\n    print('interrupted', flush=True)")
                child = subprocess.Popen([sys.executable, "-W", "ignore", "-c", code], stdout=subprocess.PIPE, text=True)
                self.addCleanup(child.kill)
                self.assertEqual(child.stdout.readline(), "go\n")
                time.sleep(0.7)
                start = time.monotonic()
                child.send_signal(signal.SIGINT)
                rest, _ = child.communicate(timeout=60)
                self.assertEqual(rest, "interrupted\n")
                self.assertEqual(child.returncode, 0)
                print(f"{call}: {time.monotonic() - start:.2f} s from Ctrl-C to the end")


class Versions(unittest.TestCase):
    def test_files_and_library_of_two_versions_refuse_each_other(self):
        with tempfile.TemporaryDirectory() as folder:
            package = pathlib.Path(folder) / "tymbal"
            shutil.copytree(pathlib.Path(tymbal.__file__).parent, package)
            (package / "_version.py").write_text('version: str = "0.0.9"\n', encoding="utf-8")
            done = subprocess.run([sys.executable, "-c", "import tymbal"], capture_output=True, text=True, check=False,
                                  env={**os.environ, "PYTHONPATH": folder})
        self.assertIn("ImportError", done.stderr)
        self.assertIn("0.0.9", done.stderr)
        self.assertIn(tymbal.__version__, done.stderr)

    def test_importing_does_not_bring_numpy_along(self):
        code = "import sys, tymbal; sys.exit('numpy' in sys.modules or 'pandas' in sys.modules)"
        subprocess.run([sys.executable, "-c", code], check=True)


if __name__ == "__main__":
    unittest.main(warnings="ignore")
