"""Shaft logs on paper: laid out from the record, signed by the inspector, saved whole.

The file's name carries the moment that findings and release are of and the first letters of the record
digest, so a log is written once for each state of the record; a log that exists is kept as it is.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from fieldapp.base.curve_band import CurveBand, band_displacements_m, curve_band
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.journal import FILE_NAME, MIME_TYPE, paper_journal, written
from fieldapp.desk.papers.paper import CLOSING_FIELD, Paper, Pen
from fieldapp.desk.projects.presets import cautions
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.desk.worth.outlook import base_outlook
from fieldapp.desk.worth.worth import BaseWorth, base_worth
from fieldapp.identity.sign_request import FieldPlace
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.shaft import ShaftRecord
from fieldapp.record.words import CleanoutMethod, Method
from fieldapp.store.atomic_file import save_bytes
from fieldapp.units import OutOfRange
from reports.facts import Report, ShaftLogFacts
from reports.shaft_log import shaft_log
from reports.worth_facts import ForecastHeld, OutlookFacts, WorthFacts

__all__ = ["Paper", "Pen", "log_facts", "states_of", "write_shaft_log"]


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
        heads=paper_journal(place.entries(), shaft_id, at).heads,
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
    place: Workplace, shaft_id: str, at: datetime, printed_by: str, pen: Pen | None = None
) -> Paper:
    """Write the log of a shaft into the project's reports, with its journal attached.

    With a pen it is certified by the inspector who holds it, and the journal says so; that takes a project
    that is open for work.  A signed log that the journal does not name yet (the program died in between) is
    taken up.

    Raises UnknownShaft, Impossible, StoreProblem, IdentityProblem, Refused; an earlier log stays as it was.
    """
    digest = place.shaft(shaft_id).digest
    state = "signed" if pen is not None else "unsigned"
    name = f"{file_name_of(shaft_id)}-log-{at:%Y%m%d-%H%M}-{digest[:12]}-{state}.pdf"
    path = place.folder / "reports" / name
    if pen is not None:
        return _certified(place, shaft_id, at, path, pen)
    if path.exists():
        return Paper(path, signed=False, new=False)
    facts = log_facts(place, shaft_id, at, printed_by)
    save_bytes(path, _with_journal(place, shaft_log(facts), facts, at))
    return Paper(path, signed=False, new=True)


def _certified(place: Workplace, shaft_id: str, at: datetime, path: Path, pen: Pen) -> Paper:
    # slow to import, and only signing needs them
    from fieldapp.desk.papers.signing import Turn, check_pen, sign_turn, take_up  # noqa: PLC0415
    from fieldapp.identity.pdf_signing import prepare_fields  # noqa: PLC0415
    from fieldapp.identity.signing_order import SHAFT_LOG_ORDER  # noqa: PLC0415

    place.writer()
    # who may sign is asked of the record as it is, also where the log is of an earlier moment
    present = place if place.until is None else replace(place, until=None, _record=None, _entries=())
    step = SHAFT_LOG_ORDER.steps[0]
    turn = Turn(path, shaft_id, place.shaft(shaft_id).digest, step)
    if path.exists():
        return take_up(present, turn)
    check_pen(present, pen)
    facts = log_facts(place, shaft_id, at, pen.key.certificate.name)
    report = shaft_log(facts)
    places = tuple(
        FieldPlace(each.name, each.page_index, each.box_pt, closes=each.name == CLOSING_FIELD)
        for each in report.fields
    )
    prepared = prepare_fields(_with_journal(place, report, facts, at), places)
    return sign_turn(present, prepared, turn, pen)


def _with_journal(place: Workplace, report: Report, facts: ShaftLogFacts, at: datetime) -> bytes:
    from fieldapp.identity.attachments import AttachedFile, attach_file  # noqa: PLC0415 - slow to import

    journal = paper_journal(place.entries(), facts.record.id, at, place.until)
    return attach_file(report.pdf, AttachedFile(FILE_NAME, written(journal)), MIME_TYPE)
