"""Pipes, overflow pipes, mixing and heat against worked values; each row names its source."""

import csv
import json
from pathlib import Path

import pytest

from kb.science.heat import (
    RAFFERTY_LATENT_KJ_KG,
    conduction_w,
    evaporation_w,
    heating_kwh,
)
from kb.science.hydraulics import bore_for_velocity_m, velocity_m_s
from kb.science.mixing import mixed
from kb.science.overflow_pipe import changeover_m, overflow_l_h
from kb.science.pipes import friction_factor, head_loss_m

TOPICS = ("pipes", "overflow_pipe", "heat", "mixing")


def rows():
    for topic in TOPICS:
        path = Path(__file__).parent / "tables" / f"{topic}.csv"
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                yield pytest.param(row, id=f"{topic} {row['quantity']} {row['inputs']}")


@pytest.mark.parametrize("row", list(rows()))
def test_a_published_value_is_met(row):
    got = QUANTITIES[row["quantity"]](**json.loads(row["inputs"]))
    expected, tolerance = float(row["expected"]), float(row["tolerance"])
    share = {"abs": 1.0, "rel": abs(expected)}[row["tolerance_kind"]]

    assert got == pytest.approx(expected, rel=0, abs=tolerance * share), row["source"]


def test_no_row_comes_from_memory():
    assert {param.values[0]["flag"] for param in rows()} <= {"read", "computed"}


def speed(*, flow_l_h, pipe_inside_diameter_mm):
    return velocity_m_s(flow_l_h=flow_l_h, bore_m=pipe_inside_diameter_mm / 1000)


def reynolds(*, kinematic_viscosity_m2_s, **pipe):
    return speed(**pipe) * pipe["pipe_inside_diameter_mm"] / 1000 / kinematic_viscosity_m2_s


def darcy(*, pipe_length_m, roughness_mm, kinematic_viscosity_m2_s, fittings_k_total=0.0, **pipe):
    bore_mm = pipe["pipe_inside_diameter_mm"]
    factor = friction_factor(
        reynolds=reynolds(kinematic_viscosity_m2_s=kinematic_viscosity_m2_s, **pipe),
        relative_roughness=roughness_mm / bore_mm,
    )
    return head_loss_m(
        velocity_m_s=speed(**pipe),
        bore_m=bore_mm / 1000,
        length_m=pipe_length_m,
        friction=factor,
        fittings_k=fittings_k_total,
    )


def mixed_temperature(*, tank_volume_l, tank_temp_c, added_volume_l, added_temp_c):
    share = added_volume_l / (tank_volume_l + added_volume_l)
    return mixed(now=tank_temp_c, source=added_temp_c, share=share)


def blended(*, alk1_mg_l_caco3, alk2_mg_l_caco3, volume1_l, volume2_l, **_):
    share = volume2_l / (volume1_l + volume2_l)
    return mixed(now=alk1_mg_l_caco3, source=alk2_mg_l_caco3, share=share)


QUANTITIES = {
    "pipe_velocity_m_s": speed,
    "pipe_diameter_for_velocity_mm": lambda **given: 1000 * bore_for_velocity_m(**given),
    "reynolds_number": reynolds,
    "head_loss_darcy_weisbach_m": darcy,
    "standpipe_overflow_l_h": lambda pipe_inside_diameter_mm, head_mm: overflow_l_h(
        bore_m=pipe_inside_diameter_mm / 1000, water_over_lip_m=head_mm / 1000
    ),
    "standpipe_weir_orifice_transition_head_mm": lambda pipe_inside_diameter_mm: (
        1000 * changeover_m(bore_m=pipe_inside_diameter_mm / 1000)
    ),
    "heating_energy_kwh": lambda volume_l, temp_rise_c: heating_kwh(
        volume_l=volume_l, rise_c=temp_rise_c
    ),
    "heating_time_h": lambda volume_l, temp_rise_c, heater_w: (
        heating_kwh(volume_l=volume_l, rise_c=temp_rise_c) * 1000 / heater_w
    ),
    "conduction_loss_w": lambda surface_area_m2, u_w_m2_k, water_temp_c, air_temp_c: conduction_w(
        surface_m2=surface_area_m2, u_w_m2_k=u_w_m2_k, water_c=water_temp_c, air_c=air_temp_c
    ),
    "evaporation_heat_loss_w": lambda evaporation_l_day, latent_heat_kj_kg: evaporation_w(
        evaporation_l_day=evaporation_l_day, latent_kj_kg=latent_heat_kj_kg
    ),
    "latent_heat_btu_lb_to_kj_kg": lambda latent_heat_btu_lb: (
        latent_heat_btu_lb / 1000 * RAFFERTY_LATENT_KJ_KG
    ),
    "water_change_result_mg_l": lambda concentration_mg_l, change_pct: mixed(
        now=concentration_mg_l, source=0, share=change_pct / 100
    ),
    "mixed_temperature_c": mixed_temperature,
    "blend_alk_mg_l_caco3": blended,
}
