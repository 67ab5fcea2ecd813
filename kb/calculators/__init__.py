"""Every calculator, in the order in which it is shown; each is declared in a module of its own."""

from collections.abc import Mapping

from kb.calculators.ammonia import AMMONIA
from kb.calculators.balance import BALANCE
from kb.calculators.base_demand import BASE_DEMAND
from kb.calculators.biofilter import BIOFILTER
from kb.calculators.carbon_dioxide import CARBON_DIOXIDE
from kb.calculators.cycling_dose import CYCLING_DOSE
from kb.calculators.dechlorinate import DECHLORINATE
from kb.calculators.feed_ration import FEED_RATION
from kb.calculators.hardness import HARDNESS
from kb.calculators.heat import HEAT
from kb.calculators.iron import IRON
from kb.calculators.lower_ph_top_up import LOWER_PH_TOP_UP
from kb.calculators.model import Calculator
from kb.calculators.nitrite_salt import NITRITE_SALT
from kb.calculators.overflow import OVERFLOW
from kb.calculators.oxygen import OXYGEN
from kb.calculators.pipe import PIPE
from kb.calculators.plant_area import PLANT_AREA
from kb.calculators.power_cut import POWER_CUT
from kb.calculators.raise_ph import RAISE_PH
from kb.calculators.settler import SETTLER
from kb.calculators.turnover import TURNOVER
from kb.calculators.wastes import WASTES
from kb.calculators.water_change import WATER_CHANGE

ALL: Mapping[str, Calculator] = {
    item.id: item
    for item in (
        AMMONIA,
        OXYGEN,
        CARBON_DIOXIDE,
        RAISE_PH,
        LOWER_PH_TOP_UP,
        BASE_DEMAND,
        NITRITE_SALT,
        DECHLORINATE,
        WATER_CHANGE,
        HARDNESS,
        CYCLING_DOSE,
        IRON,
        FEED_RATION,
        WASTES,
        BIOFILTER,
        PLANT_AREA,
        BALANCE,
        SETTLER,
        TURNOVER,
        PIPE,
        OVERFLOW,
        POWER_CUT,
        HEAT,
    )
}
