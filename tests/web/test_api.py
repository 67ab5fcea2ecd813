"""The JSON contract over HTTP."""

import pytest

from kb.store import questions as store


def test_match_gives_the_contract(client):
    got = client.get(
        "/api/match", query_string={"q": "ammonia 2 ppm, pH 7.9, 27 C, what now?"}
    ).json
    assert set(got) >= {
        "verdict", "matches", "symptoms", "calculators", "readings", "alarms", "urgent",
    }  # fmt: skip
    assert got["readings"] == {"ph": 7.9, "temperature_c": 27.0, "ammonia_mg_l": 2.0}
    assert set(got["matches"][0]) == {"article", "title", "score", "why"}


def test_a_calculation_is_the_same_by_get_page_and_post(client):
    # Emerson et al. 1975 at pH 7.9 and 27 C
    got = client.post(
        "/api/calculators/ammonia", json={"ammonia": 2, "ph": 7.9, "temperature": "27 C"}
    )
    assert got.json["results"]["unionised_ammonia"]["value"] == pytest.approx(0.0986, rel=0.01)
    assert set(got.json) >= {"calculator", "inputs", "results", "steps", "cautions", "sources"}


def test_bad_input_names_each_value(client):
    got = client.post("/api/calculators/ammonia", json={"ammonia": "lots", "ph": 27})
    assert got.status_code == 422
    assert {error["input"] for error in got.json["errors"]} == {"ammonia", "ph", "temperature"}
    assert all(set(error) == {"input", "given", "message"} for error in got.json["errors"])


@pytest.mark.parametrize("body", [b"", b"[1]", b"{", b'"text"'])
def test_anything_but_an_object_is_refused(client, body):
    got = client.post("/api/calculators/ammonia", data=body, content_type="application/json")
    assert got.status_code == 422
    assert got.json["errors"][0]["input"] == "body"


@pytest.mark.parametrize("value", [None, True, [], {}, "nan", "inf", 1e999, -1, "2 parsec"])
def test_odd_values_never_break_a_calculation(client, value):
    got = client.post(
        "/api/calculators/ammonia", json={"ammonia": value, "ph": 7, "temperature": 20}
    )
    assert got.status_code == 422


def test_diagnosis_gives_the_contract(client):
    got = client.get("/api/symptoms/fish-off-feed?ph=7.9&ammonia=2&temperature=27").json
    assert set(got) >= {"symptom", "first", "causes", "next", "derived", "cautions", "link"}
    assert got["causes"][0]["cause"] == "ammonia-burn"
    assert client.get(got["link"]).status_code == 200


def test_a_question_is_logged_over_json(client, app):
    got = client.post("/api/questions", json={"text": "Is moss a problem?", "asked_by": "finch_3"})
    assert got.status_code == 201
    assert isinstance(got.json["question"], int)


@pytest.mark.parametrize("body", [{}, {"text": ""}, {"text": 5}, {"text": "a", "link": "x" * 301}])
def test_a_question_without_usable_text_is_refused(client, body):
    assert client.post("/api/questions", json=body).status_code == 422


def test_unknown_names_are_404_in_json(client):
    for address in ("/api/calculators/nowhere", "/api/symptoms/nowhere", "/api/nowhere"):
        got = client.get(address)
        assert (got.status_code, list(got.json)) == (404, ["errors"])


def test_health_is_good_when_content_and_log_are(client, app):
    assert client.get("/healthz").json == {"ok": True}


def test_articles_are_listed(client, library):
    assert {item["article"] for item in client.get("/api/articles").json} == set(library.articles)


def test_asking_over_json_and_by_form_fill_one_log(client, walker, log):
    client.post("/api/questions", json={"text": "Is moss a problem?"})
    walker.ask("is moss a problem")
    assert [question.times for question in store.listed(log)] == [2]
