"""What the record says of one shaft, gathered for its papers.

It is asked of a project folder, or of the journal attached to a paper, in the same way and with the same
answers.
"""

from __future__ import annotations

from datetime import datetime

from fieldapp.base.curve_band import CurveBand, band_displacements_m, curve_band
from fieldapp.criteria.release_ground import ground_of
from fieldapp.criteria.release_limit import ReleaseLimit, release_limits
from fieldapp.criteria.standing import disposition_of
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.office import ShaftNow, shaft_at
from fieldapp.desk.papers.attached import moment_in_zone
from fieldapp.desk.papers.journal import paper_journal
from fieldapp.desk.projects.presets import cautions
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.inputs import WorthInputs
from fieldapp.desk.worth.outlook import base_outlook
from fieldapp.desk.worth.worth import BaseWorth, base_worth
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.decisions import Release
from fieldapp.record.fold import Line
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import CleanoutMethod, Method, PaperKind
from fieldapp.units import OutOfRange
from reports.facts import ShaftFacts
from reports.worth_facts import Assumed, ForecastHeld, OutlookFacts, WorthFacts


def shaft_facts(
    place: Workplace, shaft_id: str, at: datetime, printed_by: str, kind: PaperKind = PaperKind.SHAFT_LOG
) -> ShaftFacts:
    """Everything that the papers of a shaft show, as of a moment; the cautions are those of one kind.

    Raises UnknownShaft, Impossible for a project without a set-up.
    """
    project, shaft = place.record(), place.shaft(shaft_id)
    moment = moment_in_zone(place, at)
    now = shaft_at(place, shaft_id, moment)
    released = _released(now)
    return ShaftFacts(
        project_id=project.id,
        setup=place.setup(),
        record=shaft,
        findings=now.findings,
        standing=now.standing,
        release=now.release,
        record_digest=shaft.digest,
        at=moment,
        heads=paper_journal(place.around(shaft_id), shaft_id, moment, place.until).heads,
        printed_at=place.now(),
        printed_by=printed_by,
        cautions=cautions(str(kind), states_of(shaft)),
        instruments=tuple(each for each in project.instruments if each.observed_at <= moment),
        worth=_worth(place, shaft_id, moment),
        outlook=_outlook(place, shaft_id, moment),
        released=released,
        until_why=_until_why(project, now, released),
        clocks=_clocks(place, shaft_id, moment) if kind is PaperKind.RELEASE_SHEET else (),
        stated=disposition_of(project, shaft),
    )


def _released(now: ShaftNow) -> Line[Release] | None:
    return next((each for each in now.shaft.of(Release) if each.id == now.release.entry), None)


def _until_why(project: ProjectRecord, now: ShaftNow, released: Line[Release] | None) -> str:
    """Why a release ends sooner than it says itself; empty where it does not."""
    if released is None or now.release.until is None:
        return ""
    return ground_of(project, now.shaft, released).why


def _clocks(place: Workplace, shaft_id: str, at: datetime) -> tuple[ReleaseLimit, ...]:
    """What passes by time alone; nothing for a shaft that is not scheduled."""
    try:
        return release_limits(look_at(place, shaft_id, at))
    except NotOpen:
        return ()


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
        assumed=_assumed(inputs),
        missing=worth.missing,
    )


def _assumed(inputs: WorthInputs | None) -> Assumed | None:
    if inputs is None:
        return None
    return Assumed(
        displacements=inputs.displacements,
        spread=inputs.spread,
        confidence=inputs.confidence,
        simulations=inputs.draws.simulations,
        body=inputs.shaft,
        factors=inputs.factors,
        demand_mn=inputs.demand_mn,
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
