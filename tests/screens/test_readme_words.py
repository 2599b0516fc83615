"""What the README calls a thing on the tablet is what stands on the tablet."""

from __future__ import annotations

import re
from pathlib import Path

from fieldapp.ui.words.tongue import Counted
from tests.house.catalogue import wanted

README = Path(__file__).parents[2] / "README.md"
NO_WORDS = re.compile(r"basenote .*|.*/")
"""Commands and folders."""


def test_every_name_in_the_part_on_the_tablet_is_a_word_of_the_app():
    part = README.read_text("utf-8").partition("## On the tablet\n")[2].partition("\n## ")[0]
    named = [each for each in re.findall(r"`([^`]+)`", part) if not NO_WORDS.fullmatch(each)]
    words = {text for each in wanted() for text in (each if isinstance(each, Counted) else (each,))}
    assert len(named) > 15
    assert [each for each in named if each not in words] == []
