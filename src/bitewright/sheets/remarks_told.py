"""Words that say that a film was kept with a remark."""

import re

REMARK_TOLD = re.compile(
    r"\b(?:remarks?|comments?|notes?|reserv\w*|bemerk\w*|hinweis\w*|anmerk\w*|vorbehalt\w*|remarque\w*|"
    r"reserve\w*|observ\w*|reparo\w*|riserv\w*|nota|note|ressalva\w*|opmerk\w*|kanttek\w*|voorbehoud|"
    r"anm|anmarkn\w*|bemaerk\w*|merknad\w*|uwag\w*|pozn\w*)\b"
)
"""Words that say themselves that a film was kept with a remark. Common practice, no source."""

SOME_FAULT = (
    r"defects?|defectos?|fault|faults|fehlern?|defauts?|difett[oi]|defeitos?|gebrek\w*|fejl|brister|"
    r"imperf\w*|flaws?"
)
"""Words that say that there is a fault, and not which. Common practice, no source."""
REMARKED = re.compile(
    r"\b(?:remarks?|comments?|notes?|reserv\w*|limit\w*|better|minor|slight\w*|bemerk\w*|hinweis\w*|"
    r"anm|anmerk\w*|mangel\w*|einschrank\w*|vorbehalt\w*|remarque\w*|reserve\w*|observ\w*|reparo\w*|"
    r"riserv\w*|nota|note|ressalva\w*|opmerk\w*|kanttek\w*|voorbehoud|beperk\w*|but|aber|mais|pero|"
    rf"{SOME_FAULT}|ma|mas|maar|nog|noch|knapp|just|barely|only)\b"
)
"""Words beside an acceptance that say that it is one with a remark. Common practice, no source."""

__all__ = ["REMARKED", "REMARK_TOLD", "SOME_FAULT"]
