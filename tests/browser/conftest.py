"""A real browser on the demo, served as `standpipe serve --demo` serves it."""

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from bench.browser import CHROMIUM, DRIVER, served, start, stop


def pytest_collection_modifyitems(items):
    for item in items:
        if item.path.parent.name == "browser":
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def site():
    """Address and passphrase of a served demo."""
    if not (CHROMIUM and DRIVER):
        pytest.skip("Chromium and its driver are not installed: see .ci/chromium")
    with served() as found:
        yield found


@pytest.fixture(scope="session")
def shared_browser(site):
    browser = start()
    yield browser
    stop(browser)


@pytest.fixture
def browser(shared_browser):
    """A browser without cookies, as wide as a desk's screen."""
    shared_browser.delete_all_cookies()
    shared_browser.set_window_size(1280, 900)
    return shared_browser


@pytest.fixture(scope="session")
def plain_browser(site):
    """A browser that runs no script."""
    browser = start(script=False)
    yield browser
    stop(browser)


@pytest.fixture
def log_in(site):
    """What lets a browser into the desk."""

    def enter(browser):
        browser.get(f"{site[0]}/desk/")
        if browser.find_elements(By.ID, "passphrase"):
            browser.find_element(By.ID, "passphrase").send_keys(site[1])
            browser.find_element(By.CSS_SELECTOR, "main form button").click()
            WebDriverWait(browser, 40).until(lambda _: "/desk/login" not in browser.current_url)

    return enter
