"""Each sample log ends with the standing that its story is meant to show (table of the sample job)."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

import pytest

from fieldapp.criteria.acceptance import acceptance_set
from fieldapp.criteria.finding import Outcome, ReleaseStatus, Standing, Work
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release import release_state
from fieldapp.criteria.standing import base_standing
from fieldapp.exchange.plain_entry import PlainDecision, PlainEntry
from fieldapp.exchange.plain_log import load_plain_log
from fieldapp.exchange.plain_setup import PlainSetup
from fieldapp.record.chain import heads_of
from fieldapp.record.decisions import Basis, Position
from fieldapp.record.entry import ChainHead, Entry, seal
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.shaft import ProjectRecord, digest_of, project_record

ROOT = Path(__file__).resolve().parents[2]
FOLDED = {
    ("larkwater", "P1-1"): Standing.CLEAN,
    ("larkwater", "P1-2"): Standing.CLEAN,
    ("larkwater", "P1-3"): Standing.REDUCED,
    ("larkwater", "P1-4"): Standing.REWORK,
    ("larkwater", "P2-1"): Standing.NOT_SHOWN,
    ("larkwater", "P2-2"): Standing.REWORK,
    ("larkwater", "P2-3"): Standing.REWORK,
    ("larkwater", "P2-4"): Standing.REWORK,
    ("larkwater", "P2-5"): Standing.NOT_CREDITABLE,
    ("larkwater", "T-1"): Standing.REDUCED,
    ("vesker", "B1"): Standing.CLEAN,
    ("vesker", "B2"): Standing.REWORK,
    ("vesker", "B3"): Standing.NOT_SHOWN,
}


@dataclass
class Folded:
    record: ProjectRecord
    ends: dict[str, datetime]
    objected: list[str]


@cache
def folded(project: str) -> Folded:
    entries: list[Entry] = []
    found = Folded(project_record(project, ()), {}, [])
    files = sorted(
        (ROOT / "sample_logs" / project).glob("*.log"), key=lambda p: (p.stem != "project", p.name)
    )
    for path in files:
        for plain in load_plain_log(path).entries:
            draft = plain.draft(project, settled(plain, entries))
            against = objections(found.record, draft)
            found.objected += [f"{path.name} {plain.line}: {each.says}" for each in against
                               if each.impossible or each.code not in draft.confirmed]  # fmt: skip
            heads = heads_of(each for each in entries if each.device == plain.device)
            head = heads.get(plain.device, ChainHead(plain.device))
            entries.append(seal(draft, head, len(entries) + 1))
            found.record = project_record(project, entries)
            if plain.shaft:
                found.ends[plain.shaft] = max(
                    plain.recorded_at, found.ends.get(plain.shaft, plain.recorded_at)
                )
    return found


def settled(plain: PlainEntry, entries: list[Entry]) -> Values:
    if isinstance(plain.says, PlainSetup):
        path = ROOT / "assets" / "acceptance" / f"{plain.says.acceptance}.toml"
        return plain.says.settled(acceptance_set(tomllib.loads(path.read_text("utf-8"))), plain.author)
    if isinstance(plain.says, PlainDecision):
        seen = tuple(Position(each.device, each.seq) for each in heads_of(entries).values())
        return plain.says.settled(Basis(seen, digest_of(e for e in entries if e.shaft == plain.shaft)))
    return plain.says


def looked_at(project: str, shaft: str):
    made = folded(project)
    at = made.ends[shaft] + timedelta(minutes=3)
    record = made.record.shafts[shaft]
    found = findings(made.record, record, at)
    return found, base_standing(made.record, record, found), release_state(made.record, record, at)


def broken(project: str, shaft: str) -> set[str]:
    return {each.requirement for each in looked_at(project, shaft)[0] if each.outcome is Outcome.NOT_MET}


def silent(project: str, shaft: str) -> set[str]:
    return {each.requirement for each in looked_at(project, shaft)[0] if each.outcome is Outcome.NOT_SHOWN}


@pytest.mark.parametrize(("shaft", "standing"), FOLDED.items(), ids=str)
def test_each_shaft_ends_with_the_standing_of_its_story(shaft, standing):
    assert looked_at(*shaft)[1].standing is standing


@pytest.mark.parametrize("project", ["larkwater", "vesker"])
def test_nothing_in_the_sample_job_has_to_be_asked_about_that_is_not_confirmed(project):
    assert folded(project).objected == []


@pytest.mark.parametrize("shaft", [("larkwater", "P1-1"), ("larkwater", "P1-2"), ("vesker", "B1")])
def test_a_clean_story_has_every_asked_requirement_met_and_a_release_that_held(shaft):
    found, _, release = looked_at(*shaft)
    assert {each.outcome for each in found} == {Outcome.MET, Outcome.NOT_ASKED}
    assert release.status is ReleaseStatus.RELEASED


def test_p1_3_went_wrong_in_sand_in_sediment_in_time_and_in_the_release():
    assert broken("larkwater", "P1-3") == {
        "base area share",
        "base largest thickness",
        "base rise since last round",
        "fluid sand",
        "fluid contact with the bottom",
        "release before concrete",
    }


def test_p1_4_lost_its_head_while_it_was_cleaned():
    assert {"head now", "head through cleaning"} <= broken("larkwater", "P1-4")
    works = {each.work for each in looked_at("larkwater", "P1-4")[0] if each.outcome is Outcome.NOT_MET}
    assert {Work.RESTORE_HEAD, Work.CLEAN_AGAIN} <= works


def test_p2_1_breaks_nothing_but_shows_no_thickness():
    assert broken("larkwater", "P2-1") == set()
    assert {"base area share", "base largest thickness", "sounding both depths"} <= silent(
        "larkwater", "P2-1"
    )


@pytest.mark.parametrize(
    ("shaft", "requirements"),
    [
        (("larkwater", "P2-2"), {"standing water", "seepage"}),
        (("larkwater", "P2-3"), {"fluid contact with the bottom"}),
        (("larkwater", "P2-5"), {"void under the base", "open joint in the base"}),
        (("larkwater", "T-1"), {"base area share"}),
        (("vesker", "B2"), {"fluid density"}),
        (("vesker", "B3"), set()),
    ],
)
def test_nothing_breaks_but_what_the_story_says(shaft, requirements):
    assert broken(*shaft) == requirements


def test_the_release_of_p2_4_lapsed_before_its_time():
    _, _, release = looked_at("larkwater", "P2-4")
    assert release.status is ReleaseStatus.LAPSED
    assert release.until is not None
    assert release.until > folded("larkwater").ends["P2-4"]
