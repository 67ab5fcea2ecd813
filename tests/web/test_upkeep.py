"""The page of upkeep."""

import datetime

import pytest

from kb.store import questions as store
from kb.store.questions import Judgement, NewQuestion
from web import upkeep

NOW = datetime.datetime.now(datetime.UTC)


def test_the_page_tells_what_is_asked_and_what_nobody_reaches(keeper, log, library):
    sure = Judgement("strong", "iron", urgent=False)
    for number in range(3):
        store.log(log, NewQuestion(f"yellow {number}?", "club"), sure, now=NOW)
    page = " ".join(keeper.text("/desk/upkeep/").split())
    assert "3 now, 0 in the thirty days before · <strong>rising</strong>" in page
    assert page.count(">never<") == 40
    assert f"and {len(library.articles) - 1 - 40} more" in page
    assert "Look for them" in page


def test_competing_answers_are_looked_for_when_asked(keeper):
    page = keeper.text("/desk/upkeep/?competing=yes")
    assert "Look for them" not in page
    assert "the other too, " in page


def test_upkeep_is_the_keepers_alone(walker):
    assert walker.get("/desk/upkeep/").location.startswith("/desk/login")


@pytest.mark.parametrize(
    ("path", "there"),
    [
        ("/articles/iron", True), ("/articles/iron#how", True), ("/articles/gone", False),
        ("/symptoms/cloudy-water?ph=7", True), ("/symptoms/gone?ph=7", False),
        ("/calculators/turnover", True), ("/calculators/gone", False), ("/a/zzzzz", False),
        ("/", True), ("/first-aid", True),
    ],
)  # fmt: skip
def test_paths_of_the_site_are_known(content, path, there):
    assert upkeep.exists(content, path) is there


def test_every_short_link_is_known(content):
    assert all(upkeep.exists(content, f"/a/{code}") for code in content.short_codes.values())
