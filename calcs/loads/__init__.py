"""What goes on the truck, part by part of the house."""

from calcs.loads.item import LoadItem

__all__ = ["LoadItem"]
