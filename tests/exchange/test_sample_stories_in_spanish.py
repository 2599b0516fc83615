"""Every sentence that the criteria say of the sample shafts is said in Spanish, to the last word."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import datetime, timedelta
from enum import StrEnum

import pytest

from fieldapp.criteria.finding import Finding
from fieldapp.criteria.findings import findings_and_release
from fieldapp.criteria.release_limit import release_limits
from fieldapp.criteria.rules import look_at
from fieldapp.criteria.standing import base_standing
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.shaft import ProjectRecord
from fieldapp.ui.words.tongue import ENGLISH, choose, tr
from tests.exchange.test_sample_stories import FOLDED, folded

# Words that hold an English sentence together and that Spanish does not have ("a", "no", "in" it has).
FUNCTION_WORDS = re.compile(
    r"\b(the|of|and|is|are|was|were|not|at|within|with|by|to|from|for|since|asked|has|have|had|been|but|or|that"
    r"|which|under|over|before|after|least|most|than|there|this|these|it|its|any|every|none|nobody|again|yet"
    r"|until|between|without|into|on|off|out|only|still|last|first|while|when|where|who|what|how)\b",
    re.IGNORECASE,
)
# What the passing of time breaks is said, too.
LATER = (timedelta(minutes=3), timedelta(hours=30))


@pytest.fixture(autouse=True)
def spanish() -> Iterator[None]:
    choose("es")
    yield
    choose(ENGLISH)


def own_texts(value: object) -> Iterator[str]:
    """Every text of more than one word inside a record: what people wrote, and names."""
    if isinstance(value, StrEnum | AcceptanceSet):
        return
    if isinstance(value, str):
        if " " in value:
            yield value.strip().rstrip(".")
    elif is_dataclass(value) and not isinstance(value, type):
        for each in fields(value):
            yield from own_texts(getattr(value, each.name))
    elif isinstance(value, tuple | list):
        for each in value:
            yield from own_texts(each)


def written_by_people(record: ProjectRecord) -> list[str]:
    entries = [line.original for line in record.lines] + [
        each for shaft in record.shafts.values() for each in shaft.entries
    ]
    found = {text for each in entries for text in own_texts(each.draft)}
    return sorted(found, key=len, reverse=True)


def english_in(shown: str, own: list[str]) -> list[str]:
    for text in own:
        shown = shown.replace(text, "")
    return [each.lower() for each in FUNCTION_WORDS.findall(shown)]


def sayings(record: ProjectRecord, shaft_id: str, at: datetime) -> Iterator[tuple[str, str]]:
    """Where each sentence of a shaft stands, and the sentence."""
    shaft = record.shafts[shaft_id]
    found, release = findings_and_release(record, shaft, at)
    for each in found:
        yield from _of(each)
    standing = base_standing(record, shaft, found, release)
    yield "next step", standing.next_step.says
    yield "release", release.reason
    yield from (("release remark", each) for each in release.remarks)
    look = look_at(record, shaft, at)
    limits = release_limits(look) if look is not None else ()
    yield from ((f"end of a release by {each.requirement}", each.says) for each in limits)


def _of(found: Finding) -> Iterator[tuple[str, str]]:
    for name in ("says", "limit", "measured", "where", "requirement"):
        yield f"{name} of {found.requirement}", getattr(found, name)
    if found.work is not None:
        yield f"work of {found.requirement}", str(found.work)


@pytest.mark.parametrize(("project", "shaft"), FOLDED, ids=str)
def test_nothing_that_is_said_of_a_sample_shaft_stays_english(project, shaft):
    story = folded(project)
    own = written_by_people(story.record)
    english = {}
    for span in LATER:
        for where, text in sayings(story.record, shaft, story.ends[shaft] + span):
            shown = tr(text)
            if english_in(shown, own):
                english[f"{where}: {text}"] = shown
    assert english == {}


def test_the_search_finds_english_and_passes_over_what_people_wrote():
    assert english_in("The base was not sounded.", []) == ["the", "was", "not"]
    assert english_in("Se vio un vacío: open to the south.", ["open to the south"]) == []


def test_a_whole_sentence_is_said_with_its_month_and_its_limits():
    story = folded("larkwater")
    found = dict(sayings(story.record, "P1-4", story.ends["P1-4"] + LATER[0]))
    assert tr(found["says of head now"]) == re.sub(
        r"Head (.+) ft at (\d+) May (.+), asked at least (.+)\.",
        r"Nivel \1 ft el \2 may \3, se pide mínimo \4.",
        found["says of head now"],
    )
