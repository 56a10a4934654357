"""Bitewright: plan, assess and explain intraoral radiographs.

An educational and quality-assurance aid. Not a medical device, not for diagnosis. The decision to
expose, or to expose again, belongs to the licensed practitioner under local rules.
"""

__version__ = "0.1.0"
