"""A paper on disk, and the pen that signs one: plain data, light to import."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fieldapp.identity.drawn import Drawing
from fieldapp.identity.errors import IdentityProblem
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.words import Role


class PaperRefused(IdentityProblem):
    """A paper that cannot be signed as it is; it was left as it was."""


@dataclass(frozen=True, slots=True)
class Paper:
    """A report on disk: where, whether it is signed, and whether it was made just now.

    ``note`` says what the signer should know, such as that no trusted timestamp could be had.
    """

    path: Path
    signed: bool
    new: bool
    note: str = ""


@dataclass(frozen=True, slots=True)
class Pen:
    """An unlocked key, the role in which its owner signs, and the strokes drawn by hand, if any."""

    key: UnlockedKey
    role: Role
    drawn: Drawing = ()
