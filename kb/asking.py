"""Whether a text asks for anything at all, so that praise and chatter can be kept apart.

It is only asked of texts that no article answers. In doubt a text asks: a question among the
chatter is lost, while chatter among the questions costs a glance.
"""

import re

LONGEST_CHATTER = 400  # longer texts tell a story, and a story may hide a question

_QUESTION = re.compile(
    r"""
    \b(
        how | why | what | whats | when | where | which | whose | whom
        | (^|[.,;:!]\s*|\b(and|but|or|so|then)\s+)
          (can|could|should|would|will|may|do|does|did|is|are|am|was|has|have)
          \s+(i|we|you|they|it|this|that|there|my|our|the|your|someone|anyone|anybody)
        | (would|'d)\s+(like|love)\s+to\s+(see|know|hear|learn|understand)
        | (any|some)\s*(one|body)?\s+(ideas?|advice|tips?|thoughts|suggestions?|help|knows?|tried)
        | wonder(ing)? | curious\s+(if|about|whether|how) | let\s+(me|us)\s+know | tell\s+(me|us)
        | explain | recommend | suggest(ion)?s? | advice | advise | question
        | help(ing)?\s+(me|us|please)
        | please\s+(help|tell|show|explain|make|do|cover)
        | (i|we)\s+(need|want)\s+(to\s+know|help)
        | not\s+sure | unsure | no\s+idea | confused | stuck | don'?t\s+(know|understand|get\s+it)
        | (can'?t|cannot|couldn'?t)\s+(find|get|see|work\s+out|figure|tell|keep|make)
        | looking\s+for
        | instructions? | sos | next\s+(one|recording|video)\s+(about|on)
    )\b
    | ^\s*help\b | \bhelp\s*[!.]*\s*$
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
        | too\s+(high|low|hot|cold|warm|much|little|fast|slow)
        | keeps?\s+\w+ing | won'?t | doesn'?t | isn'?t\s+\w+ing | refus(es|ing|ed?)
        | (drop|fall|ris|climb|crash|swing|spik)(e|es|ed|s|ing|ping|ped)? | overflow(s|ed|ing)?
        | losing | lost | lose | spots? | fungus | algae | rot(s|ten|ting)? | wilt(s|ed|ing)?
        | curl(s|ed|ing)?
        | stuck | struggl(e|es|ed|ing) | not\s+(grow|eat|work|mov|drain|cycl|flow)\w*
    )\b
    """,
    re.IGNORECASE | re.VERBOSE,
)
_NO_REAL_QUESTION = re.compile(
    r"""
    who(\s+else|'s|\s+is)\b[^?]*\b(here|watching|loves?|likes?)\b[^?]*\?
    | (isn'?t|aren'?t|wasn'?t)\s+(it|that|this|they|she|he)\s+\w+\s*\?
    | how\s+(cool|lovely|great|nice|cute|sweet|good|clever|beautiful|amazing|neat)\b[^?.!]*
    | what\s+an?\s+(\w+\s+){1,3}\w+\s*(!|\.|$) | what\s+(fun|joy)\b
    | why\s+is\s+this\s+so\s+(good|fun)
    | no\s+(problem|worries|trouble|issues?|questions?)\b
    | (learn(ed|t)?|saw|loved?|show(n|ed|ing|s)?)\s+(\w+\s+){0,3}
      how\b(?=[^?]*$)
    | (no|zero|without|not\s+an?y?)\s+(algae|smell|leaks?|issues?|problems?|trouble)\b
    """,
    re.IGNORECASE | re.VERBOSE,
)


def asks(text: str) -> bool:
    """Does the text ask for something, or tell of trouble, or may it do so?"""
    if len(text) > LONGEST_CHATTER:
        return True
    rest = _NO_REAL_QUESTION.sub(" ", text.replace("’", "'"))
    return bool("?" in rest or _QUESTION.search(rest) or _TROUBLE.search(rest))
