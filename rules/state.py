"""The answers of a reader: read strictly, written as a link, listed for other programs."""

from collections.abc import Mapping
from urllib.parse import urlencode

from kb.errors import InputErrors, InputProblem, UnitError
from rules.model import NO_ANSWER, Check, Reading, Symptom

RULES_KEY = "rules"
Value = str | float
Answers = Mapping[str, Value]

# The readings found in a free text, as the JSON contract names them: our reading and its unit.
_TEXT_READINGS = {
    "ph": ("ph", "pH"),
    "temperature_c": ("temperature", "°C"),
    "ammonia_mg_l": ("ammonia", "mg/L"),
    "nitrite_mg_l": ("nitrite", "mg/L"),
    "nitrate_mg_l": ("nitrate", "mg/L"),
    "alkalinity_mg_l_caco3": ("alkalinity", "mg/L as CaCO₃"),
    "oxygen_mg_l": ("oxygen", "mg/L"),
    "flow_l_h": ("flow", "L/h"),
    "volume_l": ("volume", "L"),
    "feed_g_day": ("feed", "g/day"),
}


def read_answers(symptom: Symptom, raw: Mapping[str, object]) -> dict[str, Value]:
    """The answers in file order, numbers in the unit of their reading; raises InputErrors."""
    problems = [_unknown_check(symptom, key, raw[key]) for key in _strangers(symptom, raw)]
    answers: dict[str, Value] = {}
    for check in symptom.checks:
        given = raw.get(check.id)
        if given is None or str(given).strip() == "":
            continue
        try:
            answers[check.id] = _read(check, given)
        except UnitError as error:
            problems.append(InputProblem(check.id, _short(given), f"{check.id}: {error}"))
    if problems:
        raise InputErrors(problems)
    return answers


def old_rules(symptom: Symptom, raw: Mapping[str, object]) -> bool:
    """Was this link written by other rules than the ones in use?"""
    written = str(raw.get(RULES_KEY) or "").strip()
    return written not in ("", symptom.fingerprint)


def link(symptom: Symptom, answers: Answers) -> str:
    """The address that brings these answers back, in file order."""
    pairs = {check.id: plain(answers[check.id]) for check in symptom.checks if check.id in answers}
    return f"/symptoms/{symptom.id}?" + urlencode(pairs | {RULES_KEY: symptom.fingerprint})


def plain(value: Value) -> str:
    """An answer as it is written in a link; a number has six figures at most."""
    if isinstance(value, str):
        return value
    text = f"{value:.6g}"
    if "e" not in text:
        return text
    return f"{float(text):.12f}".rstrip("0").rstrip(".")


def checks_json(symptom: Symptom) -> list[dict[str, object]]:
    """Every check of a symptom in plain data, in file order."""
    return [check_json(check) for check in symptom.checks]


def check_json(check: Check) -> dict[str, object]:
    """One check in plain data."""
    reading = check.reading
    return {
        "check": check.id,
        "id": check.id,
        "question": check.ask,
        "kind": "number" if reading else "choice",
        "unit": reading.unit if reading else "",
        "minimum": reading.minimum if reading else None,
        "maximum": reading.maximum if reading else None,
        "choices": [] if reading else [answer.id for answer in check.answers],
        "choice_texts": {} if reading else {answer.id: answer.text for answer in check.answers},
        "minutes": tidy(check.minutes),
        "wait_minutes": tidy(check.wait_minutes),
        "how": check.how,
        "tool": check.tool.name if check.tool else "",
    }


def prefill(symptom: Symptom, readings: Mapping[str, float]) -> dict[str, Value]:
    """Answers taken from readings found in a text; what does not fit a check is left out."""
    answers: dict[str, Value] = {}
    for name, value in readings.items():
        reading_id, unit = _TEXT_READINGS.get(name, ("", ""))
        check = _check_of(symptom, reading_id)
        if check is None or check.reading is None:
            continue
        kind = check.reading.kind
        inside = kind.from_base(kind.to_base(value, unit), check.reading.unit)
        if check.reading.minimum <= inside <= check.reading.maximum:
            answers[check.id] = _six_figures(inside)
    return {check.id: answers[check.id] for check in symptom.checks if check.id in answers}


def tidy(value: float) -> float | int:
    """A whole number without its decimals."""
    return int(value) if value == int(value) else value


def _check_of(symptom: Symptom, reading_id: str) -> Check | None:
    """The check a reading of the system itself belongs to: the one named like it, or the only."""
    found = [check for check in symptom.checks if check.reading and check.reading.id == reading_id]
    named = [check for check in found if check.id == reading_id]
    if named:
        return named[0]
    return found[0] if len(found) == 1 else None


def _strangers(symptom: Symptom, raw: Mapping[str, object]) -> list[str]:
    known = {check.id for check in symptom.checks} | {RULES_KEY}
    return [key for key in raw if key not in known]


def _unknown_check(symptom: Symptom, key: str, given: object) -> InputProblem:
    known = ", ".join(check.id for check in symptom.checks)
    message = f"There is no check “{_short(key)}” under {symptom.id}; known are {known}."
    return InputProblem(key, _short(given), message)


def _read(check: Check, given: object) -> Value:
    text = str(given).strip()
    if text.casefold() in NO_ANSWER:
        return text.casefold()
    if check.reading is None:
        return _read_choice(check, text)
    return _read_number(check.reading, given)


def _read_choice(check: Check, text: str) -> str:
    ids = [answer.id for answer in check.answers]
    if text.casefold() in ids:
        return text.casefold()
    allowed = ", ".join((*ids, *NO_ANSWER))
    raise UnitError(f"“{_short(text)}” is no answer of this check; choose one of {allowed}.")


def _read_number(reading: Reading, given: object) -> float:
    unit = f" in {reading.unit}" if reading.unit not in ("", "pH") else ""
    allowed = (
        f"give a number{unit} from {plain(reading.minimum)} to {plain(reading.maximum)},"
        f" or {' or '.join(NO_ANSWER)}."
    )
    try:
        base = reading.kind.parse(given, reading.unit)
    except UnitError as error:
        raise UnitError(f"{str(error).rstrip('.')}; {allowed}") from None
    value = _six_figures(reading.kind.from_base(base, reading.unit))
    if not reading.minimum <= value <= reading.maximum:
        raise UnitError(f"“{_short(given)}” is out of bounds; {allowed}")
    return value


def _six_figures(value: float) -> float:
    """The number a link can carry, so that the link brings back the very same result."""
    return float(plain(value)) + 0.0


def _short(given: object) -> str:
    text = str(given).strip()
    return text if len(text) <= 60 else text[:59] + "…"
