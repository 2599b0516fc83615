"""Problems of a plain log: each names file, line, field, what was read and what was expected.

All problems of a file are collected before it is refused, so that one correction round is enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fieldapp.record.reading import Impossible

MOST_PROBLEMS: Final = 500


@dataclass(frozen=True, slots=True)
class PlainProblem:
    """One thing that cannot be read; ``line`` 0 means the file as a whole."""

    file: str
    line: int
    field: str
    read: str
    expected: str

    def __str__(self) -> str:
        place = f"{self.file} line {self.line}" if self.line else self.file
        return f"{place}, {self.field}: read '{self.read}', expected {self.expected}"


class PlainLogRefused(ValueError):
    """A plain log that cannot be read; nothing of it was taken over.  ``problems`` names every reason."""

    def __init__(self, problems: tuple[PlainProblem, ...]) -> None:
        self.problems = problems
        count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
        head = (
            f"{problems[0].file} was not added ({count}). Nothing is recorded; correct it and add it again."
        )
        super().__init__("\n".join([head, *map(str, problems)]))


class Faults:
    """The problems of one file, gathered while it is read."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.found: list[PlainProblem] = []
        self._begun = 0

    def begin_entry(self) -> None:
        """From here on problems belong to a new entry."""
        self._begun = len(self.found)

    @property
    def of_entry(self) -> list[PlainProblem]:
        """The problems of the entry that is being read."""
        return self.found[self._begun :]

    def add(self, line: int, field: str, read: str, expected: str) -> None:
        """Note a problem.  Raises PlainLogRefused at once when there are too many to be of use."""
        shown = read if len(read) <= 80 else f"{read[:77]}..."
        self.found.append(PlainProblem(self.file, line, field.replace("_", " "), shown, expected))
        if len(self.found) == MOST_PROBLEMS:
            self.found.append(
                PlainProblem(self.file, line, "line", "more", "fewer problems; reading stopped")
            )
            self.refuse_if_any()

    def take(self, line: int, problem: Impossible) -> None:
        """Note a value that cannot be."""
        self.add(line, problem.field_name, problem.read, problem.expected)

    def refuse_if_any(self) -> None:
        """Raise PlainLogRefused when there is a problem."""
        if self.found:
            raise PlainLogRefused(tuple(sorted(self.found, key=lambda each: each.line)))
