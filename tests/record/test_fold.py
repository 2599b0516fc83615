"""The fold: the same whatever arrives first, nothing lost, disagreement kept and shown."""

from __future__ import annotations

import random  # noqa: TID251 - only the type of the seeded source that hypothesis gives
from dataclasses import replace
from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from fieldapp.record.chain import breaks_in, heads_of
from fieldapp.record.column import HeadReading
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.fold import lines_of, waiting_changes
from fieldapp.record.hole import Note
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.shaft import project_record, with_entry
from tests.support.examples import EXAMPLES, MORNING


def level(read: str) -> HeadReading:
    return HeadReading(fluid_level=Reading(read, "ft"))


class Tablet:
    """A device that writes a chain, knowing what it has seen."""

    made = 0

    def __init__(self, name: str) -> None:
        self.head = ChainHead(name)
        self.seen: list[Entry] = []

    def write(self, values: Values, *parents: Entry, minutes: int = 0) -> Entry:
        Tablet.made += 1
        draft = Draft(
            f"01890a5d-ac96-774b-bcce-{Tablet.made:012x}",
            "larkwater",
            None if values.KIND == "project set-up" else "P1-1",
            values,
            MORNING + timedelta(minutes=minutes),
            MORNING + timedelta(minutes=minutes),
            "Inspector A",
            parents=tuple(each.id for each in parents),
        )
        entry = seal(draft, self.head, max((each.stamp for each in self.seen), default=0) + 1)
        self.head = ChainHead(self.head.device, entry.seq, entry.hash)
        self.seen.append(entry)
        return entry

    def learn(self, other: Tablet) -> None:
        self.seen.extend(each for each in other.seen if each not in self.seen)


def test_an_amendment_changes_what_an_entry_says_and_keeps_the_original() -> None:
    north = Tablet("north")
    first = north.write(level("1.2"))
    change = north.write(Amend(first.id, level("1.3"), "wrong mark", MORNING - timedelta(hours=1)), first)
    (line,) = lines_of(north.seen)
    assert line.values == level("1.3")
    assert line.observed_at == MORNING - timedelta(hours=1)
    assert (line.original, line.changes) == (first, (change,))
    assert line.counts


def test_a_struck_entry_counts_for_nothing_and_is_still_there() -> None:
    north = Tablet("north")
    first = north.write(level("1.2"))
    north.write(Strike(first.id, "twice"), first)
    (line,) = lines_of(north.seen)
    assert line.struck
    assert not line.counts
    assert line.values == level("1.2")


def test_two_amendments_that_did_not_know_of_each_other_are_contested_until_one_follows_both() -> None:
    north, south = Tablet("north"), Tablet("south")
    first = north.write(level("1.2"))
    south.learn(north)
    one = north.write(Amend(first.id, level("1.3"), "wrong mark"), first)
    two = south.write(Amend(first.id, level("1.4"), "wrong tape"), first)
    south.learn(north)
    (line,) = lines_of(south.seen)
    assert line.contested
    assert not line.counts
    assert line.changes == (one, two)
    south.write(Amend(first.id, level("1.4"), "read together"), one, two)
    (line,) = lines_of(south.seen)
    assert not line.contested
    assert line.values == level("1.4")


def test_an_amendment_whose_entry_has_not_arrived_waits() -> None:
    north = Tablet("north")
    first = north.write(level("1.2"))
    change = north.write(Amend(first.id, level("1.3"), "wrong mark"), first)
    assert lines_of([change]) == ()
    assert waiting_changes([change]) == (change,)
    assert waiting_changes(north.seen) == ()


def test_a_wrong_clock_does_not_put_a_correction_before_its_target() -> None:
    north, south = Tablet("north"), Tablet("south")
    first = north.write(level("1.2"), minutes=500)
    south.learn(north)
    south.write(Amend(first.id, level("1.3"), "wrong mark"), first, minutes=-500)
    (line,) = lines_of(reversed(south.seen))
    assert line.values == level("1.3")


moves = st.lists(
    st.tuples(
        st.sampled_from("ns"), st.sampled_from(["write", "amend", "strike", "learn"]), st.integers(0, 30)
    ),
    max_size=20,
)


