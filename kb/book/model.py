"""A system, the entries of its water book, and what is known of it; nothing is worked out here."""

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from itertools import count
from math import isfinite

from kb.errors import InputErrors, InputProblem
from kb.science.substances import ACIDS, BASES, Substance
from kb.units import figures, show

QUANTITIES: Mapping[str, tuple[str, float, float]] = {
    "ph": ("pH", 0.0, 14.0),
    "alkalinity": ("mg/L as CaCO₃", 0.0, 2000.0),
    "ammonia": ("mg/L as N", 0.0, 500.0),
    "nitrite": ("mg/L as N", 0.0, 500.0),
    "nitrate": ("mg/L as N", 0.0, 5000.0),
    "oxygen": ("mg/L", 0.0, 60.0),
    "temperature": ("°C", 0.0, 50.0),
    "level": ("cm", -1000.0, 1000.0),
}
"""Base unit of each quantity that is read, and the ends beyond which it cannot be."""

SUBSTANCES: Mapping[str, Substance] = {**BASES, **ACIDS}
LEVEL = 0.90  # how often an interval is to hold the truth


@dataclass(frozen=True)
class System:
    """One system: litres, °C, percent, mg/L as CaCO3; ``feed_g_day`` is for days not written down.

    ``base`` is the one that advice is for; None takes the one last used, else calcium hydroxide.
    """

    volume_l: float
    temp_c: float = 24.0
    protein_percent: float = 32.0
    target_ph: float | None = None
    target_alkalinity: float | None = None
    floor_ph: float = 6.5
    floor_alkalinity: float = 20.0
    top_up_alkalinity: float | None = None
    feed_g_day: float | None = None
    base: str | None = None
    purity_percent: float = 100.0


@dataclass(frozen=True)
class Reading:
    """A value of one of QUANTITIES, in its base unit."""

    at: datetime
    quantity: str
    value: float


@dataclass(frozen=True)
class Feed:
    """Feed given, in grams; nought says that the fish were not fed."""

    at: datetime
    grams: float


@dataclass(frozen=True)
class Dose:
    """A base or acid, by its id in kb.science.substances, in grams of the product."""

    at: datetime
    substance: str
    grams: float
    purity_percent: float = 100.0


@dataclass(frozen=True)
class Water:
    """Litres added for what has evaporated, or changed for new; its alkalinity in mg/L as CaCO3."""

    at: datetime
    added_l: float = 0.0
    changed_l: float = 0.0
    alkalinity: float | None = None


@dataclass(frozen=True)
class Fish:
    """Fish in (above nought) or out, and their weight together if known."""

    at: datetime
    change: int
    grams: float | None = None


@dataclass(frozen=True)
class Remark:
    """Words."""

    at: datetime
    text: str


Entry = Reading | Feed | Dose | Water | Fish | Remark
_ORDER = {Reading: 0, Remark: 1, Fish: 2, Water: 3, Feed: 4, Dose: 5}  # at the same minute


@dataclass(frozen=True)
class Book:
    """A system and its entries; they are put in order, and those that cannot be are refused."""

    system: System
    entries: tuple[Entry, ...] = ()

    def __post_init__(self) -> None:
        problems = [*_system_problems(self.system), *_entry_problems(self.entries)]
        if problems:
            raise InputErrors(problems)
        ordered = sorted(self.entries, key=lambda entry: (entry.at, _ORDER[type(entry)]))
        object.__setattr__(self, "entries", tuple(ordered))


@dataclass(frozen=True)
class Estimate:
    """One figure of the system with its interval; ``basis`` says what it rests on."""

    id: str
    label: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    level: float = LEVEL

    def as_text(self) -> str:
        """The figure in one line."""
        low, value, high = (show(number) for number in (self.low, self.value, self.high))
        unit = f" {self.unit}" if self.unit else ""
        share = f"{self.level * 100:.0f} %"
        return f"{self.label}: {value}{unit} ({low} to {high}, {share} sure)"


@dataclass(frozen=True)
class Residual:
    """A reading beside what the book led one to expect just before it; outlier from 0 to 1."""

    at: datetime
    quantity: str
    measured: float
    predicted: float
    spread: float
    outlier: float


@dataclass(frozen=True)
class Forecast:
    """The pH or alkalinity to come, with its interval."""

    at: datetime
    quantity: str
    value: float
    low: float
    high: float
    level: float = LEVEL


@dataclass(frozen=True)
class Advice:
    """What to do next: one step at most, then test again; ``cautions`` are ids of cautions.toml.

    ``grams`` is None where nothing is to be dosed. Un-ionised ammonia is mg/L as N, now and after.
    """

    text: str
    substance: str | None = None
    grams: float | None = None
    ph_after: float | None = None
    unionised_now: float | None = None
    unionised_after: float | None = None
    cautions: tuple[str, ...] = ()


Ahead = Callable[[float, tuple[Entry, ...], bool], tuple[Forecast, ...]]


