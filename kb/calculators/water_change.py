"""Water change: how much water to exchange for a lower level, at once or in parts."""

from dataclasses import dataclass

from kb.calculators.model import (
    Calculator,
    Example,
    Number,
    Outcome,
    Result,
    Step,
    refuse,
    show_plain,
)
from kb.science.mixing import changes_needed, mixed, share_for, share_of_each
from kb.units import (
    CONCENTRATION,
    COUNT,
    PERCENT,
    US_GALLON_L,
    VOLUME,
    few,
    figures,
)

MOST_AT_ONCE = 0.2  # ksu-2021: exchange 20 % when ammonia or nitrite is over its action level
READING_OFF = 0.1  # common practice: a kit's colours are no better than this


@dataclass(frozen=True)
class _Change:
    """One change of water: levels in mg/L, volume in L, share from 0 to 1."""

    now: float
    source: float
    volume: float
    share: float

    @property
    def after(self) -> float:
        """The level after it."""
        return mixed(now=self.now, source=self.source, share=self.share)

    @property
    def water(self) -> float:
        """The water to exchange."""
        return self.volume * self.share

    @property
    def parts(self) -> int | None:
        """How many changes of a fifth or less come to the same; None for the whole water."""
        return changes_needed(share=self.share, most=MOST_AT_ONCE)


def compute(
    now: float, source: float, target: float | None, share: float | None, volume: float
) -> Outcome:
    """The share and the water to exchange, and the level that it leaves."""
    now, source = max(now, 0.0), max(source, 0.0)
    wanted = share / 100 if share is not None else _share(now, source, target)
    change = _Change(now, source, volume, min(max(wanted, 0.0), 1.0))
    return Outcome(
        values={
            "share": change.share * 100,
            "water": change.water,
            "after": change.after,
            "changes": None if change.parts is None else float(max(change.parts, 1)),
        },
        steps=_steps(change, target),
        cautions=(
            "water-change-match",
            "dechlorinator-label",
            "mains-and-water",
            "calculation-not-promise",
        ),
        doubts=_doubts(change, target),
        sentences=_sentences(change),
    )


def _share(now: float, source: float, target: float | None) -> float:
    wanted = now if target is None else max(target, 0.0)  # one of target and share is there
    found = share_for(now=now, source=source, target=wanted)
    if found is None:
        raise refuse("target", f"{_exact(wanted)} mg/L", _out_of_reach(now, source, wanted))
    return found


def _out_of_reach(now: float, source: float, target: float) -> str:
    asked = f"Level wanted: {_exact(target)} mg/L"
    if now == source:
        return (
            f"{asked} is out of reach, because the new water holds {_exact(source)} mg/L, as much "
            "as the tank: changing water alters nothing; use other water."
        )
    low, high = sorted((now, source))
    if (target < low) == (source < now):  # beyond what the new water itself holds
        side = "below" if target < source else "above"
        return (
            f"{asked} is {side} the {_exact(source)} mg/L of the new water itself, so no change "
            f"reaches it; choose {_exact(low)} to {_exact(high)} mg/L or other water."
        )
    side = "above" if target > now else "below"
    way = "lower" if source < now else "raise"
    return (
        f"{asked} is {side} the {_exact(now)} mg/L there now, and this water can only {way} it; "
        f"choose {_exact(low)} to {_exact(high)} mg/L."
    )


def _sentences(change: _Change) -> dict[str, str]:
    return {
        "share": f"{_share_sentence(change)}{_parts_sentence(change)}",
        "water": (
            f"{_litres(change.water)} out and as much new water in, of {_litres(change.volume)}."
        ),
        "after": (
            f"{few(change.now, 3)} mg/L becomes {few(change.after, 3)} mg/L once it has mixed, "
            f"with new water of {few(change.source, 3)} mg/L."
        ),
        "changes": _changes_sentence(change),
    }


def _share_sentence(change: _Change) -> str:
    if change.share == 0:
        return f"With nothing changed it stays at {few(change.now, 3)} mg/L."
    if change.now == change.source:
        return f"No change of water alters {few(change.now, 3)} mg/L: the new water holds the same."
    way = "down" if change.after < change.now else "up"
    return (
        f"Changing {few(change.share * 100, 3)} % of the water brings {few(change.now, 3)} mg/L "
        f"{way} to {few(change.after, 3)} mg/L."
    )


def _parts_sentence(change: _Change) -> str:
    if change.parts is None:
        return " That is all of the water: the fish would have to be elsewhere meanwhile."
    if change.parts <= 1:
        return ""
    each = share_of_each(share=change.share, changes=change.parts)
    together = each * change.parts * change.volume
    return (
        f" Gentler in {change.parts} changes of {few(each * 100, 3)} %, "
        f"{_litres(each * change.volume)} a time and {_litres(together)} in all, which end at the "
        "same level."
    )


def _changes_sentence(change: _Change) -> str:
    if change.parts is None:
        return "Changes in part never reach the level of the new water itself, they only near it."
    if change.parts <= 1:
        return "One change will do; it is not more than a fifth of the water."
    return (
        f"{change.parts} equal changes, none over a fifth of the water, end at the same level; a "
        "growers' manual exchanges a fifth at a time."
    )


