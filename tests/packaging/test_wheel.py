"""The wheel, away from the checkout: the command runs and all content is inside."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.packaging


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """A freshly built wheel."""
    target = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", target, ROOT]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    (found,) = target.glob("*.whl")
    return found


@pytest.fixture(scope="module")
def run(wheel, tmp_path_factory):
    """Run the installed command in a folder of its own, with nothing of the checkout in reach."""
    home = tmp_path_factory.mktemp("installed")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(home)
    environment = {**os.environ, "PYTHONPATH": str(home), "STANDPIPE_DATA": str(home / "data")}

    def run(*words):
        code = (
            "import kb, sys; from web.cli import main; print(kb.__file__, file=sys.stderr); main()"
        )
        done = subprocess.run(
            [sys.executable, "-c", code, *words],
            cwd=home,
            env=environment,
            capture_output=True,
            text=True,
        )
        assert done.stderr.startswith(str(home)), done.stderr
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run


NOT_PACKED = ("LOOK.md", "SECURITY.md", "SERVING.md")  # for whoever changes or serves the site


def test_the_wheel_holds_the_four_packages_and_nothing_else(wheel):
    with zipfile.ZipFile(wheel) as archive:
        tops = {name.split("/")[0] for name in archive.namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {
        "kb", "rules", "web", "articles",
    }  # fmt: skip


def test_the_wheel_holds_every_content_file(wheel):
    with zipfile.ZipFile(wheel) as archive:
        packed = set(archive.namelist())
    wanted = {
        str(path.relative_to(ROOT))
        for package in ("kb", "rules", "web", "articles")
        for path in (ROOT / package).rglob("*")
        if path.suffix
        in (".md", ".toml", ".txt", ".html", ".css", ".js", ".svg", ".npz", ".LICENCE")
        and path.name not in NOT_PACKED
    }
    assert wanted <= packed


def test_the_installed_command_answers(run):
    got = json.loads(run("match", "ammonia 2 ppm, pH 7.9, 27 C, what now?", "--json"))
    assert got["matches"][0]["article"] in ("ammonia-high", "ammonia-and-ph")
    assert json.loads(run("diagnose", "cloudy-water", "--json"))["next"]
