"""What goes on the truck, part by part of the house.

Parameters
----------
workings : Workings
    The working of the plan, given to every part
say : Wording
    Units to write in, given to every part

Returns
-------
list of LoadItem
    What the part needs, as far as it is known
"""

from calcs.loads.item import LoadItem

__all__ = ["LoadItem"]
