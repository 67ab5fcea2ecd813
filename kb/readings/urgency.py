"""Whether a text tells of fish that may be dying now, or of a person who may be in danger.

Better one alarm too many than one missed; but a figure of speech, a death long ago and "nobody
died" are no alarm.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from .tokens import Found, Text, cut, find_phrases, is_clause_break, phrase_table
from .vocabulary import FISH

FISH_REASON = "fish may be dying now"
PERSON_REASON = "a person may be in danger"
_NEAR = 9
_LOOK_BACK = 14

SIGNS = phrase_table(
    {
        "saying": "to die for|dying to know|dying to see|dying to try|dying to ask|dying to hear|"
        "dying to get|dying to build|dying to learn|dying to start|dying for|dying laughing|"
        "died laughing|dying of laughter|dying with laughter|dying of curiosity|"
        "dying of boredom|killer video|killer videos|killer setup|killer content|killer tip|"
        "killer tips|killer system|killer channel|killer garden|killer article|dead simple|"
        "dead easy|dead right|dead on|dead center|dead centre|dead serious|dead line|dead end|"
        "dead spot|dead spots|dead zone|dead zones|dead space|dead leaves|dead leaf|dead roots|"
        "dead plants|dead plant|dead wood|dead weight|dead good|dead slow|drop dead|"
        "dying breed|dying art|dead heading|killing it|killed it|you're killing it|"
        "shocked to|shocked at|shocked by|shocked how|shocked that|temperature shock|temp shock|"
        "ph shock|osmotic shock|transplant shock|thermal shock|cold shock|shock absorber|"
        "pool shock|culture shock|gas exchange|gas bubbles|gas bubble|gasp factor|"
        "jaw dropping|be lost|get lost|i'm lost|im lost|lost without|am lost|lost in|lost on|"
        "lost as to|getting lost|emergency backup|emergency plan|emergency kit|in an emergency|"
        "for emergencies|in emergencies|emergency fund|not urgent|non urgent|non - urgent|"
        "no emergency|not an emergency|nothing urgent|in the dead of winter|dead of night|"
        "gas heater|gas boiler|gas cooker|natural gas|buzzing with|shock value|tingle of|"
        "sparked my|"
        "old fish died|die hard|die - hard|live feed|floating raft|floating rafts|"
        "floating plants|floating pellets|floating food|floating feed|floating bed|floating beds|"
        "floating island|floating thermometer|floating plant|fish are dead easy",
        "none": "nobody died|no one died|none died|none have died|none has died|no fish died|"
        "none of them died|nothing died|no deaths|no dead|not dying|no longer dying|"
        "stopped dying|no fish has died|no fish have died|haven't lost|hasn't died|"
        "haven't died|didn't die|don't die|never lost|without losing|no losses|never died|"
        "not lost a|not lost any|not one died|zero deaths|zero losses|0 deaths|no more deaths|"
        "not a single fish died|aren't dying|isn't dying|are not dying|not gasping|"
        "aren't gasping|never had a fish die|no gasping|nothing dead|"
        "yet to lose|no fish dead|not losing|none dead|no signs of gasping",
        "dying": "dying|die|dies|died|dead|death|deaths|dieing|dyin|perishing|perished|"
        "killing|killed|suffocating|suffocated|croaked|mortality|mortalities|corpse|corpses",
        "fishless dying": "floaters|die off|die - off|dieoff|fish kill|fishkill|wiped out|"
        "mass death|"
        "mass mortality",
        "losing": "lost|losing|lose",
        "gasping": "gasping|gasp|gasps|gasping for air|gulping|gulping air|piping|"
        "struggling to breathe|struggling for air|hard to breathe|trouble breathing|"
        "breathing fast|breathing hard|breathing heavily|breathing rapidly|barely breathing|"
        "can't breathe|cannot breathe|cant breathe|belly up|upside down|upside - down|"
        "on their side|on its side|on their sides|on there side|on there sides|on his side|"
        "on her side|on their backs|on their back|on its back|sideways|keeled over|barely moving|"
        "not moving|motionless|hardly moving|"
        "lying on the bottom|laying on the bottom|lying at the bottom|laying at the bottom|"
        "lifeless|unresponsive|convulsing|spinning in circles|spiralling|spiraling|"
        "whirling|floating|limp|rolling over|mouths at the surface|sucking air|"
        "hanging at the surface|all at the surface|crowding the surface|jumping out|"
        "jumped out|about to die|open mouths|hang at the surface|stay at the surface|"
        "staying at the surface|losing balance|lost balance|loss of balance|lost their balance|"
        "mouths open|mouth open|all at the top|at the top with|"
        "almost dead|half dead|nearly dead|poisoned|"
        "no oxygen|out of oxygen|out of water|without water|bleeding|won't make it",
        "power": "power is out|power's out|power out|power has been out|power went out|"
        "power went off|power is off|power's off|power cut|power outage|"
        "power failure|power has been off|power's been off|power's been out|no power|"
        "no electricity|electricity cut|electricity is cut|pumps are off|pump is off|blackout|"
        "black out|load shedding|lost power|without power|"
        "electricity is off|electricity is out|electricity went off|electric is off|"
        "current is off|brownout|power gone|power is gone|mains is off|"
        "electricity has been off|power has gone",
        "air": "no air|no aeration|air pump died|air pump stopped|air pump has stopped|"
        "air pump failed|air pump broke|air pump is broken|air pump is dead|air pump is off|"
        "air pump not working|air pump has died|pump died|pump has died|pump stopped|"
        "pump has stopped|pump failed|pump has failed|pump broke|pump is broken|pump is dead|"
        "pump quit|pump burned out|pump burnt out|pump packed up|pump isn't working|"
        "pump is not working|pump has quit|pump gave up|aerator died|aerator stopped|"
        "aerator failed|blower died|blower has died|blower has stopped|blower is dead|"
        "blower is off|aerator has died|aerator has stopped|air pump quit|"
        "air pump is not working|air pump isn't working|air has stopped|blower stopped|"
        "blower failed|tank is leaking|sprung a leak|"
        "tank leaked|tank leaking|tank has leaked|tank burst|tank cracked|tank is empty|"
        "tank drained|tank has drained|tank emptied|tank almost empty|tank is almost empty|"
        "tank nearly empty|tank is nearly empty|tank half empty|water is draining|"
        "drained the tank|fish tank empty|bleach in the tank|bleach in my tank|"
        "chlorine in the tank|pesticide in the tank|bleach in the fish",
        "help": "emergency|urgent|urgently|sos|save my fish|save them|save the fish|save our fish|"
        "act fast|help quick|help fast|act quickly",
        "electric": "electric shock|electrical shock|electric shocks|got shocked|get shocked|"
        "getting shocked|shocked me|shocks me|shock me|got a shock|get a shock|gets a shock|"
        "gave me a shock|gives me a shock|getting a shock|getting shocks|felt a shock|"
        "feel a shock|little shock|small shock|mild shock|was shocked when i touched|"
        "a shock from|a shock off|a shock when|shock from the|tingle|tingles|tingling|tingly|"
        "zap|zapped|zaps|zapping|electrocuted|electrocute|electrocution|electrified|"
        "stray voltage|a jolt|electric current|electrical current|feel a current|felt a current|"
        "electricity from|stray current|volts in the water|current in the water|"
        "electricity in the water|live wire|bare wire|bare wires|exposed wire|exposed wires|"
        "frayed|sparks|sparking|sparked|burning smell|smell of burning|smells burnt|"
        "smell burning|breaker trips|breaker tripped|breaker keeps tripping|breaker tripping|"
        "trips the breaker|tripping the breaker|tripped the breaker|rcd trips|rcd tripped|"
        "rcd keeps tripping|gfci trips|gfci tripped|gfci keeps tripping|trips the rcd|"
        "trips the gfci|tripping the gfci|tripping the rcd|fuse keeps blowing|"
        "heater cracked|heater is cracked|cracked heater|broken heater|heater broke|"
        "heater exploded|heater shattered|heater glass broke|plug got wet|plug is wet|"
        "socket got wet|socket is wet|wet socket|extension lead fell|extension cord fell|"
        "cable fell|lead fell|plug fell|lamp fell|light fell|cord fell|power strip fell|"
        "melted plug|plug melted|on fire|smoke coming|smoking plug|pins and needles",
        "acid": "acid burn|acid burns|chemical burn|chemical burns|acid splash|acid splashed|"
        "acid splashes|splashed acid|splash of acid|spilled acid|spilt acid|acid spilled|"
        "acid spilt|acid spill|acid on my|acid on his|acid on her|acid in my|acid in his|"
        "acid in her|in my eye|in my eyes|in his eye|in his eyes|in her eye|in her eyes|"
        "in the eye|in their eye|in their eyes|on my skin|on his skin|on her skin|"
        "burned my|burnt my|burning my|burns my|burned his|burned her|burnt his|burnt her|"
        "skin burns|skin is burning|hands are burning|hand is burning|eyes are burning|"
        "eyes burn|eyes are stinging|eyes sting|throat burns|lungs burn|swallowed|drank|drank some|"
        "drank the|breathed in|inhaled|fumes|acid vapour|acid vapor|water into acid|"
        "water into the acid|water to the acid",
        "gas": "chlorine gas|breathing trouble|difficulty breathing|toxic gas|poison gas|"
        "poisonous gas|smell gas|smells of gas|"
        "gas smell|smell of gas|smells like gas|gas leak|carbon monoxide|hydrogen sulphide|"
        "hydrogen sulfide|h2s|rotten egg|rotten eggs|smell of eggs|egg smell|smells like eggs|"
        "smells of eggs|feel sick|felt sick|feeling sick|rotten - egg|bad eggs|sulphur smell|"
        "sulfur smell|dizzy|light - headed|lightheaded|passed out|fainted|choking|coughing|"
        "nauseous|co2 leak|headache|can't stop coughing|a gas came|gas came off|gas coming off|"
        "yellow gas|green gas|collapsed|unconscious|gas cloud|a cloud of",
        "hurt": "fell in the tank|fell into the tank|fell into the pond|fell in the pond|"
        "ambulance|hospital|poison control|drowned|drowning|bleeding badly|blood everywhere",
        "bleach": "bleach|pool chlorine|chlorine|chlorine tablets|pool shock|hypochlorite",
        "acids": "acid|vinegar|ammonia|muriatic|hydrochloric",
        "mixing": "mix|mixed|fell|mixing|mixes|together|poured|added|combine|combined|into|with",
        "old": "last year|years ago|year ago|months ago|month ago|last month|last summer|"
        "last winter|last spring|last autumn|last season|last fall|a while back|long ago|ages ago|"
        "in the past|back in|decades ago|when i was|used to|once had|few years back|previous|"
        "in 2015|in 2016|in 2017|in 2018|in 2019|in 2020|in 2021|in 2022|in 2023|in 2024|"
        "in 2025|my old fish|two years back|my last tank|my first tank|my old tank|years back",
        "now": "now|today|this morning|tonight|again|still|currently|just|help|overnight|"
        "one by one|right now|as we speak|this afternoon|this evening|every day",
        "supposed": "if|in case|prevent|preventing|avoid|avoiding|protect against|prepare for|"
        "preparing for|plan for|during a|would|backup for|back up for|"
        "what happens when|is it true|do fish|do tilapia|do trout|do koi|can fish|next time|"
        "in the event of|worried about|never|how long can|"
        "how long will|how long do|how long would|hypothetically|insurance against|ready for|"
        "so they don't|before they|against a|survive a",
        "other": "plant|plants|lettuce|lettuces|basil|tomato|tomatoes|leaf|leaves|roots|root|"
        "seedling|seedlings|worm|worms|bacteria|battery|phone|laptop|strawberries|strawberry|"
        "herbs|herb|crop|crops|kale|spinach|cucumber|cucumbers|aphids|aphid|algae|snails|snail|"
        "weeds|mint|peppers|pepper|chilli|chillies|pests|pest|duckweed|azolla|channel|cress|"
        "vegetables|veg|greens|flowers|bugs|light|lights|led|sensor|timer|mosquitoes|raft|"
        "rafts|valve|ball|larvae|chard|beans|peas|bees|wifi|computer|money|weight|interest",
        "they": "they|they're|them|these|it|he|she|it's|he's|she's|theyre|these guys|"
        "one|another|all|everything",
    }
)
_STATES = frozenset(("power", "air"))
_PERSONAL = frozenset(("electric", "acid", "gas", "hurt"))
_WEAK_GAS = frozenset(("headache", "coughing", "collapsed", "nauseous", "dizzy"))
_NOT_ABOUT_PEOPLE = frozenset(("fish", "other"))


@dataclass(frozen=True)
class Urgency:
    """Is it urgent, and which words say so and why."""

    urgent: bool
    reasons: tuple[str, ...]


def urgency(text: str) -> Urgency:
    """Whether someone must act now, with the words that say so; 20,000 characters are read."""
    parts = cut(text)
    signs = _signs(parts)
    reasons = dict.fromkeys(_reasons(parts, signs))
    return Urgency(bool(reasons), tuple(reasons))


def _signs(text: Text) -> tuple[Found, ...]:
    """The signs and the fish of a text, in its order."""
    found = find_phrases(text, SIGNS)
    taken = {place for sign in found for place in range(sign.first, sign.last + 1)}
    fish = (name for name in find_phrases(text, FISH) if name.first not in taken)
    return tuple(sorted((*found, *fish), key=lambda sign: sign.first))


def _reasons(text: Text, signs: tuple[Found, ...]) -> Iterator[str]:
    for place, sign in enumerate(signs):
        if _endangers_a_person(text, signs, place):
            yield _quoted(text, sign, PERSON_REASON)
        elif _kills_fish(text, signs, place):
            yield _quoted(text, sign, FISH_REASON)


def _endangers_a_person(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    if signs[place].label == "bleach":
        return _mixed(text, signs, place)
    return signs[place].label in _PERSONAL and _hurts_a_person(text, signs, place)


def _kills_fish(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Does this sign tell of fish that may be dying now?"""
    sign = signs[place]
    if sign.label in ("dying", "gasping"):
        return _fish_meant(text, signs, place) and not _is_past_or_thought(text, signs, place)
    if sign.label == "losing":
        return _fish_close_behind(text, sign) and not _is_past_or_thought(text, signs, place)
    if sign.label == "fishless dying":
        other = any(near.label == "other" for near in _in_sentence(text, signs, place, _NEAR))
        return not other and not _is_past_or_thought(text, signs, place)
    if sign.label in _STATES:
        return not _near(text, signs, place, "old", "supposed")
    return sign.label == "help" and not _near(text, signs, place, "old", "saying")


