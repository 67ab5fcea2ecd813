"""A dose of base: pH at once, settled and after full aeration, from nothing to twice the dose."""

from dataclasses import replace
from functools import lru_cache

from kb.calculators.ammonia import NITROGEN_SHARE
from kb.calculators.dosing.raise_ph_words import NAMES
from kb.calculators.model import Report
from kb.science.raising import BaseAsk, plan_base
from kb.science.reach import OutOfReach
from kb.science.substances import BASES
from kb.units import show

from . import dose_curve
from .dose_curve import Dosed, Scale
from .figures import chosen, given, needed, plain, worked_out
from .picture import Picture
from .plot import Beyond, Here, draw

LINES = ("settled", "at once", "aired")
MOST_PARTS = 24
STEPS_OF_A_MINERAL = 6  # each takes four times as long to work out


@lru_cache(maxsize=64)
def _dosed(ask: BaseAsk) -> Dosed | None:
    """The three pH values of one dose; None where it is too much to be worked out."""
    try:
        after = plan_base(ask).after
    except OutOfReach:
        return None
    return Dosed(ask.dose_g or 0.0, (after.settled.ph, after.at_once.ph, after.aerated.ph))


def picture(report: Report) -> Picture | None:
    """pH over the dose; None where no other dose can be worked out."""
    ask, mass = _ask(report), worked_out(report, "mass")
    own = Dosed(
        mass,
        tuple(
            worked_out(report, f"ph_{name}") for name in ("settled", "at_once", "after_aeration")
        ),
    )
    steps = STEPS_OF_A_MINERAL if BASES[ask.base].mineral else dose_curve.STEPS
    wanted = dose_curve.amounts(_end(ask, mass), steps=steps)
    doses = dose_curve.with_own(
        dose_curve.worked(wanted, lambda grams: _dosed(replace(ask, dose_g=grams))), own
    )
    if len(doses) < 2:
        return None
    scale = dose_curve.weighed(report, "mass")
    shown = [replace(dose, amount=dose.amount * scale.per_gram) for dose in doses]
    parts, part = int(worked_out(report, "additions")), _part(ask, report) * scale.per_gram
    plot = dose_curve.plot(
        title=f"pH over the dose of {NAMES[ask.base]}",
        x_name=f"{NAMES[ask.base].split(' (')[0].capitalize()}, {scale.unit}",
        names=LINES,
        doses=shown,
        here=Here(
            mass * scale.per_gram, own.ph[0], f"{_text(mass, scale)}: pH {show(own.ph[0], 2)}"
        ),
        report=report,
        beyond=Beyond(part, "not in one go", gap=14.0) if parts > 1 else None,
        parts=[part * (index + 1) for index in range(parts)] if 1 < parts <= MOST_PARTS else (),
    )
    return Picture(
        draw(plot),
        _caption(report, ask, scale, (own, doses[-1])),
        dose_curve.table(f"Dose, {scale.unit}", LINES, shown, mass * scale.per_gram),
    )


def _ask(report: Report) -> BaseAsk:
    return BaseAsk(
        volume_l=needed(report, "volume"),
        ph=needed(report, "ph"),
        alkalinity=needed(report, "alkalinity"),
        temp_c=max(needed(report, "temperature"), 0.0),
        base=chosen(report, "base"),
        purity=needed(report, "purity"),
        calcium=given(report, "calcium") or 0.0,
        ammonia=needed(report, "ammonia") * NITROGEN_SHARE[chosen(report, "ammonia_as")],
        step=needed(report, "max_ph_step"),
    )


def _end(ask: BaseAsk, mass: float) -> float:
    """Twice the dose, or as much as can be worked out."""
    try:
        plan_base(replace(ask, dose_g=2 * mass))
    except OutOfReach as end:
        return max(mass, min(2 * mass, end.dose_g * (1 - 1e-9)))
    return 2 * mass


def _part(ask: BaseAsk, report: Report) -> float:
    """The grams of one part, of what dissolves."""
    mass, parts = worked_out(report, "mass"), worked_out(report, "additions")
    try:
        dissolved = plan_base(replace(ask, dose_g=mass)).dissolved_g
    except OutOfReach:
        dissolved = mass
    return min(mass, dissolved) / parts


def _text(grams: float, scale: Scale) -> str:
    return f"{plain(grams * scale.per_gram)} {scale.unit}"


def _caption(report: Report, ask: BaseAsk, scale: Scale, ends: tuple[Dosed, Dosed]) -> str:
    own, last = ends
    settled, at_once, aired = (show(ph, 2) for ph in own.ph)
    parts = int(worked_out(report, "additions"))
    text = (
        f"The ring is this dose, {_text(own.amount, scale)}, which takes pH "
        f"{report.inputs['ph'].text} to {settled} once settled (whole line), {at_once} at once if "
        f"all goes in together (dashes) and {aired} with full aeration (dots). "
    )
    if last.amount > own.amount * 1.01:
        text += f"{_text(last.amount, scale)} would settle at {show(last.ph[0], 2)}. "
    if parts == 1:
        return text + f"One part moves the pH by no more than {plain(ask.step)}."
    return text + (
        f"Hatched is more than one part: {show(parts, 0)} parts keep each step within "
        f"{plain(ask.step)} pH."
    )
