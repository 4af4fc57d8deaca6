"""The report's own colours: its style sheet's names, and the ramps of its maps."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from . import _core

if TYPE_CHECKING:
    from matplotlib.colors import Colormap


def named() -> dict[str, str]:
    """Colours of the light page by their names: ink, soft, line, accent, warm, film, ..."""
    first_rule = _core.report_css.split("}", 1)[0]
    return dict(re.findall(r"--(\w+):(#\w+)", first_rule))


def ramp(diverging: bool) -> Colormap:
    from matplotlib.colors import LinearSegmentedColormap

    name = "tymbal-diverging" if diverging else "tymbal-sequential"
    return LinearSegmentedColormap.from_list(name, _core.ramp(diverging, 65))
