"""The site in a real browser: the main job, accessibility, narrow screens, and no script at all."""

import base64
import re
from pathlib import Path

import pytest
from selenium.common.exceptions import WebDriverException
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.common.print_page_options import PrintOptions
from selenium.webdriver.support.expected_conditions import staleness_of
from selenium.webdriver.support.ui import WebDriverWait

AXE = Path(__file__).parent / "axe" / "axe.min.js"
QUESTION = (
    "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C, 1000 litre tank"
)
PAGES = (
    "/",
    "/answers?q=fish+stopped+eating%2C+pH+7.9%2C+ammonia+2+ppm%2C+water+is+27C",
    "/answers?q=what+time+does+the+concert+start",
    "/first-aid",
    "/articles/",
    "/articles/second-settler",
    "/articles/ammonia-and-ph",
    "/symptoms/",
    "/symptoms/fish-off-feed?ph=7.9&temperature=27&ammonia=2&read=ph",
    "/symptoms/cloudy-water?view=sheet",
    "/calculators/",
    "/calculators/settler?flow=1500&vessel_volume=200&vessel_diameter=570&vessels=2&layout=parallel",
    "/calculators/raise-ph",
    "/calculators/ammonia?ammonia=lots&ph=27",
    "/sources",
    "/desk/login",
    "/nowhere",
)
DESK_PAGES = (
    "/desk/",
    "/desk/questions/1",
    "/desk/?state=replied",
    "/desk/?section=urgent",
    "/desk/?section=gaps",
    "/desk/answers/ph-keeps-falling",
    "/desk/groups/1",
    "/desk/take-in/",
    "/desk/places/",
    "/desk/wordings/",
)
WIDTHS = (320, 1280)


def press(browser, element):
    """Click on what leads to another page, and wait for that page."""
    old = browser.find_element(By.TAG_NAME, "html")
    element.click()
    # while one page gives way to the next, the driver may know neither
    wait = WebDriverWait(browser, 40, ignored_exceptions=(WebDriverException,))
    wait.until(staleness_of(old))


def main_text(browser):
    return browser.find_element(By.ID, "main").text


def ask(browser, address):
    browser.get(f"{address}/")
    browser.find_element(By.ID, "q").send_keys(QUESTION)
    press(browser, browser.find_element(By.CSS_SELECTOR, ".ask button"))


def go(browser, part):
    browser.get(
        browser.find_element(By.CSS_SELECTOR, f'main a[href*="{part}"]').get_attribute("href")
    )


def walk_the_main_job(browser, address):
    ask(browser, address)
    assert "0.099 mg/L of un-ionised ammonia" in main_text(browser)
    assert "Why have my fish stopped eating?" in main_text(browser)
    answers = browser.current_url
    go(browser, "/calculators/ammonia?")
    assert "0.099" in main_text(browser)
    browser.get(answers)
    go(browser, "/symptoms/fish-off-feed?")
    text = main_text(browser)
    assert "Act now: Ammonia is hurting the gills" in text
    assert text.count("read from your question") == 3
    browser.find_element(By.CSS_SELECTOR, ".next input[type=radio]").click()
    press(browser, browser.find_element(By.CSS_SELECTOR, ".next button"))
    assert main_text(browser).count("change") > text.count("change")


def test_the_main_job_runs(browser, site):
    walk_the_main_job(browser, site[0])


def test_the_main_job_runs_without_script(plain_browser, site):
    walk_the_main_job(plain_browser, site[0])


def test_the_keeper_copies_a_reply_and_marks_it(browser, site, log_in):
    address = site[0]
    ask(browser, address)
    log_in(browser)
    press(browser, browser.find_element(By.PARTIAL_LINK_TEXT, "fish stopped eating"))
    reply = browser.find_element(By.ID, "reply").get_attribute("value")
    assert f"{address}/articles/fish-off-feed" in reply
    assert f"{address}/symptoms/fish-off-feed?ph=7.9" in reply
    copy = browser.find_element(By.CSS_SELECTOR, '[data-copy="reply"]')
    copy.click()
    WebDriverWait(browser, 5).until(lambda _: copy.text == "Copied")
    press(browser, browser.find_element(By.XPATH, "//button[text()='Mark as replied']"))
    assert "is marked as replied" in main_text(browser)


def wait_for(browser, what):
    WebDriverWait(browser, 40, ignored_exceptions=(WebDriverException,)).until(lambda _: what())


def test_pages_are_found_while_typing_and_reached_by_keyboard(browser, site):
    browser.get(f"{site[0]}/")
    box = browser.find_element(By.ID, "q")
    box.send_keys("ammon")
    wait_for(browser, lambda: browser.find_elements(By.CSS_SELECTOR, "#found a"))
    assert "pages may answer this" in browser.find_element(By.ID, "found-said").get_attribute(
        "textContent"
    )
    box.send_keys(Keys.ARROW_DOWN)
    first, second = browser.find_elements(By.CSS_SELECTOR, "#found a")[:2]
    assert browser.switch_to.active_element == first
    first.send_keys(Keys.ARROW_DOWN)
    assert browser.switch_to.active_element == second
    second.send_keys(Keys.ESCAPE)
    assert browser.switch_to.active_element == box


