"""What askers call the things they measure, and which values are possible at all."""

from .tokens import phrase_table, words

NAMES = phrase_table(
    {
        "ph": "p h|phs|acidity|ph wert|ph - wert|ph|p.h.|p.h|ph's|ph level|ph levels|ph reading|"
        "ph value",
        "ammonia_mg_l": "amm|ammo|ammonnia|amonnia|ammoniak|amoniaco|amoníaco|ammonia level|"
        "ammonia levels|ammonia reading|ammonia|ammonia's|amonia|ammonium|amonium|nh3|nh4|tan|"
        "total ammonia|total ammonia nitrogen|ammonia nitrogen|nh3 / nh4|nh4 / nh3|nh3 - nh4",
        "nitrite_mg_l": "trites|trite|nirtite|nitirite|nitrito|nitritos|nitrite level|"
        "nitrite levels|nitrite|nitrites|nitrite's|nitrit|no2|nitrite nitrogen",
        "nitrate_mg_l": "trates|trate|nitrato|nitratos|nirtate|nitrate level|nitrate levels|"
        "nitrate|nitrates|nitrate's|nitrat|no3|nitrate nitrogen",
        "alkalinity_mg_l_caco3": "carbonate alkalinity|bicarbonate alkalinity|"
        "bicarbonate hardness|alkalinity|total alkalinity|alk|kh|dkh|carbonate hardness|"
        "alkalinity ( kh )|kh ( alkalinity )|carbonate hardness ( kh )",
        "oxygen_mg_l": "oxygen|dissolved oxygen|d.o.|d.o|o2|oxygen level|oxygen levels|"
        "dissolved oxygen ( do )|do level|do levels|do reading|do meter",
        "temperature_c": "temperatur|temperatura|température|wassertemperatur|temp|temps|"
        "temperature|temperatures|water temp|water temperature|tempt|thermometer|temp's|"
        "temperature's",
        "fish_count": "number of fish|fish count|stock of fish|fish :|fish =|tilapia :|trout :|"
        "koi :",
        "": "gh|dgh|general hardness|hardness|total hardness|tds|ec|salinity|phosphate|phosphates|"
        "phosphorus|po4|potassium|iron|calcium|magnesium|co2|carbon dioxide|chlorine|chloramine|"
        "orp|humidity|copper|unionised ammonia|unionized ammonia|un - ionised ammonia|"
        "un - ionized ammonia|free ammonia|toxic ammonia|ppt|turbidity|ph down|ph up|ph minus|"
        "ph plus|oxygen saturation|do saturation|ammonium chloride|potassium nitrate|"
        "calcium nitrate|ammonia solution",
    }
)
FORMS = phrase_table(
    {
        "N": "as n|- n|nitrogen|tan|nh3 - n|nh4 - n|no2 - n|no3 - n|nh3n|nh4n|no3n|no2n",
        "NH3": "nh3",
        "NH4": "nh4|ammonium|amonium",
    }
)
FISH = phrase_table(
    {
        "fish": "plecos|pleco|tambaqui|pacu|mullet|milkfish|gourami|gouramis|crucians|sunfish|"
        "walleye|loach|loaches|danios|oscars|oscar|crappie|bullheads|bullhead|orfe|orfes|rudd|"
        "zander|pike|char|arowana|cods|basses|perches|juveniles|spawners|breeders|barramundis|"
        "sturgeons|snakehead|snakeheads|guppy|molly|mullets|fishs|tilapia's|trouts|graylings|"
        "grayling|eel|fish|fishes|fishies|tilapia|tilapias|trout|carp|carps|koi|kois|goldfish|"
        "goldfishes|catfish|perch|barramundi|barra|bass|bluegill|bluegills|fingerlings|fingerling|"
        "fry|cod|guppies|mollies|minnows|pangasius|sturgeon|eels|tench|roach|cichlids|cichlid|"
        "salmon|shubunkins|comets|tetras|platies|swordtails|rohu|catla|silver perch|jade perch",
    }
)
FISH_TRAITS = words(
    "ish - yellow odd lonely single solitary fat old "
    "hungry happy lovely school wild farmed imported assorted mixed various half plain "
    "new small big large baby young adult little live red nile blue black white rainbow silver "
    "jade gold golden juvenile medium healthy hybrid common mozambique mature grown tiny fully "
    "full of my our the remaining + or so sized size ornamental channel striped murray"
)
NOT_FISH = words(
    "tank tanks pond ponds food feed farm farms waste keeper species types pellets per poop bowl "
    "net nets house bath"
)
POSSIBLE: dict[str, tuple[float, float]] = {
    "ph": (1.0, 14.0),
    "temperature_c": (-2.0, 45.0),
    "ammonia_mg_l": (0.0, 100.0),
    "nitrite_mg_l": (0.0, 100.0),
    "nitrate_mg_l": (0.0, 1000.0),
    "alkalinity_mg_l_caco3": (0.0, 2000.0),
    "oxygen_mg_l": (0.0, 25.0),
    "flow_l_h": (1.0, 1e6),
    "volume_l": (5.0, 1e7),
    "feed_g_day": (0.1, 1e6),
    "fish_count": (1.0, 1e6),
    "dose": (0.001, 1e6),
}
DISSOLVED = frozenset(("ammonia_mg_l", "nitrite_mg_l", "nitrate_mg_l"))
IN_MG_L = DISSOLVED | {"alkalinity_mg_l_caco3", "oxygen_mg_l"}

