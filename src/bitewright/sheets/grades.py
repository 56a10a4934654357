"""Which grades a column holds, and in which scheme."""

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field

from bitewright.quality.rating_schemes import rating_schemes
from bitewright.sheets.cells import plain
from bitewright.sheets.grade_words import (
    BEST,
    FIRST_GRADE,
    MIDDLE,
    OTHER_SCALES,
    SAME_IN_LANGUAGES,
    THREE,
    TWO,
    WORDS,
    WORST,
)
from bitewright.sheets.vocabulary import meanings

OWN = "own"
"""Any other scheme than the two of the United Kingdom."""
MOST_GRADES = 11
LONG_SCALE = 6
"""Grade from which a scale of figures goes to ten. Our choice."""
SLIP = 0.05
"""Share of a column below which a word is a slip, unless it belongs to the others. Our choice."""
MOSTLY = 0.8
ENDING = re.compile(r"(?:nne|ne|se|n|es|as|os|e|a|o|s)$")
BEFORE = re.compile(
    r"^(?:grade|note|nota|grad|stufe|klasse|class|classe|clase|kategorie|category|quality|qualite|"
    r"qualitat|calidad|rating|score|cat|grado|nivel|niveau)\s*(?=[a-d0-9i]+\b)|"
    r"^[gqk] ?(?=[0-9i]+\b)"
)
BRACKETED = re.compile(r"([^\W_]{1,2})\s*\(")
"""A grade with something in brackets behind it, such as "M (coupé)"."""
IN_BRACKETS = re.compile(r"[^\W_]{1,2}\s*\(([^()]+)\)?")
SIGNS = re.compile(r"([*\u2605\u2606\u2b50+]+)(?:\s|$)")
"""Stars and pluses, with something behind them or not."""
KNOWN = BEST | MIDDLE | WORST | {*WORDS}
OR = re.compile(r"\s*/\s*|\s+(?:or|oder|ou|o|of|eller|lub|nebo|vagy|tai|sau|veya|ili)\s+")
LEAST_BEGUN = 3
"""Letters that a word cut short must have. Our choice."""
FEWEST_WORDS = 2
"""Words for grades from which one more that stands there once or twice, and says the same as one of
them or nothing that is known, is no grade of the scale. Our choice."""
STARS = frozenset("*\u2605\u2606")
ROMAN = {"ii": "2", "iii": "3", "iv": "4"}
DASHES = str.maketrans("\u2010\u2011\u2012\u2013\u2014\u2212\uff0d\uff0b", "-------+")
"""How a minus and a plus are written by programs that set them nicely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeMeanings:
    """What the grades of a column are in the log.

    Parameters
    ----------
    ratings : mapping of plain word to scheme:grade
    worst_first : tuple of str
        Grades as they are shown, those that are likely not kept first.
    same : mapping of plain word to the word that stands for it
    limits : tuple of float
        Of a scale of many numbers: limits below which films may not have been kept, the likeliest
        first. Such a number is no grade of the log.
    """

    ratings: Mapping[str, str]
    worst_first: tuple[str, ...]
    same: Mapping[str, str] = field(default_factory=dict)
    limits: tuple[float, ...] = ()


def grade_word(text: str) -> str:
    """A grade without what stands around it: "Grade 2 - acceptable" is "2"."""
    if not plain(text):
        text = text.translate(DASHES)
    word = BEFORE.sub("", plain(text))
    signs = SIGNS.match(text.strip())
    if signs is not None and not signs[0].isalnum():
        return signs[1]
    bracketed = BRACKETED.match(text.strip())
    if bracketed is not None:
        word = plain(bracketed[1])
    if word in KNOWN:
        return word
    first, _, rest = word.partition(" ")
    is_letter = len(first) == 1 and (first.isdigit() or first in "abcdn")
    if rest and is_letter and not rest[0].isdigit():
        word = first
    if word.endswith(" 0") and word[:-2].isdigit():
        word = word[:-2]
    return ROMAN.get(word, word) or text.strip()


def is_gap_among(text: str, others: Collection[str]) -> bool:
    """Whether a dash is no grade, as no plus stands among the others; so are marks for nothing.

    A single dash is left open, as it was written for a grade by many who have no plus.
    """
    sign = text.strip("? ")
    if not sign or plain(sign) in {"na", "n a", "nil"}:
        return True
    are_signs = any("+" in each.translate(DASHES) for each in others if not plain(each))
    return sign in {"\u2013", "\u2014"} and not are_signs


DASHED = re.compile(r"(?<=\w)\s*[-\u2013]\s*(?=\w)")
"""A dash between two grades, as in "B-R"."""


def are_two_grades(text: str, ratings: Mapping[str, str]) -> bool:
    """Whether a cell holds two grades at once, such as "good / poor"; the sign "+/-" is one."""
    if "/" in grade_word(text) and grade_word(text) in ratings:
        return False
    pieces = text.split()
    dashed = [ratings.get(grade_word(piece)) for piece in DASHED.split(text.strip())]
    told = [ratings.get(grade_word(piece.strip(" ?"))) for piece in OR.split(text)]
    apart = [ratings.get(grade_word(piece)) for piece in pieces] if len(pieces) == 2 else [None]
    return any(None not in each and len(set(each)) > 1 for each in (told, apart, dashed))


def is_worse_then_better(text: str, grades: GradeMeanings) -> bool:
    """Whether two grades have a stroke between, the worse one first, as of a film made again."""
    words = [grade_word(piece) for piece in text.split("/")]
    order = [grades.same.get(word, word) for word in words]
    if len(order) != FILM_AND_RETAKE or not set(order) <= set(grades.worst_first):
        return False
    first, second = map(grades.worst_first.index, order)
    return first < second


FILM_AND_RETAKE = 2


def beside_grade(text: str) -> str:
    """What stands behind a grade in one cell: "P" of "N/P"; empty where nothing does."""
    inside = IN_BRACKETS.fullmatch(text.strip())
    if inside is not None:
        return inside[1].strip()
    word, whole = grade_word(text), plain(BEFORE.sub("", plain(text)))
    if not plain(word):
        return text.strip()[len(word) :].strip()
    rest = whole[len(word) :].strip() if whole.startswith(f"{word} ") else ""
    return _as_written(text, rest) if rest else ""


def _as_written(text: str, end: str) -> str:
    """The end of a text whose plain letters are known, with the commas that stand in it."""
    starts = (at for at in range(len(text)) if plain(text[at:]) == end)
    return text[max(starts, default=0) :].strip()


def grade_meanings(
    words: Iterable[str], *, any_words: bool = False, listed: Collection[str] = ()
) -> GradeMeanings | None:
    """The scheme of grades, from all that a column holds; None where they are no grades.

    A and N are acceptable or not; 1, 2 and 3 are excellent, acceptable and unacceptable; others
    stay what they are, in a scheme of their own. What stands there once or twice among many, and
    belongs to no scheme or to another, is a slip and no grade. ``any_words``: whether words that
    are not known are grades too, where they stand under a heading that says so. ``listed``: plain
    grades that the sheet itself names, which are no slips.
    """
    counts = Counter(
        word
        for text in words
        if text.strip()
        and (word := grade_word(text))
        and meanings("decisions").get(word) != "retaken"
    )
    if "i" in counts and "2" in counts and "1" not in counts:
        counts["1"] = counts.pop("i")  # I, II, III
        first = {"i": "1"}
    else:
        first = {}
    total = counts.total()
    often = {word for word, count in counts.items() if count > max(SLIP * total, 2) or total < 12}
    often |= {word for word in counts if word in listed} if often else set()
    if not often or len(often) > MOST_GRADES or any(len(word) > 40 for word in often):
        return None
    graded = {word for word in often if any_words or _scheme_of(word, often) is not None}
    if not graded or sum(counts[word] for word in graded) < MOSTLY * total:
        return None
    among = graded | {
        word for word in counts if word not in often and _belongs(word, graded, counts[word])
    }
    same = _inflections(among, counts)
    ratings = {word: _rating(same[word], graded) for word in among}
    common = {ratings[word].partition(":")[0] for word in graded & among}
    if OWN in common and len(common) > 1:  # a scale of its own has words of a published one
        ratings = {word: _own_rating(same[word]) for word in among}
    ratings |= {word: ratings[one] for word, one in first.items() if one in ratings}
    same |= {word: same[one] for word, one in first.items() if one in same}
    firsts = dict.fromkeys(same[word] for word in counts if word in among)
    order = sorted(firsts, key=lambda word: -_badness(word, ratings[word]))
    return GradeMeanings(ratings=ratings, worst_first=tuple(order), same=same)


def _belongs(word: str, graded: set[str], count: int) -> bool:
    """Whether a word that stands there seldom is of the scheme of the others."""
    if set(word) <= STARS and all(set(each) <= STARS for each in graded):
        return len(word) <= max(map(len, graded))
    scheme = _scheme_of(word, graded)
    schemes = {_scheme_of(each, graded) for each in graded}
    if scheme != OWN or schemes != {OWN}:
        return scheme is not None and scheme in schemes
    if word.isdigit() != any(each.isdigit() for each in graded) and "+" in graded:
        return False  # a figure is none of a scale of signs
    if word.isdigit() and all(each.isdigit() for each in graded):
        known = sorted(map(int, graded))
        return min(known[0], 1) <= int(word) <= known[-1] or known[-1] >= LONG_SCALE
    if len(word) == 1 or len(graded) < FEWEST_WORDS:
        return (len(word) == 1) == all(len(each) == 1 for each in graded)
    alike = any(word in each and graded & each for each in SAME_IN_LANGUAGES)
    taken = set().union(*map(_sort, graded)) if count == 1 and not alike else set()
    return _is_short_for(word, graded) or not _sort(word) <= taken


def _sort(word: str) -> set[str]:
    """Whether a word is one for the best, a middle or the worst grade; none where nobody knows."""
    held = {"best": BEST, "middle": MIDDLE, "worst": WORST}
    return {name for name, words in held.items() if word in words}


def _is_short_for(word: str, graded: Iterable[str]) -> bool:
    """Whether a word is the beginning of another, or the other of it: "unbr" of "unbrauchbar"."""
    return any(
        min(len(word), len(each)) >= LEAST_BEGUN
        and " " not in word + each
        and (each.startswith(word) or word.startswith(each))
        for each in graded
    )


def _inflections(words: set[str], counts: Counter[str]) -> dict[str, str]:
    """Each word with the commonest of its inflections and of its like in another language.

    Bon, bonne and gut are one grade.
    """
    stems: dict[str, list[str]] = {}
    for word in words:
        stem = ENDING.sub("", word) if len(word) > 2 else word
        stems.setdefault(stem, []).append(word)
    for short in sorted(stems, key=len):
        longer = [each for each in stems if each != short and _is_short_for(short, [each])]
        if len(longer) == 1 and len(longer[0]) > len(short):
            stems[longer[0]] += stems.pop(short)
    groups = list(stems.values())
    for alike in SAME_IN_LANGUAGES:
        held = [group for group in groups if alike & set(group)]
        if len(held) > 1:
            groups = [each for each in groups if each not in held]
            groups.append([word for group in held for word in group])
    return {
        word: max(group, key=lambda each: (counts[each], each))
        for group in groups
        for word in group
    }


def _scheme_of(word: str, among: set[str]) -> str | None:
    if word in WORDS and not among & OTHER_SCALES:
        return _written_out(word, among)[0]
    if word in {"a", "n"} and not {each for each in among if len(each) == 1} - {"a", "n", "?"}:
        return TWO
    if word in {"1", "2", "3"} and not among & {"0", "4", "5", "6"}:
        return THREE
    is_short = (word.isdigit() and int(word) <= 10) or (len(word) == 1 and word in "abcdef")
    is_known = word in BEST | WORST | MIDDLE
    return OWN if is_short or is_known else None


def _written_out(word: str, among: set[str]) -> tuple[str, str]:
    """Scheme and grade of a word; without an "excellent" beside it there are but two grades."""
    scheme, grade = WORDS[word]
    if scheme == THREE and not among & (FIRST_GRADE | {"1", "2", "3"}):
        return TWO, "N" if grade == "3" else "A"
    return scheme, grade


def _rating(word: str, among: set[str]) -> str:
    scheme = _scheme_of(word, among)
    if word in WORDS and not among & OTHER_SCALES and scheme != OWN:
        return ":".join(_written_out(word, among))
    if scheme in {TWO, THREE}:
        grade = word.upper()
        return f"{scheme}:{grade}"
    return _own_rating(word)


def _own_rating(word: str) -> str:
    return f"{OWN}:{(word.upper() if len(word) == 1 else word)[:20]}"


def _badness(word: str, rating: str) -> float:
    scheme, _, grade = rating.partition(":")
    if scheme in {TWO, THREE}:
        grades = list(dict.fromkeys(rating_schemes()[scheme].grades.values()))
        return grades.index(grade) / max(1, len(grades) - 1)
    by_signs = _badness_of_signs(word)
    if by_signs is not None:
        return by_signs
    if word in WORST:
        return 1.0
    if word in BEST:
        return 0.0
    if len(word) == 1 and word.isdigit():
        return 0.5 + int(word) / 20
    return 0.5 + (ord(word[0]) - ord("a")) / 60 if len(word) == 1 and word.isalpha() else 0.5


def _badness_of_signs(word: str) -> float | None:
    """The more stars or pluses the better, the more dashes the worse; None of other words."""
    if set(word) in ({"*"}, {"\u2605"}):
        return 0.5 - len(word) / 20
    if not word or not set(word) <= {"+", "-"}:
        return None
    more = word.count("+") - word.count("-")
    return 0.5 - more / 10 if more >= 0 else 0.8 - more / 20


__all__ = [
    "GradeMeanings",
    "are_two_grades",
    "beside_grade",
    "grade_meanings",
    "grade_word",
    "is_gap_among",
    "is_worse_then_better",
]
