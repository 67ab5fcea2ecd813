"""The run sheet on a phone and on paper, and the keeper's further pages for everybody's eyes."""

import base64
import re
from pathlib import Path

import pytest
from selenium.common.exceptions import WebDriverException
from selenium.webdriver.common.by import By
from selenium.webdriver.common.print_page_options import PrintOptions
from selenium.webdriver.support.expected_conditions import staleness_of
from selenium.webdriver.support.ui import Select, WebDriverWait

AXE = Path(__file__).parent / "axe" / "axe.min.js"
PAGES = (
    "/desk/recordings/", "/desk/recordings/2", "/desk/recordings/2/read",
    "/desk/recordings/2/afterwards", "/desk/recordings/1/texts", "/desk/materials/",
    "/desk/materials/new", "/desk/upkeep/", "/desk/people/", "/articles/cloudy-water",
)  # fmt: skip


def press(browser, words):
    """Press the button of these words, and wait for the page it leads to."""
    old = browser.find_element(By.TAG_NAME, "html")
    browser.find_element(By.XPATH, f"//main//button[normalize-space()='{words}']").click()
    WebDriverWait(browser, 40, ignored_exceptions=(WebDriverException,)).until(staleness_of(old))


def fill(browser, field, text):
    element = browser.find_element(By.ID, field)
    element.clear()
    element.send_keys(text)


def faults(browser):
    """Everything wrong with the page the browser is on."""
    browser.execute_script(AXE.read_text())
    found = browser.execute_async_script("axe.run().then(arguments[arguments.length - 1])")
    for violation in found["violations"]:
        yield f"{violation['id']}: {[node['target'] for node in violation['nodes']]}"
    wide = browser.execute_script("return document.documentElement.scrollWidth - innerWidth")
    if wide > 0:
        yield f"is {wide} pixels too wide"
    for entry in browser.get_log("browser"):
        if entry["level"] in ("SEVERE", "WARNING"):
            yield entry["message"]


@pytest.mark.parametrize("width", [320, 1280])
def test_every_page_is_accessible_fits_and_logs_no_fault(browser, site, log_in, width):
    browser.set_window_size(width, 900)
    log_in(browser)
    found = []
    for page in PAGES:
        browser.get(site[0] + page)
        found += [f"{page}: {fault}" for fault in faults(browser)]
    assert found == []


def test_a_recording_goes_from_plan_to_paper_to_what_comes_out_of_it(browser, site, log_in):
    browser.set_window_size(360, 740)  # a phone, upright
    log_in(browser)
    browser.get(f"{site[0]}/desk/recordings/")
    fill(browser, "title", "Spring questions")
    press(browser, "Plan it")
    sheet = browser.current_url
    for slug in ("fish-gasping", "lowering-ph"):
        Select(browser.find_element(By.ID, "article")).select_by_value(slug)
        press(browser, "Put the answer on")
    fill(browser, "topic", "Goodbye")
    press(browser, "Put the topic on")
    press(browser, "Order by topic")

    browser.get(f"{sheet.split('#')[0]}/read")
    titles = [heading.text for heading in browser.find_elements(By.CSS_SELECTOR, ".run h2")]
    assert titles[0] == "How do I bring pH down safely?"
    assert titles[-1] == "Goodbye"
    say = browser.find_element(By.CSS_SELECTOR, ".say p")
    assert browser.execute_script(
        "return parseFloat(getComputedStyle(arguments[0]).fontSize)", say
    ) >= 16  # fmt: skip
    assert browser.find_elements(By.CSS_SELECTOR, "main form") == []

    paper = PrintOptions()
    paper.page_width, paper.page_height = 21.0, 29.7
    pdf = base64.b64decode(browser.print_page(paper))
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1

    browser.get(f"{sheet.split('#')[0]}/afterwards")
    fill(browser, "link", "https://example.org/club/recordings/12")
    fields = browser.find_elements(By.CSS_SELECTOR, ".at input")
    for field, time in zip(fields, ("1:15", "0:12:34", "754"), strict=True):
        field.send_keys(time)
    press(browser, "Keep link and times")
    assert "Two items start at 0:12:34" in browser.find_element(By.ID, "main").text
    browser.get(f"{sheet.split('#')[0]}/afterwards")
    fill(browser, "link", "https://example.org/club/recordings/12")
    fields = browser.find_elements(By.CSS_SELECTOR, ".at input")
    for field, time in zip(fields, ("1:15", "0:12:34", "1:00:00"), strict=True):
        field.send_keys(time)
    press(browser, "Keep link and times")
    text = browser.find_element(By.ID, "text-1").get_attribute("value")
    assert "0:00:00 Start\n0:01:15 How do I bring pH down safely?" in text
    copy = browser.find_element(By.CSS_SELECTOR, '[data-copy="text-1"]')
    copy.click()
    WebDriverWait(browser, 40).until(lambda _: copy.text == "Copied")

    browser.get(re.search(r"http\S+/a/\S+", text)[0])
    assert browser.current_url == f"{site[0]}/articles/lowering-ph"
    told = browser.find_element(By.CSS_SELECTOR, "[aria-labelledby=covered-at]").text
    assert "Spring questions, from 1 minute 15 seconds on" in told
