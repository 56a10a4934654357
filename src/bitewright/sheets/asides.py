"""Remarks about a patient or a visit beside those of faults: "new pt", "caries lower 6"."""

import re

from bitewright.sheets.cells import plain

OF_PATIENT = (
    r"new (?:pt|pat|patient|px)|neupat\w*|neue[rn]? pat\w*|nouveau patient|nouvelle patiente|"
    r"paciente nuev[oa]|nuovo paziente|nuova paziente|novo paciente|nova paciente|nieuwe patient|"
    r"ny (?:patient|pasient)|nowy pacjent|novy pacient|uj beteg|"
    r"(?:pt|pat|patient|px) (?:was |came |arrived )?late|late (?:pt|patient|arrival)|running late|"
    r"pat\w* (?:kam |ist )?zu spat\w*|en retard|retard|llego tarde|in ritardo|atrasad[oa]|te laat|"
    r"sen ankomst|forsinket|"
    r"(?:nervous|anxious|scared) (?:pt|patient|px|child)|(?:pt|patient|px|child) (?:nervous|"
    r"anxious)|"
    r"(?:\w+ )?angstlich\w*|patiente? anxieu\w+|anxieu\w+|paciente ansios[oa]|paziente ansios[oa]|"
    r"angstige patient|angstig|nervos\w*"
)
OF_OTHERS = (
    r"(?:mum|mom|mother|dad|father|parent|parents|carer) (?:in room|in the room|present|"
    r"with (?:pt|child)|there)|"
    r"(?:mutter|vater|eltern) (?:dabei|anwesend|im raum)|(?:mere|pere) presente?|"
    r"(?:madre|padre) presente|(?:mae|pai) presente|moeder (?:erbij|aanwezig)"
)
OF_MOUTH = (
    r"caries(?: \w+){0,4}|karies(?: \w+){0,4}|caries? (?:noted|seen|upper|lower)(?: \w+){0,3}|"
    r"carie(?:s)?(?: \w+){1,3}|caries en \w+|cariado \w+|tori|torus|bone loss(?: \w+){0,3}|"
    r"old (?:crown|filling|amalgam|bridge)s?(?: \w+){0,2}|perio(?: pt| patient)?|"
    r"(?:for )?ortho(?: pt| patient)?|"
    r"kfo(?: pat\w*)?|ortho en cours|ortodoncia|ortodonzia|calculus|zahnstein|tartre|sarro|tartaro"
)
OF_IMAGE = (
    r"no change(?: since last(?: time)?)?|unchanged|keine veranderung|unverandert|sans changement|"
    r"sin cambios|senza cambiamenti|nessuna variazione|sem alteracoes|geen verandering|"
    r"(?:lovely|nice|great|super|perfect|beautiful) (?:image|job|film|picture|one|work|xray|"
    r"x ray)|well done|"
    r"good (?:patient|pt) (?:mgmt|management)|(?:pt|patient) declined(?: another| repeat|"
    r" retake)?|will do"
)
AWAITED = re.compile(
    r"(?:a?waiting|to be graded|not (?:yet )?graded(?: yet)?|grade pending|noch nicht beurteilt|"
    r"wartet auf|warten auf|"
    r"en attente|pas encore note|pendiente de|falta valorar|in attesa di|da valutare|aguarda|"
    r"por avaliar|wacht op|nog te beoordelen|vantar pa|afventer|venter pa|czeka na|ceka na)\b.*"
)
"""That somebody has still to look at a film. Common practice, no source."""
ASIDE = re.compile(f"{OF_PATIENT}|{OF_OTHERS}|{OF_MOUTH}|{OF_IMAGE}|{AWAITED.pattern}")
"""Remarks that tell of no fault. Common practice, no source."""


def is_aside(text: str) -> bool:
    """Whether a remark is about the patient, the mouth or the visit, and about no fault."""
    return ASIDE.fullmatch(plain(text)) is not None


LETTER_BEFORE = re.compile(r"(?<![\w/])([^\W\d_])/(?=[^\W\d_]{3})")


def without_stroke(text: str) -> str:
    """A remark without strokes between a letter for a word and the next: "c/cut" is "c cut"."""
    return LETTER_BEFORE.sub(r"\1 ", text)


def is_awaited(text: str) -> bool:
    """Whether a remark says that a film has still to be graded: "awaiting Dr V"."""
    return AWAITED.fullmatch(plain(text)) is not None


STAGE = re.compile(
    r"\b(?:conductomet\w+|odontomet\w+|conomet\w+|cono (?:maestro|principal)|lima(?: inicial|"
    r" maestra)?|"
    r"longitud de trabajo|control de obturacion|obturacion|"
    r"working length|wl|master (?:cone|file|point)|trial (?:cone|file)|cone fit|diagnostic length|"
    r"obturation|post op|mid fill|"
    r"messaufnahme|nadelmess\w*|langenmess\w*|arbeitslange\w*|masterpoint\w*|hauptspitze\w*|"
    r"wf kontrolle|"
    r"wurzelfull\w*|longueur de travail|lime en place|maitre cone|cone en place|cone maitre|"
    r"lunghezza di lavoro|prova cono|cono master|odontometria|conometria|prova do cone|"
    r"lengtebepaling|lengtefoto|werklengte|masterpoint|vullingscontrole)\b"
)
"""Stages of the treatment of a root canal that are planned films each. Common practice, no
source."""


def names_stage(text: str) -> bool:
    """Whether a text of a view names a planned stage of a treatment: "PA 46 working length"."""
    return STAGE.search(plain(text)) is not None


__all__ = ["is_aside", "is_awaited", "names_stage", "without_stroke"]
