"""Each lint with an edit of the example that breaks it and no other."""

import re

import pytest

from kb import sources
from kb.errors import ContentErrors
from rules.simulate import simulate
from rules.validate import is_error, validate

CAUSES, CHECKS, SYMPTOM = "causes.toml", "checks.toml", "symptoms/fish-gasping.toml"
FLOW = '[[check]]\nuse = "air-and-flow"\nurgent = true'
TAP_YES = 'yes = { danger = true, confirms = ["chlorine"], because'
TAP_NO = 'no = { rules_out = ["chlorine"], because'
LOW = '{ id = "low", below = 5.0, text = "2 to 5 mg/L", source = "ifas-fa27" }'
EVERY = '["nitrite-poisoning", "ammonia-burn", "chlorine", "gill-sickness"]'
ENOUGH = f'likely = {EVERY}, because = "The water'
RED = f'red = {{ unlikely = {EVERY}, because = "Sound gills are red." }}'
PALE = (
    'pale = { likely = ["ammonia-burn", "chlorine", "gill-sickness"], '
    'because = "Hurt gills swell and lose their colour." }'
)
ALL = 'all = { unlikely = ["gill-sickness"], because = "An illness seldom takes all at once." }'
SOME = (
    'some = { likely = ["gill-sickness"], unlikely = ["low-oxygen", "chlorine"], '
    'because = "Water that harms, harms all." }'
)
INPUTS = 'inputs = { ammonia = "ammonia", ph = "ph", temperature = "temperature" }'
TWO = 'answer = [{ id = "yes", text = "Yes" }, { id = "no", text = "No" }]'
REMEDY = 'remedy = [{ title = "Rest", steps = ["Rest."] }]'


def new_cause(id, rest=REMEDY):
    return f'[[cause]]\nid = "{id}"\nname = "Moon"\nwhy = "It shines."\n{rest}'


def new_check(rest, id="moon", ask="Is the moon full?", minutes=1):
    return f'[[check]]\nid = "{id}"\nask = "{ask}"\nminutes = {minutes}\n{rest}'


def new_reading(kind, unit, minimum=0):
    head = f'[moon]\nname = "Moon"\nkind = "{kind}"\nunit = "{unit}"'
    return f"{head}\nminimum = {minimum}\nmaximum = 40"


def in_symptom(old, new):
    return SYMPTOM, old, new


def without(text, cause):
    return re.sub(f', "{cause}"|"{cause}", ', "", text)


NO_GILLS = [in_symptom(text, without(text, "gill-sickness")) for text in (ENOUGH, RED, PALE)]
FEW = """[symptom]
id = "few"
title = "Few"
summary = "Few."
do_first = ["Wait."]
[[cause]]
use = "chlorine"
how_often = "rare"
[[cause]]
use = "low-oxygen"
how_often = "rare"
[[check]]
use = "gills"
"""

