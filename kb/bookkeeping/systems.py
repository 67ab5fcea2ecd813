"""The figures of a system as people give them: its water, its fish's feed, what its pH is to be."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kb.bookkeeping.quantities import SUBSTANCES
from kb.errors import InputErrors, InputProblem, UnitError
from kb.science.substances import BASES
from kb.store.systems import LONGEST_NAME, System
from kb.units import (
    ALKALINITY,
    MASS_PER_DAY,
    PERCENT,
    PH,
    TEMPERATURE,
    VOLUME,
    Kind,
    figures,
    show_plain,
)

NAME, BASE = "name", "base"


@dataclass(frozen=True)
class Figure:
    """One figure of a system: its field in the form, and its attribute in the store."""

    id: str
    attribute: str
    label: str
    kind: Kind
    unit: str
    span: tuple[float, float]
    help: str = ""


FIGURES: tuple[Figure, ...] = (
    Figure(
        "volume", "volume_l", "Water in the whole system", VOLUME, "L", (1, 1e7),
        "Tanks, beds and pipes together.",
    ),
    Figure("fish-tank", "fish_tank_l", "Water in the fish tank", VOLUME, "L", (1, 1e7)),
    Figure(
        "temperature", "temp_c", "Usual water temperature", TEMPERATURE, "°C", (0, 40),
        "For days on which none was read.",
    ),
    Figure("feed", "feed_g_day", "Usual feed a day", MASS_PER_DAY, "g/day", (0, 1e6),
           "For days on which none was written down."),
    Figure("protein", "protein_percent", "Protein of the feed", PERCENT, "%", (5, 80),
           "From the bag."),
    Figure("target-ph", "target_ph", "pH to be held", PH, "pH", (5, 9)),
    Figure(
        "target-alkalinity", "target_alkalinity", "or alkalinity to be held", ALKALINITY,
        "mg/L as CaCO₃", (1, 500), "Give one of the two, or neither.",
    ),
    Figure("floor-ph", "floor_ph", "Lowest pH wanted", PH, "pH", (5, 9)),
    Figure(
        "floor-alkalinity", "floor_alkalinity", "Lowest alkalinity wanted", ALKALINITY,
        "mg/L as CaCO₃", (0, 500),
    ),
    Figure(
        "top-up-alkalinity", "top_up_alkalinity", "Alkalinity of the top-up water", ALKALINITY,
        "mg/L as CaCO₃", (0, 1000), "KH of the tap, well or rain water.",
    ),
    Figure("purity", "purity_percent", "Purity of the base", PERCENT, "%", (1, 100)),
)  # fmt: skip
_FIELDS = (NAME, *(figure.id for figure in FIGURES), BASE)


def read_system(raw: Mapping[str, str], known: System | None = None) -> System:
    """The system that a form describes, a known one with what is given put in its place.

    Raises InputErrors naming every value that cannot be used. An empty text takes a figure away.
    """
    problems = [
        InputProblem(key[:40], str(raw[key])[:80], _stranger(key))
        for key in raw
        if key not in _FIELDS
    ]
    changes: dict[str, float | str | None] = {}
    for figure in FIGURES:
        if figure.id in raw:
            changes[figure.attribute] = _read(figure, str(raw[figure.id]).strip(), problems)
    name = " ".join(str(raw.get(NAME, known.name if known else "")).split())
    if not 0 < len(name) <= LONGEST_NAME:
        message = f"Name: give one of 1 to {LONGEST_NAME} characters."
        problems.append(InputProblem(NAME, name[:40], message))
    if BASE in raw:
        changes[BASE] = _base(str(raw[BASE]).strip(), problems)
    volume = changes.get("volume_l", known.volume_l if known else None)
    if volume is None and not any(problem.input == "volume" for problem in problems):
        message = "Water in the whole system is missing. Give it in L, such as 1500 L or 400 gal."
        problems.append(InputProblem("volume", "", message))
    if problems:
        raise InputErrors(problems)
    started = known or System(name, float(volume or 0))
    return _checked(replace(started, name=name, **changes))  # type: ignore[arg-type]


def as_written(system: System) -> dict[str, str]:
    """The figures of a system as its form shows them."""
    texts = {NAME: system.name, BASE: system.base or ""}
    for figure in FIGURES:
        value = getattr(system, figure.attribute)
        shown = None if value is None else figures(figure.kind.from_base(value, figure.unit), 6)
        texts[figure.id] = "" if shown is None else f"{shown:g}"
    return texts


def _read(figure: Figure, text: str, problems: list[InputProblem]) -> float | None:
    if not text:
        return None
    low, high = figure.span
    try:
        value = figure.kind.parse(text, figure.unit)
    except UnitError as error:
        problems.append(InputProblem(figure.id, text[:80], f"{figure.label}: {error}"))
        return None
    if low <= value <= high:
        return value
    span = f"{show_plain(low)} to {show_plain(high)} {figure.kind.base}".removesuffix(" pH")
    message = f"{figure.label}: {text[:40]} cannot be; give {span}."
    problems.append(InputProblem(figure.id, text[:80], message))
    return None


def _base(text: str, problems: list[InputProblem]) -> str | None:
    if not text or text in BASES:
        return text or None
    known = ", ".join(name for name in SUBSTANCES if name in BASES)
    message = f"Base: “{text[:40]}” is none; choose one of {known}."
    problems.append(InputProblem(BASE, text[:80], message))
    return None


def _checked(system: System) -> System:
    """The system, if what it is to hold makes sense together."""
    problems = []
    if system.target_ph is not None and system.target_alkalinity is not None:
        problems.append(
            InputProblem(
                "target-alkalinity",
                f"{system.target_alkalinity:g}",
                "Give a pH to be held or an alkalinity, not both: the one follows from the other.",
            )
        )
    for what, floor, target in (
        ("pH", system.floor_ph, system.target_ph),
        ("alkalinity", system.floor_alkalinity, system.target_alkalinity),
    ):
        if floor is not None and target is not None and floor >= target:
            message = f"The lowest {what} wanted, {floor:g}, must lie below what is to be held, "
            problems.append(
                InputProblem(f"floor-{what.lower()}", f"{floor:g}", f"{message}{target:g}.")
            )
    if problems:
        raise InputErrors(problems)
    return system


def _stranger(key: str) -> str:
    return f"There is no figure “{key[:40]}” of a system; there are {', '.join(_FIELDS)}."
