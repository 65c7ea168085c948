"""The ways a chimney takes out of the house, with what each asks for beyond the others.

Parameters
----------
workings : Workings
    The working of the plan, given to everything that reckons a route [SI]
"""

FLAT_CEILING = "flat ceiling"
VAULTED_CEILING = "vaulted ceiling"
THROUGH_WALL = "through the wall"
LINED_CHIMNEY = "lined chimney"
#: In the order people meet them.
ROUTES = (FLAT_CEILING, VAULTED_CEILING, THROUGH_WALL, LINED_CHIMNEY)

__all__ = ["FLAT_CEILING", "LINED_CHIMNEY", "ROUTES", "THROUGH_WALL", "VAULTED_CEILING"]
