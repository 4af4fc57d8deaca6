"""What can go wrong, and what must be known before a result is used."""

from __future__ import annotations

from typing import Any


class InputError(ValueError):
    """Bad input. The text reads ``FILE:LINE: key: what is wrong; what is accepted``.

    ``file`` and ``key`` are empty, ``line`` is 0, where none is at fault.
    """

    def __init__(self, message: str, file: str = "", line: int = 0, key: str = "") -> None:
        super().__init__(message)
        self.file, self.line, self.key = file, line, key

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (str(self), self.file, self.line, self.key)


class NoAnswer(RuntimeError):
    """The input is sound and the task has no answer; the text says why.

    ``result`` is what is left to say of a flat film that is not stable (``result.film.buckling_stress_pa``), else None.
    """

    def __init__(self, message: str, result: Any = None) -> None:
        super().__init__(message)
        self.result = result

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (str(self), self.result)


class DesignWarning(UserWarning):
    """Something to know before trusting or using a result. ``code`` is a short stable name such as "thick-plate"."""

    @property
    def code(self) -> str:
        return str(self).partition(":")[0]
