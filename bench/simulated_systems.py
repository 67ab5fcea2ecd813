"""Made-up systems whose every figure is known, and the water books that their keepers write.

Nothing here is taken from ``kb.book`` but the entries of a book. Hour by hour, a system keeps two
stocks: alkalinity, which the acid of nitrified feed uses up, and dissolved carbon dioxide, which
fish and filter make, acid sets free, aeration carries off and a base binds. pH comes from
the project's carbonate solver, which is tested against PHREEQC. Feed acts with a delay through
two stores in a row, the load and the aeration wander, nitrification slackens in sour water, slow
bases dissolve faster in sour water, the lights take carbon dioxide by day, kits are biased, noisy
and read in steps, now and then quite wrong, spoons are uneven, and keepers miss days.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import cos, exp, log, pi

from bench.natures import FULL_G_PER_G, SLOW, Nature, some_nature
from kb.book.model import Book, Dose, Entry, Feed, Reading, System, Water
from kb.science.carbonate import CO2_MG_PER_MOL, air_co2_mol_l, settle
from kb.science.carbonate import Water as Chemistry
from kb.science.dosing import add
from kb.science.substances import BASES

MG_PER_EQ = 50_043.45
START = datetime(2024, 3, 1, 7, tzinfo=UTC)
SOUR_PH = 5.8  # nitrification is at half its rate; common practice
WRONG_VOLUME, FORGOTTEN = 0.22, 0.1
LOW_BUFFER = 25.0  # mg/L: keepers dose when they read less
READING_HOURS = (7, 13, 19)


@dataclass
class Tank:
    """The stocks of one system; the rest is what acts on them."""

    alkalinity: float  # mg/L
    co2: float  # mol/L
    share: float
    aeration: float = 0.0
    stores: list[float] = field(default_factory=lambda: [0.0, 0.0])
    undissolved: list[float] = field(default_factory=list)
    luck: float = 1.0


@dataclass(frozen=True)
class Truth:
    """What the filter is to find; forecasts are what an unbiased turn of the kits would show."""

    load_g_day: float
    load_per_100_g: float
    kept: dict[str, float]
    alkalinity: float
    ph: float
    days_to_floor: float
    undosed: dict[int, tuple[float, float]]
    as_usual: dict[int, tuple[float, float]]
    read_undosed: dict[int, tuple[float, float]]
    read_as_usual: dict[int, tuple[float, float]]


@dataclass(frozen=True)
class Simulated:
    """A system with its book, the moment at which it is asked, and the truth."""

    nature: Nature
    book: Book
    now: datetime
    truth: Truth


class Keeper:
    """Walks one system through its days and writes the book."""

    def __init__(self, nature: Nature, seed: int) -> None:
        self.nature = nature
        self.chance = random.Random(seed + 1_000_000)
        held = nature.co2_mg_l / CO2_MG_PER_MOL
        self.source = nature.aeration_per_h * (held - air_co2_mol_l(temp_c=nature.temp_c))
        self.tank = Tank(
            alkalinity=nature.alkalinity,
            co2=held,
            share=nature.net_share,
            undissolved=[0.0 for _ in nature.bases],
        )
        self.full = nature.protein_percent / 100 * FULL_G_PER_G
        self.tank.stores = [nature.feed_g / 3, nature.feed_g / 3]
        self.entries: list[Entry] = []
        self.hour = 0
        self.turn = 0
        self.just_read: float | None = None
        self.fed: list[float] = []

    @property
    def at(self) -> datetime:
        """The time."""
        return START + timedelta(hours=self.hour)

    def ph(self) -> float:
        """The pH that is true."""
        tank = self.tank
        water = self._water()
        return settle(water, co2_mol_l=tank.co2).ph

    def usual_feed(self) -> float:
        """The mean feed of a day, now."""
        return self.nature.feed_g * (1 + self.nature.feed_growth) ** (self.hour / 24)

    def load_g_day(self) -> float:
        """The alkalinity that a day of usual feed uses, as CaCO3."""
        nature = self.nature
        rest = nature.rest_share * self.full * nature.feed_g
        return self.tank.share * self.full * self.usual_feed() + rest

    def day(self, *, dosing: bool = True, missed: bool | None = None) -> None:
        """One day: feed, readings, doses, top-up, and the hours between."""
        nature, chance = self.nature, self.chance
        away = chance.random() < nature.missed if missed is None else missed
        number = self.hour // 24
        self.tank.luck = max(0.0, chance.gauss(1, nature.uneven))
        self.tank.share += chance.gauss(0, nature.share_drift)
        wander = nature.aeration_wander * (1 - exp(-2 / 8)) ** 0.5
        self.tank.aeration = self.tank.aeration * exp(-1 / 8) + chance.gauss(0, wander)
        hours = READING_HOURS[: nature.readings_a_day]
        for hour in range(7, 31):
            if hour in hours and not away:
                self._read(number, hour, dosing=dosing)
            if hour == 9:
                self._feed(away)
            if hour == 10 and not away:
                self._pour(number)
            self._hour(hour)

    def _feed(self, away: bool) -> None:
        grams = self.usual_feed() * max(0.0, self.chance.gauss(1, 0.1))
        if self.chance.random() < 0.03:
            grams = 0.0
        self.tank.stores[0] += grams
        self.fed.append(grams)
        if self.nature.writes_feed and not away:
            self.entries.append(Feed(self.at, float(f"{grams:.2g}")))

    def _pour(self, number: int) -> None:
        nature, tank = self.nature, self.tank
        if number % 3 == 2:
            litres = 3 * nature.top_up_share * nature.volume_l
            tank.alkalinity += litres / nature.volume_l * nature.top_up_alkalinity
            self.entries.append(Water(self.at, added_l=round(litres, 1)))
        if nature.change_every and number % nature.change_every == nature.change_every - 1:
            tank.alkalinity += 0.1 * (nature.top_up_alkalinity - tank.alkalinity)
            self.entries.append(Water(self.at, changed_l=0.1 * nature.volume_l))

    def _read(self, number: int, hour: int, *, dosing: bool) -> None:
        nature, chance = self.nature, self.chance
        if self.just_read is not None:  # the test has been done, and is in the book
            shown, self.just_read = self.just_read, None
            self._perhaps_dose(shown, 100.0, dosing=dosing)
            return
        shown = self.kit_ph()
        if chance.random() < nature.false_share:
            shown = round(shown + chance.choice((-1, 1)) * chance.choice((0.4, 0.6, 0.8, 1.0)), 2)
        self.entries.append(Reading(self.at, "ph", shown))
        if hour != READING_HOURS[0]:
            return
        buffer = 100.0
        if nature.alkalinity_every and number % nature.alkalinity_every == 0:
            buffer = self.kit_alkalinity()
            self.entries.append(Reading(self.at, "alkalinity", buffer))
        if chance.random() < 0.3:
            self.entries.append(Reading(self.at, "temperature", round(nature.temp_c)))
        self._perhaps_dose(shown, buffer, dosing=dosing)

    def _perhaps_dose(self, shown: float, buffer: float, *, dosing: bool) -> None:
        if dosing and (shown < self.nature.dose_below_ph or buffer < LOW_BUFFER):
            self._dose()

    def kit_ph(self) -> float:
        """What the keeper's kit shows for pH."""
        nature = self.nature
        read = self.ph() + nature.ph_bias + self.chance.gauss(0, nature.ph_noise)
        return round(round(read / nature.ph_step) * nature.ph_step, 2)

    def kit_alkalinity(self) -> float:
        """What the keeper's kit shows for alkalinity."""
        nature = self.nature
        off = self.tank.alkalinity * self.chance.gauss(0, nature.alkalinity_noise)
        step = nature.alkalinity_step
        read = self.tank.alkalinity + off + nature.alkalinity_bias * step
        return max(0.0, round(round(read / step) * step, 2))

    def _dose(self) -> None:
        nature, chance = self.nature, self.chance
        which = self.turn % len(nature.bases)
        self.turn += 1
        base = BASES[nature.bases[which]]
        wanted = nature.dose_days * max(self.load_g_day(), 0.1 * self.full * nature.feed_g)
        mg_l = min(wanted / nature.volume_l * 1000, 25.0) * chance.uniform(0.7, 1.3)
        grams = mg_l / MG_PER_EQ * base.equivalent_g * nature.volume_l
        dose = Dose(self.at, base.id, float(f"{grams:.2g}"))
        self.entries.append(dose)
        real = dose.grams / grams * mg_l * nature.kept[which] * max(0.5, chance.gauss(1, 0.08))
        if base.id in SLOW:
            self.tank.undissolved[which] += real
            return
        mol_l = real / MG_PER_EQ / base.alkalinity
        held = settle(self._water(), co2_mol_l=self.tank.co2)
        after = settle(add(replace(self._water(), carbon_mol_l=held.carbon_mol_l), base, mol_l))
        self.tank.co2 = after.co2_mol_l
        self.tank.alkalinity += real

    def _water(self) -> Chemistry:
        eq_l = self.tank.alkalinity / MG_PER_EQ
        return Chemistry(self.nature.temp_c, eq_l, 0.0, univalent_mol_l=abs(eq_l))

    def _hour(self, hour: int) -> None:
        nature, tank = self.nature, self.tank
        sour = 1 / (1 + exp(-(self._rough_ph() - SOUR_PH) / 0.15))
        moved = [tank.stores[0] / 8, tank.stores[1] / 8 * sour]  # eight hours in each store
        tank.stores[0] -= moved[0]
        tank.stores[1] += moved[0] - moved[1]
        rest = nature.rest_share * self.full * nature.feed_g / 24
        used = (moved[1] * tank.share * self.full * tank.luck + rest) / nature.volume_l * 1000
        before = tank.alkalinity
        tank.alkalinity = max(0.5, before - used)
        for number, left in enumerate(tank.undissolved):
            speed = (
                nature.dissolving_per_day / 24 * min(2.0, max(0.0, (8.2 - self._rough_ph()) / 1.5))
            )
            tank.undissolved[number] -= left * speed
            tank.alkalinity += left * speed
        light = 1 + nature.swing * cos(2 * pi * ((hour % 24) - 5) / 24)
        rate = nature.aeration_per_h * exp(tank.aeration)
        air = air_co2_mol_l(temp_c=nature.temp_c)
        freed = (before - tank.alkalinity) / MG_PER_EQ * 0.5
        rested = air + (self.source * light + max(0.0, freed)) / rate
        tank.co2 = rested + (tank.co2 - rested) * exp(-rate)
        self.hour += 1

    def _rough_ph(self) -> float:
        eq_l = max(self.tank.alkalinity, 1.0) / MG_PER_EQ
        return 6.35 + log(eq_l / self.tank.co2) / log(10)


