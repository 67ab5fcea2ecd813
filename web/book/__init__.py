"""The keeper's water book, behind the login: enter, see, know, move in and out."""

from web.book import entering, moving, seeing, systems
from web.book.shared import blueprint

__all__ = ["blueprint", "entering", "moving", "seeing", "systems"]
