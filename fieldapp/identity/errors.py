"""What can go wrong with a key, a certificate or a signature, as sentences.

Each says what happened, what is safe, and what to do.  None of them holds a passphrase or a key.
"""

from __future__ import annotations


class IdentityProblem(ValueError):
    """Anything that keeps a person from signing or being known."""


class UnfitText(IdentityProblem):
    """A name, role, time or number that a certificate or a signature cannot carry."""


class WeakPassphrase(IdentityProblem):
    """A passphrase that is too easy to guess."""


class WrongPassphrase(IdentityProblem):
    """The passphrase does not open the key file."""


class DamagedKeyFile(IdentityProblem):
    """The bytes are not a whole key file."""


class NoKeyInFile(IdentityProblem):
    """The file opens, but holds no key that can sign here."""


class UnfitKeyFile(IdentityProblem):
    """The file is sealed in a way that is not read here."""


class RevokedKey(IdentityProblem):
    """The certificate of the key is not trusted from a time on."""


class Locked(IdentityProblem):
    """No key is unlocked any more, or none was."""


class UnreadableCertificate(IdentityProblem):
    """The text is not a certificate of a person on a project."""


class NotThisPerson(IdentityProblem):
    """A key, a certificate and a name that do not belong together."""


class OutsideValidity(IdentityProblem):
    """The time lies outside the time in which the certificate is good."""


class UnreadablePdf(IdentityProblem):
    """The bytes are not a PDF that can be signed."""


class FieldProblem(IdentityProblem):
    """A signature field that is missing, filled, too small, or closed."""


class WrongOrder(IdentityProblem):
    """A signature whose turn it is not."""


class ClockProblem(IdentityProblem):
    """A time that lies before a signature already made."""


class TooManyTries(IdentityProblem):
    """A passphrase tried again too soon after wrong ones."""


class NoTimestamp(IdentityProblem):
    """A trusted timestamp was asked for and could not be had."""


class UnreadableAttachment(IdentityProblem):
    """A file inside a PDF that cannot be taken out safely."""
