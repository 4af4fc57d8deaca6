"""Designs, errors, warnings, pickles, lifetimes, threads, Ctrl-C."""

import gc
import json
import os
import pathlib
import pickle
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
        chip = tymbal.read_chip(self.chip_file)
        there = chip.predict(**quick)
        self.assertEqual([d.name for d in there.devices], chip.devices)
        for name in ("P1", "S2", "H3"):
            alone = pickle.loads(pickle.dumps(chip.device(name))).predict(**quick)
            here = next(d for d in there.devices if d.name == name)
            self.assertEqual([m.frequency_hz for m in alone.modes], [m.frequency_hz for m in here.modes])

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

    def test_steps_that_are_wrong_leave_the_record_as_it_was(self):
        self.record.add_chip(Chips.chip_file, name="Skerry 12")
        before = self.record.list().json
        for step, words in (({"step": "nonsense", "chip": "Skerry 12"}, "^step: step: is 'nonsense'"),
                            ({"step": "note", "chip": "Heron 1", "note": "seen"}, "has no chip 'Heron 1'"),
                            ({"step": "fitted", "chip": "Skerry 12", "values": {"film.stress": "2 um"}}, "film.stress")):
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

    def test_a_sweep_that_is_left_stops(self):
        sweep = self.design.sweep({"film.thickness": np.linspace(40e-9, 90e-9, 5000)}, modes=1, accuracy=1e-2)
        self.assertEqual(len(sweep), 5000)
        next(sweep)
        start = time.monotonic()
        sweep.close()
        self.assertLess(time.monotonic() - start, 20.0)
        self.assertRaises(StopIteration, next, sweep)
        del sweep


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
        tymbal.Design(drum).predict(modes=12)
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

    def test_what_a_callback_raises_ends_the_work_and_passes_through(self):
        def refuse(share, what):
            raise ZeroDivisionError("enough")

        with self.assertRaisesRegex(ZeroDivisionError, "enough"):
            tymbal.read_design(examples / "choose-drum.toml").choose(progress=refuse)

    def test_ctrl_c_is_obeyed(self):
        for call in ("tymbal.choose(path)", "list(tymbal.sweep(path, 'film.thickness=40nm..90nm:9000'))",
                     "tymbal.predict(path, modes=200, accuracy=1e-6)"):
            with self.subTest(call):
                code = (f"import tymbal, time; path = {str(examples / 'choose-drum.toml')!r}; print('go', flush=True)\n"
                        f"try:\n    {call}\nexcept KeyboardInterrupt:\n    print('interrupted', flush=True)")
                child = subprocess.Popen([sys.executable, "-W", "ignore", "-c", code], stdout=subprocess.PIPE, text=True)
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
