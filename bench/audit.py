"""Asks the index of published weaknesses about every package that the site is run with.

Run with ``make audit``. What cannot be looked up is said: silence would read as good news.
Status 0: all looked up, none weak; 1: something is weak; 2: not all could be looked up.
"""

import json
import subprocess
import sys
from pathlib import Path

PINNED = Path(__file__).parents[1] / "constraints.txt"
LONGEST_S = 600


def main() -> None:
    """Look everything up and print what is known."""
    command = [
        *(sys.executable, "-m", "pip_audit", "--requirement", str(PINNED), "--disable-pip"),
        *("--no-deps", "--format", "json", "--progress-spinner", "off"),
    ]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=LONGEST_S)
        found = json.loads(done.stdout)
    except subprocess.TimeoutExpired:
        sys.exit(f"The index did not answer within {LONGEST_S} seconds: nothing is known.")
    except ValueError:
        print(done.stderr.strip()[-500:], file=sys.stderr)
        print("The index cannot be reached from here: nothing is known.", file=sys.stderr)
        sys.exit(2)
    text, status = report(found["dependencies"])
    print(text)
    sys.exit(status)


def report(packages: list[dict[str, object]]) -> tuple[str, int]:
    """What is known of these packages, in words, and the status to end with."""
    weak = [(item, fault) for item in packages for fault in item.get("vulns", [])]
    unknown = [item["name"] for item in packages if "skip_reason" in item]
    lines = [
        f"{item['name']} {item['version']}: {fault['id']}, put right in "
        f"{', '.join(fault['fix_versions']) or 'no release yet'}"
        for item, fault in weak
    ]
    if unknown:
        some = ", ".join(map(str, unknown[:5])) + (" and others" if len(unknown) > 5 else "")
        lines.append(
            f"{len(unknown)} of {len(packages)} packages could not be looked up ({some}): "
            "nothing is known of them. Run this where the index can be reached."
        )
    if not lines:
        lines.append(f"{len(packages)} packages looked up, none has a published weakness.")
    return "\n".join(lines), 1 if weak else 2 if unknown else 0


if __name__ == "__main__":
    main()
