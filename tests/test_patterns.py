"""No text of the longest length allowed makes a regular expression slow.

Every pattern is found in the source and in the modules' names, taken apart with Python's own
parser of patterns, and fed texts made from its parts: what each repeated part matches, over and
over, with an end that does not fit. Exponential search shows in seconds, and so does a cube or a
square beyond use; ours stay far below the limit.
"""

import ast
import importlib
import itertools
import pkgutil
import re
import time
from re import _constants as kinds
from re import _parser as parser

import kb
import rules
import web

import pytest  # isort: skip

LONGEST = 5000
SLOWEST_S = 0.25
NEVER_FITS = ("", "\x00", "!", "\n\x00")
METHODS = ("compile", "match", "search", "fullmatch", "findall", "finditer", "sub", "subn", "split")
MOST_REPEATS = 12


def modules():
    for package in (kb, rules, web):
        yield package
        for found in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            yield importlib.import_module(found.name)


def named_patterns(value, depth=0):
    """The patterns in a value: itself, or inside containers and objects of ours."""
    if isinstance(value, re.Pattern):
        yield value
    elif depth < 4 and isinstance(value, (tuple, list, set, frozenset)):
        for item in value:
            yield from named_patterns(item, depth + 1)
    elif depth < 4 and isinstance(value, dict):
        for item in (*value.keys(), *value.values()):
            yield from named_patterns(item, depth + 1)
    elif depth < 4 and hasattr(type(value), "__dataclass_fields__"):
        for name in value.__dataclass_fields__:
            yield from named_patterns(getattr(value, name, None), depth + 1)


def written_patterns(module):
    """The patterns that stand as texts in calls of the module ``re``."""
    with open(module.__file__) as file:
        tree = ast.parse(file.read())
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and ast.unparse(node.func.value) == "re"
            and node.func.attr in METHODS
            and node.args
            and isinstance(node.args[0], ast.Constant)
        ):
            given = [*node.args[1:], *(keyword.value for keyword in node.keywords)]
            flags = [ast.unparse(one) for one in given if ast.unparse(one).startswith("re.")]
            yield re.compile(node.args[0].value, eval(flags[0], {"re": re}) if flags else 0)


def all_patterns():
    found = {}
    for module in modules():
        for value in vars(module).values():
            for pattern in named_patterns(value):
                found.setdefault((pattern.pattern, pattern.flags), (module.__name__, pattern))
        for pattern in written_patterns(module):
            found.setdefault((pattern.pattern, pattern.flags), (module.__name__, pattern))
    return sorted(found.values(), key=lambda pair: (pair[0], str(pair[1].pattern)))


def example(parts, most=1):
    """A text that the parsed parts match, or nearly so."""
    return "".join(_example(kind, value, most) for kind, value in parts)


def _example(kind, value, most):
    if kind is kinds.LITERAL:
        return chr(value)
    if kind is kinds.NOT_LITERAL:
        return "a" if value != ord("a") else "b"
    if kind is kinds.ANY:
        return "a"
    if kind is kinds.IN:
        return _one_of(value)
    if kind in (kinds.MAX_REPEAT, kinds.MIN_REPEAT, kinds.POSSESSIVE_REPEAT):
        low, _high, inner = value
        return example(inner, most) * max(low, most)
    if kind is kinds.SUBPATTERN:
        return example(value[-1], most)
    if kind is kinds.ATOMIC_GROUP:
        return example(value, most)
    if kind is kinds.BRANCH:
        return example(value[1][0], most)
    return ""


def _one_of(members):
    negated = members[0][0] is kinds.NEGATE
    if negated:
        banned = re.compile(_set_text(members[1:]))
        return next((letter for letter in "a 1.,-x\n<" if not banned.match(letter)), "a")
    kind, value = members[0]
    if kind is kinds.LITERAL:
        return chr(value)
    if kind is kinds.RANGE:
        return chr(value[0])
    return {
        kinds.CATEGORY_DIGIT: "1",
        kinds.CATEGORY_SPACE: " ",
        kinds.CATEGORY_WORD: "a",
        kinds.CATEGORY_NOT_DIGIT: "a",
        kinds.CATEGORY_NOT_SPACE: "a",
        kinds.CATEGORY_NOT_WORD: "-",
    }.get(value, "a")