LOADING = {
    "an unknown word": ([in_symptom("running = {", "running = { maybe = [],")],
        "is not known here"),
    "a missing word": ([(CHECKS, 'ask = "Nitrite"\n', "")], "ask: is missing"),
    "a wrong type": ([(CHECKS, 'tool = "ph-kit"\nminutes = 3', 'tool = "ph-kit"\nminutes = "3"')],
        "must be a number"),
    "an empty text": ([(CHECKS, 'ask = "Nitrite"', 'ask = " "')], "is empty"),
    "a repeated cause": ([(CAUSES, None, new_cause("chlorine"))], "“chlorine” stands there twice"),
    "a repeated check": ([(CHECKS, None, new_check(TWO, "gills"))], "“gills” stands there twice"),
    "a repeated answer": ([(CHECKS, None, new_check(TWO.replace(
        "}]", '}, { id = "no", text = "x" }]')))],
        "“no” stands there twice"),
    "an ill-formed id": ([(CHECKS, None, new_check(TWO, "Full Moon"))], "“Full Moon” is no id"),
    "a reserved answer": ([(CHECKS, None, new_check(TWO.replace('"yes"', '"unknown"')))],
        "“unknown” is reserved"),
    "a reserved check": ([(CHECKS, None, new_check(TWO, "rules"))], "“rules” is reserved"),
    "a reserved cause": ([(CAUSES, None, new_cause("not-listed"))], "“not-listed” is reserved"),
    "a cause under two words": ([in_symptom('some = { likely = ["nitrite-poisoning"],',
        'some = { likely = ["nitrite-poisoning"], unlikely = ["nitrite-poisoning"],')],
        "named under likely already"),
    "a cause twice under one word": ([in_symptom('brown = { confirms = ["nitrite-poisoning"]',
        'brown = { confirms = ["nitrite-poisoning", "nitrite-poisoning"]')], "stands there twice"),
    "an unknown cause in an answer": ([in_symptom(ALL, ALL.replace("gill-sickness", "gout"))],
        "“gout” is no cause here"),
    "an unknown cause": ([in_symptom(FLOW, '[[cause]]\nuse = "gout"\nhow_often = "rare"\n' + FLOW)],
        "“gout” is not known"),
    "an unknown how often": ([in_symptom('"rare"', '"never"')], "use common, occasional, rare"),
    "an unknown check": ([in_symptom(FLOW, '[[check]]\nuse = "fins"\n' + FLOW)],
        "“fins” is not known"),
    "an unknown answer": ([in_symptom("brown = {", "black = {")], "is no answer of “gills”"),
    "an unknown source": ([(CHECKS, '"fao-589"', '"a-friend"')], "“a-friend” is no source"),
    "an unknown caution": ([(CAUSES, '"salt-and-plants"', '"careful"')], "“careful” is no caution"),
    "an unknown tool": ([(CHECKS, '"nitrite-kit"', '"nose"')], "“nose” is not known"),
    "an unknown reading": ([(CHECKS, None, new_check(TWO + '\nreading = "mood"'))],
        "“mood” is not known"),
    "an unknown kind": ([("readings.toml", None, new_reading("mood", "°C"))],
        "“mood” is not known"),
    "an unknown unit": ([("readings.toml", None, new_reading("temperature", "°R"))],
        "“°R” is no unit of"),
    "bounds the wrong way round": ([("readings.toml", None, new_reading("temperature", "°C", 50))],
        "must be above minimum"),
    "an unknown calculator": ([in_symptom('calculator = "ammonia"', 'calculator = "guess"')],
        "“guess” is not known"),
    "an unknown input": ([in_symptom(INPUTS, INPUTS.replace(" }", ', moon = "ph" }'))],
        "“moon” is no input of ammonia"),
    "a missing input": ([in_symptom(INPUTS, INPUTS.replace(', ph = "ph"', ""))], "is short of ph"),
    "an input of another kind": ([in_symptom(INPUTS, INPUTS.replace('= "ph"', '= "temperature"'))],
        "ph = “temperature” does not fit: it must be a number of the kind pH"),
    "a choice where a number is due": ([in_symptom(INPUTS, INPUTS.replace('= "ph"', '= "gills"'))],
        "ph = “gills” does not fit: it must be a number of the kind pH"),
    "an unknown result": ([in_symptom('result = "unionised_ammonia"', 'result = "luck"')],
        "“luck” is no number ammonia works out"),
    "a result that is no number": ([in_symptom(
        'result = "unionised_ammonia"', 'result = "verdict"')],
        "“verdict” is no number ammonia works out"),
    "a derived number named like a check": ([in_symptom("[derived.unionised_ammonia]",
        "[derived.gills]")], "must be a name of its own"),
    "one answer": ([(CHECKS, None, new_check(
        'reading = "ph"\nanswer = [{ id = "a", text = "A" }]'))],
        "needs at least two answers"),
    "no answer": ([(CHECKS, None, new_check(""))], "needs at least two answers, or a reading"),
    "too few causes": ([("symptoms/few.toml", None, FEW)], "must be 3 to 16 causes, not 2"),
    "bands out of order": ([(CHECKS, LOW, LOW.replace("5.0", "1.0"))], "is out of order"),
    "bands without an end": ([(CHECKS, '{ id = "enough",', '{ id = "enough", below = 9,')],
        "the last answer has no “below”"),
    "bands with a gap": ([(CHECKS, LOW, LOW.replace(" below = 5.0,", ""))],
        "only the last has no “below”"),
    "an edge out of bounds": ([(CHECKS, LOW, LOW.replace("5.0", "50"))],
        "has an edge at 50, outside 0 to 30"),
    "a threshold without source": ([(CHECKS, LOW, LOW.replace(', source = "ifas-fa27"', ""))],
        "source: is missing"),
    "a derived threshold without source": ([in_symptom('"0.02 to 0.05 mg/L", source = '
        '"common-practice"', '"0.02 to 0.05 mg/L"')], "source: is missing"),
    "minutes out of bounds": ([(CHECKS, None, new_check(TWO, minutes=300))],
        "must be from 0 to 240 minutes"),
    "a cause without remedy": ([(CAUSES, None, new_cause("moon", ""))], "remedy: is missing"),
    "an empty list of remedies": ([(CAUSES, None, new_cause("moon", "remedy = []"))],
        "remedy: must name at least one"),
    "neither use nor id": ([in_symptom(FLOW, f"[[check]]\nurgent = true\n{FLOW}")],
        "must have either “use”|is missing|needs at least two answers, or"),
    "a check used twice": ([in_symptom(FLOW, f'[[check]]\nuse = "gills"\n{FLOW}')],
        "“gills” stands there twice"),
    "a shared id in a symptom file": ([in_symptom(FLOW, f'{new_check(TWO, "gills")}\n{FLOW}'),
        in_symptom(f'[[check]]\nuse = "gills"\n{RED}', ""),
        in_symptom('brown = { confirms = ["nitrite-poisoning"], because = "Nitrite turns the blood'
        ' brown." }', ""), in_symptom(PALE, "")], "“gills” is shared already"),
    "an id that is not the file's name": ([in_symptom('id = "fish-gasping"', 'id = "gulping"')],
        "must equal the name of the file"),
}  # fmt: skip

