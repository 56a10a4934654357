"""People whom a sheet writes in several ways: who may be who, to be confirmed by a person.

Nobody is joined before a person says so; two people may bear one name.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from bitewright.sheets.asked_words import AskedWord
from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.name_spellings import NameLikeness, bare_name, likeness
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.word_meanings import is_doubtful, looks_like_name

PEOPLE = ("operator", "supervisor", "decided_by")
NAMED = "operator"
"""Under which field it is said who is who, whichever column a name stands in."""
THEMSELVES = frozenset({"", "nothing", "none"})
"""Answers that leave somebody apart from all others."""
MOST_SPELLINGS, MOST_LETTERS = 60, 40
"""Spellings in a column, and letters of one, beyond which it tells no people. Our choice."""


def spellings(sheet: Understanding) -> Counter[str]:
    """Each way in which a person is written, with how often, over all columns of people."""
    found, written = Counter[str](), dict[str, str]()
    for target in PEOPLE:
        for heading in sheet.headings(target)[:1]:
            for text in map(cell_text, sheet.table.column(heading)):
                if plain(text) and len(text) <= MOST_LETTERS and not is_doubtful(text):
                    found[written.setdefault(plain(text), text)] += 1
    return found if len(found) <= MOST_SPELLINGS else Counter()


def people_asked(sheet: Understanding) -> tuple[AskedWord, ...]:
    """The spellings that may be another person of the sheet, each with who it likely is.

    Those that are like no other follow, so that they may be joined as well. None where no two are
    alike.
    """
    counts = spellings(sheet)
    if not any(looks_like_name(text) for text in counts):
        return ()
    names = sorted(counts, key=lambda text: (_fullness(text), counts[text]), reverse=True)
    asked = [
        _word(text, counts[text], _proposed(text, names[:at], names))
        for at, text in enumerate(names)
        if any(likeness(text, fuller) for fuller in names[:at])
    ]
    if not asked:
        return ()
    asked.sort(key=lambda word: -word.count)
    told = {word.word for word in asked}
    others = [_word(text, counts[text], "", is_known=True) for text in names if text not in told]
    return (*asked, *others)


def _word(text: str, count: int, proposed: str, *, is_known: bool = False) -> AskedWord:
    return AskedWord(field=NAMED, word=text, count=count, proposed=proposed, is_known=is_known)


def _fullness(text: str) -> tuple[int, int, int]:
    """More for a name that is written out more fully."""
    bare = bare_name(text)
    written_out = sum(len(word) for word in bare if len(word) > 1)
    return sum(len(word) > 1 for word in bare), written_out, len(plain(text))


def _proposed(text: str, fuller: Sequence[str], names: Sequence[str]) -> str:
    """The one person whom a spelling likely is; nobody where it may be several people."""
    likely = [each for each in fuller if likeness(text, each) is NameLikeness.LIKELY]
    if not likely:
        return ""
    rest = [each for each in names if each != text and likeness(text, each)]
    first = likely[0]
    others = [each for each in rest if each != first]
    are_one = all(likeness(first, each) is NameLikeness.LIKELY for each in others)
    return first if are_one else ""


def people_joined(sheet: Understanding) -> Mapping[str, str]:
    """Who is who, once a person said so: of each spelling in plain letters the one it is joined to.

    A spelling that is said to be a code is no other spelling, and is not in here.
    """
    said = sheet.given.words.get(NAMED, {})
    written = {plain(text): text for text in spellings(sheet)}
    is_confirmed = sheet.given.answers.get("people") is not None
    told = {plain(each.word): each.proposed for each in people_asked(sheet) if is_confirmed}
    told |= {word: held for word, held in said.items() if word in written}
    told = {word: held for word, held in told.items() if plain(held) in written}
    return {word: written[_last(word, told)] for word in told}


def _last(word: str, told: Mapping[str, str]) -> str:
    """Who somebody is in the end, where one spelling is joined to another that is joined too."""
    passed = [word]
    while (held := plain(told.get(passed[-1], ""))) and held not in passed:
        passed.append(held)
    if held in passed:  # each is said to be the other: one person, by the fuller name
        return max(passed[passed.index(held) :], key=lambda each: (_fullness(each), each))
    return passed[-1]


def other_people(sheet: Understanding, word: str) -> Iterator[str]:
    """The other people of a sheet, whom a spelling may be."""
    return (text for text in spellings(sheet) if plain(text) != plain(word))


__all__ = ["NAMED", "PEOPLE", "THEMSELVES", "other_people", "people_asked", "people_joined"]
