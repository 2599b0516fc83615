"""Words of the people of a project, their roles and their keys."""

from __future__ import annotations

from typing import Final

TITLE: Final = "People and keys"
ADD: Final = "Add a person"
NAME: Final = "name"
NAME_TELLS: Final = "As it stands on the papers. It stays for good: every entry names its author."
ROLES: Final = "roles"
ROLES_TELLS: Final = (
    "Inspectors record and sign logs, resident engineers release, designers decide the credit."
)
PERSON: Final = "person"
PUT_ON: Final = "Put on the project"
CHANGE_ROLES: Final = "Change roles"
ROLES_OF: Final = "Roles of {name}"
NEW_KEY_THEN: Final = "A key names the roles that it was made for: after a change, a new key is made."

KEY: Final = "key"
MAKE_KEY: Final = "Make a key"
OWN_KEY: Final = "Bring a key file of one's own"
NEW_PASSPHRASE: Final = "Change the passphrase"
UNLOCK: Final = "Unlock the key"
REVOKE: Final = "Revoke the key"
REVOKE_EARLIER: Final = "Revoke it from an earlier time"
LOCK: Final = "Lock key"
OPEN_NOW: Final = "unlocked here now"

MAKE_KEY_OF: Final = "Key of {name}"
MAKE_SAYS: Final = (
    "Only {name} types this. The passphrase opens the key on this device, and nobody can recover it."
)
OWN_SAYS: Final = "{file}: type what opens it, then what it is kept under here."
CHANGE_SAYS: Final = "Copies of the key file that were made before still open with the old passphrase."
UNLOCK_SAYS: Final = (
    "Only {name} types this. The key locks itself after {minutes} minutes, or when nobody touches."
)
PASSPHRASE: Final = "passphrase"
OLD: Final = "passphrase until now"
OF_FILE: Final = "passphrase of the file"
NEW: Final = "new passphrase"
AGAIN: Final = "the same again"
SHOW: Final = "Show"
HIDE: Final = "Hide"
GOOD: Final = "Good enough."
BOTH_SAME: Final = "Both are the same."
NOT_SAME: Final = "The two are not the same yet."
TOO_SHORT: Final = "At least 10 characters, or 6 words."
MAKING: Final = "Making the key ..."
OPENING: Final = "Opening the key ..."
MADE: Final = "The key of {name} is made and pinned on the roster."
BROUGHT: Final = "{name} signs with this key from now on. It is pinned on the roster."
CHANGED: Final = "The key of {name} opens with the new passphrase only."
UNLOCKED: Final = "The key of {name} is unlocked."
WEAK: Final = (
    "This passphrase is too short. Take at least 10 characters, or 6 words.",
    "A number alone is guessed in days. Add words or letters to the passphrase.",
    "This passphrase repeats a few characters. Take several words instead.",
    "This passphrase holds a character that cannot be typed. Take letters and words.",
)

REVOKE_TITLE: Final = "Revoke the key of {name}"
WHY: Final = "why"
REASONS: Final = ("tablet lost", "passphrase known to others", "left the project")
SINCE: Final = "not trusted since"
SINCE_TELLS: Final = "Now when empty. What was signed before this time stays."
SINCE_EARLIER: Final = "Earlier than the time it is revoked from. What was signed before this time stays."
REVOKE_ASKS: Final = "Revoke the key of {name}? A revoked key does not come back; a new one can be made."
KEEP_KEY: Final = "No, keep it"
DO_REVOKE: Final = "Revoke it"
REVOKED: Final = "The key of {name} is revoked. Send this project to the other devices."
