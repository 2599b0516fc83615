"""The people that a key or a signature can speak for.

The roster is a matter of the record; this holds only what a certificate or a signature names.  It
refuses a name that a certificate cannot carry whole.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.identity.errors import UnfitText
from fieldapp.record.words import Role

NAME_LIMIT = 64  # X.520, ub-common-name; the same limit holds for the unit and the organisation


def check_name(name: str) -> None:
    """Refuse a name that is empty, unprintable, or too long for a certificate.

    Parameters
    ----------
    name
        A person's name as in the roster, 1 to 64 characters.

    Raises
    ------
    UnfitText
        With what the name may be.
    """
    if not name.strip() or name != name.strip() or not name.isprintable():
        raise UnfitText(
            f"The name {name!r} cannot stand in a certificate. Write it in one line, with no spaces around."
        )
    if len(name) > NAME_LIMIT:
        raise UnfitText(
            f"The name {name!r} has {len(name)} characters and a certificate holds {NAME_LIMIT}. "
            "Put a shorter form of the name on the roster."
        )


@dataclass(frozen=True, slots=True)
class SignerIdentity:
    """Who signs, and as what: one name of the roster in one of its roles."""

    name: str
    role: Role

    def __post_init__(self) -> None:
        check_name(self.name)


@dataclass(frozen=True, slots=True)
class CertifiedPerson:
    """What a certificate says of a person: the name, all roles, and the project."""

    name: str
    roles: tuple[Role, ...]
    project: str

    def __post_init__(self) -> None:
        check_name(self.name)
        if not self.roles or len(set(self.roles)) != len(self.roles):
            raise UnfitText(f"Give {self.name} one or more roles, each once, before a key is made.")
        if not self.project.strip() or not self.project.isprintable():
            raise UnfitText("Give the project a name in one line before a key is made.")
