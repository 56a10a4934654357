"""Words that say of a film that it is itself the second one: "2e prise", "is retake", "2nd go"."""

import re
from functools import lru_cache

from bitewright.sheets.cells import plain
from bitewright.sheets.phrases import phrases
from bitewright.sheets.vocabulary import longest_held, meanings, words_of

ORDINAL = (
    r"(?:2nd|2|ii|2 ?[aeo]|2eme|2te[rns]?|2 ?ra|2da|2do|second[ao]?|segund[ao]|deuxieme|"
    r"zweite[rsn]?|tweede|andra|anden|andre|toinen|drug[aieo]\w*|druh[aye]\w*|masodik|"
    r"ikinci|doua|doilea)"
)
TAKE = (
    r"(?:go|film|take|shot|try|attempt|exposure|image|picture|x ray|xray|radiograph|time|one|plate|"
    r"aufnahme|aufn|versuch|bild|anlauf|film|rontgenbild|platte|prise|cliche|essai|radio|image|"
    r"fois|"
    r"tentative|pose|toma|placa|intento|vez|radiografia|imagen|pelicula|exposicion|lastra|"
    r"tentativo|"
    r"volta|esposizione|ripresa|scatto|immagine|rx|tentativa|tomada|imagem|opname|poging|foto|keer|"
    r"beeld|bilden|bild|forsok|tagning|optagelse|forsog|billede|bilde|kuva|otto|zdjecie|proba|"
    r"snimek|"
    r"pokus|felvetel|kiserlet|cekim|deneme|snimka|pokusaj|incercare)"
)
NEW = (
    r"(?:new|neue[rs]?|nouve(?:au|lle)|nuev[ao]|nuov[ao]|nov[ao]|nieuwe|ny|nya|nytt|replacement|"
    r"ersatz)"
)
IS = (
    r"(?:this is|it is|is|its|ist|dies ist|das ist|c est|ceci est|est|es|esta es|e|questa e|"
    r"questo e|esta e|dit is|det ar|dette er)"
)
THE = r"(?:the|a|an|die|eine|der|das|la|le|une?|el|una|il|lo|o|de|een|det|den|en)"
NOUN = (
    r"(?:retake|repeat|redo|repeat film|retake film|repetition|wiederholung|wiederholungsaufnahme|"
    r"wdh|wiederh|reprise|repeticion|ripetizione|repeticao|herhaling|herhaalopname|omtagning|"
    r"omtag|rpt|rept|rtk|herh|repet|"
    r"omoptagelse|omopptak|uusinta|powtorka|powtorzenie|opakovani|ismetles|tekrar|ponavljanje|"
    r"zweitaufnahme|replacement|ersatzaufnahme|remake)"
)
OF_FILM = r"(?:of|for|zu|von|de|du|di|da|van|av|af|fra|till|til|replaces|ersetzt)"
ABOVE = f"(?:{phrases('film_before')})"
NUMBER = r"(?:no|nr|n|num|number|film|image|bild|aufnahme|cliche|row|line|zeile|o)"
SECOND = re.compile(
    rf"(?:{IS} )?(?:{THE} )?(?:{ORDINAL} {TAKE}|{NEW} {TAKE}|"
    rf"{TAKE} (?:2|ii|two|deux|zwei|due|dos)|{NOUN})"
)
"""A phrase that names the second film. Common practice, no source."""
SURE = re.compile(
    rf"(?:(?:{NOUN} )?{OF_FILM} (?:{NUMBER} ?)?\d+|{NOUN} (?:{OF_FILM} )?{ABOVE}|"
    rf"{IS} (?:{THE} )?{NOUN}|"
    rf"(?:{IS} )?(?:{THE} )?(?:{ORDINAL}|{NEW}) {TAKE}|{THE} {NOUN})"
)
"""One that does not say as well that a film is to be made again, as "repeat" does."""
BESIDE = re.compile(
    r"^(?P<first>[^:;,()\[\]]{2,30}?)\s*[:;,\u2013-]\s+(?P<rest>.+)$"
    r"|^(?P<kept>[^()\[\]]+?)\s*[(\[](?P<in>[^()\[\]]{1,30})[)\]]$"
    r"|^(?P<before>.+?)\s*[,;:\u2013-]\s*(?P<last>[^:;,()\[\]]{2,30})$"
)
BEHIND = re.compile(rf"^(?P<before>\S.*?)\s+(?P<last>(?:{THE} )?{ORDINAL} {TAKE})$")
"""The same with nothing between: "kept 2nd try"."""


@lru_cache(maxsize=5000)
def is_second(text: str) -> bool:
    """Whether a text says that a film is the second one, and nothing else."""
    word = plain(text)
    known = len(word) > 1 and meanings("kinds").get(word) == "retake" and not word.isdigit()
    return known or word in words_of("attempts", "second") or SECOND.fullmatch(word) is not None


@lru_cache(maxsize=5000)
def is_surely_second(text: str) -> bool:
    """The same, where the words do not say as well that a film is to be made again."""
    word = plain(text)
    return word in words_of("attempts", "second") or SURE.fullmatch(word) is not None


@lru_cache(maxsize=5000)
def second_apart(text: str) -> str | None:
    """What a cell says beside that its film is the second one; None where it does not say so.

    "kept (2nd film)" and "2nd go: kept" are both "kept".
    """
    found = BESIDE.match(text.strip())
    if found is None:
        behind = BEHIND.fullmatch(plain(text))
        return behind["before"] if behind and _outcome(behind["before"]) == "accepted" else None
    for told, rest in (("first", "rest"), ("in", "kept"), ("last", "before")):
        if found[told] and plain(found[rest]):
            how = _outcome(found[rest])
            is_plain = SURE.fullmatch(plain(found[told])) is not None
            is_kept = how is not None and how.startswith("accepted")
            if is_plain or (is_second(found[told]) and is_kept):
                return found[rest].strip()
    return None


def _outcome(text: str) -> str | None:
    """The decision that a text holds, or its yes; None where it holds none.

    "rejected (repeat)" may be a film to be made again, "kept (repeat)" is the second one.
    """
    word = plain(text)
    if word in words_of("flags", "yes"):
        return "accepted"
    held = longest_held(word, meanings("decisions"))
    return None if held is None else meanings("decisions")[held]


__all__ = ["is_second", "is_surely_second", "second_apart"]
