"""Writes web/demo/season.csv: a season of a school greenhouse, by the chemistry of kb.science.

Day by day: feed turns into ammonia, its nitrification uses alkalinity, plants give part of it
back, lime and top-up water bring some; pH follows from alkalinity and the carbon dioxide that the
fish leave. What the pupils write down are readings of coarse test kits, on the days they come.
The seed is fixed: run twice, the file is the same.
"""

import datetime
import math
import random
from dataclasses import dataclass, field
from pathlib import Path

from kb.bookkeeping.entering import read_form
from kb.bookkeeping.tables import LONG, write_csv
from kb.science.carbonate import CACO3_MG_PER_EQ, CO2_MG_PER_MOL, Water, settle
from kb.science.nitrification import ALKALINITY_PER_N, ammonia_nitrogen_g_day
from kb.science.oxygen import saturation_mg_l
from kb.science.substances import BASES, BULK_DENSITY_G_ML
from kb.store.book import Entry

TARGET = Path(__file__).parents[1] / "web" / "demo" / "season.csv"
FIRST = datetime.datetime(2026, 3, 1, tzinfo=datetime.UTC)
DAYS = 150
VOLUME_L, PROTEIN = 1800.0, 35.0
CO2_MG_L = 16.0
USED_OF_FULL = 0.32  # the share of full nitrification's alkalinity that this system really uses
HOLIDAY = range(38, 45)
FEEDER_G = 90.0
FAULTY_KIT = range(58, 61)
HARD_TOP_UP = 84
CLEANED_FILTER = 106
NITRATE_PER_N, LEFT_BY_PLANTS, LOST_A_DAY = 4.43, 0.25, 0.04
EVAPORATION_L = 16.0
RAIN_MG_L, WELL_MG_L = 8.0, 240.0
CACO3_G_EQ = CACO3_MG_PER_EQ / 1000
HEAP_G = 2.5 * 5 * BULK_DENSITY_G_ML["calcium-hydroxide"]


@dataclass
class System:
    """The water as it truly is, and what is written of it."""

    chance: random.Random
    alkalinity: float = 52.0
    nitrate: float = 18.0
    lacking_l: float = 0.0
    carbonic: float = 0.0
    entries: list[Entry] = field(default_factory=list)

    def write(self, day: int, hour: float, **raw: str) -> None:
        """Note what was read or done, as a person writes it."""
        at = FIRST + datetime.timedelta(days=day, hours=hour, minutes=self.chance.randrange(0, 25))
        fields = {name.replace("_", "-"): text for name, text in raw.items()}
        found = read_form({**fields, "at": at.isoformat()}, now=at)
        self.entries += found.entries.values()

    def add(self, substance: str, grams: float) -> None:
        """Alkalinity that a base brings, all of it dissolved."""
        equivalents = grams / BASES[substance].equivalent_g
        self.alkalinity += equivalents * CACO3_G_EQ * 1000 / VOLUME_L

    def ph(self, temp_c: float) -> float:
        """PH with the carbon dioxide that fish and bacteria keep in the water."""
        alkalinity = self.alkalinity / CACO3_MG_PER_EQ
        water = Water(temp_c=temp_c, alkalinity_eq_l=alkalinity, carbon_mol_l=0.0,
                      univalent_mol_l=alkalinity)  # fmt: skip
        co2 = CO2_MG_L * math.exp(self.carbonic) / CO2_MG_PER_MOL
        return settle(water, co2_mol_l=co2).ph


def main() -> None:
    """Write the file and say what is in it."""
    system = System(random.Random(2026))
    for day in range(DAYS):
        live(system, day)
    TARGET.write_text(write_csv(system.entries, LONG), "utf-8")
    print(f"{TARGET}: {len(system.entries)} entries over {DAYS} days")


def live(system: System, day: int) -> None:
    """One day: morning readings, feed, doses and top-up, and what the bacteria make of it."""
    chance = system.chance
    temp = 22.5 + 2.6 * math.sin((day - 40) / 150 * math.pi) + chance.gauss(0, 0.4)
    system.carbonic = 0.85 * system.carbonic + chance.gauss(0, 0.09)
    feed = feed_g(day, chance)
    at_school = day not in HOLIDAY and day % 7 not in (5, 6)
    ph = system.ph(temp)
    if at_school and (chance.random() > 0.06 or day - CLEANED_FILTER in (0, 1)):
        read(system, day, temp, ph)
    if day in HOLIDAY:
        feed = FEEDER_G
        system.write(day, 8.0, feed=f"{feed:.0f} g")  # what the feeder is set to
    elif at_school or chance.random() < 0.7:
        system.write(day, 8.6, feed=f"{feed:.0f} g")
        dose(system, day, ph)
    top_up(system, day, at_school)
    nitrogen = ammonia_nitrogen_g_day(feed_g_day=feed, protein_percent=PROTEIN)
    used = nitrogen * ALKALINITY_PER_N * USED_OF_FULL * chance.uniform(0.85, 1.15)
    system.alkalinity = max(3.0, system.alkalinity - used * 1000 / VOLUME_L)
    kept_mg_l = nitrogen * NITRATE_PER_N * 1000 / VOLUME_L * LEFT_BY_PLANTS
    system.nitrate += kept_mg_l - LOST_A_DAY * system.nitrate
    remarks(system, day)


