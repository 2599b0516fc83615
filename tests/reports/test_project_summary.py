"""The project summary as paper: what an engineer must find on it, read back from the PDF with pypdf."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from fieldapp.criteria.finding import BaseStanding, NextStep, ReleaseState, ReleaseStatus, Standing
from fieldapp.desk.papers.summary import latest_moment, summary_facts
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.entry import Entry
from fieldapp.record.setup import Instrument, Person, ProjectSetup
from fieldapp.record.words import InstrumentType, Role, UnitSystem
from reports.project_summary import project_summary
from reports.quantities import shown_by
from reports.summary_chart import DayChart
from reports.summary_facts import SummaryFacts
from reports.summary_trends import charts_of
from tests.reports.reading_pdf import reader
from tests.support.many_shafts import MemoryJournal, many_shafts, place_of, sample_entries

SECTIONS = [
    "Identification",
    "Standings and releases",
    "Credit to look at or reduce first",
    "All shafts",
    "Cleaned again, and why",
    "Trends over the project",
    "Delays",
    "Instruments and failed checks",
    "Acceptance set",
    "Cautions",
    "Signature",
    "Journal and record digests",
]
Sample = Callable[[str], tuple[Entry, ...]]


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Sample:
    known: dict[str, tuple[Entry, ...]] = {}

    def entries(name: str) -> tuple[Entry, ...]:
        if name not in known:
            known[name] = sample_entries(name, Path(tmp_path_factory.mktemp("sample") / name))
        return known[name]

    return entries


def facts_of(journal: MemoryJournal) -> SummaryFacts:
    place = place_of(journal)
    return summary_facts(place, latest_moment(place), "Designer")


@pytest.fixture(scope="module")
def larkwater(sample: Sample) -> SummaryFacts:
    return facts_of(MemoryJournal(list(sample("larkwater"))))


@pytest.fixture(scope="module")
def vesker(sample: Sample) -> SummaryFacts:
    return facts_of(MemoryJournal(list(sample("vesker"))))


@pytest.fixture(scope="module")
def sixty(sample: Sample) -> SummaryFacts:
    entries = sample("larkwater")
    names = sorted({each.shaft for each in entries if each.shaft})
    return facts_of(many_shafts(entries, names, 60))


@pytest.fixture(scope="module")
def text(larkwater: SummaryFacts) -> str:
    return text_of(pdf_of(larkwater))


def pages_of(pdf: bytes) -> list[str]:
    """Text of every page by pypdf, white space as single blanks, hard spaces too."""
    return [" ".join(page.extract_text().split()) for page in reader(pdf).pages]


def pdf_of(facts: SummaryFacts) -> bytes:
    return project_summary(facts).pdf


def text_of(pdf: bytes) -> str:
    return " ".join(pages_of(pdf))


def empty(facts: SummaryFacts) -> SummaryFacts:
    return replace(facts, shafts=(), heads=(), instruments=())


def test_every_section_is_in_the_outline_in_order(larkwater):
    outline = [each.title for each in reader(pdf_of(larkwater)).outline]
    assert outline == SECTIONS


def test_the_document_names_itself_and_its_language(larkwater):
    document = reader(pdf_of(larkwater))
    assert document.metadata.title == "Larkwater crossing: project summary"
    assert document.trailer["/Root"]["/Lang"] == "en-US"
    assert document.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"] is not False


def test_the_head_counts_shafts_standings_and_decisions(text):
    for fact in (
        "Larkwater crossing (larkwater)",
        "shafts in the record 10",
        "drilled to the base 10 of 10",
        "concrete started 4 of 10",
        "clean 2",
        "reduced 2",
        "rework 5",
        "not shown 0",
        "not creditable 1",
        "The designer has stated: 1 full credit; no decision on 9 of 10.",
    ):
        assert fact in text


def test_what_to_look_at_first_says_why_how_and_how_much(text):
    # 0.50 x 190 ksf x pi x 5^2/4 ft2 = 1865 kip; 190 x 5 x 0.50 / (4 x 15 x 0.55) = 14.4 ft, by hand
    assert "1. P2-5 not creditable not met: A void was seen under the base" in text
    assert "State no credit, or ask for a remedy." in text
    assert "1,865 kip, 14.4 ft of socket: all of it" in text
    # side 15 ksf x pi x 5 ft x 13.5 ft x 0.55 = 1749 kip of 1749 + 1865
    assert "48.3 %, the side alone" in text
    assert "3. T-1 reduced not met: 20.4 % of the base under 1/2 in, asked at least 50 %." in text
    assert "State a credit of 0.96 to 0.98 at 3 in." in text
    assert "Credit not shown, for want of a fresh round" in text
    assert "Clean, and the best credit at strength is over 0.995: P1-1 and P1-2." in text


def test_every_shaft_has_its_row(larkwater, text):
    rows = text[text.index("All shafts") : text.index("Cleaned again, and why")]
    for each in larkwater.shafts:
        assert f"{each.id} " in rows
        assert each.digest[:12] in rows
    assert "6 not met, 1 not shown not met: 0 % of the base under 1/2 in" in rows
    assert "service, 0.4 in: 0.05–0.40–0.79 strength, 4.8 in: 0.98–0.99–0.99" in rows
    assert "2026-05-12 13:34 released full credit" in rows
    assert "none: the base cannot be counted" in rows
    assert "T-1 sacrificial test" in rows


def test_what_was_cleaned_again_says_why_and_what_it_brought(text):
    for fact in (
        "Cleaned again after a round: 1, on 1 of 10 shafts. The round had broken a limit: 1.",
        "pass 3, airlift, 13 May 11:40",
        "not met: 30.6 % of the base under 1/2 in, asked at least 50 %.",
        "30.6 % within the limit, largest 1 1/4 in, mean 0.66 in",
        "round 2: mean -0.49 in 100 % within the limit, largest 3/8 in, mean 0.18 in",
    ):
        assert fact in text


def test_delays_instruments_limits_cautions_and_digests_are_told(larkwater, text):
    for fact in (
        "P1-3 2026-05-14 12:00 4 h crane tied up at pier 2; second cage section not spliced",
        "13 instruments, 19 checks, 0 of them failed.",
        "passed 2026-05-18 06:44: fresh water 62.3 pcf",
        "area fraction min 50 % everywhere FHWA drilled shaft guide specification",
        "memory: sure",
        "Contract documents, local codes and licensed engineers decide",
        "A page without a valid digital signature is an unsigned copy.",
        larkwater.journal_digest,
        *(each.digest for each in larkwater.shafts),
        *(each.hash for each in larkwater.heads),
    ):
        assert fact in text


def test_every_page_says_which_it_is_of_how_many_and_of_what(sixty):
    pages = pages_of(pdf_of(sixty))
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in page
        assert sixty.journal_digest in page
        assert "Project summary, Larkwater crossing (larkwater)" in page
        assert "60 shafts, as of" in page


def test_sixty_shafts_go_over_pages_and_head_rows_repeat(sixty):
    pages = pages_of(pdf_of(sixty))
    whole = " ".join(pages)
    for each in sixty.shafts:
        assert len(re.findall(rf"\b{each.id}\b", whole)) >= 2, "a row and a digest at least"
    headed = [each for each in pages if "against it base credit low–best–high concrete designer" in each]
    assert len(headed) >= 4
    rows = [each for each in pages if re.search(r"strength, [\d.]+ in:", each)]
    assert set(rows) <= set(headed)


def test_us_units_are_on_letter_and_si_units_on_a4(larkwater, vesker):
    us, si = (reader(pdf_of(each)).pages[0].mediabox for each in (larkwater, vesker))
    assert (round(us.width), round(us.height)) == (612, 792)  # 8.5 x 11 in
    assert (round(si.width), round(si.height)) == (595, 842)  # 210 x 297 mm
    told = text_of(pdf_of(vesker))
    assert "4.24 MN, 4.87 m of socket; of it taken away 0.03 MN" in told
    assert "service, 10 mm:" in told
    assert "kip" not in told
    assert " MN" not in text_of(pdf_of(larkwater))


def test_the_same_facts_give_the_same_bytes(larkwater, vesker):
    assert pdf_of(larkwater) == pdf_of(larkwater)
    assert pdf_of(vesker) == pdf_of(vesker)


class TestSilence:
    def test_an_empty_project_says_that_nothing_is_shown(self, larkwater):
        told = text_of(pdf_of(empty(larkwater)))
        for fact in (
            "The record has no shaft: nothing is shown of any base.",
            "No base was drilled yet: there is nothing to draw, and nothing is shown.",
            "No instrument was checked in the record: none is shown to be right.",
            "No delay is in the record.",
            "0 shafts, as of",
        ):
            assert fact in told

    def test_one_shaft_that_is_only_scheduled_is_not_shown(self, larkwater):
        shaft = larkwater.shafts[0]
        standing = BaseStanding(Standing.NOT_SHOWN, (), NextStep("Drill to the base", None))
        alone = replace(
            shaft,
            standing=standing,
            release=ReleaseState(ReleaseStatus.NONE),
            base_reached=None,
            concrete_started=None,
            concrete_finished=None,
            credit=None,
            missing=("a round of soundings: the base was not sounded",),
            stated=None,
            last_round=None,
            recleaned=(),
            fluid=(),
        )
        told = text_of(pdf_of(replace(larkwater, shafts=(alone,))))
        assert "1 shaft, as of" in told
        assert "not shown 1" in told
        assert "clean 0" in told
        assert "base not reached no decision" in told
        assert "not shown, for want of a round of soundings" in told
        assert "Base not reached, so nothing is shown of it yet: P1-1." in told

    def test_bases_that_are_all_not_shown_are_in_no_chart_as_a_value(self, sixty):
        silent = tuple(
            replace(
                each,
                standing=replace(each.standing, standing=Standing.NOT_SHOWN),
                credit=None,
                missing=("a round of soundings: the base was not sounded",),
                last_round=None,
                fluid=(),
                stated=None,
            )
            for each in sixty.shafts
        )
        facts = replace(sixty, shafts=silent)
        told = text_of(pdf_of(facts))
        assert "not shown 60" in told
        for each in ("clean", "reduced", "rework", "not creditable"):
            assert f" {each} 0" in told
        for chart in charts_of(facts, shown_by(facts.setup)):
            assert chart.values == ()
            assert chart.absent
        wet = sum(bool(each.limits and each.kind_of_fluid == "mineral") for each in sixty.shafts)
        assert wet == 48, "eight of the ten sample shafts are wet"
        assert told.count("not shown: 48") == 3  # density, sand, funnel time
        assert told.count("not shown: 60") == 3  # share, largest, mean
        assert told.count("not shown: 24") == 1  # hours, of the shafts with concrete in

    def test_a_stale_or_half_read_round_is_in_the_lane_of_what_is_not_shown(self, larkwater):
        charts = {each.title: each for each in charts_of(larkwater, shown_by(larkwater.setup))}
        largest = charts["Largest thickness, in"]
        # P2-1 has no point with both depths, P2-2 stood under water after its round
        assert (len(largest.values), len(largest.absent)) == (8, 2)
        assert all(value > 0 for _, value, _ in largest.values)

    def test_a_sample_that_was_not_tested_is_not_shown(self, larkwater):
        shaft = next(each for each in larkwater.shafts if each.id == "P1-1")
        fluid = tuple(replace(each, value_si=None) if each.name == "sand" else each for each in shaft.fluid)
        facts = replace(larkwater, shafts=(replace(shaft, fluid=fluid),))
        charts = {each.title: each for each in charts_of(facts, shown_by(facts.setup))}
        assert charts["Sand in mineral fluid, %"].values == ()
        assert len(charts["Sand in mineral fluid, %"].absent) == 3
        assert len(charts["Density of mineral fluid, pcf"].values) == 3


class TestOddNames:
    @pytest.mark.parametrize(
        "name",
        [
            "Γέφυρα Αχελώου, νότια βάθρα",
            "Мост через Оку, опоры 1–4",
            "Übergang Öresund, Śródmieście, Łódź",
            "W" * 120,
        ],
        ids=["Greek", "Cyrillic", "Latin", "long"],
    )
    def test_names_are_read_back_as_they_are(self, larkwater, name):
        people = (Person("Δημήτρης", (Role.DESIGNER,)), Person("Инспектор Ж", (Role.INSPECTOR,)))
        setup = replace(larkwater.setup, name=name, people=people)
        facts = replace(larkwater, setup=setup, printed_by="Δημήτρης")
        told = text_of(pdf_of(facts))
        assert name.replace(" ", "") in told.replace(" ", "")
        assert "Δημήτρης (designer)" in told
        assert "Инспектор Ж (inspector)" in told

    def test_words_that_look_like_markup_are_words(self, larkwater):
        shaft = larkwater.shafts[2]
        (delay,) = shaft.delays
        odd = replace(delay, why="<b>pump & hose</b> " + "z" * 700)
        told = text_of(pdf_of(replace(larkwater, shafts=(replace(shaft, delays=(odd,)),))))
        assert "<b>pump & hose</b>" in told

    def test_a_failed_check_is_named(self, larkwater):
        first = larkwater.instruments[0]
        failed = Instrument("tape 7", InstrumentType.TAPE, passed=False, check="reads 3 in long")
        line = replace(first, values=failed, observed_at=first.observed_at + timedelta(days=1))
        told = text_of(pdf_of(replace(larkwater, instruments=(*larkwater.instruments, line))))
        assert "14 instruments, 20 checks, 1 of them failed." in told
        assert "2026-05-05 06:30: reads 3 in long" in told

    def test_a_project_without_limits_draws_no_limit_and_holds_nothing(self, larkwater):
        bare = replace(larkwater.setup, acceptance=AcceptanceSet("none", "No limits", "nothing", ()))
        shafts = tuple(replace(each, limits=()) for each in larkwater.shafts)
        facts = replace(larkwater, setup=bare, shafts=shafts)
        assert isinstance(bare, ProjectSetup)
        assert bare.units is UnitSystem.US
        charts: list[DayChart] = charts_of(facts, shown_by(bare))
        assert all(each.limits == () for each in charts)
        assert all("thickness limit" not in each.title for each in charts)
        assert isinstance(reader(pdf_of(facts)), PdfReader)
