"""The words that tell whether a number is of now, wanted, another's, of the air or the tap."""

from .tokens import phrase_table

MARKS = phrase_table(
    {
        "target": "i'm after|i am after|we are after|we're after|want|wants|wanted to get|"
        "would like|would love|i'd like|aim|aim for|aiming|aims|goal|goal is|target|targets|"
        "targeting|should be|should stay|should sit|should i|should we|should it|should have|"
        "ought to be|supposed to be|supposed to have|supposed to|meant to be|meant to have|ideal|"
        "ideally|recommended|recommend|optimal|optimum|need to be|needs to be|need to get|"
        "need to keep|best|safe|must be|must stay|has to be|have to be|prefer|prefers|the perfect|"
        "a perfect|tolerate|tolerates|thrive|thrives|acceptable|hoping|hope|try to keep|"
        "trying to keep|trying to get|trying to reach|trying to hit|planning|plan to|plan on|"
        "plan for|going to|thinking of|thinking about|considering|set to|set at|heater set|"
        "thermostat|gonna|shoot for|shooting for|desired|wish|sweet spot|to reach|to hit|"
        "looking for|looking to|would be|needs|keep it at|keep it between|keep it below|"
        "keep it above|keep it under|keep it around|rated for|rated to|instead of|like to add|"
        "could i add|can i add|is it ok to add|minimum|maximum|limit|too much above|"
        "anything above|anything over|anything below|comfortable",
        "ask": "should i worry|should i be worried|should i be concerned|should we worry|"
        "should i do|should we do|i'd like to know|would like to know|want to know|wanted to know|"
        "want to ask|like to ask|want to understand|like to understand|want to share|"
        "want to check|want to make sure|hope you|hoping you|hope this|hope someone|hope that|"
        "wish i knew|best regards|all the best|my best|best guess|tried my best|best wishes",
        "other": "you said|you say|you says|you mention|you mentioned|you recommend|"
        "you recommended|you suggest|you suggested|you told|you have|you've got|you had|you keep|"
        "you kept|you run|you ran|you use|you used|you show|you showed|you got|you get|you feed|"
        "you stock|you stated|you talked about|you were|you are at|you added|you put|your video|"
        "your videos|your tank|your water|your system|your ph|your ammonia|your fish|your nitrate|"
        "your nitrates|your nitrite|your temp|your temperature|your pump|your setup|your article|"
        "your chart|your reading|your readings|your kh|your flow|your greenhouse|yours|yours is|"
        "my friend|my friends|my friend's|a friend|friend's|my neighbour|my neighbour's|"
        "my neighbor|my neighbor's|neighbour's|neighbor's|my brother|my uncle|my brother's|"
        "my mate|my mate's|my colleague|my teacher says|my cousin|my dad's|my sister's|they say|"
        "they said|they have|some say|some people|some sources|people say|people said|others say|"
        "he says|he said|he has|she says|she said|she has|someone said|somebody said|someone told|"
        "a guy|the guy|books say|the book|the chart|charts say|the article|an article|the website|"
        "a website|google|the internet|online|according to|forum|everyone says|the label|"
        "the packet|the shop|in the video|the video|another video|their system|their tank|"
        "their ph|his system|his tank|his ph|her tank|her system|his is|hers is|theirs|"
        "i read that|i've read|i heard|most people|the leaflet|the manual|the instructions|"
        "the textbook",
        "own": "my|mine|mine is|mine's|our|ours|i have|i've got|i'm at|i am at|we have|i get|"
        "we're|we are|i am|i'm getting|i measured|i measure|i tested|i've|i'm|we've|im|ive",
        "past": "last week|last month|last year|last summer|last winter|last spring|last autumn|"
        "last time|last season|last fall|weeks ago|week ago|months ago|month ago|years ago|"
        "year ago|days ago|used to|started at|started off|started with|started out|originally|"
        "initially|previously|earlier|at first|back then|in the past|formerly|up from|down from|"
        "compared to|in january|in february|in march|in april|in june|in july|in august|"
        "in september|in october|in november|in december|before that|before this|"
        "before the water change|before it|before i added|before adding|when i started|"
        "when we started|in the beginning|at the start|to begin with|had been|the other week|"
        "once had|at the beginning|to start with",
        "weak": "was|were|yesterday|last night|yesterday's|the other day|rated|hours ago|hour ago",
        "now": "now|actual|actually|today|currently|at the moment|at present|right now|"
        "this morning|just now|just tested|just measured|this evening|tonight|still|these days|"
        "presently|as of today|latest|so far|has gone up|this afternoon",
        "air": "air|air temp|air temperature|outside|outdoor|outdoors|ambient|weather|room|"
        "room temp|greenhouse|polytunnel|glasshouse|here|shed|garage|basement|summer|winter|"
        "nights|days|daytime|nighttime|indoors|house|classroom|outside temp|soil|oven|hot house",
        "source": "tap|tap water|tapwater|rainwater|rain water|rain|well water|well|bore water|"
        "borehole|source water|top up water|top - up water|topup water|top up|mains|mains water|"
        "city water|spring water|ro water|town water|municipal water|hose|rain barrel|rain tank|"
        "bottled water|distilled water|new water|make - up water|makeup water|creek|river|"
        "out of the tap|stream|hose water|well's",
        "water": "tank|fish tank|tanks|system|pond|the water|my water|tank water|water is|"
        "water temp|water temperature|water|sump|system water",
        "calibrate": "calibrate|calibrated|calibrating|calibration|calibration fluid|"
        "buffer solution|storage solution",
        "if": "what happens below|what happens above|what happens at|what happens over|"
        "what happens under|what happens|what would happen|if|what if|unless|suppose|supposing|"
        "imagine|in case|assuming|let's say|say if|whenever|once it|for example|e.g|as if",
        "if event": "when it gets|when it drops|when it goes|when it reaches|when it hits|"
        "when ph drops|when the ph drops|when ph goes|when the ph goes|until it|until the ph|"
        "till it|before it gets|before it reaches|when temps|when temperatures|when the temp|"
        "when the temperature|when the water gets|when the water hits|until",
        "change": "do i get|can i get|could i get|do we get|to get|lower|raise|reduce|bring|get|"
        "drop|increase|decrease|take|push|move|adjust|cool|heat|keep|change|buffer|lowering|"
        "raising|bringing|getting|reducing|increasing|keeping|heating|cooling|maintain|"
        "maintaining|hold|warm|dropping it",
        "moved": "went|gone|dropped|rose|risen|climbed|jumped|crept|fell|fallen|shot|spiked|"
        "increased|decreased|came|come|crashed|dipped|returned|returns|bounces|bounced|lowered|"
        "raised|brought|got|goes|drops|rises|climbs|falls|reduced|went back|going|creeps|keeps|up|"
        "down|back|swings|moved|warmed|cooled|heated|it's dropping|dropping|rising|climbing",
        "not": "can't|cannot|can not|won't|doesn't|never|will not|does not|couldn't|unable|not|"
        "isn't|wont|cant|doesnt|refuses|don't",
        "step": "by|warmer|colder|cooler|hotter|higher|lower than|swing|difference|drop of|"
        "rise of|increase of|jump of",
    }
)
