"""Who may make which entry, cell by cell through the desk: 29 kinds by 3 roles."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.decisions.designer import DispositionAsked, dispose
from fieldapp.desk.decisions.engineer import ReleaseAsked, hold, release, withdraw
from fieldapp.desk.decisions.signing_off import SignOffAsked, sign_off
from fieldapp.desk.inspector import Refused, Saying, record_entry
from fieldapp.record.attesting import PaperSigned, Revocation, StretchSigned
from fieldapp.record.chain import heads_of
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.hole import BaseSighting, Delay, Note, Photo
from fieldapp.record.kinds import KINDS, PROJECT_KINDS, Values
from fieldapp.record.words import Decision
from fieldapp.store.pictures import save_picture
from tests.desk.decision_site import CLEAN, HERE, ROLES, Site, site
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR
from tests.support.examples import EXAMPLES


@pytest.fixture
def clean(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Site]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    with site(tmp_path / "clean", CLEAN) as made:
        yield made


HOLE = "hole"  # inspector and resident engineer
EXPECTED = {
    "project set-up": "engineer designer",
    "shaft scheduled": "engineer designer",
    "instrument": HOLE,
    "excavation stage": HOLE,
    "fluid test": HOLE,
    "head reading": HOLE,
    "cleanout pass": HOLE,
    "sounding round": HOLE,
    "geometry survey": HOLE,
    "base sighting": HOLE,
    "standing water": HOLE,
    "photo": "inspector engineer designer",
    "note": "inspector engineer designer",
    "delay": HOLE,
    "event": HOLE,
    "amend": "inspector engineer designer",
    "strike": "inspector engineer designer",
    "log signed": "inspector",
    "release": "engineer",
    "hold": "engineer",
    "withdrawal": "engineer",
    "disposition": "designer",
    "concrete started": HOLE,
    "concrete finished": HOLE,
    "as-built": HOLE,
    "device key": "inspector engineer designer",
    "stretch signed": "inspector engineer designer",
    "paper signed": "inspector engineer designer",
    "revocation": "engineer designer",
}
WORDS = {INSPECTOR: "inspector", ENGINEER: "engineer", DESIGNER: "designer"}
# What has to be in the record, or out of it, decides the order: concrete comes last.
LATE = ("concrete started", "concrete finished", "as-built", "disposition", "device key", "stretch signed")


def may(kind: str, who: str) -> bool:
    return WORDS[who] in EXPECTED[kind].replace(HOLE, "inspector engineer").split()


def example(made: Site, kind: str, who: str) -> tuple[Values, str | None, tuple[str, ...]]:
    """A valid entry of a kind: its values, its shaft, the entries that it follows."""
    shaft = None if kind in PROJECT_KINDS else made.shaft
    if kind == "shaft scheduled":
        shaft = "P9-9"
    if kind in {"amend", "strike"}:
        note = made.say(Note("rig moved"), who)
        change = Amend(note.id, Note("rig came"), "wrong word") if kind == "amend" else Strike(note.id, "no")
        return change, shaft, (note.id,)
    return fitted(made, next(each for each in EXAMPLES if kind == each.KIND), who), shaft, ()


def fitted(made: Site, values: Values, who: str) -> Values:
    """The example of a kind, made to fit this project at this moment."""
    now = made.place.now()
    head = heads_of(made.place.entries())[HERE]
    changes: dict[type, dict[str, object]] = {
        CleanoutPass: {"started_at": now - timedelta(minutes=9), "ended_at": now},
        Delay: {"started_at": now - timedelta(minutes=9), "ended_at": now},
        SoundingRound: {"number": 7},
        StretchSigned: {"seq": head.seq, "hash": head.hash},
        PaperSigned: {"role": ROLES[who]},
        Revocation: {"holder": next(each for each in ROLES if each != who)},
        Photo: {"picture": save_picture(made.place.folder, b"not looked at", ".jpg")},
        BaseSighting: {"picture": save_picture(made.place.folder, b"not looked at", ".jpg")},
    }
    if values.KIND == "project set-up":
        return replace(made.place.setup(), name="Larkwater crossing, north")
    return replace(values, **changes.get(type(values), {}))


def decided(made: Site, kind: str, who: str) -> None:
    place, key = made.place, made.keys[who]
    everything = ("override", "past-forecast", "sign-open", "over-estimate")
    if kind == "log signed":
        sign_off(place, made.shaft, SignOffAsked(confirmed=everything), who, key)
    elif kind == "release":
        until = place.now() + timedelta(minutes=5)
        asked = ReleaseAsked(until, reason="the side carries it", confirmed=everything)
        release(place, made.shaft, asked, who, key)
    elif kind == "hold":
        hold(place, made.shaft, "wait", who, key)
    elif kind == "withdrawal":
        withdraw(place, made.shaft, "no tremie", who, key)
    else:
        asked_of_base = DispositionAsked(Decision.NO_CREDIT, "soft", confirmed=everything)
        dispose(place, made.shaft, asked_of_base, who, key)


DECIDED = ("hold", "release", "withdrawal", "log signed", "disposition")


def made_by(made: Site, kind: str, who: str) -> bool:
    """Whether the entry was recorded; anything else than a refusal because of the role is an error."""
    before = len(made.place.entries())
    try:
        if kind in DECIDED:
            decided(made, kind, who)
        else:
            values, shaft, parents = example(made, kind, who)
            before = len(made.place.entries())
            confirmed = ("density-jump", "funnel-jump", "level-jump", "depth-off", "thick-layer", "much-sand")
            record_entry(made.place, Saying(shaft, values, who, confirmed=confirmed, parents=parents))
    except Refused as refused:
        assert {each.code for each in refused.found} == {"other-role"}, (kind, str(refused))
        assert len(made.place.entries()) == before
        return False
    made.clock.move(seconds=1)
    return True


@pytest.mark.parametrize("who", ROLES)
def test_every_kind_of_entry_is_made_by_its_roles_and_by_no_other(clean: Site, who: str) -> None:
    assert set(EXPECTED) == set(KINDS)
    first = [each for each in EXPECTED if each not in {*LATE, *DECIDED}]
    order = [*(each for each in DECIDED if each not in LATE), *first, *LATE]
    if who == DESIGNER:
        # the designer's own set-up changes nobody's role, and the engineer's release is there to take back
        decided(clean, "release", ENGINEER)
    got = {kind: made_by(clean, kind, who) for kind in order}
    assert got == {kind: may(kind, who) for kind in order}
