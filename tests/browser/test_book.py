"""The water book in a real browser: by keyboard on a narrow screen, accessible, and on paper."""

import base64
import importlib.util
import re
from pathlib import Path

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.common.print_page_options import PrintOptions


def _beside(name):
    """A module of this folder, which is no package."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parent / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


site_walk = _beside("test_site")
PAGES = (
    "/book/1/",
    "/book/1/see",
    "/book/1/see?span=year&of=ph",
    "/book/1/know",
    "/book/2/know",
    "/book/1/entries",
    "/book/1/entries/1",
    "/book/1/take-in",
    "/book/1/system",
    "/book/systems/new",
    "/calculators/base-demand",
)
ON_PAPER = {"/book/1/see?span=month": 4, "/book/1/know": 5, "/book/1/see?span=year&of=ph": 1}


@pytest.fixture
def desk(browser, site, log_in):
    """A browser in which the keeper is logged in."""
    log_in(browser)
    return browser


@pytest.mark.parametrize("width", site_walk.WIDTHS)
def test_every_page_of_the_book_is_accessible_fits_and_logs_no_fault(desk, site, width):
    desk.set_window_size(width, 900)
    faults = []
    for page in PAGES:
        desk.get(site[0] + page)
        faults += [f"{page}: {fault}" for fault in site_walk.look(desk, page)]
    assert faults == []


def press(browser, *keys):
    browser.switch_to.active_element.send_keys(*keys)


def walk_to(browser, name, most=60):
    """Press Tab until the field or button of that name has the focus, and can be seen."""
    for _ in range(most):
        press(browser, Keys.TAB)
        here = browser.switch_to.active_element
        if name in (here.get_attribute("name"), here.text):
            outline = browser.execute_script(
                "return getComputedStyle(arguments[0]).outlineStyle", here
            )
            assert outline == "solid"
            return here
    raise AssertionError(f"Tab never reached {name}")


def test_a_reading_is_entered_and_undone_by_keyboard_on_a_narrow_screen(desk, site):
    desk.set_window_size(320, 640)
    desk.get(f"{site[0]}/book/2/")
    walk_to(desk, "ph").send_keys("7,3")
    walk_to(desk, "feed").send_keys("12")
    site_walk.press(desk, Submit(desk))
    assert "Written down: pH 7,3; feed 12 g." in site_walk.main_text(desk)
    walk_to(desk, "Undo")
    site_walk.press(desk, Submit(desk))
    assert "Taken back: 2 entries." in site_walk.main_text(desk)


class Submit:
    """Enter, pressed where the focus is, in the place of a click."""

    def __init__(self, browser):
        self.browser = browser

    def click(self):
        """Press it."""
        press(self.browser, Keys.ENTER)


def test_an_unlikely_value_is_asked_about_and_saved_as_it_is(desk, site):
    desk.set_window_size(320, 640)
    desk.get(f"{site[0]}/book/2/")
    desk.find_element(By.NAME, "ph").send_keys("17")
    site_walk.press(desk, desk.find_element(By.CSS_SELECTOR, ".save"))
    assert "pH 17? Mostly it is 4 to 10." in site_walk.main_text(desk)
    site_walk.press(desk, desk.find_element(By.NAME, "sure"))
    assert "Written down: pH 17." in site_walk.main_text(desk)


def test_the_book_is_kept_and_a_file_taken_in_without_script(plain_browser, site, log_in, tmp_path):
    log_in(plain_browser)
    file = tmp_path / "readings.csv"
    file.write_text("date,ph\n2026-02-01 08:00,7.2\n2026-02-02 08:00,blue\n")
    plain_browser.get(f"{site[0]}/book/2/take-in")
    plain_browser.find_element(By.ID, "file").send_keys(str(file))
    site_walk.press(plain_browser, plain_browser.find_element(By.NAME, "act"))
    assert "Line 3: pH: “blue” is not a number." in site_walk.main_text(plain_browser)
    site_walk.press(plain_browser, plain_browser.find_element(By.NAME, "act"))
    assert "1 taken in, 0 known already, 1 broken line left out." in (
        site_walk.main_text(plain_browser)
    )


@pytest.mark.parametrize(("page", "most"), ON_PAPER.items())
def test_pages_of_the_book_print_on_few_sheets(desk, site, page, most):
    paper = PrintOptions()
    paper.page_width, paper.page_height = 21.0, 29.7
    desk.get(site[0] + page)
    pdf = base64.b64decode(desk.print_page(paper))
    assert 1 <= len(re.findall(rb"/Type\s*/Page\b", pdf)) <= most
