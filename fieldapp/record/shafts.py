"""The shafts of a project, each folded when it is asked for: a project may hold more than a device can."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Generic, TypeAlias, TypeVar

T = TypeVar("T")
Last: TypeAlias = Mapping[str, int]
"""The number of the last entry that is to be seen, by device."""


class Shafts(Mapping[str, T], Generic[T]):
    """What ``fold`` makes of each shaft, by name, in the order of names.

    ``fold`` is given the name and how far to read, so that what is added to the journal later stays unseen;
    it goes in by `with_one`.  The last ``most`` that were asked for are kept; all without it.
    """

    def __init__(
        self,
        names: Iterable[str],
        fold: Callable[[str, Last], T],
        last: Last,
        most: int | None = None,
    ) -> None:
        self._names = dict.fromkeys(sorted(names))
        self._fold = fold
        self._last = last
        self._most = most
        self._kept: OrderedDict[str, T] = OrderedDict()

    def __getitem__(self, name: str) -> T:
        if name not in self._names:
            raise KeyError(name)
        found = self._kept.get(name)
        if found is None:
            found = self._fold(name, self._last)
        self._keep(name, found)
        return found

    def __contains__(self, name: object) -> bool:
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def with_one(self, name: str, one: T, last: Last) -> Shafts[T]:
        """These, with ``one`` in the place of that of its name or in addition, read as far as ``last``."""
        other = Shafts((), self._fold, last, self._most)
        other._names = self._names if name in self._names else dict.fromkeys(sorted({*self._names, name}))
        other._kept = self._kept.copy()
        other._keep(name, one)
        return other

    def _keep(self, name: str, one: T) -> None:
        self._kept[name] = one
        self._kept.move_to_end(name)
        if self._most is not None and len(self._kept) > self._most:
            self._kept.popitem(last=False)
