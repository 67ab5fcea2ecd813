"""Biofilter: FAO 589's worked figures, the range of rates, and media that is not named twice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.calculators.biofilter import BIOFILTER

FEED = {"feed": "200 g", "protein": 32}


def run(**given):
    return BIOFILTER.run(FEED | {"media": "gravel"} | given)


def values(**given):
    return {name: amount.value for name, amount in run(**given).results.items()}


# FAO 589, appendix 4: 22.2 L of gravel for 100 g of feed; it reckons 5 % more ammonia
@pytest.mark.parametrize(
    ("media", "litres"), [("gravel", 44.4), ("plastic-balls", 22.2), ("sand", 200 / 75)]
)
def test_the_media_is_that_of_the_worked_table(media, litres):
    assert values(media=media)["media_volume"] == pytest.approx(litres, rel=0.07)


def test_ammonia_is_given_as_nitrogen_and_as_nh3():
    # 17.031 / 14.007, molar masses
    got = values()

    assert got["ammonia_nh3"] / got["ammonia_nitrogen"] == pytest.approx(1.2159, rel=1e-4)
    assert got["surface_needed"] == pytest.approx(5.888 * 1.2159 / 0.57, rel=1e-3)


# theta 1.072, Water Environment Research 2007, 79:964-968; at 12 C 0.573 of the rate at 20 C
def test_a_cold_filter_has_to_be_larger():
    cold, mild = (values(temperature=temp_c)["surface_needed"] for temp_c in (12, 20))

    assert mild / cold == pytest.approx(0.286689 / 0.5, rel=1e-3)


# theta 1.09, Rusten et al. 2006: 20 to 12 C is 1.09^-8 = 0.502
def test_the_steeper_factor_is_shown_as_a_doubt():
    litres = values()["media_volume"] * 1.09**8

    assert any(
        f"1.09 (Rusten 2006) it would be {litres:.1f} L" in d for d in run(temperature=12).doubts
    )


def test_warm_water_is_said_to_be_a_credit():
    assert any(d.startswith("Without credit for the warmth") for d in run(temperature=28).doubts)
    assert not any("credit" in d for d in run().doubts)


# FAO 589, appendix 4: 0.2 to 2 g NH3/m2/day
def test_the_range_of_rates_spans_tenfold_and_holds_the_estimate():
    got = values()

    assert got["media_volume_high"] == pytest.approx(10 * got["media_volume_low"])
    assert got["media_volume"] == pytest.approx(got["media_volume_high"] * 0.2 / 0.57)


@pytest.mark.parametrize("rate", [0.05, 5])
def test_a_rate_out_of_the_range_widens_it(rate):
    got = values(rate=rate)

    assert got["media_volume_low"] <= got["media_volume"] <= got["media_volume_high"]


# Rusten et al. 2006: 500 m2/m3 in bulk, 300 in the vessel at 60 % fill
def test_a_moving_bed_needs_room_to_move():
    got = values(media="moving-bed")

    assert got["surface_needed"] / got["vessel_volume"] * 1000 == pytest.approx(300)
    assert values()["vessel_volume"] is None
    assert "Only moving-bed" in run().results["vessel_volume"].reading


def test_clay_is_reckoned_at_the_low_end_and_the_high_end_is_named():
    # FAO 589, appendix 4: 200 to 250 m2/m3
    assert values(media="clay")["media_volume"] == pytest.approx(
        values()["media_volume"] * 300 / 200
    )
    assert any("at 250 it is 50.2 L" in doubt for doubt in run(media="clay").doubts)


def test_a_surface_alone_is_enough():
    got = BIOFILTER.run(FEED | {"surface": "245 m2/m3"}).results

    # 245 m2/m3 is the plastic trickling media of the Farmer-to-Farmer slides
    assert got["media_volume"].value == pytest.approx(got["surface_needed"].value / 0.245)


def test_without_media_or_surface_it_is_refused(refused):
    for raw in (FEED, FEED | {"media": "custom"}):
        ((name, message),) = refused(BIOFILTER, raw)

        assert name == "surface"
        assert message.startswith("Surface of the media is missing. Give a number in m²/m³")


def test_media_and_surface_together_are_refused(refused):
    ((name, message),) = refused(BIOFILTER, FEED | {"media": "gravel", "surface": 400})

    assert name == "surface"
    assert "400 m²/m³ was given together with the media gravel" in message


def test_rates_can_be_given_by_the_square_foot():
    # SRAC 282: 0.10 g/ft2/day is 1.08 g/m2/day
    by_foot, by_metre = (values(rate=rate)["surface_needed"] for rate in ("0.1 g/ft2/day", 1.0764))

    assert by_foot == pytest.approx(by_metre, rel=1e-4)


@given(
    feed=st.floats(1, 1e6),
    temp_c=st.floats(4, 36),
    rate=st.floats(0.05, 5),
    media=st.sampled_from(["gravel", "clay", "moving-bed", "plastic-balls", "sand"]),
)
def test_the_estimate_always_lies_within_its_range(feed, temp_c, rate, media):
    got = values(feed=feed, temperature=temp_c, rate=rate, media=media)

    low, middle, high = (got[f"media_volume{end}"] for end in ("_low", "", "_high"))
    assert 0 < low <= middle * (1 + 1e-9)
    assert middle <= high * (1 + 1e-9)


@given(data=st.data())
def test_whatever_is_given_is_answered_or_refused(odd_values, answer, data):
    answer(BIOFILTER, FEED | {"media": "sand"} | data.draw(odd_values(BIOFILTER)))
