"""Numbers with what they are out of free text, and whether the text tells of a danger now."""

from .reading import Reading, Readings, read
from .urgency import Urgency, urgency

__all__ = ["Reading", "Readings", "Urgency", "read", "urgency"]
