"""The short form of the campaign: every reader gets poison, and answers it or refuses it with a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.poison.campaign import cases
from tests.poison.readers import READERS, Site

SHORT = 700
SEED = 7


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with pytest.MonkeyPatch.context() as patch:
        yield Site(Path(tmp_path_factory.mktemp("poison")), patch)


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("name", READERS)
def test_poison_gets_an_answer_or_a_sentence_and_leaves_nothing_behind(site: Site, name: str) -> None:
    shares = sum(each.share for each in READERS.values())
    found = cases(site, name, SEED, 0, max(12, SHORT * READERS[name].share // shares))
    assert found.faults == []
    assert found.counts.total() >= 12
