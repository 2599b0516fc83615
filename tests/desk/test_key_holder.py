"""The one unlocked key: for a stated time, dropped on idling, and gone when it is locked."""

from __future__ import annotations

import gc
import weakref
from datetime import UTC, datetime

import pytest

from fieldapp.desk.trust.key_holder import KeyHolder
from fieldapp.identity.certificates import Term
from fieldapp.identity.errors import IdentityProblem, Locked
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.words import Role

TERM = Term(datetime(2026, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC))


def a_key(name: str = "Inspector A") -> UnlockedKey:
    return new_person_key(CertifiedPerson(name, (Role.INSPECTOR,), "Larkwater crossing"), TERM)


def holding(key: UnlockedKey, now_s: float = 1000.0) -> KeyHolder:
    holder = KeyHolder()
    holder.hold(key, now_s)
    return holder


def test_a_holder_begins_locked_and_says_what_to_do() -> None:
    holder = KeyHolder()
    assert holder.left_s(0.0) == 0
    with pytest.raises(Locked, match=r"Nothing was signed.*unlock the key with its passphrase\."):
        holder.key(0.0)
    assert issubclass(Locked, IdentityProblem)


def test_an_idle_key_is_locked_after_three_minutes() -> None:
    key = a_key()
    holder = holding(key)
    assert holder.left_s(1000.0) == 180
    assert holder.key(1179.9) is key
    with pytest.raises(Locked, match="10 min, 3 min without a touch"):
        holder.key(1180.0)
    with pytest.raises(Locked):
        holder.key(1001.0)


def test_touching_keeps_a_key_and_no_longer_than_ten_minutes_from_unlocking() -> None:
    key = a_key()
    holder = holding(key)
    for now_s in range(1100, 1600, 100):
        holder.touched(float(now_s))
        assert holder.key(float(now_s)) is key
    assert holder.left_s(1500.0) == 100
    holder.touched(1599.0)
    assert holder.left_s(1599.0) == pytest.approx(1.0)
    with pytest.raises(Locked):
        holder.key(1600.0)


def test_a_touch_after_the_time_is_over_does_not_bring_the_key_back() -> None:
    holder = holding(a_key())
    holder.touched(1180.0)
    with pytest.raises(Locked):
        holder.key(1180.0)


@pytest.mark.parametrize("back", [999.9, 0.0, -1e9, float("nan")])
def test_a_count_that_runs_backwards_locks_and_never_lengthens(back: float) -> None:
    holder = holding(a_key())
    with pytest.raises(Locked):
        holder.key(back)
    with pytest.raises(Locked):
        holder.key(1000.0)


def test_a_count_set_back_after_use_locks_too() -> None:
    holder = holding(a_key())
    holder.touched(1100.0)
    holder.touched(1050.0)
    with pytest.raises(Locked):
        holder.key(1100.0)


def test_another_key_takes_the_place_of_the_first() -> None:
    first, second = a_key(), a_key("Inspector B")
    holder = holding(first)
    holder.hold(second, 1010.0)
    assert holder.key(1011.0) is second


def test_a_holder_shows_a_name_and_no_secret() -> None:
    key = a_key()
    holder = holding(key)
    assert repr(holder) == "KeyHolder(Inspector A)"
    assert str(key.private_key.private_numbers().private_value) not in repr(holder)
    holder.lock()
    assert repr(holder) == "KeyHolder(locked)"


@pytest.mark.parametrize("how", ["asked", "over", "another", "backwards"])
def test_nothing_leads_to_the_key_after_it_was_locked(how: str) -> None:
    key = a_key()
    seen = weakref.ref(key)
    holder = holding(key)
    del key
    gc.collect()
    assert [type(each) for each in gc.get_referrers(seen())] == [KeyHolder]
    if how == "asked":
        holder.lock()
    elif how == "another":
        holder.hold(a_key("Inspector B"), 1001.0)
    else:
        with pytest.raises(Locked):
            holder.key({"over": 5000.0, "backwards": 1.0}[how])
    gc.collect()
    assert seen() is None
