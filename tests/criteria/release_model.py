"""A small model of release and lapse that reads the rules for itself; see test_release_machine.py."""

from __future__ import annotations

from dataclasses import dataclass, field

from fieldapp.record.words import Role
from tests.support.journals import (
    accepted,
    parameter,
)

BOTH = "Bo Both"
HERE, AWAY = "tablet-a", ("tablet-b", "tablet-c")
LIMITS = accepted(
    parameter("max_thickness_anywhere", "1 1/2 in"),
    parameter("sand_max", "4 %"),
    parameter("min_head", "5 ft"),
    parameter("max_hours_inspect_to_concrete", "4 h"),
    parameter("release_valid_for", "3 h"),
    parameter("override_reason_required", "yes"),
)
OLDEST_ROUND, LONGEST_RELEASE, CLOCKS_OFF = 240, 180, 5  # minutes; the last is what a clock may be off
GOOD, OPEN, BAD = 0, 1, 2
# What a round of five points says of a cap of 1 1/2 in; None is a point that was read on one side only.
ROUNDS = {
    "clean": (("1/4",) * 5, GOOD),
    "at the cap": (("1 1/2",) * 5, GOOD),
    "thick": (("1/4", "1/4", "1 5/8", "1/4", "1/4"), BAD),
    "one-sided": ((None,) * 5, OPEN),
    "one point unread": (("1/4", "1/4", "1/4", "1/4", None), OPEN),
    "thick and unread": (("1 5/8", None, None, None, None), BAD),
}
SAND = {"1 %": GOOD, "4 %": GOOD, "4.1 %": BAD, "": OPEN}
LEVELS = {"3 ft": GOOD, "5 ft": GOOD, "9 ft": BAD}  # 100 ft reference, level of the sand 90 ft: 7, 5, 1 ft


@dataclass
class Fact:
    """One entry as the model knows it; ``when`` and ``until`` in minutes, ``seen`` by device."""

    id: str
    what: str
    device: str
    seq: int
    order: tuple[int, str, int]
    when: int
    author: str
    about: object = None
    target: str = ""
    until: int = 0
    reason: bool = False
    seen: dict[str, int] = field(default_factory=dict)


@dataclass
class Verdict:
    status: str
    until: int | None = None


def pictured(facts: list[Fact], moment: int) -> dict[str, int]:
    """How good or bad each requirement looks with these facts, at a moment."""
    facts = sorted(facts, key=lambda each: each.order)
    struck = {each.target for each in facts if each.what == "strike"}
    says = {each.id: each.about for each in facts}
    for each in facts:
        if each.what == "amend":
            says[each.target] = each.about

    def of(what: str) -> list[Fact]:
        kept = [each for each in facts if each.what == what and each.id not in struck]
        return sorted(kept, key=lambda each: each.when)

    rounds, passes, heads, sands = of("round"), of("pass"), of("head"), of("sand")
    last_pass = passes[-1].when if passes else -1
    made = {"cap": OPEN, "age": OPEN, "sand": OPEN, "now": OPEN, "through": OPEN}
    if rounds:
        last = rounds[-1]
        moved = any(each.when > last.when for each in (*passes, *of("slough")))
        made["cap"] = OPEN if moved else ROUNDS[says[last.id]][1]
        made["age"] = GOOD if moment - last.when <= OLDEST_ROUND else OPEN
    tested = [each for each in sands if each.when > last_pass]
    if tested:
        made["sand"] = SAND[says[tested[-1].id]]
    if heads:
        # A pass begins a minute before it ends.
        known = LEVELS[heads[-1].about]
        made["now"] = known if known == BAD or heads[-1].when >= last_pass - 1 else OPEN
        sounded = [each.when - 1 for each in passes if any(r.when > each.when for r in rounds)]
        since = max(sounded) if sounded else min(heads[0].when, 480)
        later = [each for each in heads if each.when >= since]
        low = any(LEVELS[each.about] == BAD for each in later)
        made["through"] = BAD if low else GOOD if any(h.when <= moment for h in later) else OPEN
    return made


class Model:
    """What the release is, read from the facts alone."""

    def __init__(self) -> None:
        self.facts: list[Fact] = []

    def verdict(self, now: int) -> Verdict:
        concrete = next((each for each in self.facts if each.what == "concrete"), None)
        moment = concrete.when if concrete else now
        stood = [each for each in self.facts if self._stood(each, concrete)]
        decided = sorted(
            (each for each in stood if each.what in {"release", "hold", "withdraw"} and self._engineer(each)),
            key=lambda each: each.order,
        )
        alone = [each for each in decided if not any(self._knew(other, each) for other in decided)]
        if not alone:
            return Verdict("none")
        last = alone[-1]
        if len(alone) > 1 and {each.what for each in alone} != {"hold"}:
            return Verdict("held")
        if last.what != "release":
            return Verdict({"hold": "held", "withdraw": "withdrawn"}[last.what])
        return self._release(last, stood, moment, concrete)

    def _release(self, last: Fact, stood: list[Fact], moment: int, concrete: Fact | None) -> Verdict:
        saw = [each for each in self.facts if last.seen.get(each.device, 0) >= each.seq]
        then = pictured(saw, last.when)
        if last.author in self._owners(last) or (max(then.values()) > GOOD and not last.reason):
            return Verdict("held")
        ends = [last.until, last.when + LONGEST_RELEASE]
        if then["age"] == GOOD:
            struck = {each.target for each in saw if each.what == "strike"}
            rounds = [each.when for each in saw if each.what == "round" and each.id not in struck]
            ends.append(max(rounds) + OLDEST_ROUND)
        until = min(ends)
        before, after = pictured(saw, moment), pictured(stood, moment)
        worse = any(after[each] > before[each] for each in after)
        late = concrete is not None and last.when > concrete.when
        return Verdict("lapsed" if moment > until or late or worse else "released", until)

    def _stood(self, fact: Fact, concrete: Fact | None) -> bool:
        if concrete is None:
            return True
        off = 0 if fact.device == concrete.device else CLOCKS_OFF
        return fact.order < concrete.order and fact.when <= concrete.when + off

    def _roster(self, fact: Fact) -> dict[str, set[Role]]:
        return max((f for f in self.facts if f.what == "roster" and f.order < fact.order),
                   key=lambda each: each.order).about  # fmt: skip

    def _engineer(self, fact: Fact) -> bool:
        return Role.RESIDENT_ENGINEER in self._roster(fact).get(fact.author, set())

    def _owners(self, release: Fact) -> set[str]:
        before = [each for each in self.facts if each.order < release.order]
        signed = {
            each.author
            for each in before
            if each.what == "sign" and Role.INSPECTOR in self._roster(each).get(each.author, set())
        }
        struck = {each.target for each in self.facts if each.what == "strike"}
        rounds = {each.id: each for each in before if each.what == "round" and each.id not in struck}
        amended = {e.author for e in self.facts if e.what == "amend" and e.target in rounds}
        return signed or {each.author for each in rounds.values()} | amended

    @staticmethod
    def _knew(decision: Fact, earlier: Fact) -> bool:
        if decision is earlier or decision.order < earlier.order:
            return False
        if decision.what == "withdraw" or decision.device == earlier.device:
            return True
        return decision.seen.get(earlier.device, 0) >= earlier.seq
