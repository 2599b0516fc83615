"""The kinds of paper of one shaft, as data: name of the file, who signs what, how it is laid out.

Every kind goes the same way: facts, pages, attached files, signatures, journal.  A further kind is a further
form here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from fieldapp.identity.signing_order import ORDERS, SigningOrder
from fieldapp.record.words import PaperKind, Role

if TYPE_CHECKING:
    from reports.facts import Report, ShaftFacts


@dataclass(frozen=True, slots=True)
class PaperForm:
    """One kind of paper.

    ``short`` stands in the name of the file and on the command line; ``meaning`` is what a signature in a
    role means, as the paper says under each box; ``lays_out`` makes the pages, and is slow to import.
    """

    kind: PaperKind
    short: str
    meaning: Mapping[Role, str]
    lays_out: Callable[[ShaftFacts], Report]

    @property
    def order(self) -> SigningOrder:
        """Who signs after whom."""
        return ORDERS[self.kind]

    @property
    def first_role(self) -> Role:
        """Who certifies the paper."""
        return self.order.steps[0].role


def _shaft_log(facts: ShaftFacts) -> Report:
    from reports.shaft_log import shaft_log  # noqa: PLC0415 - paper is slow to import

    return shaft_log(facts)


def _release_sheet(facts: ShaftFacts) -> Report:
    from reports.release_sheet import release_sheet  # noqa: PLC0415 - paper is slow to import

    return release_sheet(facts)


def _base_condition(facts: ShaftFacts) -> Report:
    from reports.base_condition import base_condition  # noqa: PLC0415 - paper is slow to import

    return base_condition(facts)


FORMS: Final[Mapping[PaperKind, PaperForm]] = MappingProxyType(
    {
        each.kind: each
        for each in (
            PaperForm(
                PaperKind.SHAFT_LOG,
                "log",
                {
                    Role.INSPECTOR: "Inspector: recorded as seen",
                    Role.RESIDENT_ENGINEER: "Resident engineer: record reviewed",
                    Role.DESIGNER: "Designer: record received",
                },
                _shaft_log,
            ),
            PaperForm(
                PaperKind.RELEASE_SHEET,
                "release",
                {Role.RESIDENT_ENGINEER: "Resident engineer: decided on this record"},
                _release_sheet,
            ),
            PaperForm(
                PaperKind.BASE_CONDITION,
                "base",
                {Role.DESIGNER: "Designer: base condition reviewed"},
                _base_condition,
            ),
        )
    }
)
SUMMARY_MEANING: Final[Mapping[Role, str]] = MappingProxyType({Role.DESIGNER: "Designer: summary reviewed"})
SHORT: Final[Mapping[str, PaperKind]] = MappingProxyType({each.short: each.kind for each in FORMS.values()})


def meaning_of(kind: PaperKind, role: Role) -> str:
    """What a signature in a role means on a paper of any kind, the summary too."""
    form = FORMS.get(kind)
    return (form.meaning if form is not None else SUMMARY_MEANING)[role]


def most_signatures(kind: PaperKind) -> int:
    """How many signatures a paper of a kind can have."""
    return len(ORDERS[kind].steps)
