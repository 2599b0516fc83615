"""The caution texts: well formed, each with a place, and the ones that the shaft log must have."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

FILE = Path(__file__).parents[2] / "assets" / "cautions.toml"


def texts() -> list[dict]:
    return tomllib.loads(FILE.read_text(encoding="utf-8"))["caution"]


def test_every_caution_has_an_id_of_its_own_a_text_and_a_place():
    ids = [each["id"] for each in texts()]
    assert len(set(ids)) == len(ids)
    for each in texts():
        assert set(each) == {"id", "where", "when", "text"}
        assert each["where"] and each["text"].endswith((".", "in."))


def test_the_shaft_log_warns_of_the_open_hole_entry_loads_and_air_hoses():
    log = " ".join(each["text"] for each in texts() if "shaft log" in each["where"])
    for words in ("open hole", "Nobody enters", "suspended load", "Air hoses"):
        assert words in log


def test_no_caution_sends_a_person_down_a_hole():
    for each in texts():
        assert not re.search(
            r"\b(climb|go|lower (a|the) (person|worker|inspector)) (down|into)", each["text"]
        )
