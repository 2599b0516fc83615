"""The short form of the damage campaign, and each damage that it once found to go unseen or unsaid."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import open_project
from fieldapp.record.entry import DamagedEntry
from fieldapp.record.reading import Impossible
from fieldapp.store.checking import StoreFinding
from fieldapp.store.driver import sqlite3
from fieldapp.store.opening import JOURNAL
from fieldapp.store.problems import Damaged
from fieldapp.store.rows import entry_from
from tests.damage.campaign import PAPER, Part, damage
from tests.damage.harm import UNPROVED, Journal, changed
from tests.damage.places import place_of
from tests.damage.small_project import Made

OPENS = "every entry opens and equals its columns"


def test_every_change_is_found_or_changes_nothing(made: Made, tmp_path: Path) -> None:
    tally = damage(made, tmp_path / "work", Part(seed=7, every=1500))
    assert not tally.bad, tally.text()
    came_to = {what for _, what in tally.came_to}
    assert {"harmless", "the journal opens", "BundleRefused", "Impossible"} <= came_to, "each has its way"
    assert {file for file, what in tally.came_to if what == "harmless"} == {JOURNAL}
    assert {file for file, what in tally.came_to if what == UNPROVED} <= {
        "journal alone",
        "journal alone, cut",
    }


def test_a_campaign_sees_a_change_that_nothing_finds(made: Made, tmp_path: Path) -> None:
    def blind(_: bytes) -> str:
        return "NOT FOUND"

    from tests.damage import campaign

    tally = campaign.Tally()
    campaign._one_file(tally, "picture", (made.picture.read_bytes(), blind), Part(seed=1, every=30))
    assert len(tally.bad) == sum(tally.came_to.values()) > 20


def wrong(folder: Path) -> dict[str, str]:
    return {each.what: each.detail for each in audit(folder) if not each.ok}


def spoil(folder: Path, text: bytes, at: int, mask: int) -> None:
    """Change one byte at a place in every copy of a text in the journal."""
    path = folder / JOURNAL
    content = path.read_bytes()
    assert text in content
    path.write_bytes(content.replace(text, changed(text, at, mask)))


def test_a_letter_of_the_schema_that_is_none_is_said(made: Made) -> None:
    spoil(made.folder, b"standard TEXT NOT NULL\n) STRICT", 30, 0xF0)
    assert "is damaged" in wrong(made.folder)["the journal opens"]
    with pytest.raises(Damaged, match="'basenote recover'"), open_project(made.folder):
        pass


def test_a_row_without_its_entry_is_said() -> None:
    for content in (None, 5, b"{}"):
        with pytest.raises(DamagedEntry):
            entry_from(content)


def test_an_entry_that_is_whole_json_with_a_value_that_cannot_be_is_called_damaged(made: Made) -> None:
    spoil(made.folder, b'"unit":"in","value":"1-1/2"', 8, 0x2C)
    assert "does not open" in wrong(made.folder)["every entry opens and equals its columns"]
    with pytest.raises(Damaged, match="is damaged"), open_project(made.folder) as place:
        try:
            place.record()
        except Impossible:
            pytest.fail("it speaks of a value, and not of the file")


def test_what_explains_the_tables_is_compared_too(made: Made) -> None:
    connection = sqlite3.connect(made.folder / JOURNAL, isolation_level=None)
    connection.execute("UPDATE about SET value = 'One row a shaft: all clean.' WHERE name = 'shafts'")
    connection.close()
    assert wrong(made.folder)["read tables equal a rebuild"] == (
        "about: it does not explain the tables as it should"
    )


@pytest.mark.parametrize("mask", [0x02, 0xA0])
def test_a_device_that_is_marked_as_nothing_known_is_said(made: Made, mask: int) -> None:
    spoil(made.folder, b"tablet southhere", 14, mask)
    assert "every chain reaches its head" in wrong(made.folder)


def test_places_of_a_file_are_told_apart(made: Made) -> None:
    content = (made.folder / JOURNAL).read_bytes()
    assert place_of(content, 0) == "file header, magic"
    assert place_of(content, 69) == "file header, application id"
    assert place_of(content, content.index(b"standard TEXT NOT NULL")).startswith("a cell")


def test_a_page_that_cannot_be_read_keeps_nothing_else_from_being_looked_at(
    made: Made, tmp_path: Path
) -> None:
    folder = tmp_path / "work"
    journal = Journal.of(made, folder)
    content = (folder / JOURNAL).read_bytes()
    ends_early = 0
    for at in range(8_192, len(content), 2_411):
        journal.put(changed(content, at, 0xFF))
        found = {each.what: each for each in audit(folder)}
        if "malformed" in found.get(OPENS, StoreFinding(OPENS, ok=True)).detail:
            ends_early += 1
            assert PAPER in found
            assert "whose key vouches for decisions" in found
    assert ends_early, "the test has to meet such a page"
