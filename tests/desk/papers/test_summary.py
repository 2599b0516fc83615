"""Facts of the project summary: those of the shafts' own papers, gathered, and nothing made of silence."""

from __future__ import annotations

from collections import Counter
from datetime import datetime, timedelta
from math import pi
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldapp.cli import run
from fieldapp.criteria.finding import Outcome, Standing
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.summary import (
    SummaryStopped,
    Watch,
    latest_moment,
    summary_facts,
    summary_path,
    write_summary,
)
from fieldapp.desk.workplace import Workplace, read_project
from fieldapp.desk.worth.worth import base_worth
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.units import INCH_M
from reports.summary_facts import SummaryFacts, SummaryShaft
from reports.summary_order import Rank, credited_share, look_order
from tests.support.many_shafts import MemoryJournal, many_shafts, place_of, sample_entries

DENVER = ZoneInfo("America/Denver")


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> tuple[Entry, ...]:
    return sample_entries("larkwater", tmp_path_factory.mktemp("sample") / "larkwater")


@pytest.fixture(scope="module")
def site(entries: tuple[Entry, ...]) -> Workplace:
    return place_of(MemoryJournal(list(entries)))


@pytest.fixture(scope="module")
def facts(site: Workplace) -> SummaryFacts:
    return summary_facts(site, latest_moment(site), "Designer")


def of(facts: SummaryFacts, name: str) -> SummaryShaft:
    return next(each for each in facts.shafts if each.id == name)


def test_every_shaft_stands_as_on_its_own_papers(site, facts):
    assert [each.id for each in facts.shafts] == list(site.record().shafts)
    for each in facts.shafts:
        now = shaft_now(site, each.id, facts.at)
        worth = base_worth(site, each.id, facts.at)
        assert (each.standing, each.release) == (now.standing, now.release)
        assert each.counts == {
            outcome: len(now.with_outcome(outcome))
            for outcome in (Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN)
        }
        assert (each.credit is None) == (worth.credit is None)
        if each.credit is not None and worth.credit is not None:
            told = (each.credit.service, each.credit.strength)
            assert told == (worth.credit.service.span, worth.credit.strength.span)
        assert each.missing == worth.missing
        if worth.stake is not None:
            assert each.at_stake == worth.stake
        assert each.digest == site.shaft(each.id).digest


def test_counts_of_standings_are_those_of_the_logs(facts):
    # as the sample logs tell it: two clean, a void under P2-5, five holes that work can mend
    found = Counter(each.standing.standing for each in facts.shafts)
    assert found == {
        Standing.CLEAN: 2,
        Standing.REDUCED: 2,
        Standing.REWORK: 5,
        Standing.NOT_CREDITABLE: 1,
    }


def test_what_is_at_stake_is_said_of_every_base_whatever_it_is_like(facts):
    """P2-5: diameter 5 ft, 190 ksf, base factor 0.50, side 15 ksf with 0.55; worked by hand."""
    stake = of(facts, "P2-5").at_stake
    base_kip = 0.50 * 190 * pi * 5**2 / 4
    assert stake.factored_base_mn == pytest.approx(base_kip * 4.4482216152605e-3, rel=1e-6)
    # the socket that would replace it: q_b B phi_b / (4 f_s phi_s)
    assert stake.replaces_factored_m / 0.3048 == pytest.approx(190 * 5 * 0.50 / (4 * 15 * 0.55), rel=1e-6)
    assert stake.lost_mn == 0, "without a credit nothing is taken from it: it is all at stake"


def test_shafts_to_look_at_first_come_by_class_then_by_what_is_left(facts):
    order = look_order(facts.shafts)
    assert order.first[0].shaft.id == "P2-5"
    assert [each.rank for each in order.first] == sorted(each.rank for each in order.first)
    shares = [each.share for each in order.first if each.rank is Rank.LESS_CREDITED]
    assert shares == sorted(shares)
    assert len(shares) == 5
    assert {each.shaft.id for each in order.first if each.rank is Rank.NOT_SHOWN} == {"P2-1", "P2-2"}
    assert {each.id for each in order.full} == {"P1-1", "P1-2"}


def test_what_is_left_of_a_base_that_cannot_be_counted_is_the_side_alone(facts):
    shaft = of(facts, "P2-5")
    stake = shaft.at_stake
    assert credited_share(shaft) == pytest.approx(stake.factored_side_mn / stake.factored_total_mn)
    assert credited_share(of(facts, "P2-1")) is None


