"""A bundle that is not taken over: which file, which rule, and that nothing was written; or one not made."""

from __future__ import annotations

from fieldapp.record.said import said


class BundleRefused(ValueError):
    """A bundle that breaks a rule; ``rule`` says which, as a sentence."""

    def __init__(self, file: str, rule: str) -> None:
        self.file = file
        self.rule = rule
        super().__init__(
            said(
                "{file} was not taken over. {rule} Nothing was written. Have the bundle made and sent again.",
                file=file,
                rule=rule,
            )
        )


class NotSent(ValueError):
    """A bundle that cannot be made of what was chosen; the text says what to do."""
