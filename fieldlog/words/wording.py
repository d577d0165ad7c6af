"""Fixed sentences of a service record, and plain words for the names that records carry."""

from fieldlog.model.outlets import NAMES

SIGNED_RECORD_FILE = "signed-record.json"
"""What the signed record is called within the PDF that carries it."""

HEADLINE = "Entered by the owner. Not an inspection."
CAUTION = (
    "Everything here was noted by the person who used the rig, with the instruments at hand. "
    "Nobody else has looked at it. What was not tested is said to be not tested. "
    "Work on wiring follows the local code and belongs to a licensed electrician."
)
PLACES_LEFT_OUT = "Where the rig stood is left out on purpose."
PICTURES_CHOSEN = (
    "Photos that the owner chose to show, each with what they noted of it; nothing here can tell whether a "
    "picture shows that. Each was drawn anew and smaller, without what a camera writes beside it, so that "
    "its hash is not that of the photo as it was sent."
)
NO_PICTURE_NOTED = "Not noted: no photo belongs to the rig’s own record."
PICTURES_BEYOND = "A record shows {most} pictures at most. Not shown: the photos of entries {entries}."
PICTURES_OF_PLACES = (
    "Not shown, as pictures of a pedestal tell where the rig stood: the photos of entries {entries}, "
    "noted with checks on arrival."
)
NOT_ARRIVED = "This photo has not reached the server, so it is not shown."
NOT_READABLE = "This photo is missing where photos are kept, or damaged there, so it is not shown."
JUDGED_ANEW = (
    "Each verdict is the one given at the time. Findings and ohms are computed anew from the readings, "
    "by the rulebook named at the end."
)
BY_THE_YEAR = (
    "This log is long. Tests, looks, photos, corrections and the steps of changes are listed from {day} on; "
    "what is older is counted here. Every entry stays in the log, and what is open is judged by all of it."
)
WHAT_THE_CODE_OPENS = "It shows what the owner shares by it, or says whose it is. The owner can end it."
ASKED_OF_THE_LOG = "Told by what is noted in the log alone; what is not noted may be there or not."
CARRIES_THE_SIGNED = (
    "This file carries the signed record that it was drawn from. What the pages say proves nothing: "
    "the page /verify of any such server, or fieldlog verify, reads the file and says what holds."
)
NOTHING_OPEN = "Nothing is open: every outlet and device noted here was tested, and nothing is overdue."
NOTHING_NOTED = "No outlet and no ground-fault device is noted yet, so nothing here was tested."

CLOCK_WAS_OFF = (
    "The phone’s clock was more than 5 minutes off when these were sent; their times may be off as much."
)
CORRECTED_APART = "corrected twice, without knowing of each other"
COUNTS = "It was made last, by the phones’ clocks, and counts until a correction settles it."
STANDS_BESIDE = "It stands beside the one that counts."

INSTEAD_OF_A_VERDICT = "No verdict"
VERDICTS = {
    "use": "use",
    "use-limited": "use with limits",
    "test-more": "test more",
    "do-not-use": "do not use",
}
STEPS = {
    "look": "looking at it first",
    "loaded": "reading under load",
    "near": "holding a non-contact detector to it",
    "continuity": "continuity, with the source stopped",
    "trip": "pressing TEST",
    "meter_proved": "proving the meter",
    "tripped": "whether it trips",
    "face_dead": "whether its own face goes dead",
    "reset": "whether it resets",
    "outlets": "what else goes dead",
    "skin": "the rig's skin",
    "inside": "volts inside",
}
OUTCOMES = {"good": "good", "bad": "bad", None: "not tested"}
LOOKED_AT = {"outlet": "an outlet", "cord": "the cord", "inlet": "the inlet", "alarms": "the alarms"}
LOOKED_AT |= {"skin": "the rig’s skin", "surge": "the surge protector"}
LOOKED_AT |= {"set": "the conductors", "set-look": "the outside"}
SET_RULE = (
    "Each is looked at before each day’s use, and tested before first use, after a repair, after what may "
    "have hurt it, and every 3 months, or 6 where it is fixed and not exposed to damage. "
    "29 CFR 1926.404(b)(1)(iii) asks this on construction sites, of employers; to follow it here is the "
    "owner’s own choice."
)
UNITS = {"ohm": "Ω", "Mohm": "MΩ"}
"""How a unit is written that a record names in letters; any other stands as it is."""
STATES = {"as-found": "as found", "unplugged": "everything else unplugged", "breaker-off": "breaker off"}


def pair_words(pair: str) -> str:
    """Give a pair of contacts in words: "h-n" is "hot–neutral"."""
    return "–".join(NAMES.get(contact, contact) for contact in pair.split("-"))


def begun(text: str) -> str:
    """Give a text as a line begins: its first letter large, all others as they are."""
    return text[:1].upper() + text[1:]


def contact_words(place: str) -> str:
    """Give in words where a non-contact detector was held: at a contact, or at the rig's skin."""
    return NAMES.get(place, place)


def step_words(step: str) -> str:
    """Give a step of a test in words: "volts.h-n" is "volts hot–neutral"."""
    quantity, _, pair = step.partition(".")
    if pair:
        return f"{quantity} {pair_words(pair)}"
    return STEPS.get(step, step)


DRAWN_BY_ITS_OWNER = "The map as its owner drew it; nobody else has looked at the wiring."
DRAWN_FROM_THE_LIST = "No map is drawn; this is what the list of outlets and devices says of it."
HOW_THE_TREE_READS = (
    "Each part stands below what feeds it. A thick line beside an outlet: the map names a guard, and no trip "
    "test disproved it. A broken line: nothing guards it in some way the rig is fed, or a trip test says "
    "otherwise."
)
HOW_A_CHART_READS = (
    "Each dot is a reading, the bar through it what it may be off by; of each outlet and device one quantity "
    "is drawn, of the newest 36 tests. Broken lines are limits, dotted ones the days on which something "
    "changed."
)
