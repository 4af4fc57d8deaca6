"""Results as cards in a notebook, in the manner of the report: title, figures at a glance, modes, warnings."""

from __future__ import annotations

import html
from typing import Any, Callable, Iterable

from ._colours import named
from ._drawings import Pattern
from ._results import (CavityFit, CavityReport, ChipPrediction, ChipRelease, Choice, Comparison, Learned, Light, MaterialTable, Plan,
                       Prediction, Released, Result, Sized, SweepTable, WaferFilm)
from ._toml import unit_of
from ._units import aims, shown, with_deviation

Glance = list[tuple[str, str]]
most_rows = 12


def card(result: Result) -> str:
    """HTML without scripts and without requests."""
    glance, table = _parts.get(type(result), _as_printed)(result)
    warnings = "" if table.startswith("<pre") else _warnings(result)  # a printed table has them
    return "".join([_open(result), _glance(glance), table, warnings, "</div>"])


def design_card(title: str, path: str, changes: Iterable[tuple[str, Any]]) -> str:
    rows = [[key, str(value)] for key, value in changes]
    return "".join([_frame(type_name="Design", title=title), _glance([("file", path)]), _table(["changed key", "value"], rows), "</div>"])


def _open(result: Result) -> str:
    design = result["design"] if "design" in result else None
    return _frame(type(result).__name__, str(getattr(design, "title", "") or ""))


def _frame(type_name: str, title: str) -> str:
    c = named()
    style = (f"background:{c['sheet']};color:{c['ink']};border:1px solid {c['line']};border-top:3px double {c['strong']};"
             "padding:.6rem 1rem;max-width:60rem;font:14px/1.5 system-ui,sans-serif")
    kind = f"<span style='color:{c['soft']};font-size:.86rem'>{html.escape(type_name)}</span>"
    return f"<div class='tymbal-card' style='{style}'>{kind}<div style='font-size:1.15rem'>{html.escape(title)}</div>"


def _glance(pairs: Glance) -> str:
    soft = named()["soft"]
    cells = "".join(f"<div><div style='font-size:.8rem;color:{soft}'>{html.escape(name)}</div>{html.escape(value)}</div>"
                    for name, value in pairs)
    return f"<div style='display:flex;flex-wrap:wrap;gap:.4rem 2rem;margin:.5rem 0'>{cells}</div>" if cells else ""


