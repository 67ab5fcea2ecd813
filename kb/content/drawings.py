"""Drawings from their files: SVG read strictly, so that it can be set into a page as it is.

A drawing stands alone and runs nothing: a few elements, a few attributes, no colour of its own.
Its title and description say in words what it shows.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from html import escape, unescape
from importlib.resources.abc import Traversable
from xml.parsers import expat

from kb.fields import Problems, is_slug, read_text

SVG = "http://www.w3.org/2000/svg"
ELEMENTS = ("g", "line", "path", "rect", "circle", "text")
TEXT_PER_WIDTH = 14.5 / 340  # comes to 12 px on a page 320 px wide, which has 284 px for it
_WORDS = ("title", "desc")
_NUMBER = r"-?\d+(?:\.\d+)?"
_MARKUP = re.compile(r"<!(?!--)|<\?(?!xml\s)")
_VIEW_BOX = re.compile(rf"0 0 ({_NUMBER}) ({_NUMBER})")


@dataclass(frozen=True)
class Drawing:
    """A drawing: its name, its words, its size, and what stands inside its svg element."""

    name: str
    title: str
    description: str
    view_box: str
    svg: str
    path: str

    @property
    def text_size(self) -> float:
        """The size of its text, in its own units: legible on a narrow phone."""
        return float(self.view_box.split()[2]) * TEXT_PER_WIDTH

    @property
    def labels(self) -> str:
        """The words within the drawing."""
        return unescape(" ".join(re.sub(r"<[^>]*>", " ", self.svg).split()))


@dataclass(frozen=True)
class _Values:
    """What an attribute may hold: a pattern, and the same in words."""

    pattern: re.Pattern[str]
    words: str


def _one_of(*words: str) -> _Values:
    return _Values(re.compile("|".join(words)), " or ".join(words))


_LENGTHS = ("x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "rx", "width", "height")
_A_NUMBER = _Values(re.compile(_NUMBER), "a number")
_ATTRIBUTES: Mapping[str, _Values] = {
    **dict.fromkeys((*_LENGTHS, "stroke-width"), _A_NUMBER),
    "d": _Values(re.compile(r"[MLHVCSQTAZmlhvcsqtaz0-9., -]+"), "the steps of a path"),
    "class": _Values(re.compile(r"[a-z0-9-]+(?: [a-z0-9-]+)*"), "names of looks"),
    "stroke-dasharray": _Values(re.compile(rf"{_NUMBER}(?: {_NUMBER})*"), "numbers"),
    "stroke-linecap": _one_of("butt", "round"),
    "stroke-linejoin": _one_of("miter", "round"),
    "text-anchor": _one_of("start", "middle", "end"),
    "fill": _one_of("none", "currentColor"),
    "stroke": _one_of("none", "currentColor"),
}


def read_folder(folder: Traversable, shown: str, problems: Problems) -> dict[str, Drawing]:
    """The drawings of a folder by name; every fault is noted."""
    found = {}
    for file in _svg_files(folder):
        name, path = file.name.removesuffix(".svg"), f"{shown}/{file.name}"
        if not is_slug(name):
            problems.add(path, "file name", "must be small letters, digits and hyphens.")
        before = len(problems.found)
        text = read_text(file, path=path, problems=problems)
        if len(problems.found) > before:
            continue
        drawing = read_drawing(text, name=name, path=path, problems=problems)
        if drawing:
            found[name] = drawing
    return found


def read_drawing(text: str, *, name: str, path: str, problems: Problems) -> Drawing | None:
    """The drawing in a text; None when it has any fault."""
    before = len(problems.found)
    foreign = _MARKUP.search(text)
    if foreign:
        line = text.count("\n", 0, foreign.start()) + 1
        message = "holds a document type, an entity or an instruction; only elements are allowed."
        problems.add(path, f"line {line}", message)
        return None
    reader = _Reader(path, problems)
    reader.read(text)
    if len(problems.found) > before:
        return None
    title, description = (" ".join(reader.words[part].split()) for part in _WORDS)
    return Drawing(name, title, description, reader.view_box, "".join(reader.pieces).strip(), path)


def _svg_files(folder: Traversable) -> Iterable[Traversable]:
    if not folder.is_dir():
        return ()
    return sorted(
        (file for file in folder.iterdir() if file.name.endswith(".svg")),
        key=lambda file: file.name,
    )


@dataclass
class _Reader:
    """One file being read: notes every fault with its line, and writes down what is sound."""

    path: str
    problems: Problems
    view_box: str = ""
    words: dict[str, str] = field(default_factory=dict)
    pieces: list[str] = field(default_factory=list)
    _open: list[str] = field(default_factory=list)

    def read(self, text: str) -> None:
        """Read the whole file."""
        self._parser = expat.ParserCreate(encoding="utf-8", namespace_separator=" ")
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.CharacterDataHandler = self._characters
        self._parser.buffer_text = True
        try:
            self._parser.Parse(text.encode(), True)
        except expat.ExpatError as error:
            reason = expat.ErrorString(error.code)
            self._add(f"cannot be read as XML: {reason}.", error.lineno)
            return
        for part in _WORDS:
            if not self.words.get(part, "").strip():
                self.problems.add(self.path, part, "is missing or empty; say what is drawn.")

    def _add(self, message: str, line: int | None = None) -> None:
        self.problems.add(self.path, f"line {line or self._parser.CurrentLineNumber}", message)

    def _start(self, full_name: str, attributes: dict[str, str]) -> None:
        space, _, name = full_name.rpartition(" ")
        inside = self._open[-1] if self._open else ""
        self._open.append(name)
        if not inside:
            self._root(space, name, attributes)
        elif inside in (*_WORDS, "text"):
            self._add(f"“{name}” stands inside “{inside}”, which holds text alone.")
        elif name in _WORDS and space == SVG:
            self._title(name, inside, attributes)
        elif name not in ELEMENTS or space != SVG:
            self._add(_refused_element(name))
        else:
            self.pieces.append(f"<{name}{self._checked(name, attributes)}>")

    def _root(self, space: str, name: str, attributes: dict[str, str]) -> None:
        if (space, name) != (SVG, "svg"):
            self._add(f'the first element must be svg with xmlns="{SVG}", not “{name}”.')
        others = {key: value for key, value in attributes.items() if key != "viewBox"}
        for key in others:
            self._add(_refused_attribute(key, "svg", ("viewBox",)))
        self.view_box = attributes.get("viewBox", "")
        match = _VIEW_BOX.fullmatch(self.view_box)
        if not match or min(float(match[1]), float(match[2])) <= 0:
            given = f"“{self.view_box}”" if self.view_box else "missing"
            self._add(f"viewBox must be “0 0 width height”, but is {given}.")

    def _title(self, name: str, inside: str, attributes: dict[str, str]) -> None:
        if inside != "svg":
            self._add(f"“{name}” must stand directly below svg.")
        if name in self.words:
            self._add(f"“{name}” stands there twice.")
        for key in attributes:
            self._add(_refused_attribute(key, name, ()))
        self.words[name] = ""

    def _checked(self, name: str, attributes: dict[str, str]) -> str:
        for key, value in attributes.items():
            allowed = _ATTRIBUTES.get(key)
            if allowed is None:
                self._add(_refused_attribute(key, name, tuple(_ATTRIBUTES)))
            elif not allowed.pattern.fullmatch(value):
                self._add(f"“{key}” of {name} must be {allowed.words}, not “{value[:40]}”.")
        return "".join(f' {key}="{escape(value)}"' for key, value in attributes.items())

    def _characters(self, text: str) -> None:
        inside = self._open[-1]
        if inside in self.words:
            self.words[inside] += text
        elif inside == "text" or not text.strip():
            self.pieces.append(escape(text, quote=False))
        else:  # the parser stands at the end of the text
            line = self._parser.CurrentLineNumber - text.lstrip().count("\n")
            self._add(f"“{text.strip()[:40]}” stands outside a text element.", line)

    def _end(self, _: str) -> None:
        name = self._open.pop()
        if name in ELEMENTS:
            self.pieces.append(f"</{name}>")


def _refused_element(name: str) -> str:
    reasons = {
        "script": "a drawing runs nothing",
        "style": "looks come from the style sheet, through class",
    }
    reason = reasons.get(name, f"use {', '.join(ELEMENTS)}")
    return f"the element “{name}” is not allowed; {reason}."


def _refused_attribute(full_name: str, element: str, allowed: tuple[str, ...]) -> str:
    name = full_name.rpartition(" ")[2]
    if name.startswith("on"):
        reason = "a drawing runs nothing"
    elif name == "style":
        reason = "looks come from the style sheet, through class"
    elif name in ("href", "src"):
        reason = "a drawing stands alone and refers to nothing"
    else:
        reason = f"use {', '.join(allowed)}" if allowed else "it has none"
    return f"the attribute “{name}” of {element} is not allowed; {reason}."
