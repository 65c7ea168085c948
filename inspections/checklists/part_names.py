"""The parts of a system that items judge, so that one part is compared over kinds, versions and years."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: Part -> what people call it, in the order of a look round: from the hearth to the cap, then what is around.
PARTS: Mapping[str, str] = MappingProxyType(
    {
        "appliance": "Appliance",
        "clearances": "Clearances of the appliance",
        "hearth": "Hearth and floor protection",
        "air": "Air for the fire",
        "connector": "Connector",
        "flue": "Flue inside",
        "ceiling": "Ceiling support",
        "attic": "Chimney through attic or crawl space",
        "concealed": "Concealed parts",
        "masonry": "Masonry",
        "flashing": "Flashing and storm collar",
        "chimney": "Chimney above the roof",
        "cap": "Cap",
        "draft": "Draft",
        "alarms": "Alarms",
        "fuel": "Fuel",
        "papers": "Label and papers",
    }
)

#: What items of checklists from before parts were named judge, by the item's key. Their files stay as they
#: are, because records are pinned to every byte of them.
_BEFORE: Mapping[str, str] = MappingProxyType(
    {
        "before_photo": "appliance",
        "appliance_body": "appliance",
        "baffle": "appliance",
        "position_photo": "appliance",
        "clearances_kept": "clearances",
        "floor_protection": "hearth",
        "hearth_photo": "hearth",
        "air_ways": "air",
        "deposit_kind": "flue",
        "deposit_photo": "flue",
        "glaze_gone": "flue",
        "flue_inside": "flue",
        "flue_photo": "flue",
        "ceiling_part": "attic",
        "attic_photo": "attic",
        "shield_photo": "attic",
        "enclosure_photo": "attic",
        "support_photo": "ceiling",
        "roof_part": "chimney",
        "condition_photo": "chimney",
        "termination_photo": "chimney",
        "flashing_photo": "flashing",
        "collar_photo": "flashing",
        "sealing_photo": "flashing",
        "cap_clean": "cap",
        "cap_fixed": "cap",
        "cap_photo": "cap",
        "connector_swept": "connector",
        "connector_sound": "connector",
        "connector_photo": "connector",
        "spillage": "draft",
        "co_alarm": "alarms",
        "smoke_alarm": "alarms",
    }
)


def part_before(item: str) -> str:
    """Return the part an item judges whose checklist names none; empty where it judges no part."""
    return _BEFORE.get(item, "")
