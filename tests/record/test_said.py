"""A sentence that was said is a plain text for everybody but the one who translates it."""

from __future__ import annotations

import copy
import json
import pickle
import sqlite3
from timeit import timeit

import pytest
import rfc8785

from fieldapp.record.said import Said, said, said_of, sayable
from fieldapp.record.words import RoundWhy

THICK = said("Largest {largest} at {place}.", largest="2 1/2 in", place="R3")
TEXT = "Largest 2 1/2 in at R3."


def test_it_is_its_english_text():
    assert THICK == TEXT
    assert hash(THICK) == hash(TEXT)
    assert {TEXT: 1}[THICK] == 1
    assert f"{THICK}" == "{}".format(THICK) == str(THICK) == TEXT  # noqa: UP032 - every way to print it
    assert isinstance(THICK, str)


def test_it_remembers_the_template_and_the_values():
    assert THICK.template == "Largest {largest} at {place}."
    assert dict(THICK.values) == {"largest": "2 1/2 in", "place": "R3"}


def test_a_sentence_in_a_sentence_stays_one():
    whole = said("{why} Sound again after {round}.", why=THICK, round=RoundWhy.AFTER_CAGE)
    assert whole == f"{TEXT} Sound again after after cage."
    assert whole.values["why"].template == THICK.template


def test_braces_that_are_meant_are_written_twice_with_and_without_values():
    assert said("a {{b}}") == "a {b}"
    assert said("a {{b}} {c}", c=1) == "a {b} 1"


def test_a_value_may_have_any_name():
    assert said("{template} {self} {cls}", template=1, self=2, cls=3) == "1 2 3"


def test_a_field_without_a_value_is_refused():
    with pytest.raises(KeyError, match="place"):
        said("Largest {largest} at {place}.", largest="1 in")


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda each: pickle.loads(pickle.dumps(each))])
def test_a_copy_is_said_as_well(again):
    made = again(said("{why} Clean again.", why=THICK))
    assert made == f"{TEXT} Clean again."
    assert isinstance(made, Said)
    assert made.values["why"].values["place"] == "R3"


def test_whoever_writes_it_down_writes_the_text():
    assert json.dumps([THICK]) == json.dumps([TEXT])
    assert rfc8785.dumps({"says": THICK}) == rfc8785.dumps({"says": TEXT})
    with sqlite3.connect(":memory:") as held:
        (kept,) = held.execute("select ?", (THICK,)).fetchone()
    held.close()
    assert (kept, type(kept)) == (TEXT, str)


def test_the_store_keeps_it_as_text():
    pysqlite3 = pytest.importorskip("pysqlite3")
    held = pysqlite3.connect(":memory:")
    assert held.execute("select ?, typeof(?)", (THICK, THICK)).fetchone() == (TEXT, "text")
    held.close()


def test_a_changed_text_is_a_plain_one():
    assert type(THICK[:7]) is type(THICK + "!") is type(THICK.upper()) is str


def test_a_marked_template_is_itself():
    assert sayable("at most {limit}") == "at most {limit}"


def test_a_thousand_sentences_cost_less_than_a_frame():
    seconds = min(
        timeit(lambda: said("Largest {largest} at {place}.", largest="1 in", place="R3"), number=1000)
        for _ in range(5)
    )
    assert seconds < 0.016  # one frame of sixty in a second; the rules say some hundreds for a shaft


@pytest.mark.parametrize(
    "again", [lambda each: each, copy.copy, lambda each: pickle.loads(pickle.dumps(each))]
)
def test_a_capital_or_a_missing_point_changes_the_text_and_not_what_is_said(again):
    small = said("{what} was not measured.", what=said("plumbness"))
    made = again(small.written("Plumbness was not measured"))
    assert made == "Plumbness was not measured"
    assert (made.template, made.values["what"]) == (small.template, "plumbness")


def test_a_problem_gives_back_the_sentence_that_it_was_raised_with():
    assert said_of(ValueError(THICK)) is THICK
    assert said_of(ValueError("plain")) == "plain"
    assert said_of(KeyError(3, 4)) == "(3, 4)"
