"""Release and lapse, step by step, against a small model of its own that reads the rules for itself.

Three devices write, two of them out of touch; decisions are made by the right and the wrong person.  The
model holds plain facts and never calls the rules; the acceptance set is small enough for it to judge by
itself: one cap on the thickness, sand, head, and two times.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from fieldapp.criteria.findings import findings_and_release
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend, Basis, Hold, LogSigned, Position, Release, Strike, Withdrawal
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Event, Note
from fieldapp.record.kinds import Values
from fieldapp.record.setup import Person
from fieldapp.record.shaft import project_record
from fieldapp.record.words import CleanoutMethod, FluidStage, Happening, Role, RoundWhy
from tests.criteria.release_model import AWAY, BOTH, HERE, LEVELS, LIMITS, ROUNDS, SAND, Fact, Model
from tests.support.journals import (
    DESIGNER,
    ENGINEER,
    INSPECTOR,
    SHAFT,
    Journal,
    at,
    five_points,
    reading,
)


class ReleaseMachine(RuleBasedStateMachine):
    """Random days at one shaft, seen from the device in the office's hands."""

    devices = st.sampled_from((HERE, HERE, *AWAY))
    engineers = st.sampled_from((ENGINEER, ENGINEER, ENGINEER, BOTH, INSPECTOR, DESIGNER))
    inspectors = st.sampled_from((INSPECTOR, INSPECTOR, BOTH))

    def __init__(self) -> None:
        super().__init__()
        self.journal = Journal(LIMITS)
        self.model = Model()
        self.minute = 600
        self.made: dict[str, Fact] = {}
        self.known: dict[str, set[str]] = {HERE: set(), **{each: set() for each in AWAY}}
        self.numbers = 0
        self.engineer_is_one = True
        self.roster()
        self.journal.plan()
        self.journal.drill(at("08:00"), began=at("07:00"))
        for each in self.journal.entries:
            self.known[HERE].add(each.id)
        self.head(HERE, "3 ft")
        self.clean(HERE)
        self.head(HERE, "3 ft")
        self.fluid(HERE, "1 %")
        self.sound(HERE, "clean", INSPECTOR)
        for each in AWAY:
            self.learn(each)

    @property
    def now(self) -> datetime:
        return at("00:00") + timedelta(minutes=self.minute)

    def number(self) -> int:
        self.numbers += 1
        return self.numbers

    def say(self, device: str, values: Values, author: str, what: str, **more: object) -> Fact:
        self.minute += 1
        when = self.now
        if isinstance(values, CleanoutPass):
            values = CleanoutPass(values.number, values.method, when - timedelta(minutes=1), when)
        unknown = [each for each in self.journal.entries if each.id not in self.known[device]]
        parents = more.pop("parents", ())
        entry = self.journal.say(
            values, when, device=device, author=author, unaware_of=unknown, parents=parents
        )
        fact = Fact(entry.id, what, device, entry.seq, entry.order, self.minute, author, **more)
        self.made[entry.id] = fact
        self.known[device].add(entry.id)
        if device == HERE:
            self.model.facts.append(fact)
        return fact

    def entries(self, device: str = HERE) -> list[Entry]:
        return [each for each in self.journal.entries if each.id in self.known[device]]

    def basis(self, device: str) -> Basis:
        last: dict[str, int] = {}
        for each in self.entries(device):
            last[each.device] = max(each.seq, last.get(each.device, 0))
        return Basis(tuple(Position(*each) for each in sorted(last.items())), "0" * 64)

    def roster(self) -> None:
        roles = {INSPECTOR: {Role.INSPECTOR}, DESIGNER: {Role.DESIGNER}, ENGINEER: {Role.DESIGNER},
                 BOTH: {Role.INSPECTOR, Role.RESIDENT_ENGINEER}}  # fmt: skip
        if self.engineer_is_one:
            roles[ENGINEER] = {Role.RESIDENT_ENGINEER}
        people = tuple(Person(name, tuple(sorted(each))) for name, each in roles.items())
        entry = self.journal.set_up(people=people)
        self.known[HERE].add(entry.id)
        self.model.facts.append(
            Fact(entry.id, "roster", HERE, entry.seq, entry.order, self.minute, DESIGNER, roles)
        )

    @rule(device=devices, read=st.sampled_from(sorted(LEVELS)))
    def head(self, device: str, read: str) -> None:
        self.say(device, HeadReading(fluid_level=reading(read)), INSPECTOR, "head", about=read)

    @rule(device=devices)
    def clean(self, device: str) -> None:
        values = CleanoutPass(self.number(), CleanoutMethod.AIRLIFT, self.now, self.now)
        self.say(device, values, INSPECTOR, "pass")

    @rule(device=devices, read=st.sampled_from(sorted(SAND)))
    def fluid(self, device: str, read: str) -> None:
        self.say(device, self._sample(read), INSPECTOR, "sand", about=read)

    def _sample(self, read: str) -> FluidTest:
        sand = reading(read) if read else None
        return FluidTest(
            FluidStage.BEFORE_CONCRETE,
            self.number(),
            sample_depth=reading("59 ft"),
            sand=sand,
            ph=reading("9 pH"),
        )

    @rule(device=devices, outcome=st.sampled_from(sorted(ROUNDS)), who=inspectors)
    def sound(self, device: str, outcome: str, who: str) -> None:
        self.say(device, self._round(outcome), who, "round", about=outcome)

    def _round(self, outcome: str) -> SoundingRound:
        return SoundingRound(
            self.number(), RoundWhy.BEFORE_CONCRETE, "tape 1", five_points(*ROUNDS[outcome][0])
        )

    @rule(device=devices)
    def slough(self, device: str) -> None:
        self.say(device, Event(Happening.SLOUGH, "from the wall"), INSPECTOR, "slough")

    @rule(device=devices)
    def note(self, device: str) -> None:
        self.say(device, Note("rain"), INSPECTOR, "note")

    @rule(data=st.data(), who=inspectors)
    def amend(self, data: st.DataObject, who: str) -> None:
        target = self._target(data)
        if target is None:
            return
        words = ROUNDS if target.what == "round" else SAND
        about = data.draw(st.sampled_from(sorted(words)))
        says = self._round(about) if target.what == "round" else self._sample(about)
        parents = (self._head_of(target),)
        amends = Amend(target.id, says, "misread")
        self.say(HERE, amends, who, "amend", about=about, target=target.id, parents=parents)

    @rule(data=st.data())
    def strike(self, data: st.DataObject) -> None:
        target = self._target(data)
        if target is not None:
            parents = (self._head_of(target),)
            self.say(HERE, Strike(target.id, "twice"), INSPECTOR, "strike", target=target.id, parents=parents)

    def _target(self, data: st.DataObject) -> Fact | None:
        struck = {each.target for each in self.model.facts if each.what == "strike"}
        able = [each for each in self.model.facts if each.what in {"round", "sand"} and each.id not in struck]
        return data.draw(st.sampled_from(able)) if able else None

    def _head_of(self, target: Fact) -> str:
        changes = [each.id for each in self.model.facts if each.target == target.id]
        return changes[-1] if changes else target.id

    @rule(device=devices, who=engineers, minutes=st.sampled_from((15, 60, 150, 400)), reason=st.booleans())
    def release(self, device: str, who: str, minutes: int, reason: bool) -> None:
        basis, until = self.basis(device), self.minute + 1 + minutes
        seen = {each.device: each.seq for each in basis.positions}
        values = Release(basis, self.now + timedelta(minutes=minutes + 1), reason="known" if reason else "")
        self.say(device, values, who, "release", until=until, reason=reason, seen=seen)

    @rule(device=devices)
    def the_engineer_releases(self, device: str) -> None:
        self.release(device, ENGINEER, 150, reason=True)

    @rule(device=devices, who=engineers)
    def hold(self, device: str, who: str) -> None:
        basis = self.basis(device)
        seen = {each.device: each.seq for each in basis.positions}
        self.say(device, Hold(basis, "wait"), who, "hold", seen=seen)

    @rule(who=engineers)
    def withdraw(self, who: str) -> None:
        releases = [each for each in self.model.facts if each.what == "release"]
        if releases:
            target = releases[-1].id
            self.say(HERE, Withdrawal(target, "no tremie"), who, "withdraw", parents=(target,))

    @rule(who=inspectors)
    def sign(self, who: str) -> None:
        self.say(HERE, LogSigned(self.basis(HERE), "as seen"), who, "sign")

    @rule(has=st.sampled_from((True, True, False)))
    def take_or_give_the_role(self, has: bool) -> None:
        self.engineer_is_one = has
        self.roster()

    @rule(minutes=st.sampled_from((5, 30, 90, 180)))
    def wait(self, minutes: int) -> None:
        self.minute += minutes

    @rule(device=st.sampled_from(AWAY), count=st.integers(1, 3))
    def arrive(self, device: str, count: int) -> None:
        waiting = [each for each in self.journal.entries if each.device == device]
        for each in [each for each in waiting if each.id not in self.known[HERE]][:count]:
            self.known[HERE].add(each.id)
            self.model.facts.append(self.made[each.id])

    @rule(device=st.sampled_from(AWAY), learns=st.booleans(), holds=st.booleans())
    def decides_away_and_sends(self, device: str, learns: bool, holds: bool) -> None:
        if learns:
            self.learn(device)
        if holds:
            self.hold(device, ENGINEER)
        else:
            self.the_engineer_releases(device)
        self.arrive(device, 99)

    @rule(device=st.sampled_from(AWAY), slough=st.booleans())
    def sends_trouble(self, device: str, slough: bool) -> None:
        if slough:
            self.slough(device)
        else:
            self.sound(device, "thick", INSPECTOR)
        self.arrive(device, 99)

    @rule(signs=st.booleans())
    def works_and_releases(self, signs: bool) -> None:
        self.sound(HERE, "clean", BOTH)
        if signs:
            self.sign(BOTH)
        self.release(HERE, BOTH, 60, reason=True)

    @rule(device=st.sampled_from(AWAY))
    def learn(self, device: str) -> None:
        self.known[device] |= self.known[HERE]

    @precondition(
        lambda self: {each.what for each in self.made.values()} & {"release", "concrete"} == {"release"}
    )
    @rule(device=st.sampled_from((HERE, HERE, HERE, AWAY[0])), trouble=st.booleans())
    def concrete(self, device: str, trouble: bool) -> None:
        self.say(device, ConcreteStarted("closed tip"), INSPECTOR, "concrete")
        if trouble:
            self.wait(30)
            self.sends_trouble(AWAY[1], slough=True)

    @invariant()
    def the_release_is_what_the_model_says(self) -> None:
        record = project_record("test-job", self.entries())
        found, state = findings_and_release(record, record.shafts[SHAFT], self.now)
        expected = self.model.verdict(self.minute)
        assert state.status == expected.status, state.reason
        if expected.until is not None:
            assert state.until == at("00:00") + timedelta(minutes=expected.until)
        started = next(each for each in found if each.requirement == "release before concrete")
        if all(each.what != "concrete" for each in self.model.facts):
            assert started.outcome == "not asked"
        else:
            assert started.outcome == ("met" if expected.status == "released" else "not met")


ReleaseMachine.TestCase.settings = settings(max_examples=60, stateful_step_count=25, deadline=None)
TestReleaseMachine = ReleaseMachine.TestCase
