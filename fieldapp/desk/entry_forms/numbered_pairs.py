"""A list of parts with two values each, asked for as ``diameter 1``, ``depth 1``, ``diameter 2`` and so on.

A part with one of its two values is refused; numbers may have gaps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from fieldapp.desk.entry_forms.sheet import Flat, Spec, numbered
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said


@dataclass(frozen=True, slots=True)
class NumberedPairs:
    """How one list is asked for.

    ``names`` are those of the two fields before their number, ``kept_as`` their attributes in ``part``,
    ``wants`` says what belongs together, ``most`` is how many are offered where fewer are known.
    """

    part: type
    names: tuple[str, str]
    kept_as: tuple[str, str]
    wants: str
    most: int

    def specs(self, known: int, pair: Callable[[int], tuple[Spec, Spec]]) -> tuple[Spec, ...]:
        """The fields of as many parts as are offered or known, each two made by ``pair``."""
        return tuple(spec for number in range(1, max(self.most, known) + 1) for spec in pair(number))

    def spread(self, parts: Iterable[Any]) -> dict[str, Any]:
        """Parts by field name."""
        flat: dict[str, Any] = {}
        for number, each in enumerate(parts, 1):
            values = (getattr(each, name) for name in self.kept_as)
            flat |= {numbered(name, number): value for name, value in zip(self.names, values, strict=True)}
        return flat

    def gather(self, flat: Flat) -> tuple[Any, ...]:
        """The parts made of fields by name.  Raises Impossible, naming the field."""
        starts = tuple(f"{name} " for name in self.names)
        numbers = sorted({int(name.rsplit(" ", 1)[1]) for name in flat if name.startswith(starts)})
        return tuple(self._made(number, flat) for number in numbers)

    def _made(self, number: int, flat: Flat) -> Any:
        values = [flat.get(numbered(name, number)) for name in self.names]
        if None in values:
            missing = self.names[values.index(None)]
            raise Impossible(numbered(missing, number), said("nothing"), self.wants)
        try:
            return self.part(**dict(zip(self.kept_as, values, strict=True)))
        except Impossible as problem:
            name = self.names[self.kept_as.index(problem.field_name)]
            raise Impossible(numbered(name, number), problem.read, problem.expected) from None
