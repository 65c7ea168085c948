"""The drawings of a plan."""

import re
from itertools import combinations
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calcs.drawing import ceiling_plan_svg, elevation_svg, inks, roof_plan_svg
from calcs.drawing.heights import planned_words
from calcs.drawing.marks import spread
from calcs.drawing.roof_view import roof_view
from calcs.drawing.scene import scene_of
from calcs.plan import make_plan
from calcs.rulebook import load_rulebook
from calcs.survey import Appliance, Chimney, Obstacle, Survey
from calcs.wording import Wording
from tests.calcs.houses import FOOT, INCH, plan_of

SVG = "{http://www.w3.org/2000/svg}"
#: Mean advance of a letter in the sans-serif fonts a reader has, as a share of the font size.
LETTER = 0.48

HOUSES = {
    "ridge 7 ft away": {},
    "shield too tall": {"attic_height": 10.5 * INCH},
    "flat": {"roof_shape": "flat", "roof_rise": None, "ridge_distance": None, "attic_height": 14 * INCH},
    "low slope, far ridge": {"roof_rise": 4.0, "ridge_distance": 16 * FOOT},
    "steep, near ridge": {"roof_rise": 12.0, "ridge_distance": 2 * FOOT, "attic_height": 9 * FOOT},
    "steep, far ridge": {"roof_rise": 12.0, "ridge_distance": 12 * FOOT, "attic_height": 3 * FOOT},
    "at the ridge": {"ridge_distance": 0.1},
    "shed": {"roof_shape": "shed", "roof_rise": 2.0, "ridge_distance": 5 * FOOT},
    "low attic": {"roof_rise": 3.0, "attic_height": 0.15, "ridge_distance": 0.4},
    "dormer": {"obstacles": (Obstacle("dormer", 6 * FOOT, 5 * FOOT),)},
    "hip": {"roof_shape": "hip", "eaves_distance": 4 * FOOT, "hip_distance": 7 * FOOT},
    "hip not measured": {"roof_shape": "hip"},
    "beset": {
        "ridge_distance": 3.0,
        "eaves_distance": 2.0,
        "obstacles": (
            Obstacle("rooflight", 1.6, 0.5, "opening"),
            Obstacle("neighbour's gable", 2.2, 1.4, "neighbour"),
            Obstacle("parapet of the yard", 3.4, 0.3, "parapet"),
            Obstacle("dormer", 2.6, 1.2, "dormer"),
        ),
    },
    "parapet": {
        "roof_shape": "flat",
        "roof_rise": None,
        "ridge_distance": None,
        "obstacles": (Obstacle("parapet", 1.0, 0.9, "parapet"),),
    },
    "level run": {"connector_run": 0.6, "connector_elbows": 2},
    "ridge not known": {"ridge_distance": None},
    "attic not known": {"attic_height": None},
    "off the bay": {"wall_to_flue_centre": 41.75 * INCH},
    "side to side": {"wall_to_flue_centre": 41.75 * INCH, "member_direction": "side to side"},
    "narrow bays": {"member_spacing": 12 * INCH, "member_kind": "truss"},
}
DRAWINGS = {"elevation": elevation_svg, "ceiling": ceiling_plan_svg, "roof": roof_plan_svg}


@pytest.fixture(params=HOUSES, scope="module")
def house(request):
    return HOUSES[request.param]


