"""The words of each group that `pairs` looks for: what fails, what is hurt, and how."""

from collections.abc import Mapping

PAIR_WORDS: Mapping[str, str] = {
    # the fish
    "gills": "gill|gills|breath|breaths|breathing|breathe|breathes|respiration|gill movement",
    "strained": "fast|faster|quick|quicker|quickly|rapid|rapidly|heavy|heavily|hard|mad|crazy|"
    "insane|laboured|labored|shallow|slowly|barely|flared|flaring|racing|above|open|surface|brown|"
    "white|bleeding|beats|nuts|frantic|frantically|only|stopped|weak|weakly|furiously|hardly|"
    "on top|up top|at the top|open wide|stick out|swollen|bloody|pale|bright red|red|per minute|"
    "a minute|dark|clamped|burnt|burned|raw|like mad|like crazy|bleed",
    "mouths": "mouth|mouths|lips|noses|snouts|heads|mouths are",
    "up": "open|wide open|surface|out of the water|above water|above the water|gaping|at the top|"
    "out|up|above",
    "crowding": "gathered|gather|gathering|crowd|crowds|crowded|crowding|huddle|huddled|huddles|"
    "huddling|hang|hangs|hanging|hung|hug|hugs|hugging|hover|hovering|hovers|cluster|clustered|"
    "clustering|bunch|bunched|bunching|queue|queueing|queuing|packed|pressed|swarm|swarming|"
    "squeezed|pushing|pile|piled|fighting|stay|staying|won't leave|do not leave|don't leave|"
    "never leave|stuck|sit|sitting|stand|standing|jostling|congregate|congregating|stacked|"
    "stacked up|lined up|glued|drawn|crammed|wedged|facing|pointing|wedge|jammed|parked",
    "oxygen place": "inlet|inflow|airstone|airstones|air stone|air stones|outlet|return|surface|"
    "top|waterfall|spout|bubbler|bubbles|aerator|drops in|falls in|comes in|splash|upper layer|"
    "venturi|spray bar|air line|return pipe",
    "lying": "lie|lies|lying|laying|lay|lays|flop|flopping|flopped|jumped|jump|jumps|jumping|"
    "leaping|leapt|leaped|found|sank|sink|sinking|sinks|sunk|flapping|went|escaped|flew|ended|"
    "landed",
    "dry or low": "floor|ground|carpet|concrete|grass|bottom|sideways|side|sides|out of the tank|"
    "out of the water|over the edge|over the rim|each other|the other|one another|"
    "next to the tank|flat|pathway|path|dry|drain|corner|mud|stones|one side|the pipe|vertical|"
    "vertically",
    "loss": "lost|losing|lose|loss",
    "recently": "since|overnight|today|this morning|so far|already|a day|each day|every day|"
    "per day|last night|yesterday|tonight|this week|within hours|in an hour|every hour|"
    "since yesterday|in one night|in two days|every morning|each morning|in the night",
    "another": "another one|another two|another three|another four|two more|three more|one more|"
    "four more|five more|another body|more bodies|another fish|more fish",
    "part": "half|third|quarter|most|many|several|some|another|rest|all|both|two|three|four|five|"
    "six|seven|eight|nine|ten|eleven|twelve|dozen|dozens|hundred|hundreds|whole batch|whole stock|"
    "entire stock|whole lot|whole shoal|whole school|whole tank|number|percent|%|one|everything|"
    "more|last ones|batch|stock|bunch",
    "gone": "gone|going under|going down|floating|floated|floaters|belly|dropping|dropped|"
    "perished|passed away|passed on|pulled out|fished out|scooped out|stiff|lifeless|dead|died|"
    "dies|die|dying|killed|lost|snuffed it|bit the dust|kicked the bucket|float|goners|succumbed|"
    "in the net|in the bin|in a bucket|on the floor|on the ground|over the edge|turned up dead|"
    "out of the tank|missing|look bad|not well",
    "few": "only|few|some|hardly any|barely any|hardly|barely|just|almost no|maybe",
    "left": "alive|survived|still move|still moves|still moving|still swimming|surviving|"
    "breathing",
    # what keeps them alive
    "power": "power|electricity|grid|mains|current|electric|the street|whole street|village|"
    "neighbourhood|lights|juice|supply|electrics|phase|line|lines|power line|transformer|"
    "power lines",
    "cut": "out|off|down|gone|cut|failed|failing|dark|dead|went|tripped|lost|collapsed|away|"
    "missing",
    "support": "pump|pumps|blower|blowers|aerator|aerators|airstone|airstones|air stone|"
    "air stones|air|bubbler|generator|generators|inverter|ups|circulation|flow|compressor|airpump|"
    "airpumps|air pump|air supply|aeration|bubbles|oxygen supply|genset|batteries|car battery|"
    "battery backup|battery pump|backup|pumping|water flow|motor|everything|nothing|solar",
    "failed": "died|dead|stopped|stop|stops|quit|failed|failing|fails|broke|broken|burnt|burned|"
    "seized|silent|off|kaput|gone|jammed|tripped|unplugged|gave up|given up|packed up|packed in|"
    "dying|give out|giving out|gave out|no sound|melted|frozen|iced|ran out|running out|empty|"
    "flat|beeping|won't start|wont start|won't run|not running|isn't running|runs dry|not working|"
    "isn't working|doesn't work|does not work|stopped working|conked|screaming|bust|busted|"
    "knackered|fried|shorted|is running|works|working|out of diesel|out of fuel|out of petrol|"
    "switched off|turned off|cut out|cuts out|not turning|won't turn|wont turn|underwater|"
    "under water|hasn't run|has not run|hasn't been running|hasn't worked|didn't run|did not run|"
    "haven't run|not run|stands still|standing still|stood still|was off|been off|stayed off|"
    "unpowered|without power|idle|isn't starting|not starting|doesn't start|does not start|"
    "refuses to start|isn't turning|not coming on|didn't come on|hasn't started|won't come on|"
    "won't come back|sucks air|sucking air|no longer works|no longer runs|not spinning|"
    "isn't spinning",
    "put out": "unplugged|disconnected|broken|dead|failed|seized|burnt|burned out|blown|tripped|"
    "ruined|stopped|lost|faulty|without|no",
    "vessel": "tank|pond|tub|pool|ibc|tote|liner|barrel|aquarium|basin|tanks|raceway|vat|sump",
    "lost": "leaking|leak|leaks|leaked|burst|bursting|cracked|split|ripped|torn|emptied|emptying|"
    "drained|draining|drains|ruptured|collapsed|gushing|pouring|overflowed|bottomless|tore|"
    "running dry|ran dry|run dry|half empty|nearly empty|almost empty|emptied itself|puddle|"
    "losing water|pumped out|pumped dry|pumped empty|fell apart|blew|siphoned|down to|knees|crack|"
    "cracks|hole|ankle|third|a quarter|down by|nearly dry|almost dry|dry|empty|only holds|"
    "emptied into|empties|emptied out",
    "plumbing": "pipe|pipes|hose|bulkhead|valve|fitting|standpipe|union|return line|drain line|"
    "plug|seam|coupling|elbow|tap",
    "broke": "snapped|broke|burst|split|came off|come off|popped|gave way|cracked|fell over|"
    "blew off|let go|ruptured|fell off|slipped off|left open|broken|jumped off",
    "heat source": "heater|thermostat|controller|chiller|cooler|water|tank|pond",
    "runaway": "jammed|stuck on|is stuck|stuck|went mad|went crazy|boiling|cooking|cooked|"
    "overheated|overheating|frozen solid|freezing over|freezing solid|iced up|like soup|as hot as|"
    "bath water|too hot to touch|scalding|ice cold",
    # what poisons them
    "poison": "bleach|soap|soapy|detergent|washing up liquid|dish soap|dish liquid|pesticide|"
    "pesticides|insecticide|herbicide|weedkiller|weed killer|fungicide|spray|sprayed|sprayer|"
    "sprays|spraying|paint|thinner|diesel|petrol|gasoline|kerosene|oil|antifreeze|disinfectant|"
    "cleaner|chlorine|chlorinated|chloramine|copper|solvent|slurry|manure|runoff|run - off|"
    "fertiliser|fertilizer|varnish|glue|concrete|cement|rat poison|slug pellets|mosquito killer|"
    "fly spray|medicine|medication|alcohol|perfume|sanitiser|sanitizer|shampoo|wormer|poison",
    "chemical": "acid|base|potash|lime|hydroxide|bicarbonate|ph down|ph up|ph minus|ph plus|"
    "muriatic|hydrochloric|phosphoric|sulphuric|sulfuric|vinegar|citric|caustic|lye|soda|nitric|"
    "chelate|peroxide|permanganate|salt",
    "spilled": "put|poured|pour|spilled|spilt|spill|tipped|tip|fell|leaked|leaking|got|drifted|"
    "washed|filled|refilled|dumped|dropped|emptied|blew|ran|seeped|dripped|knocked|threw|thrown|"
    "went in|drained|splashed|dosed|sprayed|used|added|topped|flowed|came|contaminated|rinsed|"
    "forgot",
    "in the water": "in the tank|into the tank|in the pond|into the pond|to the pond|"
    "over the pond|in the water|into the water|in the sump|into the sump|in the system|"
    "into the system|in the fish tank|into the fish tank|filled it|fish|pond|topped up|"
    "water change|refilled|by mistake|by accident|accidentally|over the tank|on the tank|"
    "in my tank|into my tank|in it|straight in|straight into|filled|in my pond|into my pond|"
    "inside the tank|them|sump|tank|fell in|went in|got in|ran in|came in|blew in|leaked in|"
    "dripped in|the fish|all over|in there|fishpond",
    "too much": "overdosed|overdose|overdid|by mistake|by accident|accidentally|wrong bottle|"
    "ten times|tenfold|far too much|way too much|whole bottle|whole jug|entire bottle|"
    "whole container|straight in|straight into|neat|undiluted|double dose|whole bag|all at once|"
    "in one go|hundred times|instead of ml|wrong jug|misread|wrong decimal|a litre of|spilled|"
    "spilt|fell|without measuring|by eye|guessed|directly on|directly in|directly into|"
    "on the fish|straight on|misjudged|miscalculated|double|triple|five times|twice the|"
    "no idea how much",
    "poisoned": "poisoned|poisoning|gassed|cooked|boiled|suffocated|killing",
    "victims": "them|fish|tilapia|trout|carp|koi|all of them|goldfish|perch|catfish",
        # people
    "buzz": "buzz|buzzes|buzzing|buzzed|shock|shocks|shocked|zap|zaps|zapped|prickle|prickles|"
    "prickling|prickly|jolt|jolts|stings|sting|stinging|kicks|kicked|fizz|fizzes|fizzing|numb|"
    "electricity|electric|vibrates|vibrating|vibration|pricks|twitch|twitches|pulse|tickles|"
    "tickle|tickling|tingle|tingles|tingled|tingling|tingly|zing|zings|crackle|crackles|static|"
    "tickled|stung|zinged|pricked|shocking",
    "touching": "hand|hands|finger|fingers|arm|arms|elbow|touch|touched|touching|touches|dip|"
    "dipped|reach|reached|frame|metal|casing|stand|wet|barefoot|grabbed|fingertips|tongue|toes|"
    "feet|foot|shocks me|skin|palms|rinsing|rinse|wash|water|tank|sump|shoes|lid|rack|edge|"
    "barehanded|bare hands|bare feet|wife|husband|daughter|son|gave|gives",
    "metal": "frame|stand|casing|metal|case|housing|rack|shelf|shelves|support|pipework|tap|"
    "railing|steel|table|water|lid|aluminium|aluminum",
    "live": "live|under voltage|under tension|energised|energized|volts",
    "wiring": "socket|sockets|plug|plugs|adaptor|adapter|power strip|extension|cord|cable|cables|"
    "wire|wires|wiring|fuse box|timer box|timer|power bar|lead|junction box|plug board|"
    "transformer|power supply|multi plug|light fitting|lamp|switch|charger|breaker|pump|heater|"
    "light strip|strip light|torch|radio|fan|air pump|adaptor plug|grow light|kettle",
    "unsafe": "wet|hot|melted|melting|scorched|burnt|burning|burned|smoking|smoke|smokes|sparks|"
    "sparking|sparked|spark|sizzling|crackling|crackles|chewed|bare|exposed|frayed|hissing|soaked|"
    "in the water|under water|in water|into the water|into the tank|in the tank|dripping on|"
    "flames|fire|charred|blackened|browned|dangling|flooded|into the sump|in the sump|"
    "into the pond|in the pond|nibbled|smouldering|fell in|fell into|dropped in|dropped into|"
    "slipped into|slipped in|knocked into",
    "heater": "heater|heaters|heating rod|heating element",
    "shattered": "broken|cracked|shattered|exploded|smashed|split|burst|broke|in pieces|leaking",
    "breaker": "breaker|breakers|rcd|gfci|fuse|fuses|trip switch|circuit breaker|ground fault",
    "trips": "trips|tripped|tripping|went|pops|popped|popping|blows|blew|blowing|goes|jumps|"
    "keeps going|kicks out|cuts out|flips|flipped|trip",
    "cord": "cable|cord|wire|wires|lead|flex|plug|insulation|extension cord|power cord",
    "damaged": "cut|damaged|nick|nicked|chewed|gnawed|split|crack|cracked|broken|torn|puddle|"
    "brittle|peeled|worn through|bitten|crushed|melted|stripped|rat|mouse",
    "strong acid": "acid|lye|caustic|muriatic|hydrochloric|sulphuric|sulfuric|hydroxide|"
    "drain cleaner|brick cleaner|bleach|chlorine tablets",
    "erupted": "spat|spit|boiled|boiled up|boiling|splattered|exploded|erupted|fumed|fuming|"
    "foamed over|bubbled over|white cloud|green smoke|smoke|smoked|smoking|white smoke|"
    "yellow smoke|cloud|mist|steam|steamed|burst|leaked|leaking|cracked|knocked over|spilled|"
    "spilt|spill|tipped over|broke|sprayed me|sprayed|overflowed",
    "limb": "hand|hands|finger|fingers|thumb|arm|arms|leg|foot|wrist|tongue|lips|knee|palm|elbow|"
    "shin|toe|cut|wound|throat|chest|forearm|forearms|ankle|hair|sleeve",
    "infected": "swollen|swelling|swelled|infected|infection|pus|fever|red line|turning red|numb|"
    "blisters|blistered|blister|badly cut|deep cut|bleeding|bleeds|bled|stitches|throbbing|"
    "turning black|turning blue|burning",
    "racing": "go|going|moving|move|very fast|fast|quick|quickly|rapidly|nonstop|non stop",
    "removed": "take out|taking out|took out|pull out|pulled out|pulling out|picked out|"
    "fished out|fish out|netted out|scooped out|removed|removing|buried|burying|binned|counted|"
    "count|found|skimmed|lifted out|net out",
    "heater alone": "heater|chiller|cooler|heating|heat pump|boiler|immersion",
    "gave out": "failed|died|broke|dead|quit|stopped|fails|off|gone|broken|gave up|out",
    "toxin": "ammonia|amonia|nitrite|nitrites|ammonium|chlorine",
    "extreme": "off the chart|off the charts|off the scale|off - the - chart|darkest|"
    "highest colour|highest color|maxed out|maxed|through the roof|deadly|lethal|crashed|sky high|"
    "sky - high|as dark as|top of the scale|deep green|very dark|insane|insanely|way over|"
    "beyond the|dangerously|toxic|plummeted|shot up|skyrocketed|highest|out of range|"
    "end of the scale|critical|so dark|black|blackest|dark green|deep blue|darker than|"
    "very darkest|darkest colour|darkest blue|bright green|dark blue|dark purple|purple|violet|"
    "brick red",
    "depth": "cm|centimetres|inches|inch|hand|puddle|mud|litres|liters|gallons|water|bottom",
    "remaining": "left|remaining|remain|remains",
    "burst": "leaking|burst|cracked|split|leaky|ruptured|crack|hole|collapsed|broken|overflowing",
    "clothes": "glove|gloves|shirt|trousers|boot|boots|socks|clothes|jacket|sleeve|apron",
    "caught": "stuck in|caught in|trapped in|pinned|caught between|stuck between",
    "dripping": "dripping on|dripping onto|dripping on to|dripping into|running into|running onto|"
    "leaking onto|leaking into|leaking on|splashing on|splashing onto|drips on|drips onto|"
    "poured over|over the|running down|runs into|dripping down|dripped into|got into|gets into|"
    "pouring into|running over|ran into|ran down|leaks onto|flows over|wetting|soaking",
    "caustic": "acid|lye|caustic|potash|hydroxide|lime|muriatic|hydrochloric|phosphoric|sulphuric|"
    "sulfuric|nitric|citric|quicklime|bleach|chlorine|peroxide|cleaner|alkali|ph down|ph up|"
    "ph minus|ph plus|vinegar|ammonia|permanganate|formalin|battery acid|drain cleaner|granules|"
    "descaler|reagent|reagents|test solution|indicator",
    "body": "eye|eyes|skin|face|lip|lips|mouth|throat|lungs|chest|leg|legs|arm|arms|foot|feet|"
    "finger|fingers|nose|cheek|tongue|lap|hand|hands|knee|forehead|wrist|neck|thigh|him|her|"
    "himself|herself|myself|scalp|hair|palm|palms",
    "contact": "in|on|into|onto|over|down|burn|burns|burning|burned|burnt|sting|stings|stinging|"
    "splashed|splash|splashes|splattered|spilled|spilt|got|gets|ran|dripped|rinse|rinsed|rinsing|"
    "rinses|blister|blisters|tight|hurts|hurting|white|red|itching|itches|swollen|raw|sprayed|"
    "squirted|all over|flew|spattered|rubbed",
    "ate": "ate|eaten|swallowed|drank|drunk|licked|lick|sipped|sip|ingested|swallow|gulped|chewed|"
    "tasted|in his mouth|in her mouth|in their mouth|in the mouth|in my mouth|bit into|sucked|"
    "mouthful|put in mouth|sucked on|chewed on|put a|taste|tried",
    "not food": "acid|lye|caustic|potash|hydroxide|lime|muriatic|hydrochloric|phosphoric|citric|"
    "bleach|chlorine|peroxide|cleaner|ph down|ph up|ph minus|ph plus|ammonia|granules|tablets|"
    "tablet|chemical|chemicals|crystals|pesticide|weedkiller|slug pellets|test kit|reagent|"
    "reagents|capsule|silica|fertiliser|fertilizer|tank water|pond water|sump water|medicine|"
    "poison|pipette|dropper|lime powder|oil|petrol|diesel|granule|wrong bottle|wrong jar|"
    "wrong cup|wrong glass",
    "meal": "ate|eaten|eating|salad|lettuce|meal|dinner|lunch|supper|basil|greens|cress|drank|"
    "kale|fillet|sashimi|swallowed|tasting|tasted|strawberries|tomatoes|radishes|sandwich|"
    "drinking",
    "sick": "vomiting|vomit|vomited|vomits|throwing up|threw up|cramps|diarrhoea|diarrhea|"
    "stomach ache|stomach pain|puking|puked|got sick|got ill|felt sick|feel sick|feel ill|"
    "been sick|food poisoning|feverish|hives|nausea|the runs|tummy ache|feeling weird|feel weird|"
    "feeling ill|feeling sick|feeling funny|feel strange|tongue is|lips are|tummy pain|"
    "belly cramps|stomach pains|belly pain|fever|bad stomach|upset stomach|bellyache",
    "fumes": "fumes|fume|vapour|vapours|vapor|mist|gas|co2|carbon dioxide|monoxide|whiff|lungful|"
    "dust|smoke|cloud|breathed in|breathed|inhaled|breathing in|exhaust|chlorine|ammonia|acid|"
    "bleach|cleaner|smell|smells|smelled|stink|stinks|sulphur|sulfur|generator|burner|heater|"
    "stove|charcoal|sludge|digester|septic|settler|filter|lime|propane|butane|paraffin|engine|egg|"
    "eggs|closed shed|muriatic|drum|anaerobic|pit|cellar|barrel|tunnel|mixing|mixed|swimming pool",
    "unwell": "cough|coughing|coughs|coughed|wheeze|wheezing|wheezy|tight|dizzy|dizziness|sick|"
    "faint|fainted|fainting|headache|headaches|head hurts|head aches|nausea|nauseous|burning|"
    "hurts|choking|choked|passed out|pass out|lightheaded|light headed|light - headed|woozy|"
    "drowsy|blacked out|collapsed|queasy|can't breathe|cannot breathe|short of breath|burns|"
    "stings|sore|watering|streaming|can't get air|unconscious|confused|sleepy|gave way|buckled|"
    "went black|gave out|talking nonsense|slurring|staggering|eyes water|eyes are watering|"
    "eyes watering|eyes run|eyes sting|eyes burn|gasping for breath|knees gave|vomited|threw up|"
    "throw up",
    "gas": "gas|co2|carbon dioxide|monoxide|bottle|cylinder|chlorine|propane|co",
    "warning": "alarm|detector|beeping|hissing|hisses|leaking|went off",
    "person": "kid|kids|child|children|toddler|baby|boy|girl|son|daughter|pupil|pupils|student|"
    "wife|husband|dad|mum|mom|grandpa|grandma|grandson|granddaughter|nephew|niece|brother|sister|"
    "friend|neighbour|neighbor|colleague|somebody|someone|dog|puppy|mate|helper|volunteer|he|she|"
    "uncle|aunt|father|mother|teacher|partner|gardener|worker|man|woman|guest|visitor",
    "badly off": "unconscious|collapsed|fainted|bleeding|electrocuted|vomiting|throwing up|"
    "threw up|choking|drowned|drowning|can't breathe|not breathing|isn't breathing|"
    "stopped breathing|passed out|swallowed|fell in|fell into|burned|burnt|blue lips|seizure|"
    "not responding|unresponsive|rash|blisters|trapped|slipped in|slipped into|under the water|"
    "fell head|under water|went under|hurt|isn't moving|not moving|won't wake|doesn't wake|"
    "hit his head|hit her head|slipped off|can't stand|shaking all over|mouth is blue|"
    "lips are blue|drooling|screaming|crying in pain|in pain|talking nonsense|confused|drowsy|"
    "hurt badly|badly hurt|caught in",
}  # fmt: skip
