"""The people that a key or a signature can speak for.

The roster is a matter of the record; this holds only what a certificate or a signature names.  It
refuses a name that a certificate cannot carry whole.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.identity.errors import UnfitText
from fieldapp.record.said import said
from fieldapp.record.words import Role

NAME_LIMIT = 64  # X.520, ub-common-name, also for unit and organisation; the library counts bytes of UTF-8


def check_name(name: str) -> None:
    """Refuse a name that is empty, unprintable, or too long for a certificate.

    Parameters
    ----------
    name
        A person's name as in the roster, 1 to 64 bytes of UTF-8 (64 plain Latin letters).

    Raises
    ------
    UnfitText
        With what the name may be.
    """
    if not name.strip() or name != name.strip() or not name.isprintable():
        raise UnfitText(
            said(
                "The name {name!r} cannot stand in a certificate. Write it in one line, with "
                "no spaces around.",
                name=name,
            )
        )
    size = len(name.encode("utf-8"))
    if size > NAME_LIMIT:
        raise UnfitText(
            said(
                "The name {name!r} takes {size} bytes and a certificate holds {name_limit}. "
                "Put a shorter form of the name on the roster.",
                name=name,
                size=size,
                name_limit=NAME_LIMIT,
            )
        )


def fitting(text: str) -> str:
    """As much of a text as a certificate holds, cut between two letters."""
    return text.encode("utf-8")[:NAME_LIMIT].decode("utf-8", "ignore")


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
            raise UnfitText(
                said("Give {name} one or more roles, each once, before a key is made.", name=self.name)
            )
        if not self.project.strip() or not self.project.isprintable():
            raise UnfitText(said("Give the project a name in one line before a key is made."))
