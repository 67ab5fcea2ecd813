"""Every calculator, in the order in which it is shown; each is declared in a module of its own."""

from collections.abc import Mapping

from kb.calculators.ammonia import AMMONIA
from kb.calculators.base_demand import BASE_DEMAND
from kb.calculators.lower_ph_top_up import LOWER_PH_TOP_UP
from kb.calculators.model import Calculator
from kb.calculators.oxygen import OXYGEN
from kb.calculators.raise_ph import RAISE_PH
from kb.calculators.settler import SETTLER

ALL: Mapping[str, Calculator] = {
    item.id: item for item in (SETTLER, AMMONIA, OXYGEN, RAISE_PH, LOWER_PH_TOP_UP, BASE_DEMAND)
}
