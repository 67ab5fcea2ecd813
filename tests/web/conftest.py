"""Walking the site as a person does: reading tokens out of forms, logging in."""

import datetime
import re
from html import unescape

import pytest

from kb.store import open_database
from web.database import path_of
from web.security import set_passphrase

PASSPHRASE = "six wet hands in the tank"


class Walker:
    """A test client that sends the token of the page it came from."""

    def __init__(self, client):
        self.client = client

    def get(self, address, **more):
        return self.client.get(address, buffered=True, **more)

    def text(self, address):
        return unescape(self.client.get(address).get_data(as_text=True))

    def post(self, page, address, **fields):
        token = re.search(r'name="csrf_token" value="([^"]+)"', self.text(page))[1]
        return self.client.post(address, data={"csrf_token": token, **fields})

    def ask(self, question):
        return self.post("/", "/questions", q=question)


@pytest.fixture
def walker(client):
    return Walker(client)


@pytest.fixture
def log(app):
    """The question log behind the site."""
    database = open_database(path_of(app))
    yield database
    database.close()


@pytest.fixture
def keeper(app, log):
    """The keeper, logged in."""
    set_passphrase(log, PASSPHRASE, now=datetime.datetime.now(datetime.UTC))
    walker = Walker(app.test_client())
    answer = walker.post("/desk/login", "/desk/login", passphrase=PASSPHRASE)
    assert answer.status_code == 302
    return walker
