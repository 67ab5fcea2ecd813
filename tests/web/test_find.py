"""Pages that may answer, while the question is still being typed."""

import re

import pytest


def titles(walker, text):
    page = walker.get("/find", query_string={"q": text}).get_data(as_text=True)
    return re.findall(r'href="([^"]+)"', page)


def test_articles_troubleshooting_and_calculators_are_found_by_the_beginning_of_a_word(walker):
    found = titles(walker, "ammon")
    assert {link.split("/")[1] for link in found} == {"articles", "symptoms", "calculators"}


def test_a_whole_question_is_matched(walker):
    assert "/symptoms/fish-off-feed" in " ".join(titles(walker, "why have my fish stopped eating"))


def test_typing_is_never_logged(walker, log):
    titles(walker, "my fish are dying and i am typing")
    assert log.execute("select count(*) from questions").fetchone()[0] == 0


@pytest.mark.parametrize("text", ["", "x" * 9000, "<b>ammonia</b>", "🐟"])
def test_whatever_is_typed_gets_a_list(walker, text):
    got = walker.get("/find", query_string={"q": text})
    assert got.status_code in (200, 414)
    assert "<b>" not in got.get_data(as_text=True)


def test_calculators_articles_and_symptoms_point_at_each_other(app, walker):
    content = app.extensions["content"]
    for name, calculator in content.calculators.items():
        page = walker.text(f"/calculators/{name}")
        assert all(f"/articles/{slug}" in page for slug in calculator.articles)
        for symptom in content.symptoms_of.get(("calculator", name), ()):
            assert f"/symptoms/{symptom.id}" in page
            assert f"/calculators/{name}" in walker.text(f"/symptoms/{symptom.id}")
    for symptom in content.rulebook.symptoms.values():
        assert f"/articles/{symptom.article}" in walker.text(f"/symptoms/{symptom.id}")
        assert f"/symptoms/{symptom.id}" in walker.text(f"/articles/{symptom.article}")
    for article in content.library.articles.values():
        page = walker.text(f"/articles/{article.slug}")
        assert all(f"/calculators/{name}" in page for name in article.calculators)
        assert all(f"/symptoms/{slug}" in page for slug in article.symptoms)
