"""Drawings of a plan as SVG text that stands alone.

Parameters
----------
canvas : Canvas
    What is drawn on, given to everything that draws [px]
scene : Scene
    The plan's heights and distances and their places on paper, given to every part of the elevation [m, px]
plot : Plot
    Axes and their places on paper, given to every part of a plot [px]
view : RoofView
    The roof from above and its place on paper, given to every part of its drawing [m, px]
"""

from calcs.drawing.ceiling_plan import ceiling_plan_svg
from calcs.drawing.elevation import elevation_svg
from calcs.drawing.roof_plan import roof_plan_svg

__all__ = ["ceiling_plan_svg", "elevation_svg", "roof_plan_svg"]
