"""What was recorded on a device whose key is revoked: nobody knows who held it, so it shows nothing.

An entry is settled when it is struck on a device that is trusted; a decision or a project set-up, which are
never struck, when one of its kind is made anew on a device that is trusted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import joined, named, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.decisions import DECISIONS, Hold, Release, Strike, Withdrawal
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.revoked import is_since, revoked_devices
from fieldapp.record.said import said
from fieldapp.record.setup import Instrument, ProjectSetup

REVOKED: Final = Requirement(
    "revoked devices", Group.EVIDENCE, 18, "Nothing counts that a device recorded after its key was revoked."
)
REQUIREMENTS: Final = (REVOKED,)
_ON_CONCRETE: Final = (Release, Hold, Withdrawal)
_MADE_ANEW: Final = (*DECISIONS, ProjectSetup)


def revoked_devices_settled(look: Look) -> Finding:
    """Entries of this shaft made or changed on a revoked device since its revocation, until struck."""
    first = revoked_devices(look.project)
    if not first:
        return REVOKED.not_asked(said("Nothing was recorded on a device after its key was revoked."))
    against = [each for each in _lines(look) if _open(look, first, each)]
    if not against:
        return REVOKED.met(said("What a revoked device recorded on this shaft was struck or decided again."))
    devices = named("device", sorted({name for each in against for name in _devices(first, each)}))
    kinds = joined(term(each) for each in dict.fromkeys(each.original.kind for each in against))
    return REVOKED.not_shown(
        said(
            "Recorded on {devices} after its key was revoked: {kinds}. Strike it, or decide again.",
            devices=devices,
            kinds=kinds,
        ),
        Work.SETTLE,
        entries=tuple(name for each in against for name in each.entries),
        keeps_credit_open=any(not isinstance(each.values, DECISIONS) for each in against),
    )


def _lines(look: Look) -> list[Line[Values]]:
    """The shaft's own lines, and what the project as a whole says of limits and instruments."""
    own = [each for each in look.project.lines if isinstance(each.values, ProjectSetup | Instrument)]
    return [*own, *look.shaft.lines]


def _devices(first: Mapping[str, int], line: Line[Values]) -> Iterator[str]:
    return (each.device for each in (line.original, *line.changes) if is_since(first, each))


def _open(look: Look, first: Mapping[str, int], line: Line[Values]) -> bool:
    if not any(_devices(first, line)):
        return False
    if isinstance(line.values, _MADE_ANEW):
        return is_since(first, line.original) and not _decided_again(look, first, line)
    return not any(isinstance(each.values, Strike) and not is_since(first, each) for each in line.changes)


def _decided_again(look: Look, first: Mapping[str, int], line: Line[Values]) -> bool:
    kinds = _of_its_kind(line.values)
    return any(
        isinstance(each.values, kinds)
        and each.original.order > line.original.order
        and not is_since(first, each.original)
        for each in _lines(look)
    )


def _of_its_kind(values: Values) -> tuple[type[Values], ...]:
    if isinstance(values, _ON_CONCRETE):
        return _ON_CONCRETE
    return (type(values),)