def _set_text(members):
    written = {
        kinds.CATEGORY_DIGIT: r"\d", kinds.CATEGORY_SPACE: r"\s", kinds.CATEGORY_WORD: r"\w",
        kinds.CATEGORY_NOT_DIGIT: r"\D", kinds.CATEGORY_NOT_SPACE: r"\S",
        kinds.CATEGORY_NOT_WORD: r"\W",
    }  # fmt: skip
    parts = []
    for kind, value in members:
        if kind is kinds.LITERAL:
            parts.append(re.escape(chr(value)))
        elif kind is kinds.RANGE:
            parts.append(f"{re.escape(chr(value[0]))}-{re.escape(chr(value[1]))}")
        else:
            parts.append(written[value])
    return f"[{''.join(parts)}]"


def repeats(parts, before=""):
    """Every part that may stand many times: what leads up to it, and the part itself."""
    for kind, value in parts:
        if kind in (kinds.MAX_REPEAT, kinds.MIN_REPEAT, kinds.POSSESSIVE_REPEAT):
            _low, high, inner = value
            if high > MOST_REPEATS:
                yield before, example(inner)
                yield before, example(inner, most=2)
            yield from repeats(inner, before)
        elif kind is kinds.SUBPATTERN:
            yield from repeats(value[-1], before)
        elif kind is kinds.ATOMIC_GROUP:
            yield from repeats(value, before)
        elif kind is kinds.BRANCH:
            for branch in value[1]:
                yield from repeats(branch, before)
        elif kind in (kinds.ASSERT, kinds.ASSERT_NOT):
            yield from repeats(value[1], before)
        before += _example(kind, value, 1)


def evil_texts(pattern):
    parts = parser.parse(pattern.pattern, pattern.flags & ~re.DEBUG)
    whole = example(parts)
    pumps = {(before, pump) for before, pump in repeats(parts) if pump}
    pumps |= {("", whole), ("", whole + " "), ("", " " + whole), ("", whole[:1])}
    pumps |= {("", one + other) for (_, one), (_, other) in itertools.pairwise(sorted(pumps))}
    for before, pump in sorted(pumps):
        if pump:
            for end in NEVER_FITS:
                yield (before + pump * (LONGEST // len(pump) + 1))[: LONGEST - len(end)] + end


def seconds(pattern, text):
    """How long it takes to look for the pattern everywhere in a text."""
    given = text.encode("utf-8", "replace") if isinstance(pattern.pattern, bytes) else text
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        for _found in pattern.finditer(given):
            pass
        best = min(best, time.perf_counter() - start)
        if best < SLOWEST_S:
            break
    return best


@pytest.mark.parametrize(
    ("module", "pattern"),
    [pytest.param(*pair, id=f"{pair[0]}-{number}") for number, pair in enumerate(all_patterns())],
)
def test_no_text_makes_a_pattern_slow(module, pattern):
    for text in evil_texts(pattern):
        taken_s = seconds(pattern, text)
        assert taken_s < SLOWEST_S, f"{module}: {pattern.pattern[:200]} in {text[:80]!r}"


def test_a_slow_pattern_would_be_found():
    """The textbook case of exponential search, cut short to come back at all."""
    known = re.compile(r"^(a+)+$")
    (before, pump), *_ = [pair for pair in repeats(parser.parse(known.pattern)) if pair[1] == "a"]
    times = []
    for length in (16, 20):
        start = time.perf_counter()
        known.search(before + pump * length + "!")
        times.append(time.perf_counter() - start)
    assert times[1] > 6 * times[0]  # 2^4 by theory
