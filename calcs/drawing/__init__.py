"""Drawings of a plan as SVG text that stands alone."""

from calcs.drawing.ceiling_plan import ceiling_plan_svg
from calcs.drawing.elevation import elevation_svg
from calcs.drawing.roof_plan import roof_plan_svg

__all__ = ["ceiling_plan_svg", "elevation_svg", "roof_plan_svg"]
