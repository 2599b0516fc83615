"""Words of the papers: the list, the making of one, what was found of a file."""

from __future__ import annotations

from typing import Final

TITLE: Final = "Papers"
PAPER_OF: Final = {
    "shaft log": "Log of {shaft}",
    "release sheet": "Release sheet of {shaft}",
    "base condition report": "Base condition of {shaft}",
    "project summary": "Project summary",
}
NONE_YET: Final = "No paper was made yet."
NONE_OF_SHAFT: Final = "No paper of {shaft} was made yet."
NO_SIGNATURE: Final = "not signed"
SIGNED_BY: Final = "signed by {names}"
CLOSED: Final = "closed"
SOME_SIGNED: Final = "{count} of {most} signatures"
FURTHER: Final = "signed further in a later file"
OLDER: Final = "shows an earlier record"
AS_NOW: Final = "shows the record as it is"
MAKE: Final = {
    "shaft log": "Make the log of {shaft}",
    "release sheet": "Make the release sheet of {shaft}",
    "base condition report": "Make the base condition report of {shaft}",
    "project summary": "Make the project summary",
}
KEPT_IN: Final = "kept as PDF in {folder}"
SIGN_NEXT: Final = {
    "inspector": "Sign the log of {shaft}",
    "resident engineer": "Countersign the log of {shaft}",
    "designer": "Close the log of {shaft}",
}
MAKE_SAYS: Final = {
    "shaft log": "the record as it is now; what is signed stays as it is",
    "release sheet": "one page, to decide on concrete",
    "base condition report": "what the base is worth, for the designer",
}
MAKING: Final = {
    "shaft log": "Making the log of {shaft}. Go on with your work; nothing waits for it.",
    "release sheet": "Making the release sheet of {shaft}. Go on with your work; nothing waits for it.",
    "base condition report": "Making the base condition report of {shaft}. Go on with your work; nothing "
    "waits for it.",
    "project summary": "Making the project summary. Go on with your work; nothing waits for it.",
}
MAKING_FAR: Final = (
    "Making the project summary, shaft {number} of {count}. Go on with your work; nothing waits for it."
)
CANCEL: Final = "Do not make it"
CANCELLED: Final = "Not made. No file was left."
MADE: Final = "Saved as {file}."
THERE: Final = "It is there already: {file}."
VERIFY: Final = "Verify a file"
CHOOSE_PDF: Final = "A paper to verify"
NO_PDF_HERE: Final = "No PDF file in this folder. Go into another one, or up."
VERDICT: Final = "verdict"
VERIFYING: Final = "Verifying {file} ..."
OF_PAPER: Final = "paper"
OF_SIGNATURE: Final = "signature {number}: {role}, {name}"
NOBODY: Final = "nobody known"
OF_RECORD: Final = "record"
SIGNATURE_OF: Final = "signature of the {role}"
OTHERS: Final = "The {role} signs next. {name} can read it here, or hand the tablet over on the board."
AS_ROLE: Final = {
    "inspector": "Hold down to sign as inspector",
    "resident engineer": "Hold down to countersign",
    "designer": "Hold down to close",
}
FIRST_AS_ROLE: Final = {
    "resident engineer": "Hold down to certify as resident engineer",
    "designer": "Hold down to certify as designer",
}
SIGNING: Final = "Signing. The earlier file is kept as it is."
SIGN_ALL_THE_SAME: Final = "Sign it"
ANSWERS: Final = {"yes": "holds", "no": "does not hold", "unknown": "not shown"}
VERDICTS: Final = ("valid", "unknown", "rejected")