def test_a_sum_follows_its_figures_and_the_address_follows_the_sum(browser, site):
    browser.get(f"{site[0]}/calculators/ammonia")
    for name, value in (("ammonia", "2"), ("ph", "7.9"), ("temperature", "27")):
        browser.find_element(By.ID, f"in-{name}").send_keys(value)
    wait_for(browser, lambda: "0.099" in browser.find_element(By.ID, "outcome").text)
    assert "ph=7.9" in browser.current_url
    field = browser.find_element(By.ID, "in-ph")
    field.clear()
    field.send_keys("7.0")
    wait_for(browser, lambda: "0.013" in browser.find_element(By.ID, "outcome").text)
    assert browser.switch_to.active_element == field
    field.clear()
    field.send_keys("27")
    wait_for(browser, lambda: "27" in browser.find_element(By.ID, "problems").text)
    assert browser.find_elements(By.CSS_SELECTOR, "#outcome .gauges")


def test_a_curious_viewer_finds_an_answer_and_its_sum_in_two_steps(plain_browser, site):
    plain_browser.get(f"{site[0]}/")
    go(plain_browser, "/articles/#solids-and-filters")
    go(plain_browser, "/articles/second-settler")
    assert "Short answer" in main_text(plain_browser)
    go(plain_browser, "/calculators/settler")
    assert plain_browser.find_elements(By.ID, "in-flow")
    plain_browser.back()
    assert "Short answer" in main_text(plain_browser)


def test_every_part_of_the_plan_leads_to_its_list(plain_browser, site):
    plain_browser.get(f"{site[0]}/")
    parts = plain_browser.find_elements(By.CSS_SELECTOR, ".plan a")
    targets = [part.get_dom_attribute("href") for part in parts]
    assert len(targets) == 5
    for target in targets:
        assert plain_browser.find_elements(By.CSS_SELECTOR, f"div{target} a"), target


def test_dark_pages_are_accessible_at_twice_the_size(browser, site):
    feature = {"name": "prefers-color-scheme", "value": "dark"}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [feature]})
    browser.set_window_size(640, 900)
    faults = []
    for page in PAGES[:12:2]:
        browser.get(site[0] + page)
        faults += [f"{page}: {fault}" for fault in look(browser, page)]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    assert faults == []


def test_going_back_shows_the_answers_as_they_were(browser, site):
    browser.get(f"{site[0]}/symptoms/fish-off-feed?ph=7.9")
    before = main_text(browser)
    browser.find_element(By.CSS_SELECTOR, ".next input[type=radio]").click()
    press(browser, browser.find_element(By.CSS_SELECTOR, ".next button"))
    assert main_text(browser) != before
    browser.back()
    assert main_text(browser) == before


@pytest.mark.parametrize("width", WIDTHS)
def test_every_page_is_accessible_fits_and_logs_no_fault(browser, site, log_in, width):
    faults = []
    browser.set_window_size(width, 900)
    log_in(browser)
    for page in (*PAGES, *DESK_PAGES):
        browser.get(site[0] + page)
        faults += [f"{page}: {fault}" for fault in look(browser, page)]
    assert faults == []


def look(browser, page):
    """Everything wrong with the page the browser is on."""
    browser.execute_script(AXE.read_text())
    found = browser.execute_async_script("axe.run().then(arguments[arguments.length - 1])")
    for violation in found["violations"]:
        yield f"{violation['id']}: {[node['target'] for node in violation['nodes']]}"
    wide = browser.execute_script("return document.documentElement.scrollWidth - innerWidth")
    if wide > 0:
        yield f"is {wide} pixels too wide"
    for entry in browser.get_log("browser"):
        expected = "the server responded with a status of 4" in entry["message"]
        if entry["level"] in ("SEVERE", "WARNING") and not expected:
            yield entry["message"]


def test_the_first_page_is_light_and_asks_nobody_else(browser, site):
    browser.get(f"{site[0]}/")
    loaded = browser.execute_script(
        "return performance.getEntriesByType('resource').concat("
        "performance.getEntriesByType('navigation')).map(e => [e.name, e.transferSize])"
    )
    assert all(name.startswith(site[0]) for name, _ in loaded)
    assert sum(size for _, size in loaded) < 60_000


def test_the_keyboard_reaches_the_box_and_shows_where_it_is(browser, site):
    browser.get(f"{site[0]}/")
    skip = browser.find_element(By.CSS_SELECTOR, ".skip")
    browser.switch_to.active_element.send_keys("\ue004")
    assert browser.switch_to.active_element == skip
    browser.find_element(By.ID, "q").send_keys("")
    outline = browser.execute_script("return getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"


def test_every_check_sheet_prints_on_two_pages_at_most(browser, site, rulebook):
    paper = PrintOptions()
    paper.page_width, paper.page_height = 21.0, 29.7
    long = {}
    for slug in rulebook.symptoms:
        browser.get(f"{site[0]}/symptoms/{slug}?view=sheet")
        pdf = base64.b64decode(browser.print_page(paper))
        pages = len(re.findall(rb"/Type\s*/Page\b", pdf))
        if not 1 <= pages <= 2:
            long[slug] = pages
    assert long == {}


def test_every_symptom_leads_from_first_aid_to_remedies(browser, site, rulebook):
    for slug in rulebook.symptoms:
        browser.get(f"{site[0]}/symptoms/{slug}")
        for _ in range(2):
            assert "Do this first" in main_text(browser)
            options = browser.find_elements(By.CSS_SELECTOR, ".next input[type=radio]")
            if options:
                options[0].click()
            for field in browser.find_elements(By.CSS_SELECTOR, ".next input:not([type])"):
                field.send_keys("unknown")
            press(browser, browser.find_element(By.CSS_SELECTOR, ".next button"))
        browser.find_element(By.CSS_SELECTOR, ".cause summary").click()
        assert browser.find_element(By.CSS_SELECTOR, ".cause .remedy ol").is_displayed()
        assert "What I checked:" in main_text(browser)