FILLERS = words(
    "jumping swinging wobbling bouncing wandering drifting hanging living lives "
    "pen tester sensor monitor controller stick sticks drops card liquid school club pond's "
    "greenhouse aquarium setup big small main first whole little goes moves climbs changes slides "
    "drifts wanders said gave told wise flat sitting's seems looks is are was were at of about "
    "around approximately approx roughly now currently reading readings reads read level levels "
    "value still only just like sitting sits sit sat stuck staying stays stay stayed steady "
    "hovering hovers hover holding holds showing shows showed shown says say saying tested tests "
    "testing test measured measures measuring measure came comes coming out back in up down to "
    "went gone go has been have had being be between from under over above below than less more "
    "nearly almost exactly the my a an our as high low too very really always usually constantly "
    "consistently today tonight yesterday this that which it it's its both all somewhere range "
    "ranges ranging ranged swings fluctuates fluctuating varies anywhere anything meter kit strip "
    "strips probe tank water fish system pond sump side there there's dropped rose risen climbed "
    "jumped fell fallen crept spiked shot dropping rising rises keeps kept keep running runs run "
    "registering registers max min got getting gets get i i've we for with on off total "
    "concentration mine morning evening night afternoon right normal maybe perhaps probably "
    "apparently since then ca circa near close measurement so far and's results result he's bit "
    "of's slightly started starts used hit hits hitting reached reaches around's pretty fairly "
    "quite rather approximate settled settles crashed bounces bounced returned returns you your "
    "should must needs need target ideal ideally want would could optimal best aim aiming wants "
    "become became did lowered raised brought bring lower raise reduce increase increased "
    "decrease decreased adjusted set won't can't never don't doesn't isn't climbing falling going "
    "creeping mine's ours fine ok okay good drop climb rise fall move last week month actual "
    "neutral acidic alkaline stable bad perfect great correct"
)
LINKS = words(
    "is are it's its now today currently reads read reading at to went was dropped rose climbed "
    "jumped fell showing shows measured tested mine mine's actual tank water system it pond sits"
)
FILLER_MARKS = frozenset(
    (".", ":", "=", "≥", "≤", "~", "-", "(", ")", "<", ">", "≈", ",", '"', "*", "±", "'")
)
SAFE_AFTER_TOPIC = words(
    "over overnight within "
    "flat exactly even spot too pretty somehow already but and or in at after since today now for "
    "which is while so with again this on when then still instead as yesterday last before vs ish "
    "from by i it the my what why how should can any because if please help though although "
    "according despite out right constantly all tonight most every"
)
