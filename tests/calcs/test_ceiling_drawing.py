"""The ceiling plan of corners, cut joists, elbows and places on both sides."""

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest

from calcs.drawing import ceiling_plan_svg
from calcs.drawing.ceiling_scene import LEFT, SIDE, TOP, ceiling_scene
from calcs.wording import Wording
from tests.calcs.houses import INCH, plan_of
from tests.calcs.test_corner import BODY, CORNER
from tests.calcs.test_offsets import SHEET

SVG = "{http://www.w3.org/2000/svg}"
#: Mean advance of a letter in the sans-serif fonts a reader has, as a share of the font size.
LETTER = 0.48
STOVE = {"width": 24 * INCH, "depth": 22 * INCH, "back_to_flue_centre": 6 * INCH}

HOUSES = {
    "fits": {"appliance": STOVE},
    "both ways": {"wall_to_flue_centre": 41.75 * INCH, "appliance": STOVE, "chimney": SHEET},
    "to the right": {"wall_to_flue_centre": 28.5 * INCH, "appliance": STOVE},
    "side to side": {
        "member_direction": "side to side",
        "wall_to_flue_centre": 42 * INCH,
        "rear_wall": 30 * INCH,
        "appliance": STOVE,
    },
    "corner": {**CORNER, "appliance": BODY},
    "corner, members side to side": {**CORNER, "member_direction": "side to side", "appliance": BODY},
    "corner, moved": {**CORNER, "wall_to_first_member": 22.25 * INCH, "appliance": BODY, "chimney": SHEET},
    "corner, no measures": {**CORNER, "wall_to_flue_centre": 30 * INCH},
    "elbows": {
        "wall_to_flue_centre": 46 * INCH,
        "left_wall": 15.5 * INCH,
        "right_wall": 15.5 * INCH,
        "chimney": SHEET,
        "appliance": STOVE,
    },
    "nothing fits": {"wall_to_flue_centre": 46 * INCH, "left_wall": 15.5 * INCH, "right_wall": 15.5 * INCH},
    "before the first member": {"wall_to_flue_centre": 12 * INCH, "chimney": SHEET},
    "before the first member, elbows": {
        "wall_to_flue_centre": 12 * INCH,
        "left_wall": 15 * INCH,
        "right_wall": 15 * INCH,
        "chimney": SHEET,
    },
    "joist cut": {"member_spacing": 12 * INCH, "appliance": STOVE},
    "joist cut, moved": {"member_spacing": 12 * INCH, "wall_to_flue_centre": 41 * INCH},
    "trusses": {"member_spacing": 12 * INCH, "member_kind": "truss", "appliance": STOVE},
}


@pytest.fixture(params=HOUSES, scope="module")
def house(request):
    return HOUSES[request.param]


def _root(house, system="imperial"):
    return ElementTree.fromstring(ceiling_plan_svg(plan_of(**house), system))


def _words(house, system="imperial"):
    return " / ".join(text.text for text in _root(house, system).iter(f"{SVG}text")).replace("\u00a0", " ")


def _boxes(root):
    for text in root.iter(f"{SVG}text"):
        size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
        width = len(text.text) * size * LETTER
        left = {"end": x - width, "middle": x - width / 2}.get(text.get("text-anchor"), x)
        yield text.text, left, left + width, y - size * 0.72, y + size * 0.12


@pytest.mark.parametrize("system", ["imperial", "metric"])
def test_words_stay_on_the_paper_and_off_each_other(house, system):
    boxes = list(_boxes(_root(house, system)))
    for words, left, right, top, bottom in boxes:
        assert 0 <= left < right <= 820, words
        assert 0 <= top < bottom <= 560, words
    for one, other in combinations(boxes, 2):
        apart = (
            one[2] <= other[1] + 1
            or other[2] <= one[1] + 1
            or one[4] <= other[3] + 1
            or other[4] <= one[3] + 1
        )
        assert apart, (one[0], other[0])


