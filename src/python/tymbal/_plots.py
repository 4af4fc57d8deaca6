"""Pictures of results by matplotlib, in the report's colours."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from ._colours import named, ramp
from ._units import aims

if TYPE_CHECKING:
    from ._fields import Shape, StressMap
    from ._results import CavityReport, Choice, Comparison, Light, Prediction, SweepTable

um = 1e6


def _axes(ax: Any) -> Any:
    if ax is not None:
        return ax
    from matplotlib import pyplot

    return pyplot.subplots()[1]


def _plain(ax: Any, x: str, y: str) -> Any:
    """The report's quiet frame."""
    c = named()
    ax.set_xlabel(x)
    ax.set_ylabel(y)
    ax.tick_params(colors=c["soft"])
    ax.grid(color=c["line"], linewidth=0.6)
    ax.set_axisbelow(True)
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        ax.spines[side].set_color(c["strong"])
    return ax


def _map(ax: Any, x: Any, y: Any, values: Any, **how: Any) -> Any:
    mesh = ax.pcolormesh(um * x, um * y, values, shading="nearest", **how)
    ax.set_aspect("equal")
    ax.set_xlabel("x (µm)")
    ax.set_ylabel("y (µm)")
    return mesh


def draw_shape(shape: Shape, ax: Any) -> Any:
    import numpy as np

    ax = _axes(ax)
    w = shape.w if shape.open is None else np.where(shape.open, np.nan, shape.w)
    _map(ax, shape.x, shape.y, w, cmap=ramp(True), vmin=-1.0, vmax=1.0)
    return ax


def draw_stress(stress: StressMap, ax: Any) -> Any:
    ax = _axes(ax)
    mesh = _map(ax, stress.x, stress.y, stress.largest_pa / 1e9, cmap=ramp(False))
    ax.figure.colorbar(mesh, ax=ax, label="largest stress (GPa)")
    ax.plot(um * stress.peak_m[0], um * stress.peak_m[1], "o", mfc="none", color=named()["warm"])
    return ax


def draw_modes(prediction: Prediction) -> Any:
    from matplotlib import pyplot

    modes = prediction.modes
    columns = min(4, max(1, len(modes)))
    rows = math.ceil(len(modes) / columns) or 1
    figure, axes = pyplot.subplots(rows, columns, figsize=(3.0 * columns, 2.9 * rows), squeeze=False, layout="constrained")
    for ax, mode in zip(axes.flat, modes):
        mode.plot(ax)
    for ax in axes.flat[len(modes):]:
        ax.set_visible(False)
    return figure


def _losses(quality: Any) -> list[str]:
    """The names of the mechanisms; ``trust`` names them all."""
    return list(quality.trust)


def draw_budget(prediction: Prediction) -> Any:
    """1/Q of each mechanism, bands as lines, the largest in the accent colour."""
    from matplotlib import pyplot

    c = named()
    modes = prediction.modes
    figure, axes = pyplot.subplots(len(modes), 1, figsize=(6.5, 1.5 * len(modes) + 0.6), squeeze=False, sharex=True,
                                   layout="constrained")
    for ax, mode in zip(axes.flat, modes):
        q = mode["quality"]
        # "intrinsic" is the film's loss before the mode dilutes it: "diluted" carries it.
        names = [n for n in _losses(q) if q[n] is not None and n != "intrinsic"]
        colours = [c["accent"] if n == q.limited_by else c["strong"] for n in names]
        ax.barh(names, [1.0 / q[n] for n in names], color=colours)
        for n in names:
            if n + "_low" in q and q[n + "_low"] and q[n + "_high"]:
                ax.plot([1.0 / q[n + "_high"], 1.0 / q[n + "_low"]], [n, n], color=c["ink"], linewidth=1.0)
        ax.set_xscale("log")
        ax.set_title(f"{mode.label}  {mode.frequency_hz / 1e6:.4f} MHz", loc="left", fontsize="medium")
        _plain(ax, "", "")
    axes.flat[-1].set_xlabel("loss 1/Q (line: its band)")
    return figure


