"""Fields over the film: mode shapes and stress, as arrays that share the library's memory and cannot be written to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ._tree import locked, same_values

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]


class _Field:
    """Arrays by name. A copy of them goes into a pickle."""

    def __init__(self, parts: dict[str, Any]) -> None:
        self.__dict__.update(locked(parts))

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"results are not changed: {name}")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"results are not changed: {name}")

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (vars(self),)

    def __eq__(self, other: object) -> bool:
        return type(other) is type(self) and same_values(vars(self), vars(other))

    __hash__ = None  # type: ignore[assignment]


class Shape(_Field):
    """A mode's shape on a raster.

    x: places along x, m, shape (columns,). y: along y, m, shape (rows,). w: displacement over the largest one, 1,
    shape (rows, columns), 0 outside the outline. open: True where an opening holds no film, same shape, or None.
    """

    x: Array
    y: Array
    w: Array
    open: NDArray[np.bool_] | None

    def __repr__(self) -> str:
        return f"<Shape {self.w.shape[0]} x {self.w.shape[1]}>"

    def plot(self, ax: Any = None) -> Any:
        """Draws the shape. :returns: matplotlib's axes"""
        from ._plots import draw_shape

        return draw_shape(self, ax)


class StressMap(_Field):
    """Relaxed stress at the centres of the cells of a raster, Pa, NaN outside the film and in cells with little film.

    x, y: places, m. xx_pa, yy_pa, xy_pa: tension over film thickness, open area counted in, shape (rows, columns).
    largest_pa: largest stress there, at the edges of holes tangential, in solid film von Mises. peak_pa, peak_error_pa,
    peak_m: the largest of all, its error, and where (x, y).
    """

    x: Array
    y: Array
    xx_pa: Array
    yy_pa: Array
    xy_pa: Array
    largest_pa: Array
    peak_pa: float
    peak_error_pa: float
    peak_m: tuple[float, float]

    def __repr__(self) -> str:
        return f"<StressMap {self.largest_pa.shape[0]} x {self.largest_pa.shape[1]}, peak {self.peak_pa:.4g} Pa>"

    def plot(self, ax: Any = None) -> Any:
        """Draws the largest stress. :returns: matplotlib's axes"""
        from ._plots import draw_stress

        return draw_stress(self, ax)
