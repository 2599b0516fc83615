"""Who may make which entry.  The table is held against the roster when an entry is made and when it arrives.

Judgment of the authors: observations belong to those who stand at the hole, decisions to one role each.
"""

from __future__ import annotations

from typing import Final

from fieldapp.record.attesting import ATTESTING, Revocation
from fieldapp.record.decisions import (
    Amend,
    Disposition,
    Hold,
    LogSigned,
    Release,
    Strike,
    Withdrawal,
)
from fieldapp.record.hole import Note, Photo
from fieldapp.record.kinds import KINDS
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.words import Role

_EVERYBODY: Final = frozenset(Role)
_AT_THE_HOLE: Final = frozenset({Role.INSPECTOR, Role.RESIDENT_ENGINEER})
_OFFICE: Final = frozenset({Role.RESIDENT_ENGINEER, Role.DESIGNER})
_OWN: Final[dict[str, frozenset[Role]]] = {
    ProjectSetup.KIND: _OFFICE,
    ShaftScheduled.KIND: _OFFICE,
    Note.KIND: _EVERYBODY,
    Photo.KIND: _EVERYBODY,
    LogSigned.KIND: frozenset({Role.INSPECTOR}),
    Release.KIND: frozenset({Role.RESIDENT_ENGINEER}),
    Hold.KIND: frozenset({Role.RESIDENT_ENGINEER}),
    Withdrawal.KIND: frozenset({Role.RESIDENT_ENGINEER}),
    Disposition.KIND: frozenset({Role.DESIGNER}),
    Amend.KIND: _EVERYBODY,
    Strike.KIND: _EVERYBODY,
    **{each.KIND: _EVERYBODY for each in ATTESTING},
    Revocation.KIND: _OFFICE,
}

# Amending and striking are for everybody, but only what one may make oneself.
MAY_MAKE: Final[dict[str, frozenset[Role]]] = {kind: _OWN.get(kind, _AT_THE_HOLE) for kind in KINDS}


def may_make(kind: str, roles: tuple[Role, ...]) -> bool:
    """Whether a person with these roles may make an entry of a kind."""
    return bool(MAY_MAKE[kind].intersection(roles))
