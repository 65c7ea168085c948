"""What a do-not-use notice says, on paper, in the mail and on pages.

To put a stove out of use at once, to say so in writing and to tie a tag on it is common practice; that
whoever inspects a chimney reports what is a hazard is read second-hand of NFPA 211. The words are our own.
"""

from __future__ import annotations

WHAT_TO_DO = (
    "Do not light it, not even once.",
    "If it is burning: put no more fuel on, shut the door and let it go out by itself. Never pour water into"
    " it.",
    "Open windows and doors of the room until it is cold.",
    "Leave the tag on the appliance, and tell everybody who lives or stays in the house.",
)
HOW_IT_ENDS = (
    "It ends when the defect has been put right, looked at again and photographed, or when an inspector"
    " accepts it on the authority of somebody who may. We then write to you that this notice is lifted."
    " Nothing else lifts it: not a cold stove, not a repair nobody looked at."
)
WHO_MAY_USE_IT = "Nobody may use it before this notice is lifted in writing."


def emergency_words(number: str) -> str:
    """Return what to do when somebody is in danger now."""
    return (
        "If the carbon monoxide alarm sounds, or anybody has a headache, is dizzy, sick or drowsy: everybody"
        f" out into fresh air at once, call {number} from outside, and stay out until you are told it is"
        f" safe. If the chimney roars or sparks fly from its top: everybody out, call {number}."
    )