SUMMING_UP = {
    "an unknown article of a cause": ([(CAUSES, '"nitrite-high"', '"lost"')],
        "error: there is no article “lost”"),
    "an unknown article of a symptom": ([in_symptom('article = "fish-gasping"',
        'article = "lost"')], "error: there is no article “lost”"),
    "a risk without caution": ([(CAUSES, ', cautions = ["mains-and-water"]', "")],
        "error: the remedy “Bring the oxygen back” names pump and has no caution"),
    "a cause nothing speaks for": ([*NO_GILLS[::2], in_symptom(SOME, without(SOME, "x").replace(
        'likely = ["gill-sickness"], ', "", 1))], "error: no answer speaks for it"),
    "a cause nothing speaks against": ([NO_GILLS[1], in_symptom(ALL, "all = {}")],
        "error: no answer speaks against it"),
    "a cause named by one check": ([*NO_GILLS],
        "error: must be named by at least two checks, not 1"),
    "two causes no check tells apart": ([
        in_symptom(FLOW, '[[cause]]\nid = "twin"\nname = "Twin"\nwhy = "It is."\n'
        f'how_often = "rare"\n{REMEDY}\n{FLOW}'),
        *(in_symptom(text, text.replace('"gill-sickness"', '"gill-sickness", "twin"'))
          for text in (ENOUGH, RED, PALE, ALL, SOME))],
        "cause twin: error: no check tells it apart from “gill-sickness”"),
    "a check that names no cause": ([in_symptom(FLOW, f"{new_check(TWO)}\n{FLOW}")],
        "check moon: error: names no cause and feeds no number"),
    "an urgent cause no urgent check names": ([
        in_symptom('use = "nitrite"\nurgent = true', 'use = "nitrite"'),
        in_symptom(ENOUGH, without(ENOUGH, "nitrite-poisoning"))],
        "error: is urgent, but no urgent check names it"),
    "no first look without a tool": ([
        (CHECKS, 'minutes = 1\nanswer = [ { id = "stopped"',
         'tool = "ph-kit"\nminutes = 1\nanswer = [ { id = "stopped"'),
        (CHECKS, 'minutes = 1\nanswer = [ { id = "yes"',
         'tool = "ph-kit"\nminutes = 1\nanswer = [ { id = "yes"')],
        "error: there are urgent causes, but no urgent check of 2 minutes or less"),
    "an urgent cause asked about late": ([
        (CHECKS, 'minutes = 1\nanswer = [ { id = "yes"', 'minutes = 90\nanswer = [ { id = "yes"'),
        in_symptom(ENOUGH, without(ENOUGH, "chlorine"))],
        "cause chlorine: remark: is urgent, but neither of the first two"),
    "an urgent cause that cannot alarm": ([
        in_symptom(TAP_YES, "yes = { because"),
        in_symptom(TAP_NO, 'no = { unlikely = ["chlorine"], because'),
        in_symptom(ENOUGH, without(ENOUGH, "chlorine")),
        in_symptom('"nitrite-poisoning"\nhow_often = "occasional"',
                   '"nitrite-poisoning"\nhow_often = "common"')],
        "cause chlorine: error: cannot raise the alarm by urgent checks alone"),
    "a word without a reason": ([in_symptom(ALL, 'all = { unlikely = ["gill-sickness"] }')],
        "check all-or-some.all: error: speaks for or against a cause without a reason"),
    "a danger for no urgent cause": ([in_symptom(SOME, SOME.replace("{ ", "{ danger = true, "))],
        "all-or-some.some: error: is a danger, but speaks for no urgent cause"),
    "an urgent check with waiting": ([(CHECKS, 'tool = "oxygen-meter"',
        'tool = "oxygen-meter"\nwait_minutes = 9')],
        "check oxygen: error: is urgent, so there must be no waiting"),
    "an answer that confirms two": ([in_symptom(PALE, PALE.replace('"chlorine", ', "").replace(
        "likely", "confirms"))], "remark: confirms ammonia-burn and gill-sickness at once"),
    "a number beside what is worked out from it": ([
        (CHECKS, 'tool = "ammonia-kit"\nminutes = 6', 'tool = "ammonia-kit"\nminutes = 6\n'
         'answer = [{ id = "low", below = 1, text = "low", source = "ksu-2021" }, '
         '{ id = "high", text = "high" }]'),
        in_symptom(FLOW, '[[check]]\nuse = "ammonia"\nhigh = { '
                   'likely = ["ammonia-burn"], because = "It burns." }\n'
                   + FLOW)],
        "remark: names ammonia-burn, as its own input “ammonia” does"),
    "a long sentence": ([in_symptom('summary = "Too', f'summary = "{"Very " * 28}too')],
        "remark: .* has more than 28 words"),
    "a question without its mark": ([(CHECKS, "running as usual?", "running as usual")],
        "remark: the question .* has no question mark"),
    "a word of statistics": ([(CAUSES, "Often only some", "In all probability only some")],
        "remark: “probability” is a word of statistics"),
    "a check no symptom uses": ([(CHECKS, None, new_check(TWO))],
        "moon: remark: no symptom uses it"),
    "a cause no symptom uses": ([(CAUSES, None, new_cause("moon"))],
        "moon: remark: no symptom uses it"),
}  # fmt: skip