def _words(svg):
    return [text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def _boxes(svg):
    """Where each upright text stands: (words, left, right, top, bottom)."""
    boxes = []
    for text in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        if text.get("transform"):
            continue
        size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
        width = len(text.text) * size * LETTER
        left = {"end": x - width, "middle": x - width / 2}.get(text.get("text-anchor"), x)
        boxes.append((text.text, left, left + width, y - size * 0.72, y + size * 0.12))
    return boxes


@pytest.mark.parametrize("draw", DRAWINGS.values(), ids=DRAWINGS)
@pytest.mark.parametrize("system", ["imperial", "metric"])
def test_no_words_stand_on_each_other(house, draw, system):
    for one, other in combinations(_boxes(draw(plan_of(**house), system)), 2):
        apart = (
            one[2] <= other[1] + 1
            or other[2] <= one[1] + 1
            or one[4] <= other[3] + 1
            or other[4] <= one[3] + 1
        )
        assert apart, (one[0], other[0])


@pytest.mark.parametrize("draw", DRAWINGS.values(), ids=DRAWINGS)
def test_everything_stays_on_the_paper(house, draw):
    svg = draw(plan_of(**house))
    _, _, width, height = (float(part) for part in ElementTree.fromstring(svg).get("viewBox").split())
    for words, left, right, top, bottom in _boxes(svg):
        assert left >= 0, words
        assert right <= width, words
        assert top >= 0, words
        assert bottom <= height, words


@pytest.mark.parametrize("draw", DRAWINGS.values(), ids=DRAWINGS)
def test_a_drawing_stands_alone(house, draw):
    svg = draw(plan_of(**house))
    root = ElementTree.fromstring(svg)
    assert root.find(f"{SVG}title").text
    assert root.find(f"{SVG}desc").text
    assert root.get("role") == "img"
    names = {element.tag.removeprefix(SVG) for element in root.iter()}
    assert names <= {
        "svg", "title", "desc", "g", "rect", "line", "polygon", "polyline", "path", "circle", "text",
    }  # fmt: skip
    assert not re.search(r"style=|href|url\(|nan|inf\b", svg)


def test_ids_carry_the_prefix_asked_for():
    svg = elevation_svg(plan_of(), prefix="job-7")
    assert {element.get("id") for element in ElementTree.fromstring(svg).iter()} - {None} == {
        "job-7-title",
        "job-7-desc",
    }
    assert 'aria-labelledby="job-7-title job-7-desc"' in svg


def test_words_from_people_are_escaped():
    name = '<script>alert("&")</script>'
    plan = plan_of(appliance={"name": name}, obstacles=(Obstacle("<b>", 2.0, 3.0),))
    svg = elevation_svg(plan)
    assert "<script" not in svg
    assert name in ElementTree.fromstring(svg).find(f"{SVG}desc").text


def test_it_carries_the_dimensions_of_the_house():
    words = _words(elevation_svg(plan_of()))
    # Floor to ceiling, attic height, collar height, distance to the ridge, height over it.
    for figure in ("8 ft", "4 ft", "30 in", "7 ft to the ridge", "24 in"):
        assert figure in words


def test_it_carries_the_dimensions_in_the_units_asked_for():
    words = _words(elevation_svg(plan_of(), "metric"))
    assert "2438 mm" in words
    assert not any(re.search(r"\d in\b", word) for word in words)


def test_it_names_the_enclosure_when_the_shield_does_not_fit():
    words = _words(elevation_svg(plan_of(attic_height=10.5 * INCH)))
    assert "Enclosure, full height" in words
    assert "Attic insulation shield" not in words


def test_every_section_is_drawn_to_scale():
    plan = plan_of()
    root = ElementTree.fromstring(elevation_svg(plan))
    words = [text.text for text in root.iter(f"{SVG}text") if text.get("text-anchor") == "end"]
    drawn = [word for word in words if word in {"12 in", "24 in", "4 ft"}]
    assert len(drawn) >= len(plan.sections.pieces)


def test_what_is_not_known_is_said_and_never_given_a_figure():
    plan = make_plan(Survey(), Appliance(), Chimney(), load_rulebook("us"))
    words = _words(elevation_svg(plan))
    assert words.count("not known") >= 5
    # The distance of a single-wall connector is the rule book's own; the rest is the scale.
    figures = [word for word in words if re.search(r"\d", word) and "18" not in word]
    assert figures == ["0", "1", "2", "3 ft"]
    assert "not known" in " ".join(_words(ceiling_plan_svg(plan)))


def test_the_ceiling_plan_shows_where_to_move():
    words = _words(ceiling_plan_svg(plan_of(wall_to_flue_centre=41.75 * INCH)))
    assert "Move 2 1/2 in to the left" in " ".join(word.replace("\u00a0", " ") for word in words)


def test_the_ceiling_plan_shows_headers_blocks_and_gaps():
    words = " / ".join(_words(ceiling_plan_svg(plan_of()))).replace("\u00a0", " ")
    for figure in ("2 of 22 1/2 in, 2x6", "2 of 14 in, 2x6", "5 1/4 in", "3 1/4 in"):
        assert figure in words


def test_the_same_plan_gives_the_same_drawing():
    assert elevation_svg(plan_of()) == elevation_svg(plan_of())


def test_an_unknown_system_is_refused():
    with pytest.raises(ValueError, match=r"^system:"):
        elevation_svg(plan_of(), "cubits")


def test_labels_move_apart_no_further_than_they_must():
    assert spread([(10.0, 10.0), (12.0, 10.0), (50.0, 10.0)]) == [6.0, 16.0, 50.0]
    assert spread([]) == []


def test_the_drawing_names_the_hole_that_the_limit_asks_for():
    plan = plan_of()
    words = elevation_svg(plan)
    assert plan.limits["roof.opening.along"].minimum == plan.roof_opening.along_square_cut
    assert "hole 14 in x" in words
    assert "15 15/16 in" in words


def test_the_drawing_tells_the_sides_apart_where_one_is_protected():
    listed = {"clearance_side": 36 * INCH, "clearance_reduction_allowed": True}
    one = elevation_svg(plan_of(side_protection="metal_ventilated", protected_sides="left", appliance=listed))
    assert "12 in on the" in one
    assert "36 in on the" in one
    assert "36 in at the" in elevation_svg(plan_of(appliance=listed))


@pytest.mark.parametrize("distance", [60.0 + step / 7 for step in range(0, 60)])
def test_the_planned_height_never_reads_lower_than_the_height_it_meets(distance):
    plan = plan_of(ridge_distance=distance * INCH)
    words = " ".join(ElementTree.fromstring(elevation_svg(plan, "metric")).itertext())
    scene = scene_of(plan, Wording("metric"))
    above = int(planned_words(scene).removesuffix(" mm"))
    least = int(
        Wording("metric").dimension(plan.termination.height_above_penetration, "up").removesuffix(" mm")
    )
    assert f"{above} mm" in words
    assert f"{least} mm" in words
    assert above >= least


def _told(svg):
    return ElementTree.fromstring(svg).find(f"{SVG}desc").text


def test_the_roof_plan_carries_distances_radius_and_the_highest_point():
    words = " / ".join(_words(roof_plan_svg(plan_of(eaves_distance=6 * FOOT)))).replace("\u00a0", " ")
    for figure in ("7 ft", "6 ft", "10 ft", "6/12", "uphill", "Highest within reach", "15 15/16 in"):
        assert figure in words
    # The ridge stands 39 1/2 in above the uphill side of the pipe; 24 in more make 63 1/2 in.
    told = _told(roof_plan_svg(plan_of()))
    assert "the ridge, 3 ft 3 1/2 in above the chimney's passage; outlet at least 5 ft 3 1/2 in" in told
    assert "Across the slope 14 in." in told


def test_the_roof_plan_marks_the_highest_point_where_the_roof_has_it():
    svg = roof_plan_svg(plan_of())
    (mark,) = [
        one.get("points")
        for one in ElementTree.fromstring(svg).iter(f"{SVG}polygon")
        if one.get("fill") == inks.REQUIRED
    ]
    corners = [tuple(map(float, place.split(","))) for place in mark.split()]
    view = roof_view(plan_of(), Wording("imperial"))
    assert view.high_point.y == pytest.approx(7 * FOOT)
    x, y = view.at(0, 7 * FOOT)
    assert (corners[0][0], corners[0][1] + 9) == (pytest.approx(x, abs=0.1), pytest.approx(y, abs=0.1))


def test_the_roof_plan_tells_what_is_in_reach_from_what_is_not():
    plan = plan_of(obstacles=(Obstacle("dormer", 6 * FOOT, 5 * FOOT), Obstacle("barn", 14 * FOOT, 5 * FOOT)))
    words = " ".join(_words(roof_plan_svg(plan))).replace("\u00a0", " ")
    assert words.count("out of reach") == 1
    assert "14 ft away" in words
    assert "the direction of obstacles was not measured" in words


@pytest.mark.parametrize(("code", "reach"), [("us", "3048 mm"), ("ca", "3000 mm"), ("uk", "2300 mm")])
def test_the_circle_has_the_radius_of_the_rule_book(code, reach):
    svg = roof_plan_svg(plan_of(code), "metric")
    assert reach in _words(svg)
    view = roof_view(plan_of(code), Wording("metric"))
    circles = [float(one.get("r")) for one in ElementTree.fromstring(svg).iter(f"{SVG}circle")]
    assert view.circle * view.scale == pytest.approx(max(circles), abs=0.1)
    assert view.circle == pytest.approx(float(reach.removesuffix(" mm")) / 1000 + 5 * INCH)


def test_a_hipped_end_is_drawn_where_it_was_measured_and_told_where_not():
    hip = {"roof_shape": "hip", "eaves_distance": 4 * FOOT, "hip_distance": 7 * FOOT}
    assert "Hipped end: its eaves 7 ft from the flue centre" in _told(roof_plan_svg(plan_of(**hip)))
    assert "not measured; reckoned as a gable" in _told(roof_plan_svg(plan_of(roof_shape="hip")))


def test_a_hip_beside_the_flue_cuts_the_section_level():
    hip = {"roof_shape": "hip", "eaves_distance": 4 * FOOT, "hip_distance": 7 * FOOT}
    scene = scene_of(plan_of(**hip), Wording("imperial"))
    # 6/12: 3 ft uphill the hip stands 18 in above the flue's passage, and the hipped end goes on level.
    assert scene.roof_at(-3 * FOOT) == pytest.approx(scene.roof + 18 * INCH)
    assert scene.roof_at(-7 * FOOT) == pytest.approx(scene.roof + 18 * INCH)
    assert scene.roof_at(-14 * FOOT) == pytest.approx(scene.roof)
    assert "The ridge lies beside this section" in " ".join(_words(elevation_svg(plan_of(**hip))))


@given(
    shape=st.sampled_from(["gable", "shed", "hip"]),
    rise=st.floats(0, 16),
    ridge=st.floats(0, 9),
    eaves=st.floats(0.1, 6),
    further=st.floats(0, 6),
    obstacles=st.lists(
        st.builds(
            Obstacle,
            st.sampled_from(["dormer", "wall of the neighbour's barn", "x"]),
            st.floats(0, 9),
            st.floats(-2, 4),
            st.sampled_from(["building", "dormer", "parapet", "neighbour", "opening"]),
        ),
        max_size=7,
    ),
)
def test_any_roof_is_drawn(*, shape, rise, ridge, eaves, further, obstacles):
    plan = plan_of(
        roof_shape=shape, roof_rise=rise, ridge_distance=ridge, eaves_distance=eaves,
        hip_distance=eaves + further, obstacles=tuple(obstacles),
    )  # fmt: skip
    for draw in (roof_plan_svg, elevation_svg):
        svg = draw(plan)
        assert ElementTree.fromstring(svg).find(f"{SVG}desc").text
        assert not re.search(r"nan|inf\b", svg)
