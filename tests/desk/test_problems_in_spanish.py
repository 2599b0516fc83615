"""What goes wrong on site, raised by the part that finds it, as a screen says it in Spanish."""

from __future__ import annotations

import errno
import os
import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldapp.desk.clock import SystemClock
from fieldapp.desk.entry_forms.fluid_form import fluid_form
from fieldapp.desk.entry_forms.opening import form_for
from fieldapp.desk.entry_forms.recording import record_typed
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.pictures.kept import picture_to_show
from fieldapp.desk.pictures.reading import ready_picture
from fieldapp.desk.problems import PROBLEMS
from fieldapp.desk.trust.key_holder import KeyHolder
from fieldapp.desk.workplace import Workplace, open_project, read_project
from fieldapp.identity.attempts import Attempts
from fieldapp.identity.certificates import Term
from fieldapp.identity.keyfile import open_sealed
from fieldapp.identity.keys import check_passphrase, make_authority_key
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.codec import decode
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Strike
from fieldapp.record.hole import BaseSighting, ExcavationStage, Note, Photo, StandingWater
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.words import FluidStage, RoundWhy
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import StoreProblem, in_plain_words
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.words import tongue
from tests.support.examples import feet

# Words without which English says next to nothing; "in", "a" and "no" stand in Spanish or for inches too.
ENGLISH = re.compile(
    r"\b(the|of|is|are|was|were|and|not|to|for|with|this|that|it|its|be|by|from|on|at|has|have|than|which|"
    r"nothing|expected|read|or|but|there|here|already|saved|choose|may|an)\b",
    re.IGNORECASE,
)
SPANISH = re.compile(r"\b(el|la|los|las|de|un|una|se|no|y|que|en|con|por|es|está|su)\b", re.IGNORECASE)
QUOTED = re.compile(r"'[^']*'|/\S+|journal\.db|base\.jpg")  # what was typed, and the names of files
NOW = datetime(2026, 5, 12, 15, 0, tzinfo=UTC)
Act = Callable[[Workplace, Path], object]


def note(place: Workplace, author: str, shaft: str = "P1-1", **span: float) -> object:
    return record_entry(place, Saying(shaft, Note("x"), author, place.now() + timedelta(**span)))


def typed(kind: str, **texts: str) -> Act:
    def act(place: Workplace, _tmp: Path) -> object:
        return record_typed(place, "P1-1", form_for(place, "P1-1", kind), texts, "Inspector A")

    return act


def fluid(place: Workplace, density: str, at: float) -> object:
    sample = FluidTest(FluidStage.BEFORE_CONCRETE, 1, feet("29' 0\""), density=Reading(density, "pcf"))
    return record_entry(place, Saying("P1-1", sample, "Inspector A", place.now() + timedelta(minutes=at)))


def jump(place: Workplace, _tmp: Path) -> object:
    fluid(place, "65", -2)
    return fluid(place, "80", -1)


def level_jump(place: Workplace, _tmp: Path) -> object:
    for depth in ("2' 0\"", "20' 0\""):
        record_entry(place, Saying("P1-1", HeadReading(feet(depth)), "Inspector A"))
    return None


def disk(code: int) -> Act:
    def act(place: Workplace, _tmp: Path) -> object:
        with in_plain_words(place.folder):
            raise OSError(code, os.strerror(code))

    return act


def wrong_passphrase(_place: Workplace, _tmp: Path) -> object:
    sealed = make_authority_key("larkwater", Term(NOW, NOW + timedelta(days=9), 77), "four words are enough")
    return open_sealed(sealed, "five words are not enough")


def outside(place: Workplace, _tmp: Path) -> object:
    point = SoundingPoint("R1", Reading("60", "in"), Reading("0", "deg"), feet("29' 11\""), feet("30' 0\""))
    return record_entry(
        place, Saying("P1-1", SoundingRound(2, RoundWhy.OTHER, "tape 1", (point,)), "Inspector A")
    )


def no_pictures(place: Workplace, _tmp: Path) -> object:
    (place.folder / "pictures").rmdir()
    return save_picture(place.folder, b"x", ".jpg")


def looking_only(place: Workplace, _tmp: Path) -> object:
    with read_project(place.folder) as looking:
        return looking.writer()