def simulate(seed: int, *, days: int | None = None, harsh: bool = False) -> Simulated:
    """One made-up system, asked at the reading hour of the day after its last.

    ``harsh``: its keeper is out by up to a quarter about the volume and forgets a tenth of the
    doses, neither of which the filter knows of.
    """
    nature = some_nature(seed)
    nature = nature if days is None else replace(nature, days=days)
    keeper = Keeper(nature, seed)
    for _ in range(nature.days):
        keeper.day()
    keeper.chance = random.Random(seed + 2_000_000)
    keeper._read(0, READING_HOURS[0], dosing=False)
    entries = tuple(keeper.entries)
    told = nature.volume_l
    if harsh:
        told *= exp(keeper.chance.uniform(-WRONG_VOLUME, WRONG_VOLUME))
        entries = tuple(
            entry
            for entry in entries
            if not isinstance(entry, Dose) or keeper.chance.random() > FORGOTTEN
        )
    book = Book(replace(_system(nature), volume_l=told), entries)
    return Simulated(nature, book, keeper.at, _truth(keeper))


def _system(nature: Nature) -> System:
    return System(
        volume_l=nature.volume_l,
        temp_c=nature.temp_c,
        protein_percent=nature.protein_percent,
        target_ph=7.0,
        floor_ph=6.3,
        floor_alkalinity=10.0,
        top_up_alkalinity=nature.top_up_alkalinity,
    )


