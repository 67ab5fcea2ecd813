"""The keeper's water book, behind the login: enter, see, know, move in and out."""

from web.book import entering, knowing, moving, seeing, systems, using
from web.book.shared import blueprint

__all__ = ["blueprint", "entering", "knowing", "moving", "seeing", "systems", "using"]
