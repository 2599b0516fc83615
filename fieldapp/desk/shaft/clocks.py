"""The clocks of an open hole: until when what is shown now stays shown, as moments.

Each is asked of the rules themselves (`fieldapp.criteria.release_limit`) or of the forecast from the latest
round; there is no second formula here.  Once concrete has started no clock runs.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final

from fieldapp.criteria import fluid_sampling, head_rules, time_rules, water_rules
from fieldapp.criteria.look import Look
from fieldapp.criteria.release_limit import release_limits
from fieldapp.desk.worth.base_forecast import sound_again_by

SOUND_AGAIN_BY: Final = "sound_again_by"

# Which clock a requirement that the passing of time breaks belongs to.  The names are columns of the board.
OF_REQUIREMENT: Final = {
    fluid_sampling.AGE.name: "test_fluid_by",
    fluid_sampling.RATE.name: "test_fluid_by",
    time_rules.INSPECTED.name: "sound_by",
    head_rules.NOW.name: "read_head_by",
    head_rules.THROUGH.name: "read_head_by",
    water_rules.STANDING.name: "measure_water_by",
    water_rules.SEEPAGE.name: "measure_water_by",
    time_rules.CLEANED.name: "clean_by",
    time_rules.CONTACT.name: "overream_after",
    time_rules.OPEN.name: "overream_after",
    time_rules.OVERNIGHT.name: "open_until",
}


def clocks_of(look: Look) -> dict[str, datetime]:
    """The moments that matter to a shaft, by the name of their column, the soonest first.

    A moment is the last one at which the requirement is still met; what is not met or not shown already
    has none, for the next useful thing says it.
    """
    if look.concrete_in:
        return {}
    found: dict[str, datetime] = {}
    for each in release_limits(look):
        name = OF_REQUIREMENT.get(each.requirement)
        if name is not None:
            found[name] = min(each.until, found.get(name, each.until))
    again = sound_again_by(look)
    if again is not None:
        found[SOUND_AGAIN_BY] = again
    return dict(sorted(found.items(), key=lambda each: each[1]))
