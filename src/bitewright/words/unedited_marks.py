"""Proposed marks in an audit, in words: on how many films none was edited."""

from bitewright.audit.unedited_marks import UneditedMarks
from bitewright.audit.whole_audit import Audit
from bitewright.words.answer import Answer, Found
from bitewright.words.phrases import counted, listed
from bitewright.words.rates import interval_words, percent, share_words

QUESTION = "Are proposed marks looked at?"
NOBODY_SAID = "nobody said"
TITLE = "Proposed marks by who looked at them"
SAYS = (
    "Counts, in the order of the codes; nobody is ranked. A film with no mark edited may have had "
    "none to edit, or have been confirmed unseen: this table cannot tell which."
)
HEADER = (
    "looked at by",
    "films",
    "no mark edited",
    "share",
    "95% interval",
    "marks proposed",
    "moved",
    "taken away",
    "added",
    "doubted",
    "of these looked at one by one",
)
CANNOT_TELL = (
    "No mark edited may mean that all lay right, or that nobody looked; the log cannot tell which."
)
LOOK_TOGETHER = (
    "Take some films on which no mark was edited and look at their marks together: only that tells "
    "whether they were seen."
)


def unedited_answers(told: Audit, *, named: bool = True) -> tuple[Answer, ...]:
    """On how many films with proposed marks none was edited; ``named``: and who looked at them.

    Nothing where no film of the record had marks proposed.
    """
    of = told.unedited
    if of is None:
        return ()
    people = [each for each in told.unedited_by if each.label]
    by = ""
    if named and people:
        said = [f"{each.label} {each.unedited.count} of {each.unedited.total}" for each in people]
        by = f" By who looked: {listed(said)}."
    elif len(people) > 1:
        by = " By whom, the lead's sheet alone tells."
    left = of.doubted - of.doubted_looked_at
    verb = "was" if left == 1 else "were"
    of_all = counted(of.doubted, "doubted mark")
    doubted = f" Of {of_all}, {left} {verb} not looked at one by one." if left else ""
    return (
        Answer(
            topic="proposed-marks",
            question=QUESTION,
            found=Found.NOTED if of.unedited.enough else Found.TOO_FEW,
            sentence="Of the films with proposed marks, no mark was edited on "
            f"{share_words(of.unedited)}."
            f"{by}{doubted}",
            actions=(LOOK_TOGETHER,) if of.unedited.enough and of.unedited.count else (),
            cannot_tell=CANNOT_TELL,
        ),
    )


def unedited_row(of: UneditedMarks) -> tuple[str | int, ...]:
    """One person's row under `HEADER`; of few films counts alone."""
    share = of.unedited
    return (
        of.label or NOBODY_SAID,
        share.total,
        share.count,
        percent(share.share) if share.enough else "too few",
        interval_words(share) if share.enough else "",
        of.marks,
        of.corrected,
        of.removed,
        of.added,
        of.doubted,
        of.doubted_looked_at,
    )


__all__ = ["HEADER", "NOBODY_SAID", "SAYS", "TITLE", "unedited_answers", "unedited_row"]
