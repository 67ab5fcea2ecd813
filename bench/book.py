"""How well the water book knows made-up systems whose every figure is known.

Run with ``make book``; ``--systems N`` takes more or fewer, ``--first N`` other ones. For each
system the book is asked once, at its last entry: do the intervals hold the truth as often as they
say, and are forecasts of pH and alkalinity nearer than “same as today” and “straight line”? The
truth of a forecast is what the kit would read without its noise; its interval is for the reading.
"""

import argparse
import statistics
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isnan

import numpy as np

from bench.simulated_systems import Days, Simulated, simulate
from kb.book import Knowledge, know
from kb.book.model import Reading

SYSTEMS, FIRST = 100, 1000
LEVELS = (0.9, 0.5)
WITHIN = 0.05
HORIZONS = (1, 3, 7)
LOOK_BACK = {"ph": 7, "alkalinity": 14}  # days that the straight line is drawn through
FARTHEST = 90.0  # days: the truth is followed no further
QUANTITIES = ("ph", "alkalinity")
LABELS = {
    "acid-load": "acid a day",
    "load-per-feed": "alkalinity used by 100 g of feed",
    "alkalinity-now": "alkalinity now",
    "ph-now": "pH now",
    "days-to-floor": "days to the floor",
    "effectiveness": "share of its label that a base keeps",
}


@dataclass(frozen=True)
class Held:
    """One figure of one system: was the truth inside, by level, and how wide was 90 %?"""

    name: str
    inside: tuple[bool, ...]
    width: float
    alkalinity_read: bool


@dataclass(frozen=True)
class Ahead:
    """One forecast: how far off, how far off the two simple guesses, was the reading inside?"""

    mode: str
    quantity: str
    days: int
    off: float
    same: float
    line: float
    inside: tuple[bool, ...]


@dataclass
class Figures:
    """All that was measured."""

    held: list[Held] = field(default_factory=list)
    ahead: list[Ahead] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    def share(self, name: str, level: int, *, read: bool | None = None) -> float:
        """How often the truth was inside; of all figures for the name “all”."""
        chosen = [
            one.inside[level]
            for one in self.held
            if name in ("all", one.name) and read in (None, one.alkalinity_read)
        ]
        return sum(chosen) / len(chosen) if chosen else float("nan")

    def errors(self, mode: str, quantity: str, days: int) -> tuple[float, float, float]:
        """Mean absolute error of the book, of “same as today”, of “straight line”."""
        chosen = self._chosen(mode, quantity, days)
        off, same, line = (
            statistics.fmean(getattr(one, name) for one in chosen)
            for name in ("off", "same", "line")
        )
        return off, same, line

    def inside(self, mode: str, quantity: str, days: int, level: int) -> float:
        """How often the reading was inside its interval."""
        return statistics.fmean(one.inside[level] for one in self._chosen(mode, quantity, days))

    def _chosen(self, mode: str, quantity: str, days: int) -> list[Ahead]:
        key = (mode, quantity, days)
        return [one for one in self.ahead if (one.mode, one.quantity, one.days) == key]


def measure(systems: Sequence[int], *, days: int | None = None, harsh: bool = False) -> Figures:
    """The figures over these made-up systems."""
    figures = Figures()
    for seed in systems:
        made = simulate(seed, days=days, harsh=harsh)
        began = time.process_time()
        first = know(made.book, now=made.now, level=LEVELS[0])
        figures.seconds.append(time.process_time() - began)
        known = (first, *(know(made.book, now=made.now, level=level) for level in LEVELS[1:]))
        figures.held += _held(made, known)
        figures.ahead += _ahead(made, known)
    return figures


def _truths(made: Simulated) -> Mapping[str, float]:
    truth = made.truth
    return {
        "acid-load": truth.load_g_day,
        "load-per-feed": truth.load_per_100_g,
        "alkalinity-now": truth.alkalinity,
        "ph-now": truth.ph,
        "days-to-floor": min(truth.days_to_floor, FARTHEST),
        **{f"effectiveness-{base}": 100 * kept for base, kept in truth.kept.items()},
    }


def _held(made: Simulated, known: Sequence[Knowledge]) -> Iterator[Held]:
    for name, true in _truths(made).items():
        found = [each.estimate(name) for each in known]
        inside = []
        for one in found:
            if one is not None:
                most = FARTHEST if name == "days-to-floor" else float("inf")
                inside.append(min(one.low, most) <= true <= one.high)
        if found[0] is not None:
            yield Held(
                name="effectiveness" if name.startswith("effectiveness") else name,
                inside=tuple(inside),
                width=(found[0].high - found[0].low) / max(abs(true), 1e-9),
                alkalinity_read=made.nature.alkalinity_every > 0,
            )


