"""How a film of the bench can be exposed, shown and handled, and what its teeth may carry."""

FILLINGS_TITLES = {
    "own": "as in this mouth",
    "none": "nothing",
    "restored": "fillings, crown, caries",
}
LOOK_TITLES = {
    "plain": "plain",
    "crisp": "crisp: edges sharpened",
    "contrasty": "contrasty",
    "soft": "soft",
}

__all__ = ["FILLINGS_TITLES", "LOOK_TITLES"]