def _table(names: list[str], rows: list[list[str]]) -> str:
    if not rows:
        return ""
    head = "".join(f"<th>{html.escape(n)}</th>" for n in names)
    body = "".join("<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in row) + "</tr>" for row in rows[:most_rows])
    more = f"<div>and {len(rows) - most_rows} more</div>" if len(rows) > most_rows else ""
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>{more}"


def _warnings(result: Result) -> str:
    c = named()
    texts = [*(result["warnings"] or [] if "warnings" in result else []), *(result["cautions"] if "cautions" in result else [])]
    style = f"border-left:4px solid {c['warm']};background:{c['note']};padding:.2rem .8rem;margin:.3rem 0"
    return "".join(f"<div style='{style}'>{html.escape(text)}</div>" for text in texts)


def _prediction(p: Result) -> tuple[Glance, str]:
    film = p.film
    glance = [("model", p.model), ("relaxed stress", shown(film.stress_relaxed_mean_pa, "Pa")),
              ("largest stress", with_deviation(film.stress_peak_von_mises_pa, film.stress_peak_error_pa, "Pa")),
              ("mass", shown(1e3 * film.mass_kg, "g")),
              ("open", "–" if film.fill_factor is None else f"{100 * film.fill_factor:.3g} %")]
    rows = [[str(m.index), m.label, with_deviation(m.frequency_hz, m.frequency_std_hz, "Hz"),
             shown(m.discretisation_error_hz, "Hz", 2), shown(m.quality.total, "", 2), str(m.quality.limited_by or "–"),
             shown(1e3 * m.effective_mass_kg, "g", 3)] for m in p.modes]
    return glance, _table(["#", "mode", "frequency", "grid error", "Q", "set by", "mass"], rows)


def _sized(s: Result) -> tuple[Glance, str]:
    rows = [[length.key, shown(length.before_m, "m", 6), shown(length.after_m, "m", 6)] for length in s.lengths]
    return [("mode", s.target.mode), ("frequency", with_deviation(s.frequency_hz, s.frequency_std_hz, "Hz")),
            ("how", s.how)], _table(["key", "before", "after"], rows)


def _choice(c: Result) -> tuple[Glance, str]:
    keys = list(c.recommended.changes)
    name, key, unit = aims[c.aim]
    rows = [[*(f"{d.changes[k]:.4g}" if isinstance(d.changes[k], float) else str(d.changes[k]) for k in keys if k in d.changes),
             shown(d.frequency_hz, "Hz"), shown(d[key], unit, 2)] for d in c.best]
    return [("solved", str(c.solved)), ("feasible", str(c.feasible.count)), ("why", c.reason)], _table([*keys, "f", name], rows)


def _modes(r: Result, columns: list[tuple[str, str, str]]) -> str:
    rows = [[m.label, *(shown(m[key] if key in m else None, unit) for _, key, unit in columns)] for m in r.modes]
    return _table(["mode", *(name for name, _, _ in columns)], rows)


def _plan(p: Result) -> tuple[Glance, str]:
    return [("temperature", shown(p.temperature_k, "K"))], _modes(p, [("frequency", "frequency_hz", "Hz")])


def _cavity(c: Result) -> tuple[Glance, str]:
    glance = [("finesse", shown(c.finesse, "", 3)), ("mean linewidth", shown(c.kappa_mean_hz, "Hz")),
              ("largest coupling", shown(c.largest_linear_coupling_hz_per_m * 1e-9, "Hz/nm"))]
    return glance, _modes(c, [("frequency", "frequency_hz", "Hz"), ("g0", "g0_hz", "Hz"), ("final occupancy", "final_occupancy", "")])


def _light(r: Result) -> tuple[Glance, str]:
    glance = [("wavelength", shown(r.wavelength_m, "m")), ("reflected", f"{100 * r.reflectivity:.4g} %"),
              ("transmitted", f"{100 * r.transmission:.4g} %"), ("absorbed", f"{r.absorption:.2g}")]
    rows = [[line.polarisation, shown(line.wavelength_m, "m", 6), shown(line.fwhm_m, "m", 3)] for line in r.lines]
    return glance, _table(["line", "wavelength", "full width"], rows)


def _comparison(c: Result) -> tuple[Glance, str]:
    values = c.fit["values"] if c.fit is not None else []
    glance = [(v.name, with_deviation(v.fitted, v.fitted_std, "" if v.unit == "1" else v.unit)) for v in values]
    rows = [[shown(p.frequency_hz, "Hz", 6), p.label or "–", "–" if p.residual is None else f"{p.residual:.1e}", p.remark or ""]
            for device in c.devices for p in device.peaks]
    verdict = "".join(f"<p>{html.escape(text)}</p>" for text in c.verdict)
    return glance, _table(["peak", "mode", "residual", "remark"], rows) + verdict


def _film(f: Result) -> tuple[Glance, str]:
    rows = [[d.name, shown(d.frequency_hz, "Hz")] for d in f.dies if "frequency_hz" in d]
    return [("stress", with_deviation(f.stress_pa, f.stress_std_pa, "Pa")),
            ("thickness", with_deviation(f.thickness_m, f.thickness_std_m, "m"))], _table(["die", "frequency"], rows)


def _sweep(s: Result) -> tuple[Glance, str]:
    names = [*s.varied, "frequency_hz_1", "quality_1"]
    rows = [[*("–" if row[n] is None else f"{row[n]:.5g}" if isinstance(row[n], float) else str(row[n]) for n in names if n in row)]
            for row in s.rows]
    return [("designs", str(len(s.rows)))], _table(names, rows)


def _released(r: Result) -> tuple[Glance, str]:
    rows = [[limit.key, "held" if limit.held else "broken"] for limit in r.limits]
    return [], _table(["limit", ""], rows)


def _materials(m: Result) -> tuple[Glance, str]:
    return [("rows", ", ".join(m))], ""


def _chip_prediction(c: Result) -> tuple[Glance, str]:
    rows = [[d.name, shown(d.width_m, "m"), *([m.label, with_deviation(m.frequency_hz, m.frequency_std_hz, "Hz")] if (
        m := next(iter(d.modes), None)) else ["–", d.warnings[0]])] for d in c.devices]
    return [("devices", str(len(c.devices))), ("close modes", str(len(c.close_modes)))], _table(
        ["device", "width", "lowest mode", "frequency"], rows)


def _chip_release(c: Result) -> tuple[Glance, str]:
    return [("last device clear", shown(c.window_opens_s, "s")), ("opened by", ", ".join(c.opened_by)),
            ("first limit", shown(c.window_closes_s, "s")), ("closed by", ", ".join(c.closed_by))], ""


def _learned(r: Result) -> tuple[Glance, str]:
    rows = [[line.key, with_deviation(line.value, line.std, unit_of(line.key)), line.basis] for line in r.lines]
    return [], _table(["key", "next chip", "from"], rows)


def _cavity_fit(f: Result) -> tuple[Glance, str]:
    rows = [[shown(r.detuning_hz, "Hz"), shown(r.frequency_hz, "Hz"), shown(r.width_hz, "Hz")] for r in f.lines]
    return [("mode", f.mode.label), ("g0/2π", with_deviation(f.found.g0_hz, f.found.g0_std_hz, "Hz")),
            ("κ/2π", with_deviation(f.found.kappa_hz, f.found.kappa_std_hz, "Hz"))], _table(["detuning", "frequency", "width"], rows)


def _pattern(p: Result) -> tuple[Glance, str]:
    rows = [[c.name, shown(c.width_m, "m"), shown(c.limit_m, "m"), "met" if c.held else "BROKEN"] for c in p.checks]
    return [("label", p.label or "–"), ("crosses", str(p.crosses)), ("witnesses", ", ".join(w.witness for w in p.witnesses) or "–")], _table(
        ["check", "as drawn", "the writer needs", ""], rows)


def _as_printed(r: Result) -> tuple[Glance, str]:
    """What has no card of its own: the program's table."""
    return [], f"<pre style='font-size:.86rem;overflow-x:auto'>{html.escape(str(r))}</pre>"


_parts: dict[type, Callable[[Result], tuple[Glance, str]]] = {
    Prediction: _prediction, Sized: _sized, Choice: _choice, Plan: _plan, CavityReport: _cavity, CavityFit: _cavity_fit, Light: _light,
    Comparison: _comparison, WaferFilm: _film, SweepTable: _sweep, Released: _released, MaterialTable: _materials,
    ChipPrediction: _chip_prediction, ChipRelease: _chip_release, Learned: _learned,
    Pattern: _pattern,
}
