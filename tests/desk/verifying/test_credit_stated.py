"""Credits and numbers: one raised a little is told, one that another machine rounded otherwise is not."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from fieldapp.desk.office import begin_project, moment_of
from fieldapp.desk.papers.attached import attached_place
from fieldapp.desk.papers.differences import differences
from fieldapp.desk.papers.journal import paper_journal
from fieldapp.desk.papers.printed import PrintedFacts, printed_facts
from fieldapp.desk.papers.record_fact import RecordFactName as Asked
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.identity.verification import Answer
from fieldapp.record.words import PaperKind
from tests.desk.verifying.false_papers import Makings, says_of

BASE = PaperKind.BASE_CONDITION


@pytest.fixture(scope="module")
def credited(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Makings]:
    """The base condition report of a sample shaft whose base has a credit."""
    folder = tmp_path_factory.mktemp("sample") / "larkwater"
    begin_project(folder)
    with open_project(folder, device="office") as place:
        logs = [Path("sample_logs/larkwater") / f"{each}.log" for each in ("project", "P1-1")]
        add_logs(place, read_logs(logs))
        at = moment_of(place, "P1-1")
        journal = paper_journal(place.entries(), "P1-1", at)
    facts = shaft_facts(attached_place(journal), "P1-1", at, "Designer", BASE)
    yield Makings(journal, printed_facts(facts, BASE), facts, BASE)


def raised(printed: PrintedFacts, by: float) -> PrintedFacts:
    first = printed.credits[0]
    return replace(
        printed, credits=(replace(first, credit=f"{float(first.credit) + by:.6g}"), *printed.credits[1:])
    )


def test_a_credit_raised_by_a_hundredth_is_named_with_both_numbers(credited: Makings) -> None:
    assert credited.printed is not None
    true = credited.printed.credits[0].credit
    false = raised(credited.printed, 0.01)
    found = verify_file(replace(credited, printed=false).prepared())
    assert found.answer(Asked.RECOMPUTED) is Answer.NO
    assert found.answer(Asked.PAGES) is Answer.YES
    stated = false.credits[0].credit
    says = f"credit at service, credit: the paper states '{stated}', its journal gives '{true}'."
    assert says in says_of(found, Asked.RECOMPUTED)


def test_a_credit_raised_on_the_page_is_told_by_the_page(credited: Makings) -> None:
    worth = credited.facts.worth
    assert worth is not None
    assert worth.credit is not None
    service = worth.credit.service
    more = replace(worth.credit, service=replace(service, credit=min(1.0, service.credit + 0.01)))
    assert more.service.credit > service.credit
    false = replace(credited.facts, worth=replace(worth, credit=more))
    found = verify_file(replace(credited, facts=false).prepared())
    assert found.answer(Asked.RECOMPUTED) is Answer.YES
    assert found.answer(Asked.PAGES) is Answer.NO
    assert re.search(r"these pages are others: [\d, ]+\.$", says_of(found, Asked.PAGES))


def test_only_the_last_of_six_digits_may_differ(credited: Makings) -> None:
    printed = credited.printed
    assert printed is not None
    assert 0.1 <= float(printed.credits[0].credit) < 1.0, "so that the sixth digit is the millionth"
    last = 1e-6
    assert differences(raised(printed, last), printed) == ()
    (found,) = differences(raised(printed, 20 * last), printed)
    assert found.what == "credit at service, credit"


def test_what_is_left_out_or_added_is_a_difference(credited: Makings) -> None:
    printed = credited.printed
    assert printed is not None
    assert {each.what for each in differences(replace(printed, credits=()), printed)} == {
        "credit at service",
        "credit at strength",
    }
    stated = replace(printed, stated=None)
    assert (differences(stated, printed) == ()) is (printed.stated is None)
    assert differences(printed, printed) == ()
