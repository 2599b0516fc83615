"""How a share of the base is said beside the share that is asked, and between what it lies when unknown."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from fieldapp.base.cleanliness import Cleanliness
from fieldapp.criteria.phrasing import Quantity
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from reports.base_round import PlanLimit, RoundOnBase, plan_limit, share_asked
from reports.quantities import Shown

UNKNOWN: Final = "not shown"


@dataclass(frozen=True, slots=True)
class ShareHeld:
    """The limit for a point, the share of the base asked to be within it, and how a share is said."""

    limit: PlanLimit | None
    asked: Reading | None
    shown: Shown

    def share(self, share: Fraction | None) -> str:
        """A share in percent, with digits enough not to look like the share that it misses."""
        if share is None or self.limit is None:
            return UNKNOWN
        if self.asked is None:
            return self.shown.phrases.say(Quantity.SHARE, share)
        return self.shown.phrases.apart(Quantity.SHARE, share, self.asked.si)[0]

    def caption(self, base: RoundOnBase, clean: Cleanliness) -> str:
        """What the share is a share of, and between what it lies when points were not read."""
        if self.limit is None:
            return "no limit for a point is entered"
        text = f"of the {'points' if base.equal_weights else 'base area'} {self.limit}"
        text += f", asked at least {self.asked}" if self.asked else ""
        if clean.share is None:
            text += f"; between {self.between(clean)}"
        return text

    def between(self, clean: Cleanliness) -> str:
        """The least and the greatest that a share can be when points were not read."""
        ends = (clean.share_if_unknown_dirty, clean.share_if_unknown_clean)
        return " and ".join(self.share(each) for each in ends)


def share_held(setup: ProjectSetup, plan: ShaftScheduled, shown: Shown) -> ShareHeld:
    """The limit and the share that the acceptance set asks of this shaft."""
    asked = share_asked(setup, plan)
    return ShareHeld(plan_limit(setup, plan), asked.reading if asked else None, shown)