def test_what_is_drawn_to_scale_stays_in_its_square(house):
    root = _root(house)
    points = [
        tuple(map(float, pair.split(",")))
        for shape in root.iter(f"{SVG}polygon")
        if shape.get("stroke-dasharray")
        for pair in shape.get("points").split()
    ]
    for shape in root.iter(f"{SVG}rect"):
        if shape.get("stroke"):
            left, top, width, height = (float(shape.get(name)) for name in ("x", "y", "width", "height"))
            points += [(left, top), (left + width, top + height)]
    assert points
    for x, y in points:
        assert LEFT - 0.2 <= x <= LEFT + SIDE + 0.2
        assert TOP - 0.2 <= y <= TOP + SIDE + 0.2


def test_its_words_tell_the_drawing(house):
    root = _root(house)
    told = root.find(f"{SVG}desc").text
    assert "counted from the" in told
    assert "Plumb point: " in told
    assert not re.search(r"nan|None|inf\b", told)


def test_letters_are_large_enough_to_read_on_a_tablet(house):
    assert min(float(text.get("font-size")) for text in _root(house).iter(f"{SVG}text")) >= 9


def test_both_places_are_drawn_and_named():
    words = _words(HOUSES["both ways"])
    assert "Move 2 1/2 in to the left" in words
    assert "Or 13 in to the right" in words
    assert "Or " not in _words(HOUSES["to the right"])


def test_the_directions_of_the_room_are_named():
    words = _words(HOUSES["fits"]).split(" / ")
    assert {"back", "front", "left", "right"} <= set(words)
    assert {"corner", "room"} <= set(_words(HOUSES["corner"]).split(" / "))


def test_the_turned_appliance_keeps_its_measures_and_its_distance_from_the_walls():
    scene = ceiling_scene(plan_of(**HOUSES["corner"]), Wording())
    outline = scene.outline()
    # The flue stands 22.728 in from both walls; both rear corners 10 in.
    assert min(x for x, _ in outline) / INCH == pytest.approx(10)
    across, along = scene.walls()
    assert across == 0
    assert (min(y for _, y in outline) - along) / INCH == pytest.approx(10)
    (ax, ay), (bx, by) = outline[0], outline[1]
    assert ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5 / INCH == pytest.approx(24)


def test_the_turned_appliance_is_drawn_where_it_moves_to():
    scene = ceiling_scene(plan_of(**HOUSES["corner, moved"]), Wording())
    assert min(x for x, _ in scene.outline()) / INCH == pytest.approx(10 + 30.75 - 22.728, abs=1e-3)
    assert scene.along(scene.measured) == pytest.approx(scene.measured - scene.planned)
    assert "Move 11 3/8 in out of the" in _words(HOUSES["corner, moved"])


def test_elbows_are_drawn_where_nothing_else_fits():
    words = _words(HOUSES["elbows"])
    assert "By elbows 6 3/4 in to the" in words
    assert "two of 15°" in words
    assert "Move" not in words


def test_the_joist_that_is_cut_ends_at_the_headers():
    words = _words(HOUSES["joist cut"])
    assert "Joist cut" in words
    assert "1 in off the cut joist" in words.replace(" / ", " ")
    scene = ceiling_scene(plan_of(**HOUSES["joist cut"]), Wording())
    inside = [one for one in scene.members() if scene.near_face < one[0] < scene.near_face + scene.clear]
    assert len(inside) == 1


def test_no_member_is_drawn_before_the_first():
    scene = ceiling_scene(plan_of(wall_to_flue_centre=30 * INCH), Wording())
    assert min(start for start, _ in scene.members()) / INCH == pytest.approx(22.25)


def test_elbows_from_before_the_first_member_lead_into_the_first_bay():
    scene = ceiling_scene(plan_of(**HOUSES["before the first member, elbows"]), Wording())
    assert scene.by_elbows
    assert scene.near_face / INCH == pytest.approx(23.75)
    assert scene.planned - scene.opening / 2 == pytest.approx(scene.near_face)


@pytest.mark.parametrize("slip", [1e-9, 1e6, 1e300])
@pytest.mark.parametrize("name", ["wall_to_flue_centre", "wall_to_first_member", "member_spacing"])
def test_a_slip_of_the_keyboard_never_draws_without_end(name, slip):
    changes = {"member_thickness": 1e-12} if name == "member_spacing" else {}
    try:
        svg = ceiling_plan_svg(plan_of(**{name: slip}, **changes))
    except ValueError as refusal:
        svg = ""
        named = str(refusal).startswith("survey.")
    assert svg.count("<") < 400 if svg else named