@pytest.fixture
def faults(edited, articles):
    """What the summing up finds in an edited example beyond what it finds in the example."""

    def find(*edits):
        first_two = "neither of the first two checks asked"
        known = ("cause nitrite-poisoning", "cause ammonia-burn")
        problems = validate(edited(*edits), articles=articles, cases=0)
        return [p for p in problems if not (first_two in p.message and p.place in known)]

    return find


def test_the_example_has_no_error_and_two_remarks(rulebook, articles):
    found = validate(rulebook, articles=articles)
    assert [(p.place, p.message) for p in found] == [
        ("cause nitrite-poisoning", LATE),
        ("cause ammonia-burn", LATE),
    ]
    assert not any(map(is_error, found))


LATE = "remark: is urgent, but neither of the first two checks asked names it."


@pytest.mark.parametrize("name", LOADING)
def test_a_fault_of_one_file_is_found_when_it_is_read(edited, name):
    edits, expected = LOADING[name]
    with pytest.raises(ContentErrors) as caught:
        edited(*edits)
    messages = [str(problem) for problem in caught.value.problems]
    assert [text for text in messages if not re.search(expected, text)] == []


@pytest.mark.parametrize("name", SUMMING_UP)
def test_a_fault_of_all_files_together_is_found(faults, name):
    edits, expected = SUMMING_UP[name]
    found = [str(problem) for problem in faults(*edits)]
    assert found
    assert [text for text in found if not re.search(expected, text)] == []


