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
    r"(?:nervous|anxious|scared) (?:pt|patient|px|child)|(?:pt|patient|px|child) (?:nervous|anxious)|"
    r"(?:\w+ )?angstlich\w*|patiente? anxieu\w+|anxieu\w+|paciente ansios[oa]|paziente ansios[oa]|"
    r"angstige patient|angstig|nervos\w*"
)
OF_OTHERS = (
    r"(?:mum|mom|mother|dad|father|parent|parents|carer) (?:in room|in the room|present|with (?:pt|child)|there)|"
    r"(?:mutter|vater|eltern) (?:dabei|anwesend|im raum)|(?:mere|pere) presente?|"
    r"(?:madre|padre) presente|(?:mae|pai) presente|moeder (?:erbij|aanwezig)"
)
OF_MOUTH = (
    r"caries(?: \w+){0,4}|karies(?: \w+){0,4}|caries? (?:noted|seen|upper|lower)(?: \w+){0,3}|"
    r"carie(?:s)?(?: \w+){1,3}|caries en \w+|cariado \w+|tori|torus|bone loss(?: \w+){0,3}|"
    r"old (?:crown|filling|amalgam|bridge)s?(?: \w+){0,2}|perio(?: pt| patient)?|(?:for )?ortho(?: pt| patient)?|"
    r"kfo(?: pat\w*)?|ortho en cours|ortodoncia|ortodonzia|calculus|zahnstein|tartre|sarro|tartaro"
)
OF_IMAGE = (
    r"no change(?: since last(?: time)?)?|unchanged|keine veranderung|unverandert|sans changement|"
    r"sin cambios|senza cambiamenti|nessuna variazione|sem alteracoes|geen verandering|"
    r"(?:lovely|nice|great|super|perfect|beautiful) (?:image|job|film|picture|one|work|xray|x ray)|well done|"
    r"good (?:patient|pt) (?:mgmt|management)|(?:pt|patient) declined(?: another| repeat| retake)?|will do"
)
ASIDE = re.compile(f"{OF_PATIENT}|{OF_OTHERS}|{OF_MOUTH}|{OF_IMAGE}")
"""Remarks that tell of no fault. Common practice, no source."""


def is_aside(text: str) -> bool:
    """Whether a remark is about the patient, the mouth or the visit, and about no fault."""
    return ASIDE.fullmatch(plain(text)) is not None


__all__ = ["is_aside"]
