"""Pictures over time: gaps, limits, events, marks along the bottom, and no style of their own."""

import datetime
import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from web.pictures.over_time import Event, Line, OverTime, draw, key, marks

START = datetime.datetime(2026, 3, 1, tzinfo=datetime.UTC).astimezone()
DAY = datetime.timedelta(days=1)
SVG = "{http://www.w3.org/2000/svg}"


def picture(values, days=31, **more):
    given = tuple((START + DAY * day, value) for day, value in values)
    return OverTime("pH", "pH in words", "pH", (START, START + DAY * days), given, **more)


def drawn(shown):
    return ElementTree.fromstring(str(draw(shown)))


def of_class(svg, look):
    return [one for one in svg.iter() if look in one.get("class", "").split()]


def test_a_picture_has_title_description_and_no_style():
    svg = drawn(picture([(1, 7.0), (2, 7.1)]))
    assert svg.find(f"{SVG}title").text == "pH"
    assert svg.find(f"{SVG}desc").text == "pH in words"
    assert not any(name in ("style", "onclick") for one in svg.iter() for name in one.attrib)


@pytest.mark.parametrize(
    ("days", "lines", "dots"),
    [
        ([1, 2, 3, 4], 1, 4),
        ([1, 2, 3, 10, 11], 2, 5),
        ([1, 2, 3, 20], 1, 4),  # what stands alone is a dot
        ([1, 8, 15, 22], 1, 4),  # once a week is no gap for what is measured once a week
    ],
)
def test_a_gap_is_shown_as_a_gap(days, lines, dots):
    svg = drawn(picture([(day, 7.0 + day / 50) for day in days]))
    assert len(of_class(svg, "time-line")) == lines
    assert len(of_class(svg, "pic-solid")) == dots


def test_higher_values_stand_higher_and_later_ones_further_right():
    svg = drawn(picture([(1, 6.5), (10, 7.5)]))
    (x1, y1), (x2, y2) = (
        (float(one.get("cx")), float(one.get("cy"))) for one in of_class(svg, "pic-solid")
    )
    assert x1 < x2
    assert y1 > y2


@pytest.mark.parametrize(("upper", "value"), [(True, 7.2), (False, 6.8)])
def test_a_limit_near_the_values_is_drawn_hatched_and_named(upper, value):
    svg = drawn(picture([(1, 6.9), (2, 7.1)], lines=(Line(value, "the line", upper),)))
    assert len(of_class(svg, "pic-level")) == 1
    assert len(of_class(svg, "pic-hatch")) == 1
    assert "the line" in "".join(svg.itertext())


def test_a_limit_far_away_does_not_flatten_the_line():
    svg = drawn(picture([(1, 6.9), (2, 7.1)], lines=(Line(60.0, "far", True),)))
    assert of_class(svg, "pic-level") == []


def test_doses_and_events_stand_under_the_picture_each_with_its_sign():
    kinds = ("dose", "water", "fish", "remark")
    events = tuple(Event(START + DAY * (5 * n + 2), kind) for n, kind in enumerate(kinds))
    svg = drawn(picture([(1, 7.0), (2, 7.1)], events=events))
    for kind, count in (("dose", 1), ("water", 1), ("fish", 2), ("remark", 1)):
        assert len(of_class(svg, f"time-{kind}")) == count
    assert key(events).count(";") == 3


def test_crowded_signs_are_thinned_and_none_overlap():
    events = tuple(Event(START + DAY * (n / 10), "dose") for n in range(300))
    found = of_class(drawn(picture([(1, 7.0), (2, 7.1)], events=events)), "time-dose")
    starts = [float(re.match(r"M([\d.]+)", one.get("d"))[1]) for one in found]
    assert 20 < len(starts) < 60
    assert min(b - a for a, b in pairwise(starts)) >= 8 - 0.01


def test_amounts_are_bars_from_nought():
    svg = drawn(picture([(1, 50.0), (2, 100.0)], bars=True))
    low, high = (float(one.get("height")) for one in of_class(svg, "time-bar"))
    assert high == pytest.approx(2 * low, abs=0.02)


def test_what_was_expected_is_a_band_and_what_stands_out_is_ringed():
    band = tuple((START + DAY * day, 6.8, 7.2) for day in (1, 2, 3))
    ringed = ((START + DAY * 2, 8.2),)
    svg = drawn(picture([(1, 7), (2, 8.2), (3, 7)], joined=False, band=band, ringed=ringed))
    assert len(of_class(svg, "time-band")) == 1
    assert len(of_class(svg, "time-odd")) == 1
    assert of_class(svg, "time-line") == []


@pytest.mark.parametrize(
    ("days", "first", "count"),
    [(1, "00:00", 5), (5, "1 Mar", 5), (31, "1 Mar", 4), (365, "Mar", 12)],
)
def test_marks_are_hours_days_or_months(days, first, count):
    found = marks((START, START + DAY * days))
    assert found[0][1] == first
    assert len(found) == count


def test_a_single_value_and_a_level_line_are_drawn():
    assert of_class(drawn(picture([(1, 7.0)])), "pic-solid")
    assert of_class(drawn(picture([(1, 0.0), (2, 0.0)])), "time-line")
