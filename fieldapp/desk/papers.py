"""Shaft logs on paper: laid out from the record, signed by the inspector, saved whole.

The file's name carries the moment that findings and release are of and the first letters of the record
digest, so a log is written once for each state of the record; a log that exists is kept as it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.base.curve_band import CurveBand, band_displacements_m, curve_band
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.office import shaft_now
from fieldapp.desk.outlook import base_outlook
from fieldapp.desk.presets import cautions
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.desk.worth import BaseWorth, base_worth
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.chain import heads_of
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.shaft import ShaftRecord
from fieldapp.record.words import CleanoutMethod, Method, Role
from fieldapp.store.atomic_file import save_bytes
from fieldapp.units import OutOfRange
from reports.facts import Report, ShaftLogFacts
from reports.shaft_log import shaft_log
from reports.worth_facts import ForecastHeld, OutlookFacts, WorthFacts

MEANING: Final = "Inspector: recorded as seen"
CLOSING_FIELD: Final = "Designer"


@dataclass(frozen=True, slots=True)
class Paper:
    """A report on disk: where, whether it is signed, and whether it was made just now."""

    path: Path
    signed: bool
    new: bool


def log_facts(place: Workplace, shaft_id: str, at: datetime, printed_by: str) -> ShaftLogFacts:
    """Everything that the log of a shaft shows, as of a moment."""
    project, shaft = place.record(), place.shaft(shaft_id)
    now = shaft_now(place, shaft_id, at)
    return ShaftLogFacts(
        project_id=project.id,
        setup=place.setup(),
        record=shaft,
        findings=now.findings,
        standing=now.standing,
        release=now.release,
        record_digest=shaft.digest,
        heads=tuple(heads_of(place.entries()).values()),
        printed_at=place.now(),
        printed_by=printed_by,
        cautions=cautions("shaft log", states_of(shaft)),
        instruments=tuple(each for each in project.instruments if each.observed_at <= at),
        worth=_worth(place, shaft_id, at),
        outlook=_outlook(place, shaft_id, at),
    )


def _worth(place: Workplace, shaft_id: str, at: datetime) -> WorthFacts | None:
    """What the base is worth; None for a shaft that is not scheduled."""
    try:
        worth = base_worth(place, shaft_id, at)
        band = _band(worth)
    except NotOpen:
        return None
    except OutOfRange as problem:
        return WorthFacts(missing=(str(problem),))
    inputs = worth.inputs
    return WorthFacts(
        round_title=worth.round_title,
        asked=inputs.asked if inputs else None,
        sediment=worth.sediment,
        assured=worth.assured,
        next_place=worth.next_place,
        ground=inputs.model.ground if inputs and inputs.model else None,
        unit_base=inputs.unit_base if inputs else None,
        credit=worth.credit,
        band=band,
        heads=worth.heads,
        demand=worth.demand,
        stake=worth.stake,
        missing=worth.missing,
    )


def _band(worth: BaseWorth) -> CurveBand | None:
    """The base curves behind a credit, with the same maps, or None without a credit."""
    inputs, cover, credit = worth.inputs, worth.cover, worth.credit
    if inputs is None or inputs.model is None or cover is None or credit is None:
        return None
    moved = band_displacements_m(credit.service.displacement_m, credit.strength.displacement_m)
    return curve_band(inputs.model, cover, inputs.spread, moved, worth.maps)


def _outlook(place: Workplace, shaft_id: str, at: datetime) -> OutlookFacts | None:
    """How long the base stays clean; None without a round that can be forecast from."""
    try:
        found = base_outlook(place, shaft_id, at)
    except (NotOpen, OutOfRange):
        return None
    return OutlookFacts(
        from_round=found.from_round,
        from_moment=found.from_moment,
        answer=found.answer,
        sound_again_by=found.sound_again_by,
        may_break_from=found.may_break_from,
        held=tuple(ForecastHeld(each.from_round, each.to_round, each.comparison) for each in found.held),
        next_pass=found.next_pass,
        missing=found.missing,
    )


def states_of(shaft: ShaftRecord) -> frozenset[str]:
    """The states of a shaft that cautions are for."""
    found = set()
    if shaft.concrete_started_at is None:
        found.add("hole open")
    if any(each.values.method is CleanoutMethod.AIRLIFT for each in shaft.of(CleanoutPass)):
        found.add("airlift")
    if shaft.scheduled is not None and shaft.scheduled.method is Method.DRY:
        found.add("dry")
    return frozenset(found)


def write_shaft_log(
    place: Workplace, shaft_id: str, at: datetime, printed_by: str, key: UnlockedKey | None = None
) -> Paper:
    """Write the log of a shaft into the project's reports, signed when an unlocked key is given.

    Raises UnknownShaft, StoreProblem, IdentityProblem; an earlier log stays as it was.
    """
    digest = place.shaft(shaft_id).digest
    state = "signed" if key is not None else "unsigned"
    name = f"{file_name_of(shaft_id)}-log-{at:%Y%m%d-%H%M}-{digest[:12]}-{state}.pdf"
    path = place.folder / "reports" / name
    if path.exists():
        return Paper(path, key is not None, new=False)
    facts = log_facts(place, shaft_id, at, printed_by)
    report = shaft_log(facts)
    pdf = report.pdf if key is None else _signed(report, facts, key)
    save_bytes(path, pdf)
    return Paper(path, key is not None, new=True)


def _signed(report: Report, facts: ShaftLogFacts, key: UnlockedKey) -> bytes:
    from fieldapp.identity.pdf_signing import (  # noqa: PLC0415 - slow to import, and only signing needs it
        FieldPlace,
        SignRequest,
        prepare_fields,
        sign_pdf,
    )
    from fieldapp.identity.people import SignerIdentity  # noqa: PLC0415 - stands with the import above

    places = tuple(
        FieldPlace(each.name, each.page_index, each.box_pt, closes=each.name == CLOSING_FIELD)
        for each in report.fields
    )
    request = SignRequest(
        field_name="Inspector",
        signer=SignerIdentity(key.certificate.name, Role.INSPECTOR),
        meaning=MEANING,
        signed_at=facts.printed_at,
        record_digest=facts.record_digest,
        certify=True,
    )
    return sign_pdf(prepare_fields(report.pdf, places), request, key)
