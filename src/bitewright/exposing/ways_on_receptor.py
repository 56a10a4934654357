"""Which way is outward, and which way the root lies, of a landmark on the receptor."""

from bitewright.mouth.landmark_names import Surface
from bitewright.mouth.tooth_forms import is_upper


def outward_sign(name: str, front_sign: float) -> float:
    """Along the receptor's u, +1 or -1: where the outside of a landmark's surface lies.

    Parameters
    ----------
    name : str
        Of a landmark, such as "15.mesial.cej"; of a cusp either way will do.
    front_sign : float
        +1 where the front of the mouth lies to the viewer's right, else -1.
    """
    return front_sign if f".{Surface.MESIAL.value}" in name else -front_sign


def rootward_sign(name: str) -> float:
    """Along the receptor's v, which points down: -1 of a landmark of an upper tooth, else +1."""
    return -1.0 if is_upper(int(name[:2])) else 1.0


__all__ = ["outward_sign", "rootward_sign"]
