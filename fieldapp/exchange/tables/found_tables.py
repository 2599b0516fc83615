"""What was made of the entries, as tables: shafts with their standing and release, findings, credits."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from fieldapp.base.credit_facts import Credit, CreditAt
from fieldapp.criteria.finding import BaseStanding, Finding, ReleaseState
from fieldapp.exchange.tables.table import Cell, Column, Row, Table

_SHAFT: Final = Column("shaft", "string", "name of the shaft")
_AS_OF: Final = Column("as_of", "datetime", "the moment that the record was held against")

SHAFTS: Final = Table(
    "shafts",
    "Each shaft as it stands: base standing with its reasons, release, and what the designer stated",
    (
        _SHAFT,
        _AS_OF,
        Column("standing", "string", "base standing: clean, rework, reduced, not creditable or not shown"),
        Column("reasons", "string", "why, in order of weight, parted by semicolons"),
        Column("next_step", "string", "the next useful thing to do"),
        Column("release", "string", "decision on concrete: none, held, released, lapsed or withdrawn"),
        Column("release_until", "datetime", "until when the release holds"),
        Column("release_reason", "string", "why it is held, lapsed or withdrawn"),
        Column("stated_credit", "string", "base credit as the designer stated it, with its displacement"),
        Column("record_digest", "string", "SHA-256 of the shaft's record"),
    ),
    ("shaft",),
)
FINDINGS: Final = Table(
    "findings",
    "Every requirement held against the record of every shaft",
    (
        _SHAFT,
        _AS_OF,
        Column("requirement", "string", "name of the requirement"),
        Column("part", "string", "the part of the record that it looks at"),
        Column("outcome", "string", "met, not met, not shown or not asked"),
        Column("says", "string", "the finding in one sentence, in the units of the project"),
        Column("measured", "string", "what was measured, in the units of the project"),
        Column("limit", "string", "what is asked, in the units of the project"),
        Column("place", "string", "where"),
        Column("observed_at", "datetime", "moment of the observation that it hangs on"),
        Column("source", "string", "document or judgment behind the limit, with its confidence"),
        Column("work", "string", "what can mend or show it while the hole is open"),
        Column("entries", "string", "identifiers of the entries that it rests on, parted by spaces"),
    ),
)
CREDITS: Final = Table(
    "credits",
    "Base credit of every shaft at its service and strength displacement, with the range; never above 1",
    (
        _SHAFT,
        _AS_OF,
        Column("at", "string", "service or strength; empty where no credit is shown"),
        Column("displacement_m", "number", "base displacement that the credit belongs to"),
        Column("credit", "number", "share of the clean base's resistance, best parameters"),
        Column("credit_lowest", "number", "the least of all credits told: parameters and maps together"),
        Column("credit_least", "number", "with the parameters of least credit"),
        Column("credit_greatest", "number", "with the parameters of greatest credit"),
        Column("map_low", "number", "5 % value over simulated sediment maps, best parameters"),
        Column("map_high", "number", "95 % value over simulated sediment maps, best parameters"),
        Column("clean_mn", "number", "base resistance of the clean base at this displacement"),
        Column("as_built_mn", "number", "base resistance as built at this displacement"),
        Column("warnings", "string", "what bounds the estimate, parted by semicolons"),
        Column("missing", "string", "why no credit is shown"),
    ),
)


def shaft_row(
    about: tuple[str, datetime, str], standing: BaseStanding, release: ReleaseState, stated: str
) -> Row:
    """The row of a shaft (name, moment, record digest) with its standing, release and stated credit."""
    shaft, at, digest = about
    return {
        "shaft": shaft,
        "as_of": at.isoformat(),
        "standing": str(standing.standing),
        "reasons": "; ".join(each.says for each in standing.reasons) or None,
        "next_step": standing.next_step.says,
        "release": str(release.status),
        "release_until": release.until.isoformat() if release.until else None,
        "release_reason": release.reason or None,
        "stated_credit": stated or None,
        "record_digest": digest,
    }


def finding_rows(shaft: str, at: datetime, found: tuple[Finding, ...]) -> Iterator[Row]:
    """One row a finding, in the order of the rules."""
    for each in found:
        yield {
            "shaft": shaft,
            "as_of": at.isoformat(),
            "requirement": each.requirement,
            "part": str(each.group),
            "outcome": str(each.outcome),
            "says": each.says,
            "measured": each.measured or None,
            "limit": each.limit or None,
            "place": each.where or None,
            "observed_at": each.when.isoformat() if each.when else None,
            "source": each.source or None,
            "work": str(each.work) if each.work else None,
            "entries": " ".join(each.entries) or None,
        }


def credit_rows(shaft: str, at: datetime, credit: Credit | None, missing: tuple[str, ...]) -> Iterator[Row]:
    """The credit at service and at strength, or one row that says why none is shown."""
    common: dict[str, Cell] = {"shaft": shaft, "as_of": at.isoformat()}
    if credit is None:
        yield {**common, "missing": "; ".join(missing) or "the base is not scheduled"}
        return
    for name, each in (("service", credit.service), ("strength", credit.strength)):
        yield {**common, "at": name, **_credit_cells(each)}


def _credit_cells(at: CreditAt) -> dict[str, Cell]:
    return {
        "displacement_m": at.displacement_m,
        "credit": at.credit,
        "credit_lowest": at.lowest,
        "credit_least": at.least.credit,
        "credit_greatest": at.greatest.credit,
        "map_low": at.maps.low if at.maps else None,
        "map_high": at.maps.high if at.maps else None,
        "clean_mn": at.clean_mn,
        "as_built_mn": at.as_built_mn,
        "warnings": "; ".join(at.warnings) or None,
    }
