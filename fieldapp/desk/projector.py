"""The rows of the read tables: what the journal says, as of its latest entry, in plain columns.

No clock comes in: a shaft's rows are as of the latest moment that its own entries name, so a rebuild
gives the same rows on every device.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from fractions import Fraction
from functools import lru_cache
from typing import Final, TypeAlias

from fieldapp.criteria.finding import Finding, ReleaseState
from fieldapp.criteria.findings import findings_and_release
from fieldapp.criteria.look import Look
from fieldapp.criteria.rules import look_at
from fieldapp.criteria.standing import base_standing
from fieldapp.desk.shaft.clocks import clocks_of
from fieldapp.desk.shaft.stages import stage_on_board
from fieldapp.record.attesting import SILENT
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading, reading_of
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import UnitSystem
from fieldapp.store.read_tables import CLOCKS
from fieldapp.units import from_si
from reports.entry_text import Telling, entry_lines
from reports.quantities import Shown, shown_by

Cell: TypeAlias = str | int | float | None
Row: TypeAlias = dict[str, Cell]
VERSION: Final = "4"


def as_of(project: ProjectRecord, shaft: ShaftRecord) -> datetime:
    """The latest moment that the entries of a shaft name: when it was last observed or recorded."""
    moments = [each.draft.recorded_at for each in shaft.entries]
    moments += [each.observed_at for each in shaft.lines if each.counts]
    return max(moments)


@dataclass(frozen=True, slots=True)
class _Judged:
    """A shaft at its latest moment, with what the rules say of it; rows are made of one look."""

    moment: datetime
    look: Look | None
    found: tuple[Finding, ...]
    release: ReleaseState

    @classmethod
    def of(cls, project: ProjectRecord, shaft: ShaftRecord) -> _Judged:
        moment = as_of(project, shaft)
        look = look_at(project, shaft, moment)
        return cls(moment, look, *findings_and_release(project, shaft, moment, look))


class Rows:
    """Gives the store the rows of its read tables."""

    version = VERSION

    def project_rows(self, project: ProjectRecord) -> dict[str, list[Row]]:
        """Rows by table name of what belongs to no shaft."""
        return {"project": _project_rows(project), "timeline": _timeline_rows(project, None, project.lines)}

    def shaft_rows(self, project: ProjectRecord, shaft: ShaftRecord) -> dict[str, list[Row]]:
        """Rows by table name of one shaft."""
        judged = _Judged.of(project, shaft)
        return {
            "shafts": [_shaft_row(project, shaft, judged)],
            "findings": list(_finding_rows(shaft.id, judged.found)),
            "soundings": list(_sounding_rows(shaft)),
            "fluid_tests": [_fluid_row(shaft, line) for line in _lines(shaft, FluidTest)],
            "head_readings": [_head_row(shaft, line) for line in _lines(shaft, HeadReading)],
            "cleanout_passes": [_pass_row(shaft, line) for line in _lines(shaft, CleanoutPass)],
            "timeline": _timeline_rows(project, shaft.id, shaft.lines),
        }


def _project_rows(project: ProjectRecord) -> list[Row]:
    if project.setup is None:
        return []
    setup = project.setup.values
    return [
        {
            "id": project.id,
            "name": setup.name,
            "units": setup.units,
            "time_zone": setup.time_zone,
            "acceptance_set": setup.acceptance.title,
            "standard": setup.acceptance.standard,
        }
    ]


def _shaft_row(project: ProjectRecord, shaft: ShaftRecord, judged: _Judged) -> Row:
    found, release = judged.found, judged.release
    standing = base_standing(project, shaft, found, release)
    plan = shaft.scheduled
    started = shaft.concrete_started_at
    return {
        "id": shaft.id,
        "location": plan.location if plan else None,
        "diameter_m": float(plan.diameter.si) if plan else None,
        "method": plan.method if plan else None,
        "fluid": plan.fluid if plan else None,
        "standing": standing.standing,
        "reasons": "\n".join(each.says for each in standing.reasons),
        "next_step": standing.next_step.says,
        "stage": stage_on_board(project, shaft, standing.next_step, found),
        "release": release.status,
        "release_until": release.until.isoformat() if release.until else None,
        "concrete_started_at": started.isoformat() if started else None,
        **_clock_cells(judged.look),
        "as_of": judged.moment.isoformat(),
    }


def _clock_cells(look: Look | None) -> Row:
    running = {} if look is None else clocks_of(look)
    return {name: running[name].isoformat() if name in running else None for name in CLOCKS}


def _finding_rows(shaft: str, found: tuple[Finding, ...]) -> Iterator[Row]:
    for each in found:
        yield {
            "shaft": shaft,
            "requirement": each.requirement,
            "part": each.group,
            "outcome": each.outcome,
            "says": each.says,
            "measured": each.measured,
            "limit_text": each.limit,
            "place": each.where,
            "observed_at": each.when.isoformat() if each.when else None,
            "source": each.source,
            "work": each.work,
            "weight": each.weight,
            "entries": " ".join(each.entries),
        }


def _lines(shaft: ShaftRecord, kind: type[Values]) -> Iterator[Line[Values]]:
    return (line for line in shaft.lines if isinstance(line.values, kind))


def _became(line: Line[Values]) -> Row:
    return {
        "observed_at": line.observed_at.isoformat(),
        "entry": line.id,
        "amended": int(bool(line.changes) and not line.struck),
        "struck": int(line.struck),
        "contested": int(line.contested),
    }


def _number(reading: Reading | None, unit: str) -> float | None:
    return None if reading is None else _number_in(unit, reading.read, reading.unit)


@lru_cache(maxsize=16_384)  # a shaft is written anew with each of its entries, and its readings stay the same
def _number_in(unit: str, read: str, read_in: str) -> float:
    return from_si(reading_of(read, read_in).si, unit)


def _text(reading: Reading | None) -> str | None:
    return None if reading is None else str(reading)


def _sounding_rows(shaft: ShaftRecord) -> Iterator[Row]:
    for line in _lines(shaft, SoundingRound):
        values = line.values
        assert isinstance(values, SoundingRound)
        for point in values.points:
            thickness = point.thickness_m
            yield {
                "shaft": shaft.id,
                "round": values.number,
                "why": values.why if values.after_pass is None else f"{values.why} {values.after_pass}",
                "point": point.label,
                "r_m": _number(point.r, "m"),
                "angle_deg": _number(point.angle, "deg"),
                "first_contact_m": _number(point.first_contact, "m"),
                "firm_m": _number(point.firm, "m"),
                "thickness_mm": None if thickness is None else float(thickness * Fraction(1000)),
                "first_contact_read": _text(point.first_contact),
                "firm_read": _text(point.firm),
                "thickness_read": _text(point.thickness),
                "no_reading": point.no_reading,
                **_became(line),
            }


def _fluid_row(shaft: ShaftRecord, line: Line[Values]) -> Row:
    values = line.values
    assert isinstance(values, FluidTest)
    return {
        "shaft": shaft.id,
        "stage": values.stage,
        "set_number": values.set,
        "sample_depth_m": _number(values.sample_depth, "m"),
        "density_kg_m3": _number(values.density, "kg/m3"),
        "funnel_time_s": _number(values.funnel_time, "s"),
        "cup_volume_ml": _number(values.cup_volume, "mL"),
        "temperature_degc": _number(values.temperature, "degC"),
        "sand_percent": _number(values.sand, "%"),
        "ph": _number(values.ph, "pH"),
        "hardness_mg_l": _number(values.hardness, "mg/L"),
        "density_read": _text(values.density),
        "funnel_time_read": _text(values.funnel_time),
        "sand_read": _text(values.sand),
        **_became(line),
    }


def _head_row(shaft: ShaftRecord, line: Line[Values]) -> Row:
    values = line.values
    assert isinstance(values, HeadReading)
    return {
        "shaft": shaft.id,
        "fluid_level_m": _number(values.fluid_level, "m"),
        "fluid_level_read": _text(values.fluid_level),
        "make_up": values.make_up,
        "piezometric_elevation_m": _number(values.piezometric_elevation, "m"),
        "piezometric_elevation_read": _text(values.piezometric_elevation),
        "stratum": values.stratum,
        **_became(line),
    }


def _pass_row(shaft: ShaftRecord, line: Line[Values]) -> Row:
    values = line.values
    assert isinstance(values, CleanoutPass)
    return {
        "shaft": shaft.id,
        "number": values.number,
        "method": values.method,
        "started_at": values.started_at.isoformat(),
        "ended_at": values.ended_at.isoformat() if values.ended_at else None,
        "depth_before_m": _number(values.depth_before, "m"),
        "depth_after_m": _number(values.depth_after, "m"),
        "depth_before_read": _text(values.depth_before),
        "depth_after_read": _text(values.depth_after),
        "came_up": values.came_up,
        "air_pressure_mpa": _number(values.air_pressure, "MPa"),
        "injection_depth_m": _number(values.injection_depth, "m"),
        **_became(line),
    }


def _timeline_rows(project: ProjectRecord, shaft: str | None, lines: tuple[Line[Values], ...]) -> list[Row]:
    shown = shown_by(project.setup.values) if project.setup else Shown(UnitSystem.SI, UTC, "UTC")
    return [
        _timeline_row(_Told(shaft, each.original.hash, tuple(one.hash for one in each.changes), shown, each))
        for each in lines
        if not isinstance(each.values, SILENT)
    ]


@dataclass(frozen=True, slots=True)
class _Told:
    """A line as it is told; the hashes say all that it holds."""

    shaft: str | None
    original: str
    changes: tuple[str, ...]
    shown: Shown
    line: Line[Values] = field(compare=False)


@lru_cache(maxsize=4_096)  # a shaft is written anew with each of its entries, and its other lines stay
def _timeline_row(told: _Told) -> Row:
    line = told.line
    return {
        "shaft": told.shaft,
        "stamp": line.original.stamp,
        "device": line.original.device,
        "seq": line.original.seq,
        "kind": line.original.kind,
        "says": "; ".join(entry_lines(line.values, Telling(told.shown))),
        "author": line.original.draft.author,
        "recorded_at": line.original.draft.recorded_at.isoformat(),
        **_became(line),
    }