def play(script: list[tuple[str, str, int]]) -> list[Entry]:
    tablets = {"n": Tablet("north"), "s": Tablet("south")}
    for who, move, pick in script:
        me, other = tablets[who], tablets["s" if who == "n" else "n"]
        targets = [each for each in me.seen if isinstance(each.values, HeadReading)]
        if move == "learn":
            me.learn(other)
        elif move == "write" or not targets:
            me.write(level(f"{pick}"), minutes=pick)
        else:
            target = targets[pick % len(targets)]
            known = [each for each in me.seen if getattr(each.values, "target", "") == target.id]
            parent = known[-1] if known else target
            change = (
                Amend(target.id, level(f"{pick}.5"), "why") if move == "amend" else Strike(target.id, "why")
            )
            me.write(change, parent)
    tablets["n"].learn(tablets["s"])
    return tablets["n"].seen


@given(moves, st.randoms(use_true_random=False))
def test_the_order_of_arrival_does_not_change_the_fold(
    script: list[tuple[str, str, int]], shuffle: random.Random
) -> None:
    entries = play(script)
    other = entries[:]
    shuffle.shuffle(other)
    assert project_record("larkwater", other) == project_record("larkwater", entries)


@given(moves)
def test_amend_and_strike_never_lose_an_original(script: list[tuple[str, str, int]]) -> None:
    entries = play(script)
    kept = {each.id for line in lines_of(entries) for each in (line.original, *line.changes)}
    assert kept == {each.id for each in entries}
    assert breaks_in(entries) == ()


def test_every_kind_of_damage_to_a_chain_is_named() -> None:
    north = Tablet("north")
    one, two, three = (north.write(Note(text)) for text in ("a", "b", "c"))
    other = seal(replace(two.draft, author="Inspector B"), ChainHead("north", 1, one.hash), two.stamp)
    assert "missing" in str(breaks_in([one, three])[0])
    assert [each.seq for each in breaks_in([one, other, three])] == [3]
    assert "changed" in breaks_in([one, other, three])[0].what
    assert "not those of its hash" in breaks_in([replace(one, hash="0" * 64)])[0].what
    assert any("stands also" in each.what for each in breaks_in([one, two, replace(three, draft=two.draft)]))
    assert heads_of(north.seen)["north"].hash == three.hash


def test_the_record_of_a_project_has_its_set_up_and_its_shafts() -> None:
    north = Tablet("north")
    north.write(EXAMPLES[0])
    north.write(EXAMPLES[1])
    project = project_record("larkwater", north.seen)
    assert project.setup is not None
    assert project.setup.values.name == "Larkwater crossing"
    assert project.shafts["P1-1"].scheduled == EXAMPLES[1]
    assert project.shaft("P9") is None


@given(moves)
def test_folding_one_entry_more_gives_the_same_record_as_folding_all(
    script: list[tuple[str, str, int]],
) -> None:
    entries = play(script)
    record = project_record("larkwater", [])
    for each in entries:
        record = with_entry(record, each)
    if entries:
        assert record == project_record("larkwater", entries)


def test_concrete_is_in_from_the_earliest_time_that_any_version_says_and_out_only_when_struck() -> None:
    north, south = Tablet("north"), Tablet("south")
    first = north.write(ConcreteStarted("sealed tip"), minutes=60)
    south.learn(north)
    earlier = Amend(first.id, first.values, "clock", MORNING + timedelta(minutes=40))
    later = Amend(first.id, first.values, "clock", MORNING + timedelta(minutes=80))
    one, two = north.write(earlier, first, minutes=90), south.write(later, first, minutes=95)
    shaft = project_record("larkwater", [first, one, two]).shafts["P1-1"]
    assert shaft.contested
    assert shaft.concrete_started_at == MORNING + timedelta(minutes=40)
    agreed = project_record("larkwater", [first, two]).shafts["P1-1"]
    assert agreed.concrete_started_at == MORNING + timedelta(minutes=80)
    struck = north.write(Strike(first.id, "another shaft"), first, minutes=99)
    assert project_record("larkwater", [first, struck]).shafts["P1-1"].concrete_started_at is None
