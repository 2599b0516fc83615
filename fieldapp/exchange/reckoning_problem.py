"""Problems of a reckoning file: each names file, key, what was read and what was expected.

All problems of a file are told at once, and nothing is reckoned from a file that has one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, TypeVar

from fieldapp.units import OutOfRange

MOST_PROBLEMS: Final = 200
_LONGEST_SHOWN: Final = 80

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class ReckoningProblem:
    """One thing that cannot be read; ``key`` is its path in the file, empty for the file as a whole."""

    file: str
    key: str
    read: str
    expected: str

    def __str__(self) -> str:
        place = f"{self.file}, {self.key}" if self.key else self.file
        return f"{place}: read '{self.read}', expected {self.expected}"


class ReckoningRefused(ValueError):
    """A reckoning file that cannot be read; nothing was computed.  ``problems`` names every reason."""

    def __init__(self, problems: tuple[ReckoningProblem, ...]) -> None:
        self.problems = problems
        count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
        head = f"{problems[0].file} was not reckoned ({count}). Correct it and ask again."
        super().__init__("\n".join([head, *map(str, problems)]))


class ReckoningFaults:
    """The problems of one file, gathered while it is read."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[ReckoningProblem] = []

    def add(self, key: str, read: object, expected: str) -> None:
        """Note a problem.  Raises ReckoningRefused at once when there are too many to be of use."""
        said = str(read)
        shown = said if len(said) <= _LONGEST_SHOWN else f"{said[: _LONGEST_SHOWN - 3]}..."
        self.found.append(ReckoningProblem(self.file, key, shown, expected))
        if len(self.found) == MOST_PROBLEMS:
            more = ReckoningProblem(self.file, key, "more", "fewer problems; reading stopped")
            self.found.append(more)
            self.refuse_if_any()

    def made(self, key: str, make: Callable[[], Made]) -> Made | None:
        """What ``make`` gives; None with a problem noted when its numbers are out of range together."""
        try:
            return make()
        except OutOfRange as refused:
            self.add(key, "these values together", f"values that fit: {refused}")
            return None

    def refuse_if_any(self) -> None:
        """Raise ReckoningRefused when there is a problem."""
        if self.found:
            raise ReckoningRefused(tuple(self.found))
