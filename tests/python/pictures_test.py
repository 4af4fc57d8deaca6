"""Cards are whole HTML without requests; pictures show what they should, in the report's colours."""

import html.parser
import unittest

import matplotlib.colors
from matplotlib import pyplot

import tymbal
from tymbal import _colours
from shared import examples, quick, small_search


class Balanced(html.parser.HTMLParser):
    """Every tag closed, in order; text and attributes kept."""

    def __init__(self, page):
        super().__init__()
        self.open, self.faults, self.words, self.addresses = [], [], [], []
        self.feed(page)
        self.faults += self.open

    def handle_starttag(self, tag, attributes):
        self.open.append(tag)
        self.addresses += [value for name, value in attributes if name in ("src", "href")]

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)

    def handle_data(self, data):
        self.words.append(data)


class Pictures(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.found = tymbal.predict(examples / "perforated-square.toml", **quick, stress_map=True)
        cls.choice = tymbal.choose(small_search(), samples=6, **quick)
        cls.light = tymbal.light(examples / "lamp-mirror.toml")

    def tearDown(self):
        pyplot.close("all")

    def test_every_result_has_a_card(self):
        square = tymbal.read_design(examples / "plain-square.toml")
        results = [self.found, square.size("0.9 MHz", **quick), square.sweep({"film.thickness": [5e-8, 6e-8]}, **quick).table(),
                   tymbal.release(examples / "hole-field.toml"), square.plan(modes=3, accuracy=1e-2),
                   self.light, tymbal.cavity(examples / "cavity.toml", **quick),
                   tymbal.compare_cavity(examples / "cavity.toml", examples / "measured-detuning.csv", modes=3),
                   square.compare(examples / "measured-peaks.csv"), tymbal.film(examples / "wafer.toml"), tymbal.materials(),
                   self.choice]
        for result in [*results, square.with_({"film.thickness": 6e-8})]:
            with self.subTest(type(result).__name__):
                page = Balanced(result._repr_html_())
                self.assertEqual(page.faults, [])
                self.assertEqual(page.addresses, [])
                self.assertGreater(len("".join(page.words)), 20)

    def test_a_card_says_the_numbers_and_the_warnings(self):
        words = " ".join(Balanced(self.found._repr_html_()).words)
        self.assertIn(f"{self.found.modes[0].frequency_hz / 1e6:.3f}", words)
        self.assertIn(self.found.modes[0].label, words)
        for warning in self.found.warnings:
            self.assertIn(warning, words)

    def test_a_title_is_no_markup(self):
        text = (examples / "plain-square.toml").read_text(encoding="utf-8")
        first = next(line for line in text.splitlines() if line.startswith("title"))
        nasty = tymbal.Design.from_text(text.replace(first, 'title = "<script>alert(1)</script>"'))
        self.assertNotIn("<script>", nasty.predict(**quick)._repr_html_())

    def test_colours_are_the_reports(self):
        names = _colours.named()
        style = (examples.parent / "src" / "page" / "report.css").read_text(encoding="utf-8")
        for name in ("ink", "accent", "warm", "line", "note"):
            self.assertIn(f"--{name}:{names[name]}", style)
        middle = matplotlib.colors.to_hex(_colours.ramp(True)(0.5))
        self.assertGreater(min(matplotlib.colors.to_rgb(middle)), 0.9)

    def test_shapes_are_drawn_in_micrometres(self):
        figure = self.found.plot()
        self.assertEqual([ax.get_title().split()[0] for ax in figure.axes[:2]], [m.label for m in self.found.modes])
        width = 0.5e6 * tymbal.read_design(examples / "perforated-square.toml")["outline.width"]
        self.assertAlmostEqual(figure.axes[0].get_xlim()[1] / width, 1.0, delta=0.1)

    def test_the_budget_sums_to_less_than_the_largest_bar_is_long(self):
        figure = self.found.plot("budget")
        quality = self.found.modes[0].quality
        bars = [bar.get_width() for bar in figure.axes[0].patches]
        self.assertIn(1.0 / quality[quality.limited_by], bars)
        self.assertEqual(max(bars), 1.0 / quality[quality.limited_by])

    def test_a_sweep_of_two_keys_has_a_line_for_each_value_of_the_second(self):
        square = tymbal.read_design(examples / "plain-square.toml")
        table = square.sweep({"film.thickness": [5e-8, 6e-8], "film.stress": [0.8e9, 0.9e9, 1e9]}, **quick).table()
        ax = table.plot()
        self.assertEqual([list(line.get_xdata()) for line in ax.lines], [[5e-8, 6e-8]] * 3)
        self.assertEqual([text.get_text() for text in ax.get_legend().get_texts()], [f"film.stress = {s}" for s in ("8e+08", "9e+08", "1e+09")])

    def test_a_sweep_that_was_closed_has_nothing_to_draw(self):
        sweep = tymbal.sweep(examples / "plain-square.toml", {"film.thickness": [5e-8, 6e-8]}, **quick)
        sweep.close()
        with self.assertRaisesRegex(ValueError, "without rows"):
            sweep.table().plot()

    def test_the_other_pictures(self):
        square = tymbal.read_design(examples / "plain-square.toml")
        self.assertEqual(len(self.light.plot().lines[0].get_xdata()), len(self.light.spectrum.wavelength_m))
        compared = square.compare(examples / "measured-peaks.csv")
        self.assertEqual(len(compared.plot().texts), sum(p.label is not None for p in compared.devices[0].peaks))
        table = square.sweep({"film.thickness": [5e-8, 6e-8]}, **quick).table()
        self.assertEqual(list(table.plot().lines[0].get_xdata()), [5e-8, 6e-8])
        with self.assertRaisesRegex(KeyError, "no column 'frequency' with numbers among .*frequency_hz_1"):
            table.plot("frequency")
        cavity = tymbal.cavity(examples / "cavity.toml", **quick)
        self.assertEqual(len(cavity.plot().lines[0].get_xdata()), len(cavity.positions))
        self.assertIsNotNone(self.found.stress_map.plot())
        self.assertEqual(self.choice.plot().get_ylabel(), "Q f (Hz)")
        coupled = tymbal.choose(examples / "cavity.toml", samples=4, **quick)
        self.assertEqual(coupled.plot().get_ylabel(), "g0/2π (Hz)")
        self.assertIn("<th>g0/2π</th>", coupled._repr_html_())
        with self.assertRaises(ValueError):
            self.found.plot("poster")


if __name__ == "__main__":
    unittest.main(warnings="ignore")