@dataclass(frozen=True)
class Knowledge:
    """What the book says of its system; ``missing`` is what to measure or write down next.

    With too little in the book ``enough`` is False, and the estimates are wide or not there.
    """

    now: datetime
    enough: bool
    missing: tuple[str, ...]
    estimates: tuple[Estimate, ...]
    comparison: tuple[str, ...]
    residuals: tuple[Residual, ...]
    advice: Advice
    ahead: Ahead = field(repr=False, compare=False)

    def forecast(
        self, days: float, planned: tuple[Entry, ...] = (), *, as_usual: bool = False
    ) -> tuple[Forecast, ...]:
        """What the kits will read in so many days, fed and topped up as usual.

        Dosed with what is planned alone, or ``as_usual``: as the book shows its keeper to do.
        """
        return self.ahead(days, planned, as_usual)

    def estimate(self, name: str) -> Estimate | None:
        """The estimate of that id, if there is one."""
        return next((one for one in self.estimates if one.id == name), None)

    def as_json(self) -> dict[str, object]:
        """All of it as plain values; residuals and forecasts for one to seven days with it."""
        coming = [each for days in (1, 2, 3, 5, 7) for each in self.forecast(days)]
        return {
            "now": self.now.isoformat(),
            "enough": self.enough,
            "missing": list(self.missing),
            "estimates": [_plain(one) for one in self.estimates],
            "comparison": list(self.comparison),
            "residuals": [_plain(one) for one in self.residuals],
            "forecast": [_plain(one) for one in coming],
            "advice": _plain(self.advice),
        }

    def as_text(self) -> str:
        """All of it in lines of text."""
        lines = [] if self.enough else ["There is not enough in the book yet to be sure."]
        lines += [one.as_text() for one in self.estimates]
        lines += [*self.comparison, self.advice.text, *self.missing]
        return "\n".join(lines)


def _plain(thing: Estimate | Residual | Forecast | Advice) -> dict[str, object]:
    def plain(value: object) -> object:
        if isinstance(value, datetime):
            return value.isoformat()
        if isinstance(value, float):
            return figures(value, 4)
        return list(value) if isinstance(value, tuple) else value

    return {name: plain(value) for name, value in asdict(thing).items()}


def _system_problems(system: System) -> list[InputProblem]:
    bounds = {
        "volume_l": (1.0, 10_000_000.0, "litres"),
        "temp_c": (0.0, 50.0, "°C"),
        "protein_percent": (1.0, 90.0, "percent"),
        "target_ph": (4.0, 9.5, "pH"),
        "target_alkalinity": (1.0, 1000.0, "mg/L"),
        "floor_ph": (4.0, 9.5, "pH"),
        "floor_alkalinity": (0.0, 1000.0, "mg/L"),
        "top_up_alkalinity": (0.0, 2000.0, "mg/L"),
        "feed_g_day": (0.0, 10_000_000.0, "g a day"),
        "purity_percent": (1.0, 100.0, "percent"),
    }
    found = []
    for name, (low, high, unit) in bounds.items():
        value = getattr(system, name)
        if value is not None and not low <= value <= high:
            found.append(_outside(f"system {name}", value, low, high, unit))
    if system.base is not None and system.base not in BASES:
        found.append(_unknown("system base", system.base, tuple(BASES)))
    return found


def _entry_problems(entries: tuple[Entry, ...]) -> list[InputProblem]:
    found: list[InputProblem] = []
    for number, entry in zip(count(1), entries, strict=False):
        place = f"entry {number}"
        if entry.at.tzinfo is None:
            text = f"{place}: the time {entry.at} has no time zone; give one."
            found.append(InputProblem(place, str(entry.at), text))
        found += _one_problem(place, entry)
    return found


def _one_problem(place: str, entry: Entry) -> list[InputProblem]:
    if isinstance(entry, Reading):
        if entry.quantity not in QUANTITIES:
            return [_unknown(f"{place} quantity", entry.quantity, tuple(QUANTITIES))]
        unit, low, high = QUANTITIES[entry.quantity]
        return _bounded(f"{place} {entry.quantity}", entry.value, low, high, unit)
    if isinstance(entry, Dose):
        if entry.substance not in SUBSTANCES:
            return [_unknown(f"{place} substance", entry.substance, tuple(SUBSTANCES))]
        pure = _bounded(f"{place} purity", entry.purity_percent, 1.0, 100.0, "percent")
        return [*_bounded(f"{place} dose", entry.grams, 0.0, 1e7, "g"), *pure]
    if isinstance(entry, Feed):
        return _bounded(f"{place} feed", entry.grams, 0.0, 1e7, "g")
    if isinstance(entry, Water):
        litres = ((f"{place} water", value) for value in (entry.added_l, entry.changed_l))
        wrong = [each for name, value in litres for each in _bounded(name, value, 0.0, 1e7, "L")]
        hard = 0.0 if entry.alkalinity is None else entry.alkalinity
        return [*wrong, *_bounded(f"{place} alkalinity", hard, 0.0, 2000.0, "mg/L")]
    return []


def _bounded(name: str, value: float, low: float, high: float, unit: str) -> list[InputProblem]:
    if isfinite(value) and low <= value <= high:
        return []
    return [_outside(name, value, low, high, unit)]


def _outside(name: str, value: float, low: float, high: float, unit: str) -> InputProblem:
    text = f"{name} is {value:g}; it must be from {low:g} to {high:g} {unit}."
    return InputProblem(name, f"{value:g}", text)


def _unknown(name: str, value: str, known: tuple[str, ...]) -> InputProblem:
    return InputProblem(name, value, f"{name} is “{value}”; it must be one of {', '.join(known)}.")
