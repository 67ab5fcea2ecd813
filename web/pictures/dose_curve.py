"""The curve of a dose: how pH moves with how much is given. Shared by the two pH calculators."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kb.calculators.model import Report
from kb.units import show

from .figures import given, plain, shown, unit, worked_out
from .picture import Table
from .plot import Beyond, Curve, Here, Level, Plot
from .scale import step_for

STEPS = 12  # the dose itself, half of it and one and a half times it are among them
NARROWEST = 0.5  # pH; less would blow up what no meter tells


@dataclass(frozen=True)
class Dosed:
    """The pH values after one amount, in the order in which their lines are named."""

    amount: float
    ph: tuple[float, ...]


@dataclass(frozen=True)
class Scale:
    """The unit that amounts are shown in, and how many of it make a gram."""

    unit: str
    per_gram: float


def weighed(report: Report, name: str) -> Scale:
    """The unit of a mass: as it is shown, but kg and mg where g would be long or all noughts."""
    grams = worked_out(report, name)
    if unit(report, name) != "g":
        return Scale(unit(report, name), shown(report, name, 1.0))
    if grams >= 10_000:
        return Scale("kg", 0.001)
    return Scale("g", 1.0) if grams >= 0.1 else Scale("mg", 1000.0)


def amounts(end: float, *, steps: int = STEPS) -> tuple[float, ...]:
    """Amounts from nothing to ``end``, closer together near both, where a curve bends most."""
    return tuple(end * (1 - math.cos(math.pi * step / steps)) / 2 for step in range(steps + 1))


def plot(
    *,
    title: str,
    x_name: str,
    names: Sequence[str],
    doses: Sequence[Dosed],
    here: Here,
    report: Report,
    beyond: Beyond | None = None,
    end: float | None = None,
    parts: Sequence[float] = (),
) -> Plot:
    """The plot of a dose with the present pH and the target."""
    levels = [Level(*pair) for pair in _levels(report)]
    seen = [ph for dose in doses for ph in dose.ph] + [here.y, *(each.value for each in levels)]
    return Plot(
        title=title,
        x_name=x_name,
        y_name="pH",
        x_span=(0.0, end or doses[-1].amount),
        y_span=rounded(min(seen), max(seen)),
        curves=tuple(
            Curve(name, tuple((dose.amount, dose.ph[index]) for dose in doses))
            for index, name in enumerate(names)
        ),
        levels=tuple(levels),
        here=here,
        beyond=beyond,
        parts=tuple(parts),
    )


def rounded(low: float, high: float) -> tuple[float, float]:
    """A span of pH with round ends that holds both and is not too narrow."""
    lack = max(0.0, NARROWEST - (high - low)) / 2
    step = step_for(high - low + 2 * lack, 5)
    return (
        math.floor((low - lack) / step + 1e-9) * step,
        math.ceil((high + lack) / step - 1e-9) * step,
    )


def with_own(doses: Sequence[Dosed], own: Dosed) -> tuple[Dosed, ...]:
    """The doses with the very amount of the report among them."""
    others = [dose for dose in doses if not math.isclose(dose.amount, own.amount, rel_tol=1e-6)]
    return tuple(sorted([*others, own], key=lambda dose: dose.amount))


def worked(wanted: Sequence[float], dosed: Callable[[float], Dosed | None]) -> tuple[Dosed, ...]:
    """What each amount does, as far as it can be worked out."""
    found = (dosed(amount) for amount in wanted)
    return tuple(dose for dose in found if dose is not None)


def table(first: str, names: Sequence[str], doses: Sequence[Dosed], own: float) -> Table:
    """A few of the doses with their pH values: a row a quarter of the way, and the dose itself."""
    wanted = [*(doses[-1].amount * share / 4 for share in range(5)), own]
    kept = {
        min(range(len(doses)), key=lambda index: abs(doses[index].amount - amount))
        for amount in wanted
    }
    return (
        (first, *(f"pH {name}" for name in names)),
        tuple(
            (plain(doses[index].amount), *(show(ph, 2) for ph in doses[index].ph))
            for index in sorted(kept)
        ),
    )


def _levels(report: Report) -> list[tuple[float, str]]:
    found = []
    for name, word in (("ph", "now"), ("target_ph", "target")):
        value = given(report, name)
        if value is not None:
            found.append((value, f"{word} {report.inputs[name].text}"))
    return found
