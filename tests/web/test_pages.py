"""Every public page answers, every link on it leads somewhere, and no script is needed."""

import re
from html import unescape

import pytest

from web.assets import fingerprint, sheet
from web.security import POLICY

SETTLER = "/calculators/settler?flow=1500&vessel_volume=200&vessel_diameter=570"
START = ("/", "/first-aid", "/articles/", "/symptoms/", "/calculators/", "/sources", "/desk/login")


def links(page):
    return {unescape(link) for link in re.findall(r'(?:href|src|action)="(/[^"]*)"', page)}


def test_every_page_within_reach_answers(walker):
    waiting, seen = list(START), set()
    while waiting:
        address = waiting.pop()
        if address in seen:
            continue
        seen.add(address)
        got = walker.get(address)
        allowed = (405,) if address in ("/questions", "/questions/contact") else (200, 302)
        assert got.status_code in allowed, address
        if got.mimetype == "text/html" and len(seen) < 400:
            found = {link.split("#")[0] for link in links(got.get_data(as_text=True))}
            waiting += sorted(found - seen)
    assert len(seen) > 60


@pytest.mark.parametrize("address", [*START, "/articles/raising-ph", "/symptoms/cloudy-water"])
def test_no_page_holds_script_or_style_but_the_sheet_the_policy_names(walker, address):
    got = walker.get(address)
    page = got.get_data(as_text=True)
    (style,) = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    assert fingerprint(style) in got.headers["Content-Security-Policy"]
    assert not re.search(r"<script(?![^>]*\bsrc=)|<style.*<style|\sstyle=|\son[a-z]+=", page)
    assert not re.search(r'(?:src|href)="(?:https?:)?//', page.split("<main")[0])


@pytest.mark.parametrize("address", ["/", "/nowhere", "/api/articles", "/static/css/site.css"])
def test_every_answer_carries_the_safety_headers(walker, address):
    headers = walker.get(address).headers
    assert headers["Content-Security-Policy"] == POLICY.format(style=fingerprint(sheet()))
    assert "unsafe" not in POLICY
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"


def test_an_article_shows_its_parts_in_order(walker):
    page = walker.text("/articles/lowering-ph")
    places = [page.index(f'id="{part}"') for part in ("short-answer", "why", "how", "cautions")]
    assert places == sorted(places)
    assert "Pour acid into water, never water into acid" in page


def test_a_calculator_block_in_an_article_shows_its_result(walker):
    assert "16" in walker.text("/articles/second-settler").split('class="sum"')[1]


@pytest.mark.parametrize(
    ("address", "code"),
    [
        ("/nowhere", 404),
        ("/articles/nowhere", 404),
        ("/symptoms/nowhere", 404),
        ("/calculators/nowhere", 404),
        ("/calculators/settler?flow=abc", 422),
        ("/calculators/settler?flow=1500&work-out=yes", 422),
        ("/calculators/settler?flow=1500&depth=3", 422),
        ("/symptoms/fish-off-feed?ph=27", 422),
        ("/symptoms/fish-off-feed?colour=blue", 422),
        ("/answers?q=" + "x" * 6000, 422),
    ],
)
def test_bad_addresses_get_a_page_of_our_own_with_a_sentence(walker, address, code):
    got = walker.get(address)
    assert got.status_code == code
    page = got.get_data(as_text=True)
    assert 'class="waterline"' in page
    assert "Traceback" not in page


def test_a_bad_value_is_named_beside_its_field(walker):
    page = walker.text("/calculators/ammonia?ammonia=lots&ph=7.9&temperature=27")
    assert "“lots” is not a number" in page
    assert 'aria-invalid="true"' in page


def test_a_half_filled_calculator_link_waits_without_complaint(walker):
    got = walker.get("/calculators/ammonia?ammonia=2")
    assert got.status_code == 200
    assert 'value="2"' in got.get_data(as_text=True)


def test_bad_answers_in_a_link_leave_the_good_ones(walker):
    page = walker.text("/symptoms/fish-off-feed?ph=7.9&temperature=warm")
    assert "What is the pH of the water?" in page.split("Your answers so far")[1]
    assert "“warm” is not a number" in page


def test_a_whole_sheet_shows_every_check(walker, rulebook):
    page = walker.text("/symptoms/ph-falling?view=sheet")
    for check in rulebook.symptom("ph-falling").checks:
        assert f'name="{check.id}"' in page


def test_an_empty_question_is_refused_kindly(walker):
    got = walker.ask("   ")
    assert got.status_code == 422
    assert "Write what you see" in got.get_data(as_text=True)


def test_what_people_write_is_shown_as_text(walker):
    page = walker.get("/answers?q=%3Cscript%3Ealert(1)%3C/script%3E+cloudy+water")
    assert "<script>alert" not in page.get_data(as_text=True)


def test_us_units_are_chosen_once_and_kept_in_the_link(walker):
    # common practice, no source; arithmetic V/Q: 200 L at 1500 L/h is 8 min
    link = "/calculators/settler?units=us&flow=396.258&vessel_volume=52.834&vessel_diameter=22.44"
    page = walker.text(link)
    assert "396.258 gal/h" in page
    assert "8.00" in page
    assert "gpm/ft²" in page
    own = re.search(r'href="(/calculators/settler\?[^"]+)">Link to this result', page)[1]
    assert "units=us" in own
    assert "8.00" in walker.text(own)


def test_a_link_without_units_means_metric_even_to_a_visitor_who_prefers_us(walker):
    walker.get("/calculators/settler?units=us")
    page = walker.text(SETTLER)
    assert "396" in page
    assert "8.00" in page


def test_the_choice_of_units_can_be_taken_back(walker):
    walker.get("/calculators/settler?units=us")
    page = walker.text(
        "/calculators/settler?units=metric&flow=1500&vessel_volume=200&vessel_diameter=570"
    )
    assert "Show US units" in page
    assert "m/h" in page


def test_first_aid_is_one_tap_from_every_page_and_puts_people_first(walker):
    assert 'href="/first-aid"' in walker.text("/articles/raising-ph")
    page = walker.text("/first-aid")
    assert page.index("People first") < page.index("Then the fish")


def test_every_symptom_and_calculator_stands_under_a_heading(walker, rulebook, content):
    symptoms, calculators = walker.text("/symptoms/"), walker.text("/calculators/")
    assert all(f"/symptoms/{slug}" in symptoms for slug in rulebook.symptoms)
    assert all(f"/calculators/{name}" in calculators for name in content.calculators)
    assert "<h2>Other</h2>" not in symptoms + calculators