def test_a_pass_after_a_failed_round_says_why_and_what_it_brought(facts):
    (found,) = of(facts, "P1-2").recleaned
    assert found.before.number == 1
    assert found.before.broken == ("30.6 % of the base under 1/2 in, asked at least 50 %.",)
    assert found.passes == ("pass 3, airlift, 13 May 11:40",)
    assert found.after.number == 2
    assert (found.before.largest_m, found.after.largest_m) == (INCH_M * 5 / 4, INCH_M * 3 / 8)
    assert sum(bool(each.recleaned) for each in facts.shafts) == 1


def test_a_round_with_unread_points_has_no_share_largest_or_mean(facts):
    seen = of(facts, "P2-1").last_round
    assert (seen.read, seen.points) == (0, 5)
    assert (seen.share, seen.largest_m, seen.mean_m) == (None, None, None)
    assert of(facts, "P2-2").last_round.stale.startswith("a sighting of water on the dry base")


def test_a_dry_hole_has_no_fluid_and_no_limit_of_it(facts):
    shaft = of(facts, "P2-2")
    assert shaft.fluid == ()
    assert {each.name for each in shaft.limits} == {"share", "largest", "hours"}


def test_names_are_ordered_as_people_count(entries):
    journal = many_shafts(entries, ["P1-1"], 11)
    names = [each.id for each in summary_facts(place_of(journal), entries[-1].draft.observed_at, "x").shafts]
    assert names[-3:] == ["Q1-9", "Q1-10", "Q2-1"]


def test_it_tells_how_far_it_is_and_stops_between_two_shafts(site, facts):
    told: list[tuple[int, int]] = []
    with pytest.raises(SummaryStopped):
        summary_facts(site, facts.at, "x", Watch(lambda *far: told.append(far), lambda: len(told) == 3))
    assert told == [(0, 10), (1, 10), (2, 10)]


def test_a_project_without_a_set_up_is_refused():
    with pytest.raises(Impossible, match="a project set-up first"):
        summary_facts(place_of(MemoryJournal()), datetime(2026, 5, 12, tzinfo=DENVER), "x")


def test_decisions_that_saw_everything_and_later_evidence_are_told_apart(entries, site):
    before = summary_facts(site, latest_moment(site), "x")
    assert of(before, "P1-1").stated.saw_all
    journal = MemoryJournal()
    for each in entries:
        journal.add(each.draft, each.device)
    last = next(each for each in reversed(entries) if each.shaft == "P1-1" and each.kind == "sounding round")
    later = entries[-1].draft.recorded_at + timedelta(hours=1)
    draft = last.draft
    journal.add(
        type(draft)(
            id="01900000-0000-7000-8000-00000000ffff",
            project=draft.project,
            shaft="P1-1",
            values=draft.values,
            observed_at=draft.observed_at,
            recorded_at=later,
            author=draft.author,
        ),
        "tablet south",
    )
    place = place_of(journal)
    assert not of(summary_facts(place, later, "x"), "P1-1").stated.saw_all


class TestOnDisk:
    def test_the_command_writes_it_once_for_each_state(self, tmp_path: Path, capsys):
        folder = tmp_path / "vesker"
        sample_entries("vesker", folder)
        assert run(["summary", str(folder), "--as-of", "last"]) == 0
        (made,) = folder.glob("reports/*.pdf")
        first = made.read_bytes()
        with read_project(folder) as place:
            at = latest_moment(place)
            assert made == summary_path(place, at)
        assert f"{at:%Y%m%d-%H%M}" in made.name
        assert first.startswith(b"%PDF-")
        assert run(["summary", str(folder), "--as-of", "last"]) == 0
        assert capsys.readouterr().out.splitlines()[-1] == f"{made} (was there already)"
        assert made.read_bytes() == first

    def test_one_that_was_stopped_leaves_no_file(self, tmp_path: Path):
        folder = tmp_path / "vesker"
        sample_entries("vesker", folder)
        with read_project(folder) as place, pytest.raises(SummaryStopped):
            write_summary(place, place.now(), "x", Watch(stopped=lambda: True))
        assert not list(folder.glob("reports/*"))

    def test_it_shows_the_record_as_it_was_then(self, tmp_path: Path):
        folder = tmp_path / "larkwater"
        sample_entries("larkwater", folder)
        then = datetime(2026, 5, 1, 12, tzinfo=DENVER)
        with read_project(folder, then) as place:
            found = summary_facts(place, then, "x")
        assert {each.standing.standing for each in found.shafts} == {Standing.NOT_SHOWN}
        assert all(each.base_reached is None for each in found.shafts)
        assert len(look_order(found.shafts).not_drilled) == len(found.shafts) == 10
