"""Grades in words, by the words of two schemes and of other scales, in seven languages."""

from collections.abc import Mapping

from bitewright.sheets.vocabulary import words_of

TWO, THREE = "uk-2020", "uk-2001"
"""Schemes: acceptable or not; excellent, acceptable, unacceptable."""
FIRST_GRADE = frozenset(
    {"excellent", "exzellent", "excellente", "excelente", "ausgezeichnet"}
    | {"eccellente", "uitstekend"}
)
WORDS: Mapping[str, tuple[str, str]] = {
    **dict.fromkeys(
        (
            *("accept", "acc", "akzept", "accett", "accepteret"),
            *("diagnostically acceptable", "diagnostisch akzeptabel", "diagnostisch verwertbar"),
            *("diagnostiquement acceptable", "diagnosticamente aceptable"),
            *("diagnosticamente accettabile", "diagnosticamente aceitavel"),
            "diagnostisch acceptabel",
        ),
        (TWO, "A"),
    ),
    **dict.fromkeys(
        (
            *("not accept", "not acc", "non accept"),
            *("not acceptable", "diagnostically not acceptable", "diagnostically unacceptable"),
            *("nicht akzeptabel", "diagnostisch nicht akzeptabel", "non acceptable"),
            *("no aceptable", "nicht verwertbar", "not diagnostically acceptable"),
            *("non accettabile", "nao aceitavel", "niet acceptabel"),
        ),
        (TWO, "N"),
    ),
    **dict.fromkeys(FIRST_GRADE, (THREE, "1")),
    **dict.fromkeys(
        (
            *("acceptable", "akzeptabel", "aceptable", "annehmbar", "accettabile", "aceitavel"),
            *("acceptabel", "aanvaardbaar"),
        ),
        (THREE, "2"),
    ),
    **dict.fromkeys(
        (
            "unacceptable",
            "inakzeptabel",
            "inacceptable",
            "inaceptable",
            "unannehmbar",
            "inaccettabile",
            "inaceitavel",
            "onacceptabel",
            "onaanvaardbaar",
        ),
        (THREE, "3"),
    ),
}
"""Grades written out, by the words of the two schemes. Common practice, no source."""
BEST = words_of("colours", "green") | frozenset(
    {
        "excellent",
        "very good",
        "good",
        "optimal",
        "perfect",
        "clear",
        "sehr gut",
        "gut",
        "exzellent",
    }
    | {"einwandfrei", "bon", "bonne", "tres bon", "tres bonne", "parfait", "excelente", "buena"}
    | {"bueno", "muy buena", "muy bueno", "optima", "optimo", "perfecta", "+", "++"}
    | {"ottima", "ottimo", "eccellente", "buona", "buono", "molto buona", "otima", "otimo", "boa"}
    | {"bom", "muito boa", "muito bom", "uitstekend", "zeer goed", "goed", "perfect"}
    | {
        "bien",
        "muy bien",
        "bene",
        "molto bene",
        "bem",
        "muito bem",
        "ben",
        "tres bien",
        "super",
        "top",
        "top quality",
        "great",
        "nice",
        "ideal",
        "sharp",
        "crisp",
        "very clear",
        "a1",
        "prima",
        "eins",
        "tadellos",
        "sehr schon",
        "schon",
        "optimale",
        "optimaal",
        "otima",
        "excelent",
        "nickel",
        "impeccable",
        "genial",
        "perfetta",
        "perfetto",
        "perfeita",
        "perfeito",
        "perfekt",
        "perfecto",
        "heel goed",
        "scherp",
        "in ordnung",
        "gelungen",
        "buenisima",
        "sobresaliente",
        "notable",
        "distinto",
        "i o",
        "befundbar",
        "dobre",
        "bardzo dobre",
        "vyborny",
        "fint",
        "fin",
        "bra",
        "god",
        "godt",
        "lisible parfaitement",
        "fully diagnostic",
        "pass",
        "passed",
        "bestanden",
        "reussi",
        "superado",
        "superato",
    }
)
WORST = words_of("colours", "red") | frozenset(
    {"unacceptable", "poor", "bad", "rejected", "undiagnostic", "non diagnostic", "not diagnostic"}
    | {
        "fail",
        "unbrauchbar",
        "schlecht",
        "mangelhaft",
        "ungenugend",
        "nicht verwertbar",
        "nondiagnostic",
    }
    | {"inacceptable", "mauvais", "mauvaise", "insuffisant", "insuffisante", "non exploitable"}
    | {"inaceptable", "mala", "malo", "deficiente", "inservible", "insuficiente", "no valida"}
    | {"very poor", "unusable", "-", "--"}
    | {"scarsa", "scarso", "cattiva", "pessima", "insufficiente", "ma", "mau", "fraca", "fraco"}
    | {"insuficiente", "pessimo", "slecht", "onvoldoende", "onbruikbaar"}
    | {
        "mal",
        "muy mal",
        "malissimo",
        "male",
        "molto male",
        "pessima",
        "muito mau",
        "muito ma",
        "ruim",
        "mal fait",
        "nul",
        "nulle",
        "tres mauvais",
        "tres mauvaise",
        "pesima",
        "pesimo",
        "fatal",
        "suspenso",
        "zeer slecht",
        "sehr schlecht",
        "rubbish",
        "awful",
        "terrible",
        "useless",
        "very bad",
        "no good",
        "inadequate",
        "unsatisfactory",
        "weak",
        "schwach",
        "miserabel",
        "misslungen",
        "untauglich",
        "ungeeignet",
        "faible",
        "illisible",
        "inutilizable",
        "insuf",
        "inutilizzabile",
        "inaccettabile",
        "inservivel",
        "inutilizavel",
        "onbruikbaar",
        "zwak",
        "waardeloos",
        "bocciata",
        "rechazable",
        "n i o",
        "nicht in ordnung",
        "nicht befundbar",
        "non diagnostico",
        "non diagnostica",
        "no diagnostica",
        "nao diagnostica",
        "niet diagnostisch",
        "nicht diagnostisch",
        "nieczytelne",
        "nepouzitelny",
        "kan ikke bruges",
        "ubrugelig",
        "ikke brugbar",
        "kasseret",
        "darlig",
        "dalig",
        "oanvandbar",
    }
)
MIDDLE = (
    words_of("colours", "orange")
    | words_of("colours", "yellow")
    | frozenset(
        {"acceptable", "fair", "adequate", "average", "satisfactory", "moderate", "ok", "brauchbar"}
        | {
            "befriedigend",
            "ausreichend",
            "mittel",
            "massig",
            "moyen",
            "moyenne",
            "passable",
            "correct",
        }
        | {
            "correcte",
            "aceptable",
            "regular",
            "suficiente",
            "media",
            "suffisant",
            "verwertbar",
            "o",
            "±",
        }
        | {"discreta", "discreto", "sufficiente", "mediocre", "razoavel", "suficiente", "medio"}
        | {"matig", "voldoende", "redelijk", "bruikbaar"}
        | {
            "medium",
            "middling",
            "so so",
            "passable",
            "reasonable",
            "mediocre",
            "okay",
            "not bad",
            "could be better",
            "borderline",
            *("marginal", "marginale", "marginaal", "grenzwertig", "gransfall", "grenseverdig"),
            "usable",
            "adequado",
            "adequada",
            "discretamente",
            "geht",
            "geht so",
            "maessig",
            "bedingt",
            "durchschnittlich",
            "genugend",
            "moyennement",
            "assez bien",
            "assez bon",
            "assez bonne",
            "mediocres",
            "suffisante",
            "acceptable",
            "corrects",
            "limite",
            "pasable",
            "aprobado",
            "normal",
            "mediano",
            "mediana",
            "cosi cosi",
            "passabile",
            "accettabile",
            "medio",
            "media",
            "razoavel",
            "assim assim",
            "suficiente",
            "aceitavel",
            "middelmatig",
            "gemiddeld",
            "gaat",
            "gaat wel",
            "net voldoende",
            "acceptabel",
            "mittelmassig",
            "bed",
            "eingeschrankt",
            "bedingt befundbar",
            "lisible",
            "dopuszczalne",
            "dostateczne",
            "pouzitelny",
            "brugbar",
            "brukbar",
            "anvandbar",
            "limited",
        }
    )
)
"""Grades in words of other scales, by how good they are. Common practice, no source."""
OTHER_SCALES = (BEST | WORST | MIDDLE) - set(WORDS)
SAME_IN_LANGUAGES = (
    frozenset({"ok", "okay", "o k", "oke", "okej", "okey"}),
    frozenset(
        {"good", "gut", "bon", "bonne", "bueno", "buena", "buono", "buona", "bom", "boa", "goed"}
    ),
    frozenset(
        {
            "fair",
            "mittel",
            "moyen",
            "moyenne",
            "regular",
            "discreto",
            "discreta",
            "razoavel",
            "matig",
        }
    ),
    frozenset(
        {
            "poor",
            "schlecht",
            "mauvais",
            "mauvaise",
            "malo",
            "mala",
            "scarso",
            "scarsa",
            "mau",
            "slecht",
        }
    ),
)
"""The middle scale of three, a word for each language and its inflections: where a column is
kept in two languages or in two spellings, these are one grade. Our choice
of which answer each other."""

__all__ = [
    "BEST",
    "FIRST_GRADE",
    "MIDDLE",
    "OTHER_SCALES",
    "SAME_IN_LANGUAGES",
    "THREE",
    "TWO",
    "WORDS",
    "WORST",
]
