"""The settings of recordings, reviews, names and disclosure: read, or refused with a sentence."""

import pytest

from kb.errors import ContentErrors
from kb.recordings import RecordingPlace
from web.config import read_settings


@pytest.fixture
def settings(tmp_path):
    def settings(text):
        (tmp_path / "settings.toml").write_text(text)
        return read_settings(tmp_path)

    return settings


def test_what_is_left_out_keeps_its_usual_value(settings):
    found = settings("")
    assert (found.keep_names_months, found.review_months, found.unreached_months) == (24, 12, 6)
    assert (found.recording_places, found.disclosure) == ((), "")


def test_what_is_set_is_read(settings):
    found = settings(
        "keep_names_months = 0\nreview_months = 3\nunreached_months = 1\n"
        'disclosure = "Some links earn the club money."\n'
        '[[recording_place]]\nname = "club"\nsecond_link = "{link}#t={second}"\n'
        "longest_text = 500\n"
        '[[recording_place]]\nname = "letters"\n'
    )
    assert (found.keep_names_months, found.review_months, found.unreached_months) == (0, 3, 1)
    assert found.disclosure == "Some links earn the club money."
    assert found.recording_places == (
        RecordingPlace("club", "{link}#t={second}", 500),
        RecordingPlace("letters", "{link}", 0),
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("keep_names_months = -1", "from 0 to 1200, where 0 means never"),
        ("keep_names_months = 1.5", "must be a whole number"),
        ('keep_names_months = "two"', "must be a number"),
        ("review_months = 0", "must be a whole number from 1 to 1200"),
        ("unreached_months = 5000", "must be a whole number from 1 to 1200"),
        ("disclosure = 3", "must be a text in quotes"),
        ('[[recording_place]]\nsecond_link = "{link}"', "name: is missing"),
        ('[[recording_place]]\nname = "a"\n[[recording_place]]\nname = "a"', "stands there twice"),
        ('[[recording_place]]\nname = "a"\nsecond_link = "x"', "must begin with {link}"),
        ('[[recording_place]]\nname = "a"\nlongest_text = -5', "from 0 (no limit) to 100000"),
        ("recording_place = 3", "must be a list of tables"),
    ],
)
def test_what_cannot_be_used_is_named_with_what_is_allowed(settings, text, said):
    with pytest.raises(ContentErrors) as caught:
        settings(text)
    assert said in str(caught.value)
    assert "settings.toml" in str(caught.value)
