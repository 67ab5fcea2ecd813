"""Fixtures shared by all tests: the shipped content, an empty database, the site."""

import importlib.util
from pathlib import Path

import pytest

from kb.store import open_database
from web import content as site_content
from web import create_app


def _load(name):
    """A helper module beside the tests, which are no package."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parent / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


ACCURACY = pytest.StashKey()


def pytest_addoption(parser):
    parser.addoption("--accuracy", metavar="FILE", help="write how near our figures come to others")


def pytest_configure(config):
    config.stash[ACCURACY] = _load("accuracy").Accuracy()


def pytest_sessionfinish(session):
    path = session.config.getoption("--accuracy")
    if path:
        session.config.stash[ACCURACY].write(path)


@pytest.fixture(scope="session")
def accuracy(request):
    """Checks figures against those of others and notes how near they come."""
    return request.config.stash[ACCURACY]


@pytest.fixture(scope="session")
def content():
    """All shipped content, loaded once."""
    return site_content.load()


@pytest.fixture(scope="session")
def library(content):
    return content.library


@pytest.fixture(scope="session")
def rulebook(content):
    return content.rulebook


@pytest.fixture(scope="session")
def ranker(content):
    return content.ranker


@pytest.fixture(scope="session")
def answerer(content):
    return content.answerer


@pytest.fixture
def db(tmp_path):
    """An empty question log."""
    database = open_database(tmp_path / "log.db")
    yield database
    database.close()


@pytest.fixture
def app(tmp_path, content):
    """The site with an empty data folder and the shipped content."""
    values = {"DATA": tmp_path / "data", "TESTING": True, "QUICKEST_POST_S": 0.0}
    app = create_app(values, content.library, content.rulebook)
    app.extensions["content"] = content
    return app


@pytest.fixture
def client(app):
    return app.test_client()
