"""Acid for top-up water: pH at once and after aeration, from no acid to twice as much."""

from dataclasses import dataclass, replace
from functools import lru_cache

from kb.calculators.dosing.lower_ph_words import NAMES
from kb.calculators.lower_ph_top_up import USUAL_STRENGTH
from kb.calculators.model import Report
from kb.science.lowering import AcidAsk, plan_acid
from kb.science.reach import OutOfReach
from kb.units import show

from . import dose_curve
from .dose_curve import Dosed, Scale
from .figures import chosen, found, given, needed, plain, shown, unit, worked_out
from .picture import Picture
from .plot import Beyond, Here, draw

LINES = ("at once", "aired")
STEPS = 18
ROOM = 1.12  # how far the picture goes on past the last of the alkalinity


@dataclass(frozen=True)
class _Reach:
    """How far the axis goes, and the amount that uses up the alkalinity if it comes before."""

    end: float
    used_up: float | None


@lru_cache(maxsize=64)
def _dosed(ask: AcidAsk) -> Dosed | None:
    """The two pH values of one amount; None where it uses up the alkalinity."""
    try:
        after = plan_acid(ask).after
    except OutOfReach:
        return None
    return Dosed(ask.acid_g or 0.0, (after.at_once.ph, after.aerated.ph))


def picture(report: Report) -> Picture | None:
    """pH over the acid; None where no other amount can be worked out."""
    ask, mass = _ask(report), worked_out(report, "acid_mass")
    own = Dosed(mass, (worked_out(report, "ph_at_once"), worked_out(report, "ph_after_aeration")))
    reach = _reach(ask, mass)
    last = reach.end if reach.used_up is None else reach.used_up * (1 - 1e-6)
    doses = dose_curve.with_own(
        dose_curve.worked(
            dose_curve.amounts(last, steps=STEPS), lambda grams: _dosed(replace(ask, acid_g=grams))
        ),
        own,
    )
    if len(doses) < 2:
        return None
    scale = _scale(report)
    doses_shown = [replace(dose, amount=dose.amount * scale.per_gram) for dose in doses]
    aired = chosen(report, "target_when") == "aerated"
    mark = own.ph[1] if aired else own.ph[0]
    used_up = reach.used_up
    plot = dose_curve.plot(
        title=f"pH of the top-up over {NAMES[ask.acid]}",
        x_name=f"Acid, {scale.unit}",
        names=LINES,
        doses=doses_shown,
        here=Here(mass * scale.per_gram, mark, f"{_text(mass, scale)}: pH {show(mark, 2)}"),
        report=report,
        beyond=None if used_up is None else Beyond(used_up * scale.per_gram, "used up"),
        end=max(reach.end, mass) * scale.per_gram,
    )
    return Picture(
        draw(plot),
        _caption(report, own, reach, scale),
        dose_curve.table(f"Acid, {scale.unit}", LINES, doses_shown, mass * scale.per_gram),
    )


def _ask(report: Report) -> AcidAsk:
    acid, strength = chosen(report, "acid"), given(report, "strength")
    return AcidAsk(
        volume_l=needed(report, "top_up_volume"),
        ph=needed(report, "ph"),
        alkalinity=needed(report, "alkalinity"),
        temp_c=max(needed(report, "temperature"), 0.0),
        acid=acid,
        strength=USUAL_STRENGTH[acid] if strength is None else strength,
    )


def _reach(ask: AcidAsk, mass: float) -> _Reach:
    try:
        plan_acid(replace(ask, acid_g=2 * mass))
    except OutOfReach as end:
        most = max(mass, end.dose_g)
        return _Reach(min(2 * mass, ROOM * most), most)
    return _Reach(2 * mass, None)


def _scale(report: Report) -> Scale:
    """A volume of what is poured, a mass of what is weighed."""
    mass, litres = worked_out(report, "acid_mass"), found(report, "acid_volume")
    if litres is None or mass == 0:
        return dose_curve.weighed(report, "acid_mass")
    volume = shown(report, "acid_volume", litres)
    return Scale(unit(report, "acid_volume"), volume / mass)


def _text(grams: float, scale: Scale) -> str:
    return f"{plain(grams * scale.per_gram)} {scale.unit}"


def _caption(report: Report, own: Dosed, reach: _Reach, scale: Scale) -> str:
    text = (
        f"The ring is this amount, {_text(own.amount, scale)}, which takes the top-up from pH "
        f"{report.inputs['ph'].text} to {show(own.ph[0], 2)} at once (whole line); aired, it comes "
        f"back to {show(own.ph[1], 2)} (dashes). "
    )
    if reach.used_up is None:
        return text + "The gap between the lines is how far the pH bounces back."
    return text + (
        f"Hatched from {_text(reach.used_up, scale)} on: there the alkalinity is used up, and any "
        "more turns the water sharply acid."
    )
