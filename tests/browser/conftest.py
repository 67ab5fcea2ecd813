"""A real browser on the demo, served as `standpipe serve --demo` serves it."""

import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--hide-scrollbars",
)  # fmt: skip
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")


def pytest_collection_modifyitems(items):
    for item in items:
        if item.path.parent.name == "browser":
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def site():
    """Address and passphrase of a served demo."""
    if not (CHROMIUM and DRIVER):
        pytest.skip("Chromium and its driver are not installed: see .ci/chromium")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-c", "from web.cli import main; main()"]
    with tempfile.TemporaryFile("w+") as output:
        process = subprocess.Popen(
            [*command, "serve", "--demo", "--port", str(port)], stdout=output, stderr=output
        )
        try:
            address = f"http://127.0.0.1:{port}"
            wait_until_up(address, process)
            output.seek(0)
            yield address, re.search(r"its passphrase is: (\S+)", output.read())[1]
        finally:
            process.terminate()
            process.wait(10)


def wait_until_up(address, process):
    for _ in range(300):
        assert process.poll() is None, "the demo stopped"
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=5):
                return
        except OSError:
            time.sleep(0.1)
    raise AssertionError("the demo did not come up within 30 seconds")


def start(*flags, script=True):
    """A browser with a profile of its own."""
    profile = tempfile.mkdtemp(prefix="standpipe-browser-")
    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    for flag in (*FLAGS, *flags, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    if not script:
        options.add_experimental_option(
            "prefs", {"profile.managed_default_content_settings.javascript": 2}
        )
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    browser = webdriver.Chrome(options=options, service=webdriver.ChromeService(DRIVER))
    browser.set_page_load_timeout(30)
    browser.profile = profile
    return browser


def stop(browser):
    browser.quit()
    shutil.rmtree(browser.profile, ignore_errors=True)


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
            WebDriverWait(browser, 10).until(lambda _: "/desk/login" not in browser.current_url)

    return enter
