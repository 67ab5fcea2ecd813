"""Water changes: what is left of something dissolved when part of the water is exchanged."""

import math


def mixed(*, now: float, source: float, share: float) -> float:
    """The level after a share of the water was exchanged for new water and mixed.

    Valid for what neither reacts nor is made meanwhile: nitrate, ammonia, chloride, alkalinity,
    heat; never for pH. ``share`` from 0 to 1. Source: arithmetic (dilution).

    >>> mixed(now=2.0, source=0.0, share=0.2)
    1.6
    """
    _check(share)
    return now * (1 - share) + source * share


def share_for(*, now: float, source: float, target: float) -> float | None:
    """The share to exchange for a level; None when no share reaches it.

    Valid as ``mixed``. Source: arithmetic (dilution).

    >>> share_for(now=80.0, source=0.0, target=40.0)
    0.5
    """
    if target == now:
        return 0.0
    if not min(now, source) <= target <= max(now, source):
        return None
    return (now - target) / (now - source)


def changes_needed(*, share: float, most: float) -> int | None:
    """How many changes of at most ``most`` come to one of ``share``; None for the whole water.

    Valid for shares from 0 to 1 and ``most`` between 0 and 1. Source: arithmetic (dilution).

    >>> changes_needed(share=0.5, most=0.2)
    4
    """
    _check(share)
    if share == 1:
        return None
    whole = math.log1p(-share) / math.log1p(-most)
    return math.ceil(whole * (1 - 1e-9))


def share_of_each(*, share: float, changes: int) -> float:
    """The equal share of each of several changes that come to one of ``share``.

    Valid for shares from 0 to below 1 and one change or more. Source: arithmetic (dilution).

    >>> round(share_of_each(share=0.5, changes=4), 3)
    0.159
    """
    _check(share)
    return float(1 - (1 - share) ** (1 / changes))


def _check(share: float) -> None:
    if not 0 <= share <= 1:
        raise ValueError(f"share is {share}; it must be from 0 to 1.")
