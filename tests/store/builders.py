"""Drafts and a small but real projector for the tests of the store."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from uuid6 import uuid7

from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.fold import Line
from fieldapp.record.hole import Note
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import RoundWhy
from fieldapp.store.checking import check_store
from fieldapp.store.journal import Journal
from fieldapp.store.projection import Cell, Rows
from fieldapp.store.read_tables import CLOCKS
from tests.support.examples import EXAMPLES, MORNING, feet

NORTH, SOUTH = "tablet north", "tablet south"
SETUP = next(each for each in EXAMPLES if isinstance(each, ProjectSetup))


def draft(values: Values | str = "the hole stands", shaft: str | None = "P1-1", **more) -> Draft:
    if isinstance(values, str):
        values = Note(values)
    if values.KIND in PROJECT_KINDS:
        shaft = None
    facts = {
        "id": str(uuid7()),
        "project": "larkwater",
        "observed_at": MORNING,
        "recorded_at": MORNING + timedelta(minutes=1),
        "author": "Inspector A",
    }
    return Draft(shaft=shaft, values=values, **{**facts, **more})


def sounding(number: int = 1) -> SoundingRound:
    return SoundingRound(
        number,
        RoundWhy.AFTER_PASS,
        "tape 1",
        (
            SoundingPoint("1", Reading("0", "in"), Reading("0", "deg"), feet("61' 4 1/2\""), feet("61' 5\"")),
            SoundingPoint("2", Reading("24", "in"), Reading("90", "deg"), feet("61' 4\"")),
        ),
    )


class SimpleProjector:
    """Rows of the project, its shafts, soundings and timeline; standings are not worked out here."""

    def __init__(self, version: str = "1") -> None:
        self.version = version

    def project_rows(self, project: ProjectRecord) -> Rows:
        return {
            "project": [_project(project.setup.values)] if project.setup else [],
            "timeline": [_told(line) for line in project.lines],
        }

    def shaft_rows(self, project: ProjectRecord, shaft: ShaftRecord) -> Rows:
        return {
            "shafts": [_shaft(shaft)],
            "soundings": [row for line in shaft.lines for row in _soundings(line)],
            "timeline": [_told(line) for line in shaft.lines],
        }


def _project(setup: ProjectSetup) -> dict[str, Cell]:
    return {
        "id": "larkwater",
        "name": setup.name,
        "units": setup.units,
        "time_zone": setup.time_zone,
        "acceptance_set": setup.acceptance.id,
        "standard": setup.acceptance.standard,
    }


def _shaft(shaft: ShaftRecord) -> dict[str, Cell]:
    planned = shaft.scheduled
    return {
        "id": shaft.id,
        "location": planned.location if planned else None,
        "diameter_m": float(planned.diameter.si) if planned else None,
        "method": planned.method if planned else None,
        "fluid": planned.fluid if planned else None,
        "standing": "not shown",
        "reasons": f"{len(shaft.lines)} lines",
        "next_step": "sound the base",
        "stage": "Base",
        "release": "none",
        "release_until": None,
        "concrete_started_at": None,
        **dict.fromkeys(CLOCKS),
        "as_of": max(each.draft.recorded_at for each in shaft.entries).isoformat(),
    }


def _became(line: Line[Values]) -> dict[str, Cell]:
    return {
        "observed_at": line.observed_at.isoformat(),
        "entry": line.id,
        "amended": bool(line.changes) and not line.struck,
        "struck": line.struck,
        "contested": line.contested,
    }


def _soundings(line: Line[Values]) -> Iterator[dict[str, Cell]]:
    if not isinstance(line.values, SoundingRound):
        return
    for point in line.values.points:
        thickness = point.thickness_m
        yield {
            "shaft": line.original.shaft,
            "round": line.values.number,
            "why": line.values.why,
            "point": point.label,
            "r_m": float(point.r.si) if point.r else None,
            "angle_deg": float(point.angle.si) if point.angle else None,
            "first_contact_m": float(point.first_contact.si) if point.first_contact else None,
            "firm_m": float(point.firm.si) if point.firm else None,
            "thickness_mm": None if thickness is None else float(1000 * thickness),
            "first_contact_read": str(point.first_contact) if point.first_contact else None,
            "firm_read": str(point.firm) if point.firm else None,
            "thickness_read": str(point.thickness) if point.thickness else None,
            "no_reading": point.no_reading,
            **_became(line),
        }


def _told(line: Line[Values]) -> dict[str, Cell]:
    entry = line.original
    return {
        "shaft": entry.shaft,
        "stamp": entry.stamp,
        "device": entry.device,
        "seq": entry.seq,
        "kind": entry.kind,
        "says": f"{entry.kind} by {entry.draft.author}",
        "author": entry.draft.author,
        "recorded_at": entry.draft.recorded_at.isoformat(),
        **_became(line),
    }


def chain_of(device: str, count: int, stamp: int = 1) -> list[bytes]:
    head, sealed = ChainHead(device), []
    for number in range(count):
        entry = seal(draft(f"{device} {number}"), head, stamp + number)
        head = ChainHead(device, entry.seq, entry.hash)
        sealed.append(entry.sealed)
    return sealed


def sound(journal: Journal) -> bool:
    return all(each.ok for each in check_store(journal.folder, SimpleProjector()))
