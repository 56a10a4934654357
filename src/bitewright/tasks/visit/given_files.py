"""Files given to a page for a plan: a learned mouth, an operator's Scatter; kept for a while."""

from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from threading import Lock

from bitewright.errors import BitewrightError, quoted
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.exposing.scatter import Scatter
from bitewright.files.belief_file import belief_from_text
from bitewright.files.scatter_file import scatter_from_text
from bitewright.words.visit_plans import learned_words, whose_hand_words

MOUTH, HAND = "mouth", "hand"
MOST_KEPT = 32
KEY_LENGTH = 24


class UnknownGivenFileError(BitewrightError):
    """A file is given as something that no plan takes."""

    def __init__(self, kind: str) -> None:
        super().__init__(
            f"A plan takes no file as {quoted(kind)}: give a learned mouth as {MOUTH}, an "
            f"operator's Scatter as {HAND}."
        )


class NotKeptAnyMoreError(BitewrightError):
    """A file that was given is not kept any more."""

    def __init__(self) -> None:
        super().__init__(
            "A file that was given is not kept any more, for the server has started anew or many "
            "others came since: choose it again."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GivenFile:
    """What a file holds: its key, what is said of it, and the learned mouth or the Scatter."""

    key: str
    said: str
    belief: MouthBelief | None = None
    scatter: Scatter | None = None


_kept: OrderedDict[str, GivenFile] = OrderedDict()
_lock = Lock()


def keep_given(kind: str, name: str, text: bytes) -> GivenFile:
    """Check a file and keep what it holds, by its content.

    Raises
    ------
    UnknownGivenFileError
    BitewrightError
        If it is no such file.
    """
    if kind not in {MOUTH, HAND}:
        raise UnknownGivenFileError(kind)
    key = sha256(kind.encode() + b"\n" + text).hexdigest()[:KEY_LENGTH]
    if kind == MOUTH:
        belief = belief_from_text(text, name)
        made = GivenFile(key=key, said=learned_words(name, belief.films), belief=belief)
    else:
        scatter, operator = scatter_from_text(text, name)
        made = GivenFile(key=key, said=whose_hand_words(name, operator), scatter=scatter)
    with _lock:
        _kept[key] = made
        _kept.move_to_end(key)
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)
    return made


def given_file(key: str) -> GivenFile | None:
    """What was kept under a key; None for an empty key.

    Raises
    ------
    NotKeptAnyMoreError
    """
    if not key:
        return None
    with _lock:
        found = _kept.get(key)
    if found is None:
        raise NotKeptAnyMoreError
    return found


__all__ = ["HAND", "MOUTH", "GivenFile", "NotKeptAnyMoreError", "given_file", "keep_given"]
