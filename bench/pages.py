"""How heavy the pages are and how soon they show on a poor connection.

Run with ``make pages``; ``--json FILE`` keeps the figures. The demo is served and looked at in
headless Chromium with an empty cache, as over a slow third-generation mobile connection: 400 kbit
a second each way, 400 ms there and back before each answer begins.
Shown: bytes and requests of a first visit; when the first words and the largest part of the page
stand on the screen (Paint Timing and Largest Contentful Paint, W3C), the median of three visits.
"""

import argparse
import json
import statistics
import sys
from dataclasses import asdict, dataclass
from pathlib import Path

from browser import served, start, stop
from selenium import webdriver

PAGES = {
    "home": "/",
    "answer": "/answers?q=fish+stopped+eating%2C+pH+7.9%2C+ammonia+2+ppm%2C+water+is+27C",
    "first aid": "/first-aid",
    "article": "/articles/ammonia-high",
    "article with a drawing": "/articles/siphon-trouble",
    "troubleshooting": "/symptoms/fish-gasping",
    "calculator": "/calculators/raise-ph",
    "calculator with a result": "/calculators/ammonia?ammonia=2&ph=7.9&temperature=27",
}
BITS_A_SECOND, DELAY_MS = 400_000, 400
LIGHT_KB, SOON_MS = 60, 1000  # targets of a first visit
VISITS = 3
PAINTED = """
const done = arguments[arguments.length - 1];
new PerformanceObserver((list) => {
  const largest = list.getEntries().at(-1).startTime;
  const first = performance.getEntriesByName('first-contentful-paint')[0].startTime;
  const loaded = performance.getEntriesByType('resource')
    .concat(performance.getEntriesByType('navigation'));
  const bytes = loaded.map((entry) => entry.transferSize).reduce((a, b) => a + b, 0);
  const strangers = loaded.filter((entry) => !entry.name.startsWith(location.origin)).length;
  done([bytes, loaded.length, strangers, first, largest]);
}).observe({type: 'largest-contentful-paint', buffered: true});
"""


@dataclass(frozen=True)
class Seen:
    """One page on a first visit: bytes, requests, those to others, first and largest paint."""

    page: str
    kilobytes: float
    requests: int
    elsewhere: int
    first_ms: float
    largest_ms: float

    @property
    def kept(self) -> bool:
        """Is the page light, quick and by itself?"""
        return self.kilobytes <= LIGHT_KB and self.largest_ms <= SOON_MS and not self.elsewhere


def visit(browser: webdriver.Chrome, address: str) -> list[float]:
    """Bytes, requests, requests elsewhere, first and largest paint of one visit."""
    browser.execute_cdp_cmd("Network.clearBrowserCache", {})
    browser.get("about:blank")
    browser.get(address)
    found: list[float] = browser.execute_async_script(PAINTED)
    return found


def look(browser: webdriver.Chrome, site: str) -> list[Seen]:
    """Every page as on a poor connection."""
    visit(browser, f"{site}/sources")  # the browser's own first start is no page's fault
    browser.execute_cdp_cmd("Network.enable", {})
    browser.execute_cdp_cmd(
        "Network.emulateNetworkConditions",
        {
            "offline": False,
            "latency": DELAY_MS,
            "downloadThroughput": BITS_A_SECOND / 8,
            "uploadThroughput": BITS_A_SECOND / 8,
        },
    )
    found = []
    for page, path in PAGES.items():
        visits = [visit(browser, site + path) for _ in range(VISITS)]
        size, requests, elsewhere, first, largest = map(
            statistics.median, zip(*visits, strict=True)
        )
        found.append(
            Seen(page, round(size / 1000, 1), int(requests), int(elsewhere), first, largest)
        )
    return found


def main() -> None:
    """Print the table; status 1 when a target is missed."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--json", type=Path, help="keep the figures in this file")
    options = parser.parse_args()
    with served() as (site, _):
        browser = start()
        try:
            found = look(browser, site)
        finally:
            stop(browser)
    print(f"{'page':<26}{'kB':>7}{'requests':>10}{'first ms':>10}{'largest ms':>12}")
    for seen in found:
        print(
            f"{seen.page:<26}{seen.kilobytes:>7.1f}{seen.requests:>10}"
            f"{seen.first_ms:>10.0f}{seen.largest_ms:>12.0f}  {'' if seen.kept else 'missed'}"
        )
    print(f"Targets: {LIGHT_KB} kB, largest part within {SOON_MS} ms, nothing from elsewhere.")
    if options.json:
        options.json.write_text(json.dumps([asdict(seen) for seen in found], indent=2), "utf-8")
    sys.exit(not all(seen.kept for seen in found))


if __name__ == "__main__":
    main()
