"""A real browser on the demo, served as `standpipe serve --demo` serves it."""

import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

from selenium import webdriver

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
    "--hide-scrollbars",
)  # fmt: skip
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
DRIVER = shutil.which("chromedriver")


@contextmanager
def served() -> Iterator[tuple[str, str]]:
    """A served demo's address and the desk's passphrase."""
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


def wait_until_up(address: str, process: subprocess.Popen[bytes]) -> None:
    """Return once the demo answers; raises AssertionError when it stops or takes too long."""
    for _ in range(300):
        assert process.poll() is None, "the demo stopped"
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=5):
                return
        except OSError:
            time.sleep(0.1)
    raise AssertionError("the demo did not come up within 30 seconds")


def start(*flags: str, script: bool = True) -> webdriver.Chrome:
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


def stop(browser: webdriver.Chrome) -> None:
    """Close the browser and remove its profile."""
    browser.quit()
    shutil.rmtree(browser.profile, ignore_errors=True)
