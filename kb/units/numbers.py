"""Numbers as people write them and as they are shown to people."""

import math
import re

from kb.errors import UnitError

_SPACES = "' \u00a0\u202f"  # between groups of three digits, as some people write thousands
_NUMBER = re.compile(
    rf"[+-]?(?:\d{{1,3}}(?:[{_SPACES}]\d{{3}}(?!\d))+(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)"
    r"(?:[eE][+-]?\d{1,3}(?!\w))?"
)
_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?")
LONGEST_VALUE = 60
MOST_DECIMALS = 10
TOO_SMALL = 0.001  # below this a sentence only says so


def split_number(text: str) -> tuple[float, str]:
    """The number a text begins with, and the unit written behind it (may be empty)."""
    text = text.strip().replace("\u2212", "-")
    if len(text) > LONGEST_VALUE:
        raise UnitError(f"“{text[:20]}…” is too long for one value.")
    match = _NUMBER.match(text)
    if not match:
        raise UnitError(f"“{text}” is not a number." if text else "Nothing was given.")
    value = number_value(match.group())
    return value, text[match.end() :].strip()


def number_value(text: str) -> float:
    """A written number as a float; refuses one that could be read in two ways, such as 1,500."""
    digits = re.sub(f"[{_SPACES}]", "", text.strip())
    commas, points = digits.count(","), digits.count(".")
    if commas == 1 and points == 0:
        whole, decimals = digits.split(",")
        if len(decimals) == 3 and whole.lstrip("+-") not in ("", "0"):
            raise UnitError(
                f"“{text.strip()}” can be read two ways: "
                f"write {whole}{decimals} or {whole}.{decimals}."
            )
        digits = digits.replace(",", ".")
    elif commas and points:
        thousands = "," if digits.rindex(",") < digits.rindex(".") else "."
        digits = _without_thousands(digits, thousands, text).replace(",", ".")
    elif commas > 1 or points > 1:
        digits = _without_thousands(digits, "," if commas else ".", text)
    if not _PLAIN.fullmatch(digits) or not math.isfinite(float(digits)):
        raise UnitError(f"“{text.strip()}” is not a number.")
    return float(digits)


def show(value: float, digits: int | None = None) -> str:
    """A number for people: ``digits`` decimals (three figures when None), thousands spaced."""
    if digits is None:
        digits = min(max(0, decimals_for(value, 3)), MOST_DECIMALS)
    text = f"{round(value, digits) + 0.0:,.{digits}f}".replace(",", "\u202f")
    return text.replace("-", "\u2212")


def decimals(value: float) -> int:
    """How many decimals it takes to write a number as it was given, six figures at most."""
    return len(f"{figures(value, 6):.10f}".rstrip("0").partition(".")[2])


def figures(value: float, count: int = 3) -> float:
    """``value`` rounded to ``count`` significant figures."""
    return round(value, decimals_for(value, count)) + 0.0


def decimals_for(value: float, count: int) -> int:
    """The decimals that ``count`` significant figures take; negative for whole tens and more."""
    return 0 if value == 0 else count - 1 - math.floor(math.log10(abs(value)))


def show_plain(value: float) -> str:
    """A number with no more decimals than it was made with, thousands spaced."""
    return show(value, 0) if value == int(value) else f"{value:g}"


def few(value: float, count: int = 2) -> str:
    """A number for a sentence, to a few significant figures."""
    if 0 < abs(value) < TOO_SMALL:
        return f"less than {TOO_SMALL:g}" if value > 0 else "nearly 0"
    return show_plain(figures(value, count)).replace("-", "\u2212")


def _without_thousands(digits: str, mark: str, text: str) -> str:
    parts = digits.split("." if mark == "," else ",")[0].split(mark)
    if len(parts[0].lstrip("+-")) > 3 or any(len(part) != 3 for part in parts[1:]):
        raise UnitError(f"“{text.strip()}” is not a number.")
    return digits.replace(mark, "")
