"""Whether a text asks for anything at all, so that praise and chatter can be kept apart.

It is only asked of texts that no article answers. In doubt a text asks: a question among the
chatter is lost, while chatter among the questions costs a glance.
"""

import re

LONGEST_CHATTER = 400  # longer texts tell a story, and a story may hide a question
SHORTEST_STORY = 6  # words: with fewer, only a sign of a question or of trouble counts

# Blanks and words are bounded, so that no text makes these slow.
_QUESTION = re.compile(
    r"""
    \b(
        how | why | what | whats | when | where | which | whose | whom
        | (^|[.,;:!]\s{0,9}|\b(and|but|or|so|then)\s{1,9})
          (can|could|should|would|will|may|must|do|does|did|is|are|am|was|has|have)\s{1,9}\w{1,40}
        | \w{1,40}\s{1,9}or\s{1,9}\w{1,40} | whether | (any|some)\s{0,9}(one|body)\s{1,9}\w{1,40}
        | (would|'d)\s{1,9}(like|love)\s{1,9}to\s{1,9}(see|know|hear|learn|understand)
        | (any|some)\s{0,9}(one|body)?\s{1,9}
          (ideas?|advice|tips?|thoughts|suggestions?|help|knows?|tried)
        | wonder(ing)? | curious\s{1,9}(if|about|whether|how) | let\s{1,9}(me|us)\s{1,9}know
        | tell\s{1,9}(me|us)
        | explain | recommend | suggest(ion)?s? | advice | advise | question
        | help(ing)?\s{1,9}(me|us|please)
        | please\s{1,9}(help|tell|show|explain|make|do|cover)
        | (i|we)\s{1,9}(need|want)\s{1,9}(to\s{1,9}know|help)
        | not\s{1,9}sure | unsure | no\s{1,9}idea | confused | stuck
        | don'?t\s{1,9}(know|understand|get\s{1,9}it)
        | (can'?t|cannot|couldn'?t)\s{1,9}(find|get|see|work\s{1,9}out|figure|tell|keep|make)
        | looking\s{1,9}for
        | instructions? | sos | next\s{1,9}(one|recording|video)\s{1,9}(about|on)
    )\b
    | ^\s{0,9}help\b | \bhelp\s{0,9}[!.]*\s{0,9}$
    """,
    re.IGNORECASE | re.VERBOSE,
)
_TROUBLE = re.compile(
    r"""
    \b(
        problems? | troubles? | issues? | wrong | worried | worry | sick | ill | dead | dying
        | dies?
        | died | gasping | leak(s|ed|ing)? | smell(s|y|ing)? | stinks? | cloudy | milky | murky
        | brown
        | yellow(ing)? | slim[ey] | foam(s|y|ing)? | block(s|ed|ing)? | clog(s|ged|ging)?
        | stopp?(s|ed|ing)? | broken? | fail(s|ed|ing)?
        | too\s{1,9}(high|low|hot|cold|warm|much|little|fast|slow)
        | keeps?\s{1,9}\w{1,40}ing | won'?t | doesn'?t | isn'?t\s{1,9}\w{1,40}ing
        | refus(es|ing|ed?)
        | (drop|fall|ris|climb|crash|swing|spik)(e|es|ed|s|ing|ping|ped)? | overflow(s|ed|ing)?
        | losing | lost | lose | spots? | fungus | algae | rot(s|ten|ting)? | wilt(s|ed|ing)?
        | curl(s|ed|ing)?
        | stuck | struggl(e|es|ed|ing) | not\s{1,9}(grow|eat|work|mov|drain|cycl|flow)\w*
    )\b
    """,
    re.IGNORECASE | re.VERBOSE,
)
_NO_REAL_QUESTION = re.compile(
    r"""
    who(\s+else|'s|\s+is)\b[^?]*\b(here|watching|loves?|likes?)\b[^?]*\?
    | (isn'?t|aren'?t|wasn'?t)\s+(it|that|this|they|she|he)\s+\w+\s*\?
    | how\s+(cool|lovely|great|nice|cute|sweet|good|clever|beautiful|amazing|neat)\b[^?.!]*
    | what\s+an?\s+(\w+\s+){0,3}\w+\s*(!|\.|$) | what\s+(fun|joy)\b
    | why\s+is\s+this\s+so\s+(good|fun)
    | no\s+(problem|worries|trouble|issues?|questions?)\b
    | (learn(ed|t)?|saw|loved?|show(n|ed|ing|s)?)\s+(\w+\s+){0,3}
      how\b(?=[^?]*$)
    | (no|zero|without|not\s+an?y?)\s+(algae|smell|leaks?|issues?|problems?|trouble)\b
    """,
    re.IGNORECASE | re.VERBOSE,
)

_SYSTEM = re.compile(
    r"\b(water|fish|tanks?|barrels?|pumps?|filters?|beds?|plants?|lea(f|ves)|roots?|ph|feed(ing)?"
    r"|ammonia|nitrite|nitrate|oxygen|perch|carp|trout|goldfish|tilapia|siphon|settler|drum)\b",
    re.IGNORECASE,
)
_PRAISE = re.compile(
    r"""
    \b(
        thank(s|ful)? | thx | cheers | lov(e|ed|ely|ing) | great | greetings
        | regards | best | nice | congratulations | wow | haha+ | lol
        | wonderful | beautiful | cute | well\s+done | bravo | happy | proud | respect | good\s+luck
        | excited | harvest(ed)? | amazing | awesome | brilliant | excellent | enjoy(ed|ing)?
        | sweet | looks?\s+(better|good) | puts\s+mine
    )\b
    """,
    re.IGNORECASE | re.VERBOSE,
)


def asks(text: str) -> bool:
    """Does the text ask for something, or tell of trouble, or may it do so?"""
    if len(text) > LONGEST_CHATTER:
        return True
    rest = _NO_REAL_QUESTION.sub(" ", text.replace("’", "'"))
    if "?" in rest or _QUESTION.search(rest) or _TROUBLE.search(rest):
        return True
    tells = len(rest.split()) >= SHORTEST_STORY and _SYSTEM.search(rest)
    return bool(tells and not _PRAISE.search(rest))
