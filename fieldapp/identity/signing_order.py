"""Who signs after whom: the order of a document's signatures, and the refusal of a wrong one.

An order is data, so a document of another kind brings its own.  The first signature certifies; a step that
is not required may stay open, but once a later step is signed nobody goes back to it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType
from typing import Final

from fieldapp.identity.errors import ClockProblem, WrongOrder
from fieldapp.identity.sign_request import SignRequest
from fieldapp.record.said import Said, said
from fieldapp.record.said_lists import word
from fieldapp.record.words import PaperKind, Role

CLOCK_TOLERANCE = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class Step:
    """One signature of a document: in which field, in which role, and whether the next ones need it."""

    field_name: str
    role: Role
    required: bool = True


@dataclass(frozen=True, slots=True)
class SigningOrder:
    """The steps of a document, first to last."""

    steps: tuple[Step, ...]

    @property
    def fields(self) -> tuple[str, ...]:
        """The names of all signature fields that the document may have."""
        return tuple(each.field_name for each in self.steps)

    @property
    def closing_field(self) -> str:
        """The field whose signature ends the document."""
        return self.steps[-1].field_name

    def step(self, field_name: str) -> Step | None:
        """The step of a field, or None when the order has no such field."""
        return next((each for each in self.steps if each.field_name == field_name), None)

    def step_of(self, role: Role) -> Step | None:
        """The step of a role, or None when the order has none for it."""
        return next((each for each in self.steps if each.role is role), None)

    def next_after(self, signed: Collection[str]) -> Step | None:
        """The first step that is not among the signed fields, or None when all are signed."""
        return next((each for each in self.steps if each.field_name not in signed), None)

    def missing_before(self, field_name: str, signed: tuple[str, ...]) -> tuple[Step, ...]:
        """The required steps that come before a field and are not signed."""
        before = self.steps[: self.fields.index(field_name)]
        return tuple(each for each in before if each.required and each.field_name not in signed)

    def signed_after(self, field_name: str, signed: tuple[str, ...]) -> tuple[Step, ...]:
        """The steps that come after a field and are signed."""
        after = self.steps[self.fields.index(field_name) + 1 :]
        return tuple(each for each in after if each.field_name in signed)


SHAFT_LOG_ORDER = SigningOrder(
    (
        Step("Inspector", Role.INSPECTOR),
        Step("ResidentEngineer", Role.RESIDENT_ENGINEER),
        Step("Designer", Role.DESIGNER),
    )
)
RELEASE_SHEET_ORDER = SigningOrder((Step("ResidentEngineer", Role.RESIDENT_ENGINEER),))
BASE_CONDITION_ORDER = SigningOrder((Step("Designer", Role.DESIGNER),))
PROJECT_SUMMARY_ORDER = SigningOrder((Step("Designer", Role.DESIGNER),))
ORDERS: Final[Mapping[PaperKind, SigningOrder]] = MappingProxyType(
    {
        PaperKind.SHAFT_LOG: SHAFT_LOG_ORDER,
        PaperKind.RELEASE_SHEET: RELEASE_SHEET_ORDER,
        PaperKind.BASE_CONDITION: BASE_CONDITION_ORDER,
        PaperKind.PROJECT_SUMMARY: PROJECT_SUMMARY_ORDER,
    }
)
MAY_BE_UNSIGNED: Final = frozenset({PaperKind.PROJECT_SUMMARY})
"""Kinds of paper that nobody has to sign."""

_ROLES: Final = {step.field_name: step.role for order in ORDERS.values() for step in order.steps}


def signed_as(field_name: str) -> Said:
    """Whose signature a field holds, in words: the role it is for; a strange one keeps its own name."""
    return word(_ROLES.get(field_name, field_name))


def check_order(order: SigningOrder, request: SignRequest, signed: tuple[str, ...]) -> None:
    """Refuse a signature whose turn it is not.

    Parameters
    ----------
    order
        The steps of this kind of document.
    request
        What is to be signed.
    signed
        The fields that are signed already.

    Raises
    ------
    WrongOrder
        The field has no step, is for another role, comes too early or too late, or does not certify.
    """
    step = order.step(request.field_name)
    if step is None:
        raise WrongOrder(
            said(
                "Nobody is asked to sign in the field {field_name!r} of this document. Nothing "
                "was signed; choose the field of your role.",
                field_name=request.field_name,
            )
        )
    role = request.signer.role
    if step.role is not role:
        raise WrongOrder(
            said(
                "The field {field_name!r} is for the {role}, and {name} would sign as "
                "{other}. Nothing was signed; choose the field of that role.",
                field_name=request.field_name,
                role=step.role,
                name=request.signer.name,
                other=role,
            )
        )
    missing = order.missing_before(request.field_name, signed)
    if missing:
        raise WrongOrder(
            said(
                "The {missing} must sign before the {role}. Nothing was signed; have the "
                "earlier signature made, then sign that file.",
                missing=_list(missing),
                role=role,
            )
        )
    later = order.signed_after(request.field_name, signed)
    if later:
        raise WrongOrder(
            said(
                "The {later} has signed already, and the {role} signs before. Nothing was "
                "signed; make the document again from the record and sign it in order.",
                later=_list(later),
                role=role,
            )
        )
    if not signed and not request.certify:
        raise WrongOrder(
            said(
                "The first signature of a document must certify it, or later changes would not "
                "be noticed. Nothing was signed; sign again with certification."
            )
        )


def check_clock(signed_at: datetime, times: tuple[datetime, ...]) -> None:
    """Refuse a time that lies clearly before a signature that the document has already.

    Raises
    ------
    ClockProblem
        When it lies more than 10 minutes before the latest of ``times``.
    """
    latest = max(times, default=signed_at)
    if signed_at < latest - CLOCK_TOLERANCE:
        raise ClockProblem(
            said(
                "This document was signed at {latest:%Y-%m-%d %H:%M %z}, and the clock here "
                "says {signed_at:%Y-%m-%d %H:%M %z}, which is earlier. Nothing was signed; set "
                "the clock.",
                latest=latest,
                signed_at=signed_at,
            )
        )


def _list(steps: tuple[Step, ...]) -> str:
    found = word(steps[0].role)
    for each in steps[1:]:
        found = said("{first} and the {other}", first=found, other=each.role)
    return found
