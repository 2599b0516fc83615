"""What a paper says as data: read back as it was written, and anything else refused in words."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import replace
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.desk.papers.printed import (
    LARGEST_BYTES,
    NewerPrinted,
    PrintedFacts,
    UnreadablePrinted,
    printed_facts,
    read_printed,
    written_facts,
)
from fieldapp.record.words import PaperKind
from tests.reports.story import facts_us
from tests.reports.worth_story import worth_of

KIND = PaperKind.BASE_CONDITION


@pytest.fixture(scope="module")
def printed() -> PrintedFacts:
    return printed_facts(facts_us(worth=worth_of()), KIND)


def test_it_says_findings_standing_release_and_credits_of_the_page(printed: PrintedFacts) -> None:
    body = json.loads(written_facts(printed))
    assert body["paper"] == "base condition report"
    assert body["layout"].startswith("basenote ")
    assert "reportlab " in body["layout"]
    assert body["standing"]["standing"] == "rework"
    assert body["release"]["status"] == "released"
    assert body["release"]["until"] == "2026-05-13T00:30:00+00:00"  # 18:30 in Denver, MDT
    assert [each["name"] for each in body["credits"]] == ["service", "strength"]
    # reference base of the mechanics survey (section 3.6, tests/base/worth_checks.json): 10 and 75 mm
    assert [each["displacement_m"] for each in body["credits"]] == ["0.01", "0.075"]
    for each in body["credits"]:
        assert float(each["lowest"]) <= float(each["credit"]) <= float(each["greatest"]) <= 1.0
    first = body["findings"][0]
    assert set(first) == {"requirement", "outcome", "says", "measured", "limit"}
    assert body["stated"] is None


def test_it_reads_back_as_it_was_written(printed: PrintedFacts) -> None:
    assert read_printed(written_facts(printed)) == printed


def test_numbers_that_differ_beyond_the_sixth_digit_are_the_same(printed: PrintedFacts) -> None:
    worth = worth_of()
    assert worth.credit is not None
    service = worth.credit.service
    nudged = replace(worth.credit, service=replace(service, credit=service.credit * (1 + 1e-12)))
    other = printed_facts(facts_us(worth=replace(worth, credit=nudged)), KIND)
    assert other == printed
    nudged = replace(worth.credit, service=replace(service, credit=service.credit * (1 + 1e-4)))
    assert printed_facts(facts_us(worth=replace(worth, credit=nudged)), KIND) != printed


def changed(printed: PrintedFacts, **fields: Any) -> bytes:
    return rfc8785.dumps({**json.loads(written_facts(printed)), **fields})


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"format": "something else"}, "not a basenote printed facts"),
        ({"more": "x"}, "fields of its format"),
        ({"version": 0}, "fields of its format"),
        ({"findings": {}}, "no list"),
        ({"findings": [{"requirement": "x"}]}, "fields of its format"),
        ({"findings": [1] * 1001}, "too long"),
        ({"moment": "yesterday"}, "2026-05-12T07:40:00"),
        ({"moment": "2026-05-12T07:40:00"}, "offset"),
        ({"shaft": 3}, "not text"),
        ({"release": None}, "fields of its format"),
    ],
)
def test_what_is_not_of_the_format_is_refused_in_words(
    printed: PrintedFacts, fields: dict[str, Any], says: str
) -> None:
    with pytest.raises(UnreadablePrinted, match=says):
        read_printed(changed(printed, **fields))


def test_credits_must_be_numbers_and_times_in_utc(printed: PrintedFacts) -> None:
    body = json.loads(written_facts(printed))
    body["credits"][0]["credit"] = "nan"
    with pytest.raises(UnreadablePrinted, match="no number"):
        read_printed(rfc8785.dumps(body))
    with pytest.raises(UnreadablePrinted, match="one way"):
        read_printed(changed(printed, moment="2026-05-12T16:36:00-06:00"))


def test_too_large_or_spaced_out_is_refused(printed: PrintedFacts) -> None:
    with pytest.raises(UnreadablePrinted, match="larger"):
        read_printed(b" " * (LARGEST_BYTES + 1))
    spaced = json.dumps(json.loads(written_facts(printed))).encode()
    with pytest.raises(UnreadablePrinted, match="one way"):
        read_printed(spaced)


def test_a_newer_version_or_kind_is_newer_and_not_false(printed: PrintedFacts) -> None:
    for fields in ({"version": 2}, {"paper": "fee note"}):
        with pytest.raises(NewerPrinted):
            read_printed(changed(printed, **fields))


@settings(max_examples=60, deadline=None)
@given(cut=st.integers(0, 10_000), flip=st.integers(1, 255))
def test_a_changed_byte_is_refused_or_says_something_else(cut: int, flip: int) -> None:
    facts = printed_facts(facts_us(), KIND)
    data = bytearray(written_facts(facts))
    data[cut % len(data)] ^= flip
    with suppress(UnreadablePrinted, NewerPrinted):
        assert read_printed(bytes(data)) != facts