PROBLEMS_OF_SITE: dict[str, Act] = {
    "a depth that cannot be": lambda *_: ExcavationStage(
        tool="auger", material="shale", from_depth=feet("0' 0\""), to_depth=feet("990' 0\"")
    ),
    "a depth in pounds": lambda *_: HeadReading(Reading("12", "pcf")),
    "no number": lambda *_: Reading("12..5", "ft"),
    "two commas": lambda *_: Reading("1,234", "ft"),
    "not feet and inches": lambda *_: Reading("61 4", "ft-in"),
    "twelve inches": lambda *_: Reading("61' 13\"", "ft-in"),
    "divided by zero": lambda *_: Reading("1/0", "ft"),
    "an unknown unit": lambda *_: Reading("1", "ell"),
    "an empty text": lambda *_: Note(" "),
    "half a place": lambda *_: Photo("0" * 64, "x", r=Reading("1", "in")),
    "no digest": lambda *_: Photo("0", "x"),
    "nothing seen": lambda *_: BaseSighting("camera", (), "x"),
    "no water": lambda *_: StandingWater(pumps_off=True),
    "firm above first contact": lambda *_: SoundingPoint(
        "C", Reading("0", "in"), Reading("0", "deg"), feet("30' 0\""), feet("29' 0\"")
    ),
    "a kind from tomorrow": lambda *_: decode("moon landing", 1, {}),
    "no project in the zone": lambda *_: SystemClock().now("Nowhere/Land"),
    "a word for a number": typed("head reading", fluid_level="deep"),
    "a number in another unit": typed("head reading", fluid_level="12 pcf"),
    "a needed field left empty": typed("photo", caption="x"),
    "a place without its angle": typed("photo", picture="0" * 64, caption="x", place="12"),
    "a choice that is none": typed("base sighting", means="camera", seen="gold", text="x"),
    "somebody not on the roster": lambda place, _tmp: note(place, "Somebody"),
    "another role": lambda place, _tmp: record_entry(
        place, Saying("P1-1", HeadReading(feet("2' 0\"")), "Designer")
    ),
    "a time to come": lambda place, _tmp: note(place, "Inspector A", hours=9),
    "before it was scheduled": lambda place, _tmp: note(place, "Inspector A", days=-99),
    "a shaft that is not there": lambda place, _tmp: note(place, "Inspector A", "P9-9"),
    "a shaft to look at that is not there": lambda place, _tmp: place.shaft("P9-9"),
    "an entry that is not there": lambda place, _tmp: record_entry(
        place, Saying("P1-1", Strike("019e1d46-3180-75b4-904d-00000000ffff", "x"), "Inspector A")
    ),
    "a point outside the base": outside,
    "an unlikely density": jump,
    "an unlikely level": level_jump,
    "no fluid to test": lambda place, _tmp: fluid_form(place, "P9-9"),
    "a full disk": disk(errno.ENOSPC),
    "a read-only disk": disk(errno.EROFS),
    "a folder without a journal": lambda _place, tmp: open_project(tmp).__enter__(),
    "open for looking only": looking_only,
    "a picture that is not kept": lambda place, _tmp: record_entry(
        place, Saying("P1-1", Photo("0" * 64, "x"), "Inspector A")
    ),
    "a lost picture": lambda place, _tmp: picture_to_show(place.folder, "0" * 64),
    "no picture": lambda *_: ready_picture(b"x", "UTC", "base.jpg"),
    "a wrong passphrase": wrong_passphrase,
    "a damaged key file": lambda *_: open_sealed(b"x", "four words are enough"),
    "a short passphrase": lambda *_: check_passphrase("short"),
    "a passphrase of digits": lambda *_: check_passphrase("12345678901234567890"),
    "tried too soon": lambda *_: Attempts(9, NOW).check(NOW),
    "no key": lambda *_: KeyHolder().key(0.0),
}
EVERY_STORE_PROBLEM = tuple(StoreProblem.__subclasses__())


@pytest.fixture
def spanish() -> Iterator[None]:
    tongue.choose("es")
    yield
    tongue.choose(tongue.ENGLISH)


def is_spanish(text: str) -> None:
    rest = QUOTED.sub("", text)
    assert ENGLISH.findall(rest) == [], text
    assert SPANISH.search(rest), text


@pytest.mark.parametrize("act", PROBLEMS_OF_SITE.values(), ids=PROBLEMS_OF_SITE.keys())
def test_a_problem_is_told_in_spanish(act, place, tmp_path, spanish):
    with pytest.raises(PROBLEMS) as raised:
        act(place, tmp_path)
    is_spanish(tongue.told(raised.value))
    english = str(raised.value)
    assert ENGLISH.search(english)  # the journal, the log and the command line keep theirs
    tongue.choose(tongue.ENGLISH)
    assert tongue.told(raised.value) == tongue.degrees(english)


def test_the_lost_folder_is_told_in_spanish(place, spanish):
    with pytest.raises(StoreProblem) as raised:
        no_pictures(place, place.folder)
    # the reason in brackets is the words of the system
    is_spanish(re.sub(r"\(.*\)", "", tongue.told(raised.value)))


@pytest.mark.parametrize("kind", EVERY_STORE_PROBLEM, ids=lambda each: each.__name__)
def test_every_problem_of_a_folder_is_told_in_spanish(kind, spanish):
    names = (
        "folder",
        "why",
        "found",
        "known",
        "setting",
        "wanted",
        "id",
        "device",
        "seq",
        "last",
        "kind",
        "author",
    )
    problem = kind(**dict.fromkeys((*names, "digest"), "7"))
    is_spanish(tongue.told(problem))
    assert str(problem) == kind.says.format(**problem.facts)


def test_a_field_that_cannot_be_is_named_in_spanish(spanish):
    with pytest.raises(Impossible) as raised:
        HeadReading(feet("2' 0\""), piezometric_elevation=Reading("99999", "m"))
    text, name = sentence_of(raised.value)
    assert name == "piezometric_elevation"
    assert text.startswith("Cota piezométrica")
    is_spanish(text)