def feed_g(day: int, chance: random.Random) -> float:
    """The fish grow, and eat less on some days."""
    return round((110 + 0.9 * day) * chance.uniform(0.85, 1.08) / 5) * 5


def read(system: System, day: int, temp: float, ph: float) -> None:
    """What the kits say in the morning: pH and temperature daily, the rest by turns."""
    chance = system.chance
    shown = ph + chance.gauss(0, 0.06) + (1.4 if day in FAULTY_KIT else 0.0)
    system.write(day, 8.1, ph=f"{shown:.1f}", temperature=f"{round(temp * 2) / 2:g} C")
    if day % 7 in (1, 3):
        degrees = max(0.5, round(2 * (system.alkalinity / 17.848 + chance.gauss(0, 0.2))) / 2)
        system.write(day, 8.2, alkalinity=f"{degrees:g} dKH")
    if day % 7 == 2:
        spike = 1.1 * math.exp(-(day - CLEANED_FILTER) / 5) if day >= CLEANED_FILTER else 0.0
        spike = spike if day < DAYS - 10 else -1.0
        ammonia = round((0.12 + spike + chance.gauss(0, 0.05)) * 4) / 4
        system.write(
            day, 8.3, ammonia=f"{max(ammonia, 0):g}", nitrite=f"{max(ammonia / 5, 0):g}",
            nitrate=f"{round(system.nitrate / 5) * 5:g}",
        )  # fmt: skip
    if day % 7 == 4 or day == DAYS - 1:
        share = 0.86 if day < DAYS - 10 else 0.57
        system.write(day, 7.8, oxygen=f"{saturation_mg_l(temp_c=temp) * share:.1f}")


def dose(system: System, day: int, ph: float) -> None:
    """Lime when the pH reads low, potassium bicarbonate every third time."""
    chance = system.chance
    if ph > 6.75 or day in FAULTY_KIT or day == DAYS - 1:
        return
    if chance.random() < 0.33:
        grams = 25 if ph > 6.6 else 40
        system.add("potassium-bicarbonate", grams)
        system.write(day, 9.0, dose=f"{grams} g", substance="potassium-bicarbonate")
        return
    heaps = 1 if ph > 6.65 else 2 if ph > 6.4 else 3
    system.add("calcium-hydroxide", heaps * HEAP_G * chance.uniform(0.85, 1.15))
    system.write(day, 9.0, dose=f"{heaps} heaped tsp", substance="calcium-hydroxide")


def top_up(system: System, day: int, at_school: bool) -> None:
    """Rain water once a week for what has evaporated; well water when the barrel was empty."""
    system.lacking_l += EVAPORATION_L
    if day == HARD_TOP_UP:
        litres, hard = system.lacking_l + 180, WELL_MG_L
        system.write(
            day, 14.0, water_changed="180 L", water_alkalinity=f"{WELL_MG_L:g}",
            remark="The rain barrel was empty: hard water from the well.",
        )  # fmt: skip
    elif at_school and system.lacking_l >= 5 * EVAPORATION_L:
        litres, hard = round(system.lacking_l / 10) * 10, RAIN_MG_L
        system.write(day, 14.0, water_added=f"{litres} L", water_alkalinity=f"{RAIN_MG_L:g}",
                     level=f"{80 - 0.08 * litres:.0f} cm")  # fmt: skip
    else:
        return
    system.lacking_l = 0.0
    # evaporation leaves the alkalinity behind; what comes in brings its own
    system.alkalinity += (hard - (system.alkalinity if day == HARD_TOP_UP else 0)) * (
        (180 if day == HARD_TOP_UP else litres) / VOLUME_L
    )


def remarks(system: System, day: int) -> None:
    """The few words of a season."""
    notes = {
        0: {"fish_in": "42", "fish_weight": "3.1 kg", "remark": "Young fish from the hatchery."},
        19: {"fish_died": "1"},
        37: {"remark": "School holidays: the feeder runs by itself, nobody measures."},
        61: {"remark": "The old pH bottle was spoilt and read too high. New bottle."},
        106: {"remark": "Filter cleaned, too well."},
        126: {"fish_out": "8", "fish_weight": "1.9 kg"},
    }
    if day in notes:
        system.write(day, 15.0, **notes[day])


if __name__ == "__main__":
    main()