def test_too_many_checks_are_refused(edited):
    more = "\n".join(new_check(TWO, f"moon-{number}") for number in range(15))
    with pytest.raises(ContentErrors, match="must be at most 20 checks, not 21"):
        edited(in_symptom(FLOW, f"{more}\n{FLOW}"))


def test_every_risk_of_the_list_is_seen_in_a_remedy(faults):
    for word in (
        *("acid", "Base", "hydroxide", "bicarbonate", "carbonates", "lime", "chloramine"),
        *("dechlorinator", "salt", "copper", "peroxide", "medicine", "heater", "pumps"),
        *("Unplug", "gas"),
    ):
        remedy = f'remedy = [{{ title = "Rest", steps = ["Take the {word} there."] }}]'
        place = f"cause moon-{word.lower()}"
        found = faults((CAUSES, None, new_cause(place.removeprefix("cause "), remedy)))
        (problem,) = [p for p in found if p.place == place and "caution" in p.message]
        assert word.lower() in problem.message


def test_harmless_words_need_no_caution(faults):
    remedy = (
        'remedy = [{ title = "Rest", steps = ["Gasping ends in the limelight of a baseline."] }]'
    )
    (problem,) = faults((CAUSES, None, new_cause("moon", remedy)))
    assert "no symptom uses it" in problem.message


def test_an_unused_source_is_remarked_on_when_the_bibliography_is_given(rulebook, articles):
    known = sources.shipped()
    elsewhere = set(known) - {"ifas-fa27", "emerson-1975"}
    found = validate(
        rulebook, articles=articles, sources=known, sources_elsewhere=elsewhere, cases=0
    )
    assert [p.place for p in found if "source" in p.message] == ["emerson-1975"]


# made-up readers


def test_every_cause_of_the_example_is_recognised_in_most_of_its_own_cases(gasping):
    found = simulate(gasping)
    assert [item.cause for item in found] == [cause.id for cause in gasping.causes]
    assert min(item.found for item in found) > 500


def test_the_made_up_readers_are_always_the_same(gasping):
    assert simulate(gasping, 50) == simulate(gasping, 50)


def test_a_cause_mostly_taken_for_another_is_remarked_on(edited, articles):
    twins = ("twin-a", "twin-b", "twin-c")  # named wherever the rare cause is, and common
    named = '"gill-sickness", ' + ", ".join(f'"{twin}"' for twin in twins)
    causes = "\n".join(f'{new_cause(twin)}\nhow_often = "common"' for twin in twins)
    book = edited(
        in_symptom(FLOW, f"{causes}\n{FLOW}"),
        *(
            in_symptom(t, t.replace('"gill-sickness"', named))
            for t in (ENOUGH, RED, PALE, ALL, SOME)
        ),
    )
    found = validate(book, articles=articles)
    problems = [p for p in found if "made-up cases" in p.message]
    assert [p.place for p in problems] == ["cause gill-sickness"]
    assert "in only 0 of 1000 made-up cases" in problems[0].message
    assert re.search(r"taken for twin-a \(\d+\)", problems[0].message)
