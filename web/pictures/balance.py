"""Balance: where the nitrogen of the feed goes, and who uses the oxygen, as bands to scale."""

from dataclasses import dataclass

from kb.calculators.balancing.balance_plan import Plan
from kb.calculators.model import Report
from kb.science.balance import Loop

from . import bands
from .bands import Flow, Split
from .figures import chosen, given, needed, plain, shown, unit
from .picture import Picture, Table
from .svg import drawing

BETWEEN = 22.0
BINDS = {
    "ammonia": "the filter",
    "turnover": "the flow through the tank",
    "oxygen": "the oxygen",
    "plants": "the plants",
}


@dataclass(frozen=True)
class _Unit:
    """The unit of a day's mass, and how many of it a gram is."""

    name: str
    per_gram: float

    def text(self, grams: float) -> str:
        """An amount with its unit."""
        return f"{plain(grams * self.per_gram)} {self.name}"


def picture(report: Report) -> Picture:
    """The nitrogen and the oxygen of a day."""
    loop = _loop(report)
    nitrogen, oxygen = _nitrogen(report, loop), _oxygen(report, loop)
    second = nitrogen.height + BETWEEN
    parts = [
        *bands.draw(nitrogen, 0.0, _texts(report, nitrogen)),
        *bands.draw(oxygen, second, _texts(report, oxygen)),
    ]
    return Picture(
        drawing("A day's nitrogen and oxygen", parts, height=second + oxygen.height),
        _caption(report, loop, nitrogen, oxygen),
        _table(report, nitrogen, oxygen),
    )


def _loop(report: Report) -> Loop:
    return Plan(
        volume=needed(report, "volume"),
        flow=needed(report, "flow"),
        feed=needed(report, "feed"),
        protein=needed(report, "protein"),
        temp_c=needed(report, "temperature"),
        ph=needed(report, "ph"),
        surface=needed(report, "biofilter_surface"),
        rate=needed(report, "biofilter_rate"),
        plant_area=needed(report, "plant_area"),
        crop=chosen(report, "crop"),
        oxygen_supply=given(report, "oxygen_supply"),
        top_up=needed(report, "top_up"),
        top_up_alkalinity=needed(report, "top_up_alkalinity"),
        solids_removed=needed(report, "solids_removed") / 100,
        denitrified=needed(report, "denitrified") / 100,
    ).loop


def _nitrogen(report: Report, loop: Loop) -> Split:
    whole = loop.feed_nitrogen
    return Split(
        f"Nitrogen of the feed, {_unit(report, whole).text(whole)}",
        (Flow("feed", whole),),
        (
            Flow("fish keep", loop.kept),
            Flow("sludge", loop.settled),
            Flow("urea, other", loop.urea),
            Flow("plants", loop.plant_uptake),
            Flow("gas", loop.denitrified_nitrogen),
            Flow("nitrate up", max(0.0, loop.nitrate_change)),
            Flow("ammonia up", max(0.0, loop.left_over), warning=True),
        ),
    )


def _oxygen(report: Report, loop: Loop) -> Split:
    use, supply = loop.oxygen_use, loop.oxygen_supply
    margin = 0.0 if supply is None else supply - use
    sources: tuple[Flow, ...] = (Flow("used", use),)
    if supply is not None:
        sources = (Flow("supply", supply), Flow("missing", max(0.0, -margin), warning=True))
    known = use if supply is None else supply
    return Split(
        f"Oxygen {'used' if supply is None else 'supplied'}, "
        f"{_unit(report, max(use, known)).text(known)}",
        tuple(flow for flow in sources if flow.amount > 0),
        (
            Flow("fish", loop.oxygen_fish),
            Flow("filter", use - loop.oxygen_fish),
            Flow("left over", max(0.0, margin)),
        ),
    )


def _unit(report: Report, most: float) -> _Unit:
    """As feed is shown; kg or mg where g would be long or all noughts."""
    name = unit(report, "feed")
    if name != "g/day":
        return _Unit(name, shown(report, "feed", 1.0))
    if most >= 1000:
        return _Unit("kg/day", 0.001)
    return _Unit("g/day", 1.0) if most >= 1 else _Unit("mg/day", 1000.0)


def _texts(report: Report, split: Split) -> list[str]:
    scale = _unit(report, split.whole).per_gram
    return [f"{flow.label} {plain(flow.amount * scale)}" for flow in split.drawn]


def _parts(report: Report, split: Split) -> str:
    """The sinks as a list in a sentence."""
    texts = _texts(report, split)
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def _caption(report: Report, loop: Loop, nitrogen: Split, oxygen: Split) -> str:
    text = (
        "The wider a band, the more goes that way; nitrogen and oxygen each have a scale of their "
        f"own. {nitrogen.heading}: {_parts(report, nitrogen)}. "
    )
    if any(flow.label.endswith(" up") for flow in nitrogen.drawn):
        text += "What goes “up” gathers in the water day by day. "
    if loop.overrun:
        text += "The filter cannot take up all the ammonia: the rest is hatched. "
    if loop.nitrate_change < 0:
        more = _unit(report, -loop.nitrate_change).text(-loop.nitrate_change)
        text += f"The plants could take {more} more, out of the nitrate that is there. "
    text += f"{oxygen.heading}: {_parts(report, oxygen)}. "
    margin = loop.oxygen_margin
    if margin is not None and margin < 0:
        text += (
            f"{_unit(report, oxygen.whole).text(-margin)} of it is missing, hatched on the left. "
        )
    most = report.results["feed_max"].text
    return text + f"The most feed is {most}; what binds first is {BINDS[loop.limit]}."


def _table(report: Report, nitrogen: Split, oxygen: Split) -> Table:
    rows = tuple(
        (name, flow.label, _unit(report, split.whole).text(flow.amount))
        for name, split in (("nitrogen", nitrogen), ("oxygen", oxygen))
        for flow in split.sinks
    )
    return ("Of", "Goes to", "A day"), rows
