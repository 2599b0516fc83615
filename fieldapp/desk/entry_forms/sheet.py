"""How a kind of entry is asked for: its fields in order, and the way between fields and values.

Fields are flat; where the values hold parts of their own, such as the points of a round, a sheet brings
its own way to spread them out and gather them again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields
from enum import StrEnum
from typing import Any

from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.measures import Measure, Near
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Possible, Reading
from fieldapp.record.said import said
from fieldapp.record.said_lists import word

Flat = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Spec:
    """One field before it meets a project: what it asks for, in which measure, where its value is kept.

    ``attribute`` is where the value is kept (``name`` when empty) in ``part`` (the values themselves when
    None); ``words`` is the closed list of a choice, ``among`` those of it that are offered (none: all), and
    ``likely`` a range narrower than the possible one.
    """

    name: str
    caption: str
    ask: Ask
    measure: Measure | None = None
    near: Near = Near.NOTHING
    needed: bool = False
    words: type[StrEnum] | None = None
    among: tuple[StrEnum, ...] = ()
    attribute: str = ""
    part: type | None = None
    likely: tuple[str, str, str] | None = None
    suggested: tuple[str, ...] = ()
    tells: str = ""
    long: bool = False

    @property
    def kept_as(self) -> str:
        """Attribute of the values that holds it."""
        return self.attribute or self.name


@dataclass(frozen=True, slots=True)
class Sheet:
    """The fields of one kind of entry.

    ``again`` gives the fields that repeat, for the values being amended or None; ``hidden`` are texts that
    are kept through an amendment without being asked for; ``unkept`` are fields for a check alone.
    """

    made: type[Values]
    title: str
    specs: tuple[Spec, ...]
    timer: str = ""
    hidden: tuple[str, ...] = ()
    unkept: tuple[str, ...] = ()
    again: Callable[[Values | None], tuple[Spec, ...]] | None = None
    spread: Callable[[Any], dict[str, Any]] | None = None
    gather: Callable[[Flat], dict[str, Any]] | None = None

    @property
    def kind(self) -> str:
        """Kind of entry."""
        return self.made.KIND

    def all_specs(self, present: Values | None = None) -> tuple[Spec, ...]:
        """Its fields in order, the repeated ones last."""
        return (*self.specs, *(self.again(present) if self.again else ()))


def possible_of(spec: Spec, sheet: Sheet) -> Possible | None:
    """The range in which a field's value is possible at all, from the record's own classes."""
    for each in fields(spec.part or sheet.made):
        if each.name == spec.kept_as:
            found: Possible | None = each.metadata.get("possible")
            return found
    return None


def is_needed(spec: Spec, sheet: Sheet) -> bool:
    """Whether the values cannot be made without it: said by the sheet, or no default in the record."""
    if spec.needed or spec.part is not None or spec.ask is Ask.PLACE:
        return spec.needed
    return any(
        each.name == spec.kept_as and each.default is MISSING and each.default_factory is MISSING
        for each in fields(sheet.made)
    )


def flat_of(sheet: Sheet, values: Values) -> dict[str, Any]:
    """Values by field name."""
    found: dict[str, Any] = {}
    for spec in sheet.specs:
        if spec.ask is Ask.PLACE:
            r: Reading | None = getattr(values, "r")  # noqa: B009 - kinds with a place have r and angle
            found[spec.name] = None if r is None else (r, getattr(values, "angle"))  # noqa: B009
        elif spec.part is None and spec.name not in sheet.unkept:
            found[spec.name] = getattr(values, spec.kept_as)
    return {**found, **(sheet.spread(values) if sheet.spread else {})}


def values_from(sheet: Sheet, flat: Flat) -> Values:
    """The values made of fields by name; what is left out keeps its default.  Raises Impossible."""
    kept: dict[str, Any] = {}
    for spec in sheet.specs:
        if spec.name not in flat or spec.part is not None or spec.name in sheet.unkept:
            continue
        if spec.ask is Ask.PLACE:
            kept["r"], kept["angle"] = flat[spec.name]
        else:
            kept[spec.kept_as] = flat[spec.name]
    kept.update({name: flat[name] for name in sheet.hidden if name in flat})
    if sheet.gather:
        kept.update(sheet.gather(flat))
    made: Callable[..., Values] = sheet.made
    return made(**kept)


def numbered(what: str, number: int) -> str:
    """The name of a repeated field: ``diameter 2``."""
    return said("{what} {number}", what=word(what), number=number)