def _doubts(change: _Change, target: float | None) -> tuple[str, ...]:
    doubts = [
        _reading_doubt(change, target),
        "The sum holds for what is only dissolved (ammonia, nitrite, nitrate, salt, alkalinity), "
        "not for pH: new water of another pH or alkalinity shifts that in its own way, and a rise "
        "makes ammonia more harmful.",
        "What the fish give off meanwhile is not counted: test again the next day and look for "
        "the cause.",
        "New water that runs in while old water runs out mixes with it, so it takes more; let out "
        "first, then fill.",
    ]
    if change.source == 0:
        doubts.insert(
            1, "The new water is taken as holding none; tap water often holds some, so test it."
        )
    return tuple(doubts)


def _reading_doubt(change: _Change, target: float | None) -> str:
    low, high = (change.now * (1 + off) for off in (-READING_OFF, READING_OFF))
    if target is None:
        ends = (mixed(now=now, source=change.source, share=change.share) for now in (low, high))
        return (
            "A reading a tenth off (common practice) makes the level after it "
            f"{' to '.join(few(each, 3) for each in ends)} mg/L."
        )
    shares = [share_for(now=now, source=change.source, target=target) for now in (low, high)]
    known = [f"{few(each * 100, 3)} %" if each is not None else "none" for each in shares]
    return (
        "A reading a tenth too high or too low (common practice) makes the share "
        f"{known[0]} or {known[1]}."
    )


def _steps(change: _Change, target: float | None) -> tuple[Step, ...]:
    now, source = few(change.now, 4), few(change.source, 4)
    share = f"{few(change.share * 100, 4)} %"
    steps = [
        Step("water = share × volume", f"{share} × {few(change.volume, 4)}", _litres(change.water)),
        Step(
            "level after = now × (1 − share) + new water × share",
            f"{now} × (1 − {share}) + {source} × {share}",
            f"{few(change.after, 4)} mg/L",
        ),
    ]
    if target is not None and change.share > 0:
        steps.insert(
            0,
            Step(
                "share = (now − wanted) / (now − new water)",
                f"({now} − {few(target, 4)}) / ({now} − {source})",
                share,
            ),
        )
    if change.parts is not None and change.parts > 1:
        steps.append(_parts_step(change, change.parts, share))
    return tuple(steps)


def _parts_step(change: _Change, parts: int, share: str) -> Step:
    each = share_of_each(share=change.share, changes=parts)
    return Step(
        f"in {parts} equal changes of at most 20 %: each = 1 − (1 − share)^(1/{parts})",
        f"1 − (1 − {share})^(1/{parts})",
        f"{few(each * 100, 4)} % = {_litres(each * change.volume)}",
        "ksu-2021",
    )


def _litres(litres: float) -> str:
    return f"{few(litres, 3)} L ({few(litres / US_GALLON_L, 3)} US gal)"


def _exact(value: float) -> str:
    return show_plain(figures(value, 6))


WATER_CHANGE = Calculator(
    id="water-change",
    title="Water change",
    question="How much water do I have to change?",
    inputs=(
        Number(
            "now", "Level now", CONCENTRATION, "mg/L", minimum=0, maximum=20_000, usual=(0, 1000),
            help="Of what is to be lowered: ammonia, nitrite, nitrate or salt.",
        ),
        Number(
            "source", "Level in the new water", CONCENTRATION, "mg/L", minimum=0, maximum=20_000,
            default=0, usual=(0, 500), help="Test it the same way; leave at 0 only if it has none.",
        ),
        Number(
            "target", "Level wanted", CONCENTRATION, "mg/L", minimum=0, maximum=20_000,
            optional=True, help="This, or the share.",
        ),
        Number(
            "share", "Share to change", PERCENT, "%", minimum=0, maximum=100, optional=True,
            usual=(1, 60), help="This, or the level wanted.",
        ),
        Number(
            "volume", "Water in the whole system", VOLUME, "L", minimum=1, maximum=10_000_000,
            usual=(20, 100_000), help="Fish tank, beds, sump and pipes together.",
        ),
    ),
    results=(
        Result("share", "Share to change", PERCENT, "%", figures=3, main=True),
        Result("water", "Water to change", VOLUME, "L", figures=3, main=True),
        Result("after", "Level afterwards", CONCENTRATION, "mg/L", figures=3, main=True),
        Result("changes", "Changes of at most a fifth", COUNT, "", 0),
    ),
    compute=compute,
    sources=("ksu-2021", "common-practice"),
    articles=("ammonia-high", "nitrite-high", "nitrate-levels", "top-up-routine"),
    one_of=(("target", "share"),),
    examples=(
        Example(
            title="A fifth of the water at 2 mg/L of ammonia",
            given={"now": "2 mg/L", "share": 20, "volume": "1000 L"},
            expect={"after": 1.6, "water": 200, "changes": 1},
            source="ksu-2021",
        ),
        Example(
            title="Nitrate from 200 to 100 mg/L with tap water that holds 20",
            given={"now": 200, "source": 20, "target": 100, "volume": "264.172 gal"},
            expect={"share": 55.556, "water": 555.56, "after": 100, "changes": 4},
            source="ksu-2021",
        ),
    ),
)  # fmt: skip
