"""What the views of sign-off, release, credit, papers and the key share: a place to decide, and its names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.screens.views.sites import decide_on

if TYPE_CHECKING:
    from pathlib import Path

    from tests.screens.decision_journey import Sample
    from tests.screens.journey import Journey


def decide_at(on: Journey, screen: str, sample: Sample, person: str) -> Path:
    """Go to a screen of the shaft of this sample, in the hand of this person; gives the project's folder."""
    folder = decide_on(on, sample, person)
    names().go(on, screen, shaft=sample[0])
    return folder


def names() -> Any:
    """Samples, people and touches of a decision; they bring the window, so they are imported late."""
    from tests.screens import decision_journey

    return decision_journey