def draw_spectrum(light: Light, ax: Any) -> Any:
    c = named()
    ax = _plain(_axes(ax), "wavelength (nm)", "share of the power")
    s = light.spectrum
    ax.plot(1e9 * s.wavelength_m, s.reflectivity, color=c["accent"], label="reflected")
    ax.plot(1e9 * s.wavelength_m, s.transmission, color=c["warm"], label="transmitted")
    ax.axvline(1e9 * light.wavelength_m, color=c["soft"], linewidth=0.8, linestyle="--")
    ax.legend(frameon=False)
    return ax


def draw_choice(choice: Choice, ax: Any) -> Any:
    c = named()
    name, key, unit = aims[choice.aim]
    ax = _plain(_axes(ax), "frequency (MHz)", f"{name} ({unit})" if unit else name)
    ax.plot([d.frequency_hz / 1e6 for d in choice.best], [d[key] for d in choice.best], "o", color=c["strong"], label="trade-offs")
    one = choice.recommended
    ax.plot([one.frequency_hz / 1e6], [one[key]], "o", color=c["accent"], label="recommended")
    ax.set_yscale("log")
    if choice.window_hz:
        ax.axvspan(choice.window_hz[0] / 1e6, choice.window_hz[1] / 1e6, color=c["note"], zorder=0)
    ax.legend(frameon=False)
    return ax


def draw_cavity(cavity: CavityReport, ax: Any) -> Any:
    c = named()
    ax = _plain(_axes(ax), "place of the film (nm)", "linear coupling (GHz/nm)")
    ax.plot([1e9 * p.position_m for p in cavity.positions], [1e-18 * p.linear_coupling_hz_per_m for p in cavity.positions],
            color=c["accent"])
    ax.axvline(1e9 * cavity.place.position_m, color=c["warm"], linewidth=0.8, linestyle="--")
    return ax


def draw_comparison(comparison: Comparison, ax: Any, device: int) -> Any:
    c = named()
    ax = _plain(_axes(ax), "measured (MHz)", "measured over fitted, less one")
    named_peaks = [p for p in comparison.devices[device].peaks if p.residual is not None]
    ax.errorbar([p.frequency_hz / 1e6 for p in named_peaks], [math.expm1(p.residual) for p in named_peaks],
                [(p.frequency_std_hz or 0.0) / p.frequency_hz for p in named_peaks], fmt="o", color=c["accent"], ecolor=c["soft"])
    for p in named_peaks:
        ax.annotate(p.label, (p.frequency_hz / 1e6, math.expm1(p.residual)), xytext=(4, 4), textcoords="offset points",
                    fontsize="small", color=c["soft"])
    ax.axhline(0.0, color=c["strong"], linewidth=0.8)
    return ax


def draw_sweep(sweep: SweepTable, column: str, ax: Any) -> Any:
    if not sweep.rows:
        raise ValueError("a sweep without rows has nothing to draw")
    key = next((k for k in sweep.varied if all(_is_number(r[k]) for r in sweep.rows)), None)
    if key is None:
        raise ValueError("no varied key has numbers to draw over")
    numeric = [n for n in sweep.rows[0] if any(_is_number(r[n]) for r in sweep.rows)]
    if column not in numeric:
        raise KeyError(f"no column '{column}' with numbers among {', '.join(numeric)}")
    lines: dict[str, list[Any]] = {}
    for row in sorted((r for r in sweep.rows if r[column] is not None), key=lambda r: float(r[key])):
        lines.setdefault(", ".join(f"{k} = {_figure(row[k])}" for k in sweep.varied if k != key), []).append(row)
    ax = _plain(_axes(ax), key, column)
    for k, (label, rows) in enumerate(sorted(lines.items(), key=lambda line: int(line[1][0].index))):
        colour = named()["accent"] if len(lines) == 1 else ramp(False)(0.35 + 0.65 * k / (len(lines) - 1))
        ax.plot([r[key] for r in rows], [r[column] for r in rows], "o-", label=label, color=colour)
    if len(lines) > 1:
        ax.legend(frameon=False)
    return ax


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _figure(value: Any) -> str:
    return f"{value:.4g}" if isinstance(value, float) else str(value)
