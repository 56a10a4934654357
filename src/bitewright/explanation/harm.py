"""How much of each movement costs a film about the same: what faults are compared by."""

from bitewright.explanation.correction import Part

HARM = {
    Part.SWING: 5.0,
    Part.VERTICAL: 6.0,
    Part.FORWARD: 3.0,
    Part.HEIGHT: 1.7,
    Part.ROLL: 5.0,
    Part.CLOSURE: 6.0,
}
"""Our choice. [deg, mm]

The receptor's turn and tilt are no causes of their own: a film shows the beam against the teeth and
hardly which of ring and receptor was askew, so they count with the swing and the vertical angle.
"""

__all__ = ["HARM"]
