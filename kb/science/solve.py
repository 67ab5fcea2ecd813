"""Finding where a function crosses nought, in a way that is sure to end."""

from collections.abc import Callable

MOST_STEPS = 100
SMALLEST_WIDTH = 1e-11


def root(f: Callable[[float], float], low: float, high: float) -> float:
    """The place between ``low`` and ``high`` where ``f`` changes sign, to about 1e-10.

    Keeps a bracket round the crossing: a step along the curve through three points when that is
    safe, else half the bracket (Chandrupatla's rule). Never more than MOST_STEPS steps.
    Valid for a continuous function with opposite signs at the two ends.
    Source: common-practice (textbook root finding).

    >>> round(root(lambda x: x * x - 2, 0.0, 2.0), 9)
    1.414213562
    """
    new, old = high, low
    f_new, f_old = f(new), f(old)
    if f_new * f_old > 0:
        raise ValueError(f"no change of sign between {low} and {high}.")
    share = 0.5
    for _ in range(MOST_STEPS):
        middle = new + share * (old - new)
        f_middle = f(middle)
        if (f_middle > 0) == (f_new > 0):
            spare, f_spare = new, f_new
        else:
            spare, f_spare = old, f_old
            old, f_old = new, f_new
        new, f_new = middle, f_middle
        best = new if abs(f_new) < abs(f_old) else old
        width = abs(old - new)
        if width <= SMALLEST_WIDTH * max(1.0, abs(best)) or f_new == 0:
            break
        share = _share(new, old, spare, f_new, f_old, f_spare)
        edge = SMALLEST_WIDTH * max(1.0, abs(best)) / (2 * width)
        share = min(1 - edge, max(edge, share))
    return best


def _share(
    new: float, old: float, spare: float, f_new: float, f_old: float, f_spare: float
) -> float:
    """How far to go from ``new`` towards ``old``: by the curve where it is nearly straight."""
    if f_old in (f_spare, f_new) or f_new == f_spare:
        return 0.5
    place = (new - old) / (spare - old)
    height = (f_new - f_old) / (f_spare - f_old)
    if not (1 - (1 - place) ** 0.5 < height < place**0.5):
        return 0.5
    first = f_new / (f_old - f_new) * f_spare / (f_old - f_spare)
    second = f_new / (f_spare - f_new) * f_old / (f_spare - f_old) * (spare - new) / (old - new)
    return first + second
