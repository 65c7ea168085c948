"""What the people of a house are told about looking after a stove, by fuel and by country.

Everything here is common practice unless a source stands beside it, and every figure carries its source as
the rule books do: kind, reference, and whether it was read, is second-hand or from memory. The maker's book
comes first, and the sheet says so.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from jobs.models import Country, Fuel

#: A sentence and the source of the figure in it; "" where there is no figure.
Point = tuple[str, str]
PRACTICE_READ, PRACTICE = "common practice (read)", "common practice (memory)"
_PELLET_STANDARD = "ISO 17225-2, class A1 (memory)"

#: {moisture}, {meter} and {moisture_source} come from the rule book of the house.
FUEL: Mapping[str, tuple[Point, ...]] = MappingProxyType(
    {
        Fuel.WOOD: (
            ("Burn only dry, untreated wood: at most {moisture} water, as it weighs.", "{moisture_source}"),
            ("Wet wood burns cold. Its steam and tar settle in the flue, and the tar can catch fire.", ""),
            (
                "To measure, split a log and press the meter into the fresh face. Most meters show the dry"
                " basis: {meter} on such a meter is {moisture}.",
                "wet = dry / (1 + dry), {moisture_source}",
            ),
            ("Split it and stack it under a roof, open to the wind, for one to two years.", PRACTICE),
        ),
        Fuel.PELLETS: (
            ("Burn only the pellets the maker’s book names, bought in bags that name their class.", ""),
            ("The best class holds at most 10 % water, as it weighs.", _PELLET_STANDARD),
            ("Keep the bags dry and off the floor. Damp pellets swell, jam the feed and burn cold.", ""),
            ("Dust burns badly too: leave it in the bag. A pellet that snaps clean is a dry one.", PRACTICE),
        ),
        Fuel.SMOKELESS: (
            ("Burn only the smokeless fuel and the size of it that the maker’s book names.", ""),
            ("House coal and petroleum coke burn too dirty or too hot for it.", PRACTICE),
            ("Keep it dry. Damp fuel makes acid that eats the flue.", PRACTICE),
        ),
        Fuel.COAL: (
            ("Burn only the kind and size of coal that the maker’s book names.", ""),
            ("Coal soot is sour and thick: it blocks and eats a flue that is not swept.", PRACTICE),
            ("Keep it dry, and never mix it with wood in one fire.", PRACTICE),
        ),
    }
)
SMOKE_CONTROL: Mapping[str, Point] = MappingProxyType(
    {
        Fuel.WOOD: ("In a smoke control area the stove itself must be an exempt one.", "UK law (memory)"),
        Fuel.SMOKELESS: ("In a smoke control area burn authorised fuel only.", "UK law (memory)"),
        Fuel.COAL: ("Never burn house coal in a smoke control area.", "UK law (memory)"),
    }
)
_SMELL = "Paint and oil smell when they are first heated: open a window. It passes."
FIRST: Mapping[str, tuple[Point, ...]] = MappingProxyType(
    {
        Fuel.PELLETS: (
            ("Run it low the first two or three times and let it go cold between.", PRACTICE),
            (_SMELL, ""),
        ),
        "other": (
            ("Make three small fires before the first large one, and let it go cold between them.", PRACTICE),
            (_SMELL, ""),
        ),
    }
)
_NO_POURING = "Never light or help a fire with anything poured: no petrol, spirit or oil."
LIGHTING: Mapping[str, tuple[Point, ...]] = MappingProxyType(
    {
        Fuel.WOOD: (
            ("Open all air. Lay two or three split logs, kindling across them, a firelighter on top.", ""),
            ("Lit from above, it burns downwards and hardly smokes.", PRACTICE),
            (_NO_POURING, ""),
        ),
        Fuel.PELLETS: (
            ("Empty the burn pot, close the door and let the stove light itself.", ""),
            ("It does not light? Switch it off, let it go cold, empty the pot. Add nothing by hand.", ""),
            (_NO_POURING, ""),
        ),
        "other": (
            ("Open all air. Light kindling on the bare grate; add fuel a little at a time.", ""),
            ("Wait until each layer glows before the next.", PRACTICE),
            (_NO_POURING, ""),
        ),
    }
)
RUNNING: Mapping[str, tuple[Point, ...]] = MappingProxyType(
    {
        Fuel.WOOD: (
            ("Keep bright flames. Put on one or two logs at a time, onto glowing embers.", PRACTICE),
            ("Never shut the air so far that it slumbers, least of all overnight: that makes tar.", ""),
        ),
        Fuel.PELLETS: (
            ("A bright, lively flame is right. A lazy, dark one means a dirty pot or little air.", PRACTICE),
            ("The power fails? Leave the door shut until it is cold.", ""),
        ),
        "other": (
            ("Riddle the grate before you add fuel, and never fill above the fire bricks.", PRACTICE),
            ("After adding fuel leave the air open until flames show: gas that has gathered can flash.", ""),
        ),
    }
)
DOOR = "Keep the door shut but for adding fuel."
GUARD = "Keep a guard in front of the fire, and stay with it while it burns."
TOO_HOT = "Metal glows red? Shut all air, add nothing, and ring us before the next fire."
ASH: tuple[Point, ...] = (
    ("Put ash in a metal can with a tight lid. Never in a bag, a box or a plastic bin.", ""),
    (
        "Stand the can outside on stone or bare ground, {10 ft|3 m} or more from the house, deck and"
        " anything that burns.",
        PRACTICE,
    ),
    ("Leave it there, shut, for at least four days. Embers stay alive for days.", PRACTICE),
)
_PRESS = "Press the button of every smoke and carbon monoxide alarm"
#: Country -> how often the button is pressed, and who says so.
ALARM_TEST: Mapping[str, Point] = MappingProxyType(
    {
        Country.US: (f"{_PRESS} once a month.", "NFPA 72 (memory)"),
        Country.CA: (f"{_PRESS} once a month.", PRACTICE),
        Country.GB: (f"{_PRESS} once a week.", PRACTICE),
    }
)
ALARMS: tuple[Point, ...] = (
    ("Carbon monoxide cannot be smelt. Headache, sickness, sleepiness that fresh air cures: get out.", ""),
    ("Replace each alarm by the date on its back; a smoke alarm after ten years at most.", PRACTICE),
)
ALARM_SOUNDS = (
    "Everybody out into fresh air at once.",
    "Ring {number} from outside.",
    "Stay out until the fire service says it is safe. Then ring us: no fire before we have looked.",
)
CHIMNEY_FIRE = (
    "A roar, sparks from the top, a shaking or glowing pipe: the chimney burns.",
    "Everybody out. Ring {number}.",
    "Only if you can do it safely on the way: shut the door and all air of the stove.",
    "Never pour water on it: a hot flue bursts.",
    "No fire again before it has been swept and inspected, however small it was.",
)
NEVER: tuple[str, ...] = (
    "Burn rubbish, plastic, chipboard, painted or treated wood.",
    "Dry clothes or stack fuel inside the clearances below.",
    "Block or tape over an air vent, or run a strong extractor fan while it burns.",
    "Leave children alone with it. Glass and pipe burn skin in a moment.",
    "Change, cut or box in any part of the stove, its pipe or its chimney.",
)
RING_US: tuple[str, ...] = (
    "Smoke or smell in the room, or a fire that will not draw.",
    "A cracked glass, brick or casting; a door seal that lets paper slide through.",
    "Black tar in pipe or stove, or dark, shiny flakes.",
    "Stains, rust or water on the chimney, the ceiling or the wall.",
    "A cap gone or bent, birds or leaves in it, loose flashing, a storm or an earthquake.",
)
