"""Conditions of a base resistance: three values, both documents, never a pass on silence."""

import pytest

from fieldapp.base.bearing import intact_rock_base
from fieldapp.base.conditions import BaseEvidence, Condition, intact_rock_conditions, usable
from fieldapp.units import OutOfRange

SHOWN = {
    "void": False,
    "karst": False,
    "base_clean": True,
    "tightly_jointed": True,
    "sound_rock_m": 3.0,
    "socket_length_m": 4.5,
}


def by_name(**known):
    return {c.name: c for c in intact_rock_conditions(BaseEvidence(1.5, **known))}


def test_nothing_known_is_not_shown_in_every_condition():
    assert {c.holds for c in by_name().values()} == {None}
    assert intact_rock_base(10.0, BaseEvidence(1.5)).usable is None


def test_all_shown_is_usable():
    assert intact_rock_base(10.0, BaseEvidence(1.5, **SHOWN)).usable is True


@pytest.mark.parametrize(
    ("name", "known"),
    [
        ("no void below the base", {"void": True}),
        ("no karst", {"karst": True}),
        ("clean base verified", {"base_clean": False}),
        ("tightly jointed", {"tightly_jointed": False}),
        ("sound rock to 2 diameters", {"weak_at_m": 2.0}),
        ("socket over 1.5 diameters", {"socket_length_m": 2.25}),
    ],
)
def test_each_condition_can_exclude_the_base_by_itself(name, known):
    conditions = by_name(**{**SHOWN, **known})
    assert [c.name for c in conditions.values() if c.holds is False] == [name]
    assert intact_rock_base(10.0, BaseEvidence(1.5, **{**SHOWN, **known})).usable is False


def test_the_two_documents_ask_for_different_depths_and_both_are_kept():
    """UFC 3-220-20, Eq. 6-36: 1 diameter; AASHTO LRFD 10.8.3.5.4c: 2 diameters."""
    conditions = by_name(**{**SHOWN, "sound_rock_m": 1.5})
    one, two = conditions["sound rock to 1 diameters"], conditions["sound rock to 2 diameters"]
    assert (one.holds, two.holds) == (True, None)
    assert "UFC" in one.says
    assert "AASHTO" in two.says
    assert "3 m" in two.says


def test_rock_probed_less_deep_than_asked_is_not_shown_and_not_wrong():
    assert by_name(sound_rock_m=1.0)["sound rock to 1 diameters"].holds is None


def test_one_condition_that_fails_weighs_more_than_one_not_shown():
    held, failed, unknown = (Condition("x", holds, "") for holds in (True, False, None))
    assert usable([held, failed, unknown]) is False
    assert usable([held, unknown]) is None
    assert usable([held]) is True


def test_a_depth_below_zero_is_refused():
    with pytest.raises(OutOfRange, match="depth below the base"):
        BaseEvidence(1.5, sound_rock_m=-1.0)
