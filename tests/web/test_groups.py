"""Questions asked on the site find their group, and those of the demo too."""

from kb.store import groups, open_database
from web import demo
from web.database import path_of


def test_the_same_asked_twice_in_other_words_is_one_group(app, walker):
    for question in ("Why is my water cloudy?", "my water is cloudy, why"):
        walker.ask(question)
    database = open_database(path_of(app))
    found = groups.listed(database)
    assert [(group.name, group.questions) for group in found] == [("Why is my water cloudy?", 2)]
    database.close()


def test_every_question_of_the_demo_has_a_group(app):
    database = open_database(path_of(app))
    count = demo.fill(database, app)
    assert sum(group.questions for group in groups.listed(database, state=None)) == count
    assert groups.ungrouped(database) == ()
    database.close()
