"""A picture of every page, wide and narrow, light and dark, to be looked at.

Run with ``make screens``; the pictures go to ``build/screens`` (``--into FOLDER``).
The pages are those of the demo: every address of the site that needs no figure of its own, one of
each kind that does, and the desk behind its passphrase.
"""

import argparse
import base64
import re
from pathlib import Path

from browser import served, start, stop
from selenium import webdriver
from selenium.webdriver.common.by import By

EXAMPLES = (
    "/answers?q=fish+stopped+eating%2C+pH+7.9%2C+ammonia+2+ppm%2C+water+is+27C",
    "/answers?q=what+time+does+the+concert+start",
    "/articles/ammonia-high",
    "/articles/second-settler",
    "/articles/siphon-trouble",
    "/symptoms/fish-gasping",
    "/symptoms/fish-off-feed?ph=7.9&temperature=27&ammonia=2&read=ph",
    "/symptoms/cloudy-water?view=sheet",
    "/calculators/settler?flow=1500&vessel_volume=200&vessel_diameter=570&vessels=2&layout=parallel",
    "/calculators/raise-ph",
    "/calculators/ammonia?ammonia=lots&ph=27",
    "/nowhere",
)
LOOKS = (("wide", 1280, "light"), ("narrow", 360, "light"), ("narrow", 360, "dark"))
TALLEST = 6000


def addresses(browser: webdriver.Chrome, site: str) -> list[str]:
    """The examples, and what the first page and the desk lead to by plain addresses."""
    found = ["/", *EXAMPLES]
    for start_page in ("/", "/desk/"):
        browser.get(site + start_page)
        links = browser.find_elements(By.CSS_SELECTOR, "a[href]")
        for link in (str(item.get_attribute("href")) for item in links):
            path = link.removeprefix(site).split("#")[0]
            plain = re.fullmatch(r"/(?:desk/)?[a-z-]*/?", path)
            if link.startswith(site) and plain and "logout" not in path:
                found.append(path)
    return list(dict.fromkeys(found))


def picture(browser: webdriver.Chrome, address: str, width: int, scheme: str, file: Path) -> None:
    """Put a picture of the whole page into the file."""
    feature = {"name": "prefers-color-scheme", "value": scheme}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [feature]})
    size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 600}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    browser.get(address)
    tall = min(TALLEST, browser.execute_script("return document.documentElement.scrollHeight"))
    clip = {"x": 0, "y": 0, "width": width, "height": tall, "scale": 1}
    shot = browser.execute_cdp_cmd(
        "Page.captureScreenshot", {"clip": clip, "captureBeyondViewport": True}
    )
    file.write_bytes(base64.b64decode(shot["data"]))


def main() -> None:
    """Take every picture and say where it is."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--into", type=Path, default=Path("build/screens"))
    into: Path = parser.parse_args().into
    into.mkdir(parents=True, exist_ok=True)
    with served() as (site, passphrase):
        browser = start()
        try:
            browser.get(f"{site}/desk/")
            browser.find_element(By.ID, "passphrase").send_keys(passphrase)
            browser.find_element(By.CSS_SELECTOR, "main form button").click()
            for path in addresses(browser, site):
                name = re.sub(r"[^a-z0-9]+", "-", path.casefold()).strip("-")[:60] or "home"
                for look, width, scheme in LOOKS:
                    file = into / f"{name}.{look}.{scheme}.png"
                    picture(browser, site + path, width, scheme, file)
        finally:
            stop(browser)
    print(f"{len(list(into.glob('*.png')))} pictures are in {into}.")


if __name__ == "__main__":
    main()
