"""Names and figures of the parts in the elevation."""

from __future__ import annotations

from calcs.drawing import inks
from calcs.drawing.figures import appliance_clearances
from calcs.drawing.flue import appliance_at, brace_heights, flashing_top
from calcs.drawing.house import MEMBER_THICKNESS
from calcs.drawing.marks import Label
from calcs.drawing.scene import RIGHT, Scene
from calcs.drawing.vault import vault_labels

NOT_KNOWN = "not known"


def labels_of(scene: Scene) -> list[Label]:
    """Labels from the cap down to the appliance."""
    return [*_roof_labels(scene), *_attic_labels(scene), *_room_labels(scene)]


def _roof_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half = scene.outer / 2
    found = [Label(scene.at(half * 0.6, scene.outlet + 0.16), "Cap")]
    termination = plan.termination
    if termination is None:
        found.append(Label(scene.at(half, scene.required), "Height above the roof", NOT_KNOWN, inks.WARNING))
    else:
        found.append(
            Label(
                (RIGHT - 26, scene.at(0, scene.required)[1]),
                "Outlet at least this high",
                f"{say.dimension(termination.height_above_penetration, 'up')} above the penetration; "
                f"{termination.governed_by} governs",
                inks.REQUIRED,
            )
        )
    braces = brace_heights(scene)
    if braces:
        sets = "" if len(braces) == 1 else f"{len(braces)} sets"
        found.append(Label(scene.at(half + 0.03, braces[0]), "Brace", sets))
    crown = flashing_top(scene)
    found.append(Label(scene.at(half, crown), "Storm collar", "sealed around its top"))
    reach = scene.opening / 2 + 0.08
    hole = plan.roof_opening
    pitch = NOT_KNOWN if "rise" in scene.assumed else say.pitch(scene.slope * 12)
    # The deck's thickness is in it where it is known, as in the limit and the finding.
    size = "" if hole is None else f"; hole {say.least(hole.across)} x {say.least(hole.along_square_cut)}"
    found.append(Label(scene.at(reach, scene.roof_at(reach) + 0.02), "Flashing", f"slope {pitch}{size}"))
    return found


def _attic_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half, found = scene.opening / 2, []
    inner, outer = plan.chimney.inner_diameter, plan.chimney.outer_diameter
    if inner is not None and outer is not None:
        gap = plan.chimney.clearance
        detail = f"{say.length(inner)} inside, {say.length(outer)} outside"
        detail += f"; {say.least(gap)} clear all round" if gap is not None else f"; clearance {NOT_KNOWN}"
    else:
        detail = f"size {NOT_KNOWN}"
    crown = flashing_top(scene)
    anchor = scene.at(scene.outer / 2 - 0.02, crown + (scene.outlet - crown) * 0.28)
    found.append(Label(anchor, "Chimney", detail))
    if scene.vaulted:
        return [*found, *vault_labels(scene)]
    if plan.enclosure and plan.shield is not None:
        found.append(
            Label(
                scene.at(half + 0.01, scene.framing_top + plan.shield.height_low * 0.5),
                "Enclosure, full height",
                f"{say.most(plan.shield.height_low)} low side, {say.most(plan.shield.height_high)} high "
                "side; the shield does not fit",
            )
        )
    elif plan.attic_protection == "shield" and plan.chimney.shield_height is not None:
        found.append(
            Label(
                scene.at(half, scene.framing_top + plan.chimney.shield_height * 0.7),
                "Attic insulation shield",
                f"{say.length(plan.chimney.shield_height)} high; never cut down",
            )
        )
    else:
        found.append(
            Label(scene.at(half, scene.framing_top + 0.06), "Shield or enclosure", NOT_KNOWN, inks.WARNING)
        )
    found += _ceiling_labels(scene)
    return found


def _ceiling_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    half, found = scene.opening / 2, []
    depth = plan.survey.insulation_depth
    if depth is not None and depth > 0 and scene.insulation_top is not None:
        x = min(half + 0.3, scene.eave - 0.1)
        above = max(scene.framing_top, scene.framing_bottom + depth * 0.5)
        found.append(
            Label(scene.at(x, min(above, scene.insulation_top)), "Insulation", f"{say.length(depth)} deep")
        )
    if plan.opening is None:
        detail = f"opening {NOT_KNOWN}"
    else:
        detail = f"{say.least(plan.opening)} square opening"
        if plan.bay_clear is not None:
            detail += f" in a {say.length(plan.bay_clear)} bay"
    thick = plan.survey.member_thickness or MEMBER_THICKNESS
    found.append(
        Label(
            scene.at(half + thick * 0.5, (scene.framing_bottom + scene.framing_top) / 2),
            "Ceiling framing",
            detail,
        )
    )
    projection = plan.chimney.support_projection
    found.append(
        Label(
            scene.at(half * 0.7, (scene.ceiling + scene.first_joint) / 2),
            "Ceiling support",
            f"hangs {say.length(projection)} below the ceiling" if projection is not None else NOT_KNOWN,
        )
    )
    return found


def _room_labels(scene: Scene) -> list[Label]:
    plan, say = scene.plan, scene.say
    run = appliance_at(scene)
    size = plan.appliance.collar_diameter
    clear = plan.limits.get("connector.clearance")
    parts = [f"{say.length(size)} {plan.survey.connector_kind}" if size is not None else f"size {NOT_KNOWN}"]
    if clear is not None and clear.minimum is not None:
        parts.append(f"at least {say.least(clear.minimum)} to combustibles")
    low = 0.3 if run > 0 else 0.35
    connector = Label(
        scene.at(run + scene.connector / 2 - 0.02, scene.collar + (scene.first_joint - scene.collar) * low),
        "Connector",
        "; ".join(parts),
    )
    needs = appliance_clearances(plan, say)
    appliance = Label(
        scene.at(run + 0.28, scene.collar * 0.55),
        plan.appliance.name or "Appliance",
        f"clear: {', '.join(needs)}" if needs else f"clearances {NOT_KNOWN}",
    )
    return [connector, appliance]