def _hurts_a_person(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    sign = signs[place]
    words = text.word(sign.first)
    if words in _WEAK_GAS and _subject(text, signs, place) in _NOT_ABOUT_PEOPLE:
        return False
    if words == "headache" and not _near(text, signs, place, "gas", "acid", "acids", skip=place):
        return False
    if words in ("never", "no"):
        return False
    old = _near(text, signs, place, "old") and not _near(text, signs, place, "now")
    return not old and not _denied(text, sign)


def _denied(text: Text, sign: Found) -> bool:
    """Is it said that there is none: "no tingle", "never smelled rotten eggs"?"""
    return bool(
        _lead(text, sign, 4)
        & {"no", "never", "not", "without", "didn't", "don't", "isn't", "doesn't"}
    )


def _lead(text: Text, sign: Found, count: int) -> set[str]:
    """The few words before a sign in its sentence."""
    first = max(text.sentence_start[sign.first], sign.first - count)
    return {text.word(index) for index in range(first, sign.first)}


def _mixed(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Are bleach or chlorine and an acid or ammonia spoken of as being mixed?"""
    span = tuple(_in_sentence(text, signs, place, _LOOK_BACK))
    labels = {sign.label for sign in span}
    words = {text.word(sign.first) for sign in span if sign.label == "mixing"}
    strong = words & {"mix", "mixed", "mixing", "mixes", "together", "combine", "combined"}
    poured = words & {"poured", "added", "fell"} and "bleach" in text.word(signs[place].first)
    return "acids" in labels and bool(strong or poured)


def _fish_meant(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is it fish that the sign tells of, or nothing else that could be meant?"""
    sign = signs[place]
    following = signs[place + 1] if place + 1 < len(signs) else None
    if following and following.first <= sign.last + 3 and following.label in ("fish", "other"):
        between = {text.word(index) for index in range(sign.last + 1, following.first)}
        if not between & {"and", "but", "in", "on", "with", "the", ",", "from", "of"}:
            return following.label == "fish"
    subject = _subject(text, signs, place)
    if subject == "other":
        beside = {near.label for near in _in_sentence(text, signs, place, _LOOK_BACK)}
        return "fish" in beside and "other" not in beside
    if subject in ("fish", "they"):
        return True
    return sign.label == "dying" and _fish_anywhere_near(text, signs, place)


def _subject(text: Text, signs: tuple[Found, ...], place: int) -> str:
    """The nearest noun in this sentence or the one before: "fish", "other", "they", or empty."""
    sign = signs[place]
    pronoun = ""
    start = text.sentence_start[sign.first]
    before = text.sentence_start[start - 1] if start else 0
    for earlier in reversed(signs[max(0, place - 12) : place]):
        if earlier.first < before or sign.first - earlier.last > 3 * _LOOK_BACK:
            break
        if earlier.label in ("fish", "other"):
            return earlier.label
        same = earlier.first >= start
        pronoun = pronoun or ("they" if earlier.label == "they" and same else "")
    return pronoun


def _fish_anywhere_near(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    return any(sign.label == "fish" for sign in _in_sentence(text, signs, place, _LOOK_BACK))


def _fish_close_behind(text: Text, sign: Found) -> bool:
    """Is it fish that were lost: "lost 3 fish", "losing one a day"?"""
    words = [text.word(index) for index in range(sign.last + 1, sign.last + 6)]
    fish = any(word in FISH for word in words)
    return fish and text.word(sign.last + 1) not in ("power", "interest", "weight", "track")


def _is_past_or_thought(text: Text, signs: tuple[Found, ...], place: int) -> bool:
    """Is it denied, long ago, or only feared, with nothing about now beside it?"""
    if _near(text, signs, place, "none") or _none_before(text, signs[place]):
        return True
    if _near(text, signs, place, "now"):
        return False
    if _near(text, signs, place, "old"):
        return True
    sign = signs[place]
    base = text.word(sign.first) in ("die", "dies", "lose", "death", "deaths", "dead", "mortality")
    fear = _lead(text, sign, 6)
    if sign.label in ("dying", "losing", "fishless dying"):
        prevented = fear & {"prevent", "avoid", "preventing", "avoiding", "without", "never"}
        return bool(prevented) or (base and _near(text, signs, place, "supposed"))
    return False


def _none_before(text: Text, sign: Found) -> bool:
    """Does "none of my fish" or "no fish ever" lead into the sign?"""
    start = max(text.sentence_start[sign.first], sign.first - 7)
    lead = [text.word(index) for index in range(start, sign.first)]
    no_fish = any(word == "no" and lead[at + 1 : at + 2] and lead[at + 1] in FISH
                  for at, word in enumerate(lead))  # fmt: skip
    return "none" in lead or "nobody" in lead or no_fish


def _near(
    text: Text, signs: tuple[Found, ...], place: int, *labels: str, skip: int | None = None
) -> bool:
    """Is one of these signs close by in the same clause, or leading into it?"""
    sign = signs[place]
    for other in _in_sentence(text, signs, place, _NEAR):
        if other.label not in labels or other is signs[skip if skip is not None else place]:
            continue
        ahead, behind = sorted((sign, other), key=lambda mark: mark.first)
        between = range(ahead.last + 1, behind.first)
        parts = is_clause_break if other.label == "now" else _parts
        if not any(parts(text, index) for index in between):
            return True
    return False


def _parts(text: Text, index: int) -> bool:
    """Does this token part a clause from the next, as "but" does?"""
    return is_clause_break(text, index) and text.word(index) in ("but", ";", "now", "however", ",")


def _in_sentence(text: Text, signs: tuple[Found, ...], place: int, reach: int) -> Iterator[Found]:
    """The signs around one, itself left out, in its sentence and within reach."""
    sign = signs[place]
    first = max(text.sentence_start[sign.first], sign.first - reach)
    last = min(text.sentence_end[sign.first], sign.last + reach)
    for other in signs[max(0, place - reach) : place + reach + 1]:
        if other is not sign and first <= other.first and other.last <= last:
            yield other


def _quoted(text: Text, sign: Found, why: str) -> str:
    """The words around a sign and what they may mean."""
    first = max(text.sentence_start[sign.first], sign.first - 2)
    last = min(text.sentence_end[sign.first], sign.last + 2)
    words = text.original[text.tokens[first].start : text.tokens[last].end]
    return f"“{' '.join(words.split())}”: {why}"