def _ahead(made: Simulated, known: Sequence[Knowledge]) -> Iterator[Ahead]:
    truth = made.truth
    modes: tuple[tuple[str, bool, Days, Days], ...] = (
        ("nothing dosed", False, truth.undosed, truth.read_undosed),
        ("dosed as usual", True, truth.as_usual, truth.read_as_usual),
    )
    for mode, as_usual, true, read in modes:
        for days in HORIZONS:
            both = [each.forecast(float(days), as_usual=as_usual) for each in known]
            for place, quantity in enumerate(QUANTITIES):
                guesses = _guesses(made, quantity, days)
                if guesses is None:
                    continue
                wanted, shown = true[days][place], read[days][place]
                yield Ahead(
                    mode=mode,
                    quantity=quantity,
                    days=days,
                    off=abs(both[0][place].value - wanted),
                    same=abs(guesses[0] - wanted),
                    line=abs(guesses[1] - wanted),
                    inside=tuple(one[place].low <= shown <= one[place].high for one in both),
                )


def _guesses(made: Simulated, quantity: str, days: int) -> tuple[float, float] | None:
    """The last reading, and where a straight line through the last readings leads."""
    past = [
        ((entry.at - made.now).total_seconds() / 86_400, entry.value)
        for entry in made.book.entries
        if isinstance(entry, Reading) and entry.quantity == quantity
    ]
    if len(past) < 3:
        return None
    last = past[-1][1]
    late = [each for each in past if each[0] > -LOOK_BACK[quantity]]
    if len({day for day, _ in late}) < 2:
        return last, last
    slope, start = np.polyfit([day for day, _ in late], [value for _, value in late], 1)
    return last, float(slope * days + start)


def misses(figures: Figures) -> list[str]:
    """What is not kept of what is asked for."""
    found = []
    for number, level in enumerate(LEVELS):
        share = figures.share("all", number)
        if abs(share - level) > WITHIN:
            found.append(f"{level:.0%} intervals hold the truth in {share:.1%}")
    for mode in ("nothing dosed", "dosed as usual"):
        for quantity in QUANTITIES:
            for days in HORIZONS:
                off, same, line = figures.errors(mode, quantity, days)
                if off >= min(same, line):
                    found.append(f"{quantity} in {days} days, {mode}: no nearer than a guess")
    return found


def lines(figures: Figures) -> Iterator[str]:
    """The tables, in Markdown."""
    yield "| figure | 90 % hold | 50 % hold | without KH: 90 % | 50 % | width of 90 % over truth |"
    yield "|---|---|---|---|---|---|"
    for name, label in {**LABELS, "all": "all figures together"}.items():
        widths = [one.width for one in figures.held if name in ("all", one.name)]
        shares = (
            figures.share(name, 0, read=True), figures.share(name, 1, read=True),
            figures.share(name, 0, read=False), figures.share(name, 1, read=False),
        )  # fmt: skip
        if name == "all":
            shares = (figures.share(name, 0), figures.share(name, 1), shares[2], shares[3])
        cells = " | ".join("–" if isnan(share) else f"{share:.0%}" for share in shares)
        yield f"| {label} | {cells} | {statistics.median(widths):.2f} |"
    yield ""
    yield "| mean error | book | same as today | straight line | 90 % hold | 50 % hold |"
    yield "|---|---|---|---|---|---|"
    for quantity in QUANTITIES:
        for mode in ("nothing dosed", "dosed as usual"):
            for days in HORIZONS:
                digits = 3 if quantity == "ph" else 1
                errors = (f"{off:.{digits}f}" for off in figures.errors(mode, quantity, days))
                inside = (f"{figures.inside(mode, quantity, days, n):.0%}" for n in (0, 1))
                what = f"{quantity}, {mode}, {days} day{'s' if days > 1 else ''}"
                yield f"| {what} | {' | '.join((*errors, *inside))} |"
    yield ""
    middle, longest = statistics.median(figures.seconds), max(figures.seconds)
    yield f"Knowing one book took {middle:.2f} s of computing, {longest:.2f} s at the most."


def main() -> None:
    """Measure, print, and say what is not kept."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--systems", type=int, default=SYSTEMS)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--harsh", action="store_true", help="wrong volumes, forgotten doses")
    asked = parser.parse_args()
    systems = range(asked.first, asked.first + asked.systems)
    figures = measure(systems, harsh=asked.harsh)
    print("\n".join(lines(figures)))
    missed = misses(figures)
    print("\n".join(f"Missed: {each}." for each in missed) or "All that is asked for is kept.")
    sys.exit(bool(missed))


if __name__ == "__main__":
    main()
