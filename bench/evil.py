# ruff: noqa: E501
"""Inputs that break programs: strange texts, bytes, numbers and JSON values, made from a seed."""

import json
import random
import string
from collections.abc import Callable, Sequence

LONGEST = 6000  # a little more than any text may have
PIECES = (
    "", " ", "\t", "\n", "\r\n", "\x00", "\x0b", "\x1b[31m", "\x7f", "\x85", "\ufeff", "\u200b", "\u200d",
    "\u202e", "\u2028", "\ud800", "\udfff", "\ufffe", "\U0010ffff", "é", "e\u0301", "ß", "İ", "ﬁ", "½", "ﷺ", "٣", "２", "³", "∞",
    "−", "–", "🐟", "👩‍🌾", "漢字", "עברית", "فارسی", "Z͑ͫ̓ͪ̂ͫ̽", "%", "%%s", "%00", "%ff", "%n%s", "{0}", "{{7*7}}", "${x}", "$(id)",
    "`id`", "';--", "' or 1=1 --", '"', "\\", "\\u0000", "<", ">", "&", "<script>alert(1)</script>", "<!--", "]]>",
    "<?xml?>", "&lol;", "javascript:alert(1)", "data:text/html,x", "//example.org", "../", "..\\", "/etc/passwd", "....//",
    "C:\\", "\\\\host\\x", "file:///", "?", "#", "=", "=1+1", "+1", "-1", "@SUM(A1)", ",", ";", ":", "|", "*", "**",
    "()", "((((", "))))", "[[[[", "{{{{", "[](", "![](", "```", "+++", "---", "===", "> ", "From ", "From: ", "\nFrom x\n",
    "0", "1", "-0", "9" * 400, "1e999", "-1e999", "1e-400", "nan", "NaN", "inf", "Infinity", "0x10", "1_000", "1,000", "1.000,5",
    "1,5", ".5", "5.", "1/0", "1/2", "1e5", "१२", "null", "None", "true", "undefined", "[]", "{}", "__proto__", "__class__",
)  # fmt: skip
WORDS = (
    "pH", "ph 7.9", "ammonia", "2 ppm", "0.25-0.5", "27 C", "81F", "1000 litre", "275 gal", "dKH", "4 dKH", "mg/L", "fish",
    "dying", "gasping", "pump", "nitrite", "nitrate", "tank", "water", "cloudy", "why", "how", "lb", "oz", "1/2 cup", "in",
    "L/h", "gph", "per hour", "a day", "of feed", "is", "was", "not", "no", "between", "to", "and", "or", "zero", "my",
)  # fmt: skip


def text(dice: random.Random, seeds: Sequence[str] = WORDS) -> str:
    """A text: something usual, something strange, or a mixture; now and then very long."""
    kind = dice.random()
    if kind < 0.15:
        return dice.choice(PIECES)
    if kind < 0.25:
        return (dice.choice(PIECES + tuple(WORDS)) * dice.choice((2, 50, LONGEST)))[:LONGEST]
    if kind < 0.35:
        return "".join(chr(_point(dice)) for _ in range(dice.randrange(40)))
    parts = [
        dice.choice(seeds if dice.random() < 0.7 else PIECES) for _ in range(dice.randrange(1, 9))
    ]
    joined = dice.choice(("", " ", " ", " ", "\n", ", ")).join(parts)
    return _changed(dice, joined) if dice.random() < 0.5 else joined


def data(dice: random.Random, seeds: Sequence[bytes]) -> bytes:
    """Bytes: a usual file with places changed, cut out, doubled or put in."""
    found = bytearray(dice.choice(seeds))
    for _ in range(dice.choice((0, 1, 1, 2, 4, 16))):
        at = dice.randrange(len(found) + 1)
        end = min(len(found), at + dice.choice((1, 1, 2, 10, 100)))
        act = dice.randrange(5)
        if act == 0:
            found[at:end] = bytes(dice.randrange(256) for _ in range(end - at))
        elif act == 1:
            del found[at:end]
        elif act == 2:
            found[at:at] = found[at:end] * dice.choice((1, 2, 200))
        elif act == 3:
            found[at:at] = text(dice).encode("utf-8", "surrogatepass")
        else:
            found[at:end] = dice.choice(
                (b"\x00", b"\xff", b"\r", b'"', b"\n\n", b",", b"\xef\xbb\xbf")
            )
    return bytes(found)


def value(dice: random.Random, depth: int = 0) -> object:
    """A JSON value of any kind."""
    makers: list[Callable[[], object]] = [
        lambda: text(dice),
        lambda: dice.choice((0, 1, -1, 7.2, 1e308, -1e308, 10**400, 1e-320, True, False, None)),
        lambda: number(dice),
    ]
    if depth < 3:
        makers += [
            lambda: [value(dice, depth + 1) for _ in range(dice.randrange(4))],
            lambda: {text(dice)[:20]: value(dice, depth + 1) for _ in range(dice.randrange(4))},
        ]
    return dice.choice(makers)()


def number(dice: random.Random) -> str:
    """What somebody might write for a number with or without its unit."""
    plain = dice.choice(
        (
            f"{dice.uniform(-10, 1e4):.{dice.randrange(6)}f}",
            str(dice.randrange(-5, 10**6)),
            f"{dice.uniform(0, 14):.1f}".replace(".", ","),
            f"{dice.random():e}",
            f"{dice.randrange(9)} {dice.randrange(9)}/{dice.randrange(9)}",
            dice.choice(PIECES),
        )
    )
    return plain + dice.choice(
        ("", "", " ", " L", "gal", " °F", "C", " mg/L", " dKH", "%", " x", "\x00")
    )


def body(dice: random.Random, fields: Sequence[str]) -> bytes:
    """A body that is JSON, nearly JSON, or nothing like it."""
    kind = dice.random()
    if kind < 0.7:
        chosen = ("text", "asked_by", "link") if dice.random() < 0.4 else fields
        made = {dice.choice(chosen): value(dice) for _ in range(dice.randrange(6))}
        return json.dumps(made, default=str).encode()
    if kind < 0.8:
        return b"[" * dice.choice((10, 5000)) + b"]" * dice.choice((0, 10, 5000))
    if kind < 0.9:
        return json.dumps(value(dice), default=str).encode()
    return data(
        dice,
        (b'{"text": "why is my water cloudy", "link": null}', b"", b"{", b"\xff\xfe{\x00}\x00"),
    )


def pairs(dice: random.Random, names: Sequence[str]) -> list[tuple[str, str]]:
    """Names and values as a form or an address holds them, some known, some twice, some strange."""
    usual = dice.random() < 0.8
    count = dice.choice((0, 1, 2, 3, 6, 30))
    return [
        (
            dice.choice(names) if usual or dice.random() < 0.5 else text(dice),
            dice.choice(
                (text(dice), number(dice), dice.choice(("yes", "us", "open", "1", "unknown")))
            ),
        )
        for _ in range(count)
    ]


def _point(dice: random.Random) -> int:
    return dice.choice((dice.randrange(0x80), dice.randrange(0x800), dice.randrange(0x110000)))


def _changed(dice: random.Random, given: str) -> str:
    letters = list(given)
    for _ in range(dice.randrange(1, 6)):
        at = dice.randrange(len(letters) + 1)
        act = dice.randrange(3)
        if act == 0:
            letters[at:at] = dice.choice(PIECES + tuple(string.printable))
        elif act == 1:
            del letters[at : at + dice.randrange(6)]
        else:
            letters[at:at] = letters[at : at + 10] * dice.choice((1, 3, 300))
    return "".join(letters)[:LONGEST]