def _truth(keeper: Keeper) -> Truth:
    nature = keeper.nature
    load = keeper.load_g_day()
    recent = sum(keeper.fed[-14:]) / len(keeper.fed[-14:])
    load += keeper.tank.share * keeper.full * (recent - keeper.usual_feed())
    undosed, read_undosed, floor = _branch(keeper, dosing=False, days=90)
    usual, read_usual, _ = _branch(keeper, dosing=True, days=7)
    return Truth(
        load_g_day=load,
        load_per_100_g=load / recent * 100,
        kept=dict(zip(nature.bases, nature.kept, strict=True)),
        alkalinity=keeper.tank.alkalinity,
        ph=keeper.ph() + nature.ph_bias,
        days_to_floor=floor,
        undosed=undosed,
        as_usual=usual,
        read_undosed=read_undosed,
        read_as_usual=read_usual,
    )


Days = dict[int, tuple[float, float]]


def _branch(keeper: Keeper, *, dosing: bool, days: int) -> tuple[Days, Days, float]:
    """What comes: true values and readings of the days ahead, and when the floor is met."""
    saved, chance, hour = keeper.tank, keeper.chance, keeper.hour
    entries, turn = list(keeper.entries), keeper.turn
    keeper.tank = replace(saved, stores=list(saved.stores), undissolved=list(saved.undissolved))
    keeper.chance = random.Random(hour)
    tests = [each for each in entries if isinstance(each, Reading) and each.quantity == "ph"]
    keeper.just_read = tests[-1].value
    true: Days = {}
    read: Days = {}
    over = [_over(keeper)]
    for day in range(1, days + 1):
        keeper.day(dosing=dosing, missed=None if dosing and day > 1 else False)
        off = keeper.nature.alkalinity_bias * keeper.nature.alkalinity_step
        true[day] = keeper.ph() + keeper.nature.ph_bias, keeper.tank.alkalinity + off
        read[day] = keeper.kit_ph(), keeper.kit_alkalinity()
        over.append(_over(keeper))
        if not dosing and day >= 7 and over[-1] <= 0:
            break
    keeper.tank, keeper.chance, keeper.hour = saved, chance, hour
    keeper.entries, keeper.turn = entries, turn
    return true, read, _crossing(over)


def _over(keeper: Keeper) -> float:
    """How far the water is over its floor, by the nearer of the two, in pH."""
    ph = keeper.ph() + keeper.nature.ph_bias - 6.3
    return min(ph, (keeper.tank.alkalinity - 10.0) / 50)


def _crossing(over: Sequence[float]) -> float:
    for day, (before, after) in enumerate(pairwise(over)):
        if before <= 0:
            return float(day)
        if after <= 0:
            return day + before / (before - after)
    return float("inf")
