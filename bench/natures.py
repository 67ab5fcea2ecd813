"""What is true of made-up systems and their keepers, drawn at random."""

import random
from dataclasses import dataclass
from math import exp, log

FULL_G_PER_G = 0.092 * 7.145  # of protein: ammonia, and the alkalinity that nitrifying it uses
MOST_LOAD = 12.0  # mg/L a day: more than that, and spoons of base no longer keep up
QUICK = ("calcium-hydroxide", "potassium-hydroxide", "potassium-bicarbonate",
         "potassium-carbonate", "sodium-bicarbonate")  # fmt: skip
SLOW = ("calcium-carbonate", "dolomite")


@dataclass(frozen=True)
class Nature:
    """What is true of one system and its keeper; spreads are of logarithms unless named."""

    volume_l: float
    protein_percent: float
    temp_c: float
    feed_g: float
    feed_growth: float
    net_share: float
    rest_share: float
    share_drift: float
    uneven: float
    co2_mg_l: float
    aeration_per_h: float
    aeration_wander: float
    swing: float
    alkalinity: float
    bases: tuple[str, ...]
    kept: tuple[float, ...]
    dissolving_per_day: float
    ph_step: float
    ph_noise: float
    ph_bias: float
    alkalinity_step: float
    alkalinity_noise: float
    alkalinity_bias: float
    alkalinity_every: int
    false_share: float
    readings_a_day: int
    missed: float
    writes_feed: bool
    dose_below_ph: float
    dose_days: float
    top_up_share: float
    top_up_alkalinity: float
    change_every: int
    days: int


def some_nature(seed: int) -> Nature:
    """A system and a keeper drawn at random."""
    chance = random.Random(seed)
    volume = exp(chance.uniform(log(200), log(20_000)))
    bases = chance.sample(QUICK, 1 if chance.random() < 0.6 else 2)
    if chance.random() < 0.25:
        bases[0] = chance.choice(SLOW)
    kept = tuple(
        min(1.0, max(0.35, chance.gauss(0.75, 0.15)))
        if base in SLOW
        else min(1.05, max(0.6, chance.gauss(0.92, 0.09)))
        for base in bases
    )
    step = chance.choice((0.2, 0.2, 0.1, 0.01))
    protein, net_share = chance.uniform(28, 45), min(1.0, max(0.1, chance.gauss(0.45, 0.22)))
    most = MOST_LOAD / (net_share * protein / 100 * FULL_G_PER_G) * volume / 1000
    return Nature(
        volume_l=volume,
        protein_percent=protein,
        temp_c=chance.uniform(18, 28),
        feed_g=min(most, volume / 1000 * exp(chance.uniform(log(20), log(120)))),
        feed_growth=chance.gauss(0.003, 0.002),
        net_share=net_share,
        rest_share=chance.gauss(0.0, 0.06),
        share_drift=0.01,
        uneven=0.15,
        co2_mg_l=min(25.0, max(2.0, exp(chance.gauss(log(8.0), 0.5)))),
        aeration_per_h=chance.uniform(0.3, 1.2),
        aeration_wander=chance.uniform(0.05, 0.22),
        swing=chance.uniform(0.0, 0.3),
        alkalinity=exp(chance.uniform(log(25), log(150))),
        bases=tuple(bases),
        kept=kept,
        dissolving_per_day=chance.uniform(0.1, 0.4),
        ph_step=step,
        ph_noise={0.2: 0.1, 0.1: 0.08, 0.01: 0.04}[step],
        ph_bias=chance.gauss(0, 0.06),
        alkalinity_step=chance.choice((17.85, 17.85, 8.92, 5.0)),
        alkalinity_noise=chance.uniform(0.02, 0.07),
        alkalinity_bias=chance.gauss(0, 0.25),
        alkalinity_every=chance.choice((0, 1, 2, 3, 4, 7)),
        false_share=0.015,
        readings_a_day=chance.choice((1, 1, 2, 3)),
        missed=chance.uniform(0.03, 0.25),
        writes_feed=chance.random() < 0.9,
        dose_below_ph=chance.uniform(6.6, 7.2),
        dose_days=chance.uniform(1.0, 4.0),
        top_up_share=chance.uniform(0.003, 0.02),
        top_up_alkalinity=chance.choice((5.0, 40.0, 90.0, 160.0)),
        change_every=chance.choice((0, 0, 0, 7, 14)),
        days=chance.randint(21, 120),
    )
