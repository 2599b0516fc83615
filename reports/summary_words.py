"""How the summary says what it has of a shaft: credits with their range, releases, decisions, thicknesses."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

from fieldapp.base.credit_facts import CreditSpan
from fieldapp.base.stake import Stake
from fieldapp.criteria.finding import ReleaseStatus, Standing
from fieldapp.criteria.phrasing import Quantity
from reports.quantities import Shown
from reports.summary_facts import RoundSeen, SummaryShaft
from reports.worth_words import NO_BREAK, WorthWords, credit_text

NOT_SHOWN: Final = "not shown"
DASH: Final = "–"
_SHORT_M: Final = 0.3


def credit_at(at: CreditSpan) -> str:
    """Low, best and high of a credit, rounded down: ``0.71–0.83–0.92``."""
    return DASH.join(credit_text(each) for each in (at.lowest, at.credit, at.greatest))


def release_words(shaft: SummaryShaft, shown: Shown) -> str:
    """The decision on concrete, short."""
    state = shaft.release
    if state.status is ReleaseStatus.NONE:
        return "no decision"
    if state.status is ReleaseStatus.RELEASED and state.until is not None and shaft.concrete_started is None:
        return f"released until {shown.moment(state.until)}"
    return str(state.status)


def concrete_words(shaft: SummaryShaft, shown: Shown) -> str:
    """When concrete started, and whether its end stands in the record."""
    if shaft.concrete_started is None:
        return "hole open" if shaft.base_reached is not None else "base not reached"
    ended = "" if shaft.concrete_finished is not None else ", end not in the record"
    return f"{shown.moment(shaft.concrete_started)}{ended}"


def stated_words(shaft: SummaryShaft) -> str:
    """What the designer stated."""
    if shaft.stated is None:
        return "nothing stated"
    values = shaft.stated.line.values
    text = str(values.decision)
    if values.credit is not None and values.displacement is not None:
        text += f" {values.credit} at {values.displacement}"
    return text if shaft.stated.saw_all else f"{text}; evidence came after it"


def why_no_credit(shaft: SummaryShaft) -> str:
    """The first thing that keeps a credit from being shown."""
    if shaft.standing.standing is Standing.NOT_CREDITABLE:
        return "none: the base cannot be counted"
    return f"{NOT_SHOWN}, for want of {shaft.missing[0]}" if shaft.missing else NOT_SHOWN


def stake_words(stake: Stake | None, say: WorthWords) -> str:
    """The factored base and the socket that would replace it."""
    if stake is None:
        return f"{NOT_SHOWN}: the designer's numbers for base, side and factors"
    return f"{unbroken(say.load(stake.factored_base_mn))}, {socket(stake.replaces_factored_m, say)}"


def lost_words(stake: Stake, say: WorthWords) -> str:
    """What the best credit takes away, and the socket that would make it good."""
    return f"{unbroken(say.load(stake.lost_mn))}, {socket(stake.replaces_lost_m, say)}"


def socket(length_m: float, say: WorthWords) -> str:
    """A length of socket; none replaces a base without side resistance."""
    if math.isinf(length_m):
        return "no socket would"
    text = say.long(length_m) if length_m >= _SHORT_M else say.short(length_m)
    return f"{unbroken(text)} of socket"


def share_words(share: Fraction | None, shown: Shown) -> str:
    """A share of the base, or that it is not shown."""
    return NOT_SHOWN if share is None else unbroken(shown.phrases.say(Quantity.SHARE, share))


def thickness_words(value_m: Fraction | None, shown: Shown) -> str:
    """A thickness, or that it is not shown."""
    return NOT_SHOWN if value_m is None else unbroken(shown.thickness(value_m))


def round_words(seen: RoundSeen, shown: Shown) -> str:
    """A round in one line: share, largest, mean."""
    if seen.largest_m is None and seen.share is None:
        return f"{NOT_SHOWN}: {seen.read} of {seen.points} points have a thickness"
    share = f"{share_words(seen.share, shown)} within the limit, " if seen.share is not None else ""
    return (
        f"{share}largest {thickness_words(seen.largest_m, shown)}, mean {thickness_words(seen.mean_m, shown)}"
    )


def unbroken(text: str) -> str:
    """A number with its unit that no line may part."""
    return text.replace(" ", NO_BREAK)
