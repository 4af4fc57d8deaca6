#!/usr/bin/python3
"""What the Python module costs: PYTHONPATH=BUILD/python tests/bench/python.py PROGRAM [ROWS]

import      of the module, seconds of a fresh interpreter less those of one without it
call        a task that does next to nothing (reading and checking a small design), and making a result of a prediction's JSON
sweep       ROWS designs from Python over the program's own time for the same
"""

import pathlib
import statistics
import subprocess
import sys
import time
import warnings

import tymbal

warnings.simplefilter("ignore")
program = sys.argv[1]
rows = int(sys.argv[2]) if len(sys.argv) > 2 else 1000
design = pathlib.Path(__file__).resolve().parents[2] / "examples" / "plain-square.toml"
vary = f"film.thickness=40nm..90nm:{rows}"


def seconds(task, times):
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        task()
        taken.append(time.perf_counter() - start)
    return min(taken), statistics.median(taken)


def python(code):
    return lambda: subprocess.run([sys.executable, "-c", code], check=True)


def program_sweep():
    subprocess.run([program, "sweep", design, "--vary", vary, "--modes", "1", "--quiet", "--json", "-"], check=True,
                   stdout=subprocess.DEVNULL)


with_it, without = seconds(python("import tymbal"), 9), seconds(python("pass"), 9)
print(f"import: {with_it[0] - without[0]:.3f} s at best, median {with_it[1] - without[1]:.3f} s")
read = tymbal.read_design(design)
print("check: {:.2f} ms at best, median {:.2f} ms".format(*(1e3 * t for t in seconds(read.check, 50))))
found = read.predict(modes=12)
shapes = [mode.shape for mode in found.modes]
print("result: {:.2f} ms at best, median {:.2f} ms".format(
    *(1e3 * t for t in seconds(lambda: tymbal.Prediction(found.json, str(found), shapes, None), 50))))
ours, theirs = [], []
for _ in range(3):  # in turns, so that other work on the machine meets both
    ours.append(seconds(lambda: read.sweep(vary, modes=1).table(), 1)[0])
    theirs.append(seconds(program_sweep, 1)[0])
print(f"sweep of {rows}: {min(ours):.2f} s from Python, {min(theirs):.2f} s by the program: {min(ours) / min(theirs) - 1:+.1%}")
