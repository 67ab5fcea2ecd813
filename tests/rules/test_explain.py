"""The alarm and the words around a diagnosis."""


def cause(found, name):
    return next(item for item in found.causes if item.id == name)


# alarm


def test_a_danger_answer_raises_the_alarm_with_remedies_and_cautions(gasping, look):
    found = look(gasping, air_and_flow="stopped")
    (alarm,) = found.alarms
    assert alarm.cause == "low-oxygen"
    assert alarm.reasons == (
        "“Are the pump and every air stone running as usual?”: Something is stopped or weak. "
        "Without air and flow the oxygen is soon used up.",
    )
    assert alarm.remedies[0].title == "Bring the oxygen back"
    assert [caution.id for caution in alarm.cautions] == ["mains-and-water"]


def test_a_cause_named_by_a_danger_answer_stays_in_the_alarm_whatever_its_rank(
    gasping, look, all_well
):
    answers = all_well | {"nitrite": 5, "oxygen": 1, "air-and-flow": "stopped", "gills": "pale"}
    found = look(gasping, answers)
    assert cause(found, "nitrite-poisoning").share < 0.1
    assert [alarm.cause for alarm in found.alarms] == ["low-oxygen", "nitrite-poisoning"]


def test_an_urgent_cause_that_has_risen_to_a_tenth_raises_the_alarm(gasping, look):
    found = look(gasping, gills="brown")
    assert [alarm.cause for alarm in found.alarms] == ["nitrite-poisoning"]


def test_a_cause_that_is_not_urgent_raises_no_alarm(gasping, look, all_well):
    answers = all_well | {"gills": "pale", "all-or-some": "some"}
    found = look(gasping, answers)
    assert (found.causes[0].id, found.alarms) == ("gill-sickness", ())


def test_nothing_answered_is_no_alarm_but_says_what_to_do_first(gasping, look):
    found = look(gasping)
    assert (found.alarms, found.first) == ((), gasping.do_first)


def test_an_urgent_check_left_unknown_is_named(gasping, look):
    found = look(gasping, nitrite="unknown", gills="unknown")
    assert found.unchecked == (
        "Nitrite could not be checked, which leaves “Nitrite is blocking the blood” open: "
        "act as if it were so, as far as that is harmless.",
    )


# words


def test_shares_are_never_shown_above_nine_in_ten(gasping, look, all_well):
    answers = all_well | {"oxygen": 1, "air-and-flow": "stopped"}
    first = look(gasping, answers).causes[0]
    assert (first.likelihood, first.share, first.share_text) == (
        "very likely",
        0.9,
        "about 9 in 10",
    )


def test_an_urgent_cause_is_never_ruled_out(gasping, look, all_well):
    answers = all_well | {"nitrite": 5, "gills": "brown"}
    found = look(gasping, answers)
    urgent = [item for item in found.causes if item.urgent]
    assert min(item.share for item in urgent) < 0.02
    assert {item.likelihood for item in urgent} == {"very likely", "unlikely"}


def test_a_cause_ruled_out_by_an_answer_is_called_so(edited, look):
    book = edited(
        (
            "symptoms/fish-gasping.toml",
            'all = { unlikely = ["gill-sickness"],',
            'all = { rules_out = ["gill-sickness"],',
        ),
        (
            "symptoms/fish-gasping.toml",
            'red = { unlikely = ["nitrite-poisoning", "ammonia-burn", "chlorine", '
            '"gill-sickness"],',
            'red = { rules_out = ["gill-sickness"], unlikely = ["nitrite-poisoning"],',
        ),
    )
    found = look(book.symptom("fish-gasping"), all_or_some="all", gills="red", oxygen=1)
    assert cause(found, "gill-sickness").likelihood == "ruled out"


def test_without_a_favourite_none_is_named(gasping, look):
    assert look(gasping).headline == "As far as your answers go, there is no favourite yet."


def test_the_headline_never_says_the_cause_is(gasping, look):
    assert look(gasping, air_and_flow="stopped").headline == (
        "As far as your answers go, likely (about 7 in 10): Too little oxygen in the water."
    )


def test_reasons_for_and_against_carry_answer_and_because(gasping, look):
    found = look(gasping, oxygen=6, nitrite=0)
    because = "The water holds enough oxygen, so look at gills and blood."
    said = f"Dissolved oxygen in the middle of the tank: 6 mg/L. {because}"
    assert cause(found, "chlorine").reasons_for == (said,)
    assert cause(found, "low-oxygen").reasons_against == (said,)
    assert cause(found, "nitrite-poisoning").reasons_against == (
        "Nitrite: 0 mg/L. There is no nitrite to poison them.",
    )


def test_missing_lists_the_open_checks_that_name_the_cause(gasping, look):
    found = look(gasping, gills="red")
    assert cause(found, "gill-sickness").missing == ("oxygen", "all-or-some")
    assert set(cause(found, "ammonia-burn").missing) == {"oxygen", "ammonia", "ph", "temperature"}


def test_a_cause_that_fell_only_because_another_rose_is_better_explained_by_it(gasping, look):
    found = look(gasping, air_and_flow="stopped")
    oxygen = "Too little oxygen in the water"
    assert cause(found, "gill-sickness").better_explained_by == oxygen
    assert cause(found, "low-oxygen").better_explained_by == ""


def test_a_cause_spoken_against_is_not_better_explained(gasping, look):
    found = look(gasping, oxygen=8, nitrite=3, gills="pale", all_or_some="all")
    fallen = cause(found, "gill-sickness")
    assert fallen.share < 0.1538
    assert (len(fallen.reasons_for), len(fallen.reasons_against)) == (2, 1)
    assert fallen.better_explained_by == ""


def test_an_answer_that_decides_the_first_place_is_named(gasping, look):
    found = look(gasping, nitrite=4)
    assert found.causes[0].id == "nitrite-poisoning"
    assert look(gasping).causes[0].id == "low-oxygen"
    (hanging,) = found.hangs_on
    assert [check.id for check in hanging.checks] == ["nitrite"]
    assert "measure it again" in hanging.text


def test_what_holds_without_any_one_answer_hangs_on_none(gasping, look, all_well):
    answers = all_well | {"oxygen": 1, "air-and-flow": "stopped"}
    assert look(gasping, answers).hangs_on == ()


def test_at_least_two_and_at_most_four_causes_are_shown(gasping, look):
    assert len(look(gasping).shown) == 4
    assert len(look(gasping, air_and_flow="stopped", oxygen=1).shown) == 2
