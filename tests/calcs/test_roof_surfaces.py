"""Planes of the roof, held against shapely."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import MultiPoint, Point, Polygon

from calcs.roof import pitch_angle
from calcs.roof_surfaces import Face, roof_surfaces, surfaces_of
from calcs.survey import Obstacle, Survey

#: Segments in a quarter of the circle that stands for a disc.
SEGMENTS = 64
distances = st.floats(0, 12)
pitches = st.floats(0, 60)
radii = st.floats(0.01, 6)
places = st.tuples(st.floats(-8, 8), st.floats(-8, 8))


@st.composite
def roofs(draw, shapes=("gable", "shed", "hip", "flat")):
    eaves = draw(st.floats(0.1, 8))
    return roof_surfaces(
        draw(st.sampled_from(shapes)),
        draw(pitches),
        ridge_distance=draw(distances),
        eaves_distance=eaves,
        hip_distance=eaves + draw(st.floats(0, 10)),
        obstacles=[
            Obstacle(f"part {number}", draw(st.floats(0, 8)), draw(st.floats(-2, 6)), "dormer")
            for number in range(draw(st.integers(0, 2)))
        ],
    )


def disc(radius, *, around):
    """A polygon inside the disc of a radius, or around it."""
    grown = radius / math.cos(math.pi / (4 * SEGMENTS)) if around else radius
    return Point(0, 0).buffer(grown, quad_segs=SEGMENTS)


def drawn_height(faces, circle):
    """Highest corner of what shapely cuts out of the faces with a circle; None where it cuts nothing."""
    heights = []
    for face in faces:
        cut = Polygon(face.corners).intersection(circle)
        parts = getattr(cut, "geoms", [cut])
        for part in parts:
            ring = part.exterior if part.geom_type == "Polygon" else part
            heights += [face.height_at(*place) for place in ring.coords]
    return max(heights, default=None)


def assert_between(faces, found, radius):
    inner = drawn_height(faces, disc(radius, around=False))
    outer = drawn_height(faces, disc(radius, around=True))
    if found is None:
        assert inner is None
        return
    assert inner is None or found.height >= inner - 1e-6
    assert outer is not None
    assert found.height <= outer + 1e-6


@given(roofs(), radii)
def test_the_highest_surface_within_a_radius_is_the_one_shapely_cuts_out(roof, radius):
    assert_between(roof.faces, roof.highest_within(radius), radius)
    assert_between(roof.roof, roof.highest_roof(radius), radius)


@given(roofs(), radii)
def test_the_roof_s_highest_point_is_exact(roof, radius):
    # Between a circle drawn inside and one drawn around, a slope leaves next to nothing.
    inner = drawn_height(roof.roof, disc(radius, around=False))
    assert roof.highest_roof(radius).height == pytest.approx(inner, abs=3e-3 * max(1.0, roof.slope))


@given(
    st.lists(places, min_size=3, max_size=8),
    st.floats(-5, 5),
    st.tuples(st.floats(-2, 2), st.floats(-2, 2)),
    radii,
)
def test_a_face_of_any_convex_outline_is_cut_as_shapely_cuts_it(points, height, gradient, radius):
    hull = MultiPoint(points).convex_hull
    assume(hull.geom_type == "Polygon" and hull.area > 1e-3)
    face = Face("any", "roof", tuple(hull.exterior.normalize().reverse().coords)[:-1], height, gradient)
    assume(Polygon(face.corners).exterior.is_ccw)
    assert_between([face], face.highest_within(radius), radius)


@given(roofs(), radii)
def test_the_highest_point_lies_within_the_radius_on_its_surface(roof, radius):
    found = roof.highest_within(radius)
    assert found.distance <= radius + 1e-6
    face = next(one for one in roof.faces if one.name == found.name and one.contains(found.x, found.y))
    assert face.height_at(found.x, found.y) == pytest.approx(found.height)


@given(roofs(), radii, radii)
def test_a_wider_radius_never_finds_less(roof, one, other):
    low, high = sorted((one, other))
    assert roof.highest_within(low).height <= roof.highest_within(high).height + 1e-9


@given(roofs(("hip",)), st.tuples(st.floats(-10, 10), st.floats(-10, 10)))
def test_a_hip_roof_is_the_lowest_of_its_planes_everywhere(roof, place):
    on = [face.height_at(*place) for face in roof.roof if face.contains(*place)]
    assume(on)
    assert max(on) == pytest.approx(min(on), abs=1e-6)
    assert on[0] <= min(face.height_at(*place) for face in roof.roof) + 1e-6


@given(pitches, distances, st.floats(0.1, 8), st.floats(0, 10), radii)
def test_a_hipped_end_never_raises_the_roof(pitch, ridge, eaves, further, radius):
    common = {"ridge_distance": ridge}
    gable = roof_surfaces("gable", pitch, **common)
    hip = roof_surfaces("hip", pitch, eaves_distance=eaves, hip_distance=eaves + further, **common)
    assert hip.highest_roof(radius).height <= gable.highest_roof(radius).height + 1e-9
    assert roof_surfaces("hip", pitch, **common).roof == gable.roof


@given(pitches, distances, st.floats(0, 12), radii)
def test_eaves_below_the_flue_never_govern(pitch, ridge, eaves, radius):
    known = roof_surfaces("gable", pitch, ridge_distance=ridge, eaves_distance=eaves)
    unknown = roof_surfaces("gable", pitch, ridge_distance=ridge)
    assert known.highest_roof(radius).height == pytest.approx(unknown.highest_roof(radius).height, abs=1e-9)


def test_a_hipped_end_beside_the_flue_takes_the_ridge_out_of_reach():
    # 12/12, ridge 3 m up, eaves 1 m down, hipped end's eaves 1.5 m away: the ridge begins 2.5 m to the side.
    hip = roof_surfaces("hip", 45.0, ridge_distance=3.0, eaves_distance=1.0, hip_distance=1.5)
    assert hip.ridge == ((-100.0, 3.0), (-2.5, 3.0))
    assert hip.ridge_distance == pytest.approx(math.hypot(2.5, 3.0))
    # The circle of 3 m meets the hip line x = 0.5 - y where 2 y2 - y = 8.75.
    height = (1 + math.sqrt(1 + 8 * 8.75)) / 4
    assert hip.highest_roof(3.0).height == pytest.approx(height)
    gable = roof_surfaces("gable", 45.0, ridge_distance=3.0)
    assert gable.highest_roof(3.0).height == pytest.approx(3.0)
    assert hip.highest_roof(4.0).height == pytest.approx(3.0)


def test_beyond_the_ridge_a_gable_falls_and_a_shed_ends():
    gable = roof_surfaces("gable", pitch_angle(6), ridge_distance=2.0)
    shed = roof_surfaces("shed", pitch_angle(6), ridge_distance=2.0)
    assert gable.roof[1].height_at(0, 3.0) == pytest.approx(0.5)
    assert gable.roof[1].contains(0, 3.0)
    assert not any(face.contains(0, 3.0) for face in shed.roof)


def test_an_obstacle_counts_from_its_nearest_part():
    roof = roof_surfaces("flat", 0, obstacles=[Obstacle("parapet", 3.0, 1.0, "parapet")])
    assert roof.highest_within(3.0).name == "parapet"
    assert roof.highest_within(2.999).name == "roof"


def test_a_survey_gives_its_roof():
    survey = Survey(roof_shape="hip", ridge_distance=3.0, eaves_distance=2.0, hip_distance=4.0)
    assert [face.name for face in surfaces_of(survey, 30).roof] == ["slope", "far slope", "hipped end"]


@pytest.mark.parametrize(
    ("shape", "pitch", "changes", "named"),
    [
        ("dome", 30, {}, "shape"),
        ("gable", 85, {}, "pitch_degrees"),
        ("gable", math.nan, {}, "pitch_degrees"),
        ("gable", 30, {"ridge_distance": None}, "ridge_distance"),
        ("gable", 30, {"ridge_distance": -1}, "ridge_distance"),
        ("hip", 30, {"eaves_distance": -1}, "eaves_distance"),
        ("hip", 30, {"hip_distance": math.inf}, "hip_distance"),
        ("hip", 30, {"eaves_distance": 2, "hip_distance": 1}, "hip_distance"),
        ("flat", 0, {"obstacles": [Obstacle("dormer", -1, 1)]}, "distance of dormer"),
        ("flat", 0, {"obstacles": [Obstacle("dormer", 1, math.nan)]}, "height of dormer"),
    ],
)
def test_it_names_the_input_it_refuses(shape, pitch, changes, named):
    with pytest.raises(ValueError, match=named):
        roof_surfaces(shape, pitch, **{"ridge_distance": 2.0, **changes})
