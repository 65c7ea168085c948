"""Height of the outlet, against the real roof."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from calcs.checks import EQUAL_WITHIN, Provenance
from calcs.roof import pitch_angle
from calcs.roof_surfaces import roof_surfaces
from calcs.rulebook import load_rulebook, read_rulebook
from calcs.survey import Obstacle
from calcs.termination import termination_height

FOOT = 0.3048
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))
#: Places nearer than EQUAL_WITHIN are one; on a roof of 60 degrees their heights differ by twice that.
ONE_SURFACE = 3 * EQUAL_WITHIN
pitches = st.floats(0, 60)
ridges = st.floats(0, 12)
diameters = st.floats(0, 0.6)


@st.composite
def neighbours(draw):
    return tuple(
        Obstacle(f"part {number}", draw(st.floats(0.5, 6)), draw(st.floats(-2, 6)))
        for number in range(draw(st.integers(0, 3)))
    )


def by_geometry(book, *, shape, pitch, ridge, diameter, obstacles) -> float:
    """The rule read off a drawn section with shapely, above the pipe's highest point of penetration."""
    tangent = math.tan(math.radians(pitch))
    reach = 40.0
    if shape == "flat":
        outline = [(-reach, 0.0), (reach, 0.0)]
    elif shape == "gable":
        outline = [
            (-reach, -reach * tangent),
            (ridge, ridge * tangent),
            (reach, (2 * ridge - reach) * tangent),
        ]
    else:
        outline = [(-reach, -reach * tangent), (ridge, ridge * tangent)]
    bottom = min(z for _, z in outline) - 1
    house = Polygon([*outline, (outline[-1][0], bottom), (outline[0][0], bottom)])
    radius = diameter / 2
    pipe = box(-radius - 1e-12, bottom, radius + 1e-12, 1e3)
    penetration = pipe.intersection(LineString(outline)).bounds[3]
    parts = [house, *(LineString([(one.distance, bottom), (one.distance, one.height)]) for one in obstacles)]
    within = book.value("termination.radius") + radius
    near = box(-within, -1e3, within, 1e3)
    tops = [part.intersection(near).bounds[3] for part in parts if part.intersects(near)]
    over = book.value("termination.above_radius")
    return max(book.value("termination.above_penetration"), max(tops) + over - penetration)


@pytest.mark.parametrize("book", [US, CA], ids=lambda book: book.code)
@given(
    shape=st.sampled_from(["gable", "shed", "flat"]),
    pitch=pitches,
    ridge=ridges,
    diameter=diameters,
    obstacles=neighbours(),
)
def test_it_agrees_with_the_section_drawn_and_measured(book, *, shape, pitch, ridge, diameter, obstacles):
    found = termination_height(
        shape,
        pitch,
        rulebook=book,
        ridge_distance=ridge,
        outer_diameter=diameter,
        obstacles=obstacles,
    )
    drawn = by_geometry(book, shape=shape, pitch=pitch, ridge=ridge, diameter=diameter, obstacles=obstacles)
    assert found.height_above_penetration == pytest.approx(drawn, abs=1e-6)


@given(pitches, pitches, ridges, diameters)
def test_a_steeper_roof_never_asks_for_less(one, other, ridge, diameter):
    low, high = sorted((one, other))
    heights = [
        termination_height("gable", pitch, rulebook=US, ridge_distance=ridge, outer_diameter=diameter)
        for pitch in (low, high)
    ]
    assert heights[0].height_above_penetration <= heights[1].height_above_penetration + 1e-9


@given(pitches, ridges, ridges, st.sampled_from([US, CA]))
def test_a_ridge_further_away_never_asks_for_less(pitch, one, other, book):
    low, high = sorted((one, other))
    heights = [
        termination_height("gable", pitch, rulebook=book, ridge_distance=ridge) for ridge in (low, high)
    ]
    assert heights[0].height_above_penetration <= heights[1].height_above_penetration + 1e-9


@given(st.sampled_from([US, CA, UK]), pitches, ridges, diameters, neighbours())
def test_one_more_obstacle_never_asks_for_less(book, pitch, ridge, diameter, obstacles):
    common = {"rulebook": book, "ridge_distance": ridge, "outer_diameter": diameter}
    bare = termination_height("gable", pitch, **common)
    beset = termination_height("gable", pitch, obstacles=obstacles, **common)
    assert beset.height_above_penetration >= bare.height_above_penetration
    assert beset.governed_by in {bare.governed_by, *(one.name for one in obstacles)}


@given(pitches, ridges, diameters)
def test_the_height_over_the_centre_adds_the_rise_to_the_uphill_side(pitch, ridge, diameter):
    found = termination_height("gable", pitch, rulebook=US, ridge_distance=ridge, outer_diameter=diameter)
    rise = min(diameter / 2, ridge) * math.tan(math.radians(pitch))
    assert found.height_above_centre == pytest.approx(found.height_above_penetration + rise)


def test_a_flat_roof_asks_for_the_height_over_the_penetration():
    found = termination_height("flat", 0, rulebook=US)
    assert (found.height_above_penetration, found.governed_by) == (pytest.approx(3 * FOOT), "penetration")


def test_the_roof_surface_within_the_radius_counts_where_the_ridge_is_further_away():
    found = termination_height("gable", pitch_angle(12), rulebook=US, ridge_distance=20 * FOOT)
    assert found.height_above_penetration == pytest.approx(12 * FOOT)
    assert found.governed_by == "roof surface"


def test_a_ridge_exactly_at_the_radius_counts_as_within_it():
    found = termination_height("gable", pitch_angle(6), rulebook=US, ridge_distance=10 * FOOT)
    assert found.height_above_penetration == pytest.approx(7 * FOOT)
    assert found.governed_by == "ridge"


def test_the_upper_edge_of_a_shed_counts_like_a_ridge():
    found = termination_height("shed", pitch_angle(6), rulebook=US, ridge_distance=4 * FOOT)
    assert found.height_above_penetration == pytest.approx(4 * FOOT)
    assert found.governed_by == "upper edge"


@pytest.mark.parametrize(("distance", "governed"), [(10, "dormer"), (10.01, "penetration")])
def test_an_obstacle_counts_up_to_the_radius_and_no_further(distance, governed):
    found = termination_height(
        "flat", 0, rulebook=US, obstacles=[Obstacle("dormer", distance * FOOT, 2 * FOOT)]
    )
    assert found.governed_by == governed


def test_the_radius_is_measured_from_the_outside_of_the_pipe():
    parapet = Obstacle("parapet", 10.4 * FOOT, 4 * FOOT)
    found = termination_height("flat", 0, rulebook=US, outer_diameter=1 * FOOT, obstacles=[parapet])
    assert found.height_above_penetration == pytest.approx(6 * FOOT)


@pytest.mark.parametrize(("ridge", "required"), [(6, False), (6.1, True)])
def test_a_brace_is_needed_only_above_the_threshold(ridge, required):
    # 6/12: the ridge rises half its distance, and 2 ft more reach exactly 5 ft at 6 ft.
    found = termination_height("gable", pitch_angle(6), rulebook=US, ridge_distance=ridge * FOOT)
    assert found.brace_required is required


def test_the_listing_s_brace_threshold_goes_first():
    found = termination_height("flat", 0, rulebook=US, brace_threshold=2 * FOOT)
    assert found.brace_required is True
    assert found.brace_threshold == pytest.approx(2 * FOOT)


def test_without_a_threshold_the_brace_is_not_known():
    text = b"""
code = "xx"
title = "Nowhere"
edition = "1"
[sources]
law = {kind = "code", reference = "The Law"}
[termination]
above_penetration = {value = 3, unit = "ft", source = "law", provenance = "read"}
above_radius = {value = 2, unit = "ft", source = "law", provenance = "read"}
radius = {value = 10, unit = "ft", source = "law", provenance = "read"}
"""
    assert termination_height("flat", 0, rulebook=read_rulebook(text, "xx.toml")).brace_required is None


def test_every_demand_is_told_with_its_source():
    found = termination_height(
        "gable", 30, rulebook=US, ridge_distance=2.0, obstacles=[Obstacle("dormer", 2.0, 1.0)]
    )
    assert [demand.name for demand in found.demands] == ["penetration", "ridge", "dormer"]
    assert all(demand.source.provenance is Provenance.READ for demand in found.demands)
    assert len(found.steps) == 4
    assert found.governed_by in found.steps[-1]


@given(pitches, ridges, diameters, neighbours(), st.booleans())
def test_uk_outlets_clear_the_roof_or_stand_as_high_as_the_ridge(pitch, ridge, diameter, obstacles, lit):
    found = termination_height(
        "gable",
        pitch,
        rulebook=UK,
        ridge_distance=ridge,
        outer_diameter=diameter,
        obstacles=obstacles,
        covering="thatch" if lit else "slate",
    )
    tangent = math.tan(math.radians(pitch))
    run = max(0.0, ridge - diameter / 2)
    height = found.height_above_penetration
    if run <= 0.6:
        assert height >= run * tangent + 0.6 - ONE_SURFACE
    else:
        as_high_as_the_ridge = height >= run * tangent - ONE_SURFACE
        clear = height >= 2.3 * tangent - ONE_SURFACE
        assert as_high_as_the_ridge or (clear and height >= 1.0 - ONE_SURFACE)
    if lit:
        assert height >= 1.8 - ONE_SURFACE


def test_uk_openings_ask_for_more_than_buildings():
    beside = [Obstacle("rooflight", 2.0, 0.5)]
    opening = termination_height("flat", 0, rulebook=UK, openings=beside)
    building = termination_height("flat", 0, rulebook=UK, obstacles=beside)
    assert opening.height_above_penetration == pytest.approx(1.5)
    assert building.height_above_penetration == pytest.approx(1.1)


def test_uk_openings_further_than_the_distance_do_not_count():
    found = termination_height("flat", 0, rulebook=UK, openings=[Obstacle("rooflight", 2.31, 5.0)])
    assert found.governed_by == "penetration"


def test_uk_thatch_near_the_ridge_keeps_both_heights():
    steep = termination_height("gable", 60, rulebook=UK, ridge_distance=0.5, covering="thatch")
    assert steep.height_above_penetration == pytest.approx(1.8)
    assert steep.governed_by == "easily lit covering"


def test_a_book_without_a_rule_for_the_outlet_is_named():
    empty = read_rulebook(b'code = "xx"\ntitle = "Nowhere"\nedition = "1"\n[sources]\n', "xx.toml")
    with pytest.raises(ValueError, match="rulebook xx holds no rule"):
        termination_height("flat", 0, rulebook=empty)


@pytest.mark.parametrize(
    ("changes", "named"),
    [
        ({"shape": "dome"}, "shape"),
        ({"pitch_degrees": 85}, "pitch_degrees"),
        ({"ridge_distance": None}, "ridge_distance"),
        ({"ridge_distance": -1}, "ridge_distance"),
        ({"outer_diameter": -1}, "outer_diameter"),
        ({"foot_below": math.inf}, "foot_below"),
        ({"shape": "hip", "eaves_distance": 2, "hip_distance": 1}, "hip_distance"),
        ({"brace_threshold": 0}, "brace_threshold"),
        ({"obstacles": [Obstacle("dormer", -1, 1)]}, "distance of dormer"),
        ({"obstacles": [Obstacle("dormer", 1, math.inf)]}, "height of dormer"),
    ],
)
def test_it_names_the_input_it_refuses(changes, named):
    good = {"shape": "gable", "pitch_degrees": 30, "ridge_distance": 2.0, "rulebook": US}
    with pytest.raises(ValueError, match=named):
        termination_height(**{**good, **changes})


@pytest.mark.parametrize(("ridge", "governed"), [(0.3, "ridge"), (1.5, "ridge"), (5.0, "roof surface")])
def test_uk_names_the_ridge_where_the_outlet_may_stop_at_its_height(ridge, governed):
    assert termination_height("gable", 45, rulebook=UK, ridge_distance=ridge).governed_by == governed


def by_solid(book, *, pitch, ridge, eaves, hip, diameter, obstacles) -> float:
    """The rule read off a hip roof whose planes shapely cuts with the circle, in plan."""
    roof = roof_surfaces("hip", pitch, ridge_distance=ridge, eaves_distance=eaves, hip_distance=hip)

    def highest(radius: float) -> float:
        disc = Point(0, 0).buffer(radius, quad_segs=256)
        cuts = [(face, Polygon(face.corners).intersection(disc)) for face in roof.roof]
        return max(
            face.height_at(*place) for face, cut in cuts if cut.area > 0 for place in cut.exterior.coords
        )

    within = book.value("termination.radius") + diameter / 2
    penetration = highest(diameter / 2)
    tops = [highest(within), *(one.height for one in obstacles if one.distance <= within)]
    over = book.value("termination.above_radius")
    return max(book.value("termination.above_penetration"), max(tops) + over - penetration)


@pytest.mark.parametrize("book", [US, CA], ids=lambda book: book.code)
@given(
    pitch=pitches,
    ridge=st.floats(0.2, 12),
    eaves=st.floats(0.2, 8),
    further=st.floats(0, 8),
    diameter=st.floats(0.1, 0.4),
    obstacles=neighbours(),
)
def test_a_hip_roof_agrees_with_its_planes_cut_by_shapely(
    book, *, pitch, ridge, eaves, further, diameter, obstacles
):
    found = termination_height(
        "hip",
        pitch,
        rulebook=book,
        ridge_distance=ridge,
        eaves_distance=eaves,
        hip_distance=eaves + further,
        outer_diameter=diameter,
        obstacles=obstacles,
    )
    cut = by_solid(
        book,
        pitch=pitch,
        ridge=ridge,
        eaves=eaves,
        hip=eaves + further,
        diameter=diameter,
        obstacles=obstacles,
    )
    # The circle drawn with 1024 sides reaches 16 micrometres less far than the true one.
    assert found.height_above_penetration == pytest.approx(cut, abs=2e-4)


@given(
    book=st.sampled_from([US, CA, UK]),
    pitch=pitches,
    ridge=ridges,
    eaves=st.floats(0.1, 8),
    further=st.floats(0, 8),
    diameter=diameters,
)
def test_a_hip_reckoned_as_a_gable_never_asks_for_less(*, book, pitch, ridge, eaves, further, diameter):
    common = {"rulebook": book, "ridge_distance": ridge, "outer_diameter": diameter}
    measured = termination_height("hip", pitch, eaves_distance=eaves, hip_distance=eaves + further, **common)
    unmeasured = termination_height("hip", pitch, **common)
    gable = termination_height("gable", pitch, **common)
    assert unmeasured.height_above_centre == gable.height_above_centre
    assert measured.height_above_centre <= gable.height_above_centre + 1e-9


def test_a_hip_close_by_brings_the_outlet_down():
    common = {"rulebook": US, "ridge_distance": 9 * FOOT}
    gable = termination_height("gable", 45, **common)
    hip = termination_height("hip", 45, eaves_distance=2 * FOOT, hip_distance=2 * FOOT, **common)
    # On the hip line itself the roof falls off to both sides: 10 ft along it uphill rise 10 / sqrt(2) ft.
    assert gable.height_above_penetration == pytest.approx(11 * FOOT)
    assert hip.height_above_penetration == pytest.approx((10 / math.sqrt(2) + 2) * FOOT)
    assert hip.governed_by == "roof surface"


@given(
    book=st.sampled_from([US, CA, UK]),
    pitch=pitches,
    ridge=ridges,
    diameter=diameters,
    obstacles=neighbours(),
    foot=st.floats(0, 6),
)
def test_every_demand_is_the_sum_of_what_it_stands_on(*, book, pitch, ridge, diameter, obstacles, foot):
    found = termination_height(
        "gable", pitch, rulebook=book, ridge_distance=ridge, outer_diameter=diameter, obstacles=obstacles,
        foot_below=foot, covering="thatch",
    )  # fmt: skip
    for demand in found.demands:
        assert demand.top + demand.over == pytest.approx(demand.height)
    assert found.governing.height == found.height_above_penetration
    assert found.height_above_penetration == pytest.approx(max(one.height for one in found.demands))


@pytest.mark.parametrize("kind", ["building", "dormer", "parapet", "neighbour"])
def test_an_obstacle_of_any_kind_counts(kind):
    found = termination_height("flat", 0, rulebook=US, obstacles=[Obstacle("part", 2.0, 1.5, kind)])
    assert found.height_above_penetration == pytest.approx(1.5 + 2 * FOOT)


def test_an_opening_among_the_obstacles_is_taken_as_one():
    opening = Obstacle("rooflight", 2.0, 0.5, "opening")
    found = termination_height("flat", 0, rulebook=UK, obstacles=[opening])
    assert found.height_above_penetration == pytest.approx(1.5)


def test_an_opening_up_the_slope_counts_at_any_distance_only_where_the_rule_book_says_so():
    window = [Obstacle("rooflight", 4.0, 3.0, "opening")]
    common = {"ridge_distance": 6.0, "openings_uphill": window}
    uk = termination_height("gable", 30, rulebook=UK, **common)
    assert uk.height_above_penetration == pytest.approx(4.0)
    assert uk.source.provenance is Provenance.MEMORY
    assert "any distance" in uk.governing.sentence
    us = termination_height("gable", 30, rulebook=US, **common)
    assert us.governed_by != "rooflight"


@pytest.mark.parametrize(("foot", "height"), [(2.0, 2.5), (3.5, 1.0), (6.0, 1.0)])
def test_a_flue_keeps_its_least_height_where_the_rule_book_asks_for_one(foot, height):
    found = termination_height("flat", 0, rulebook=UK, foot_below=foot)
    assert found.height_above_penetration == pytest.approx(height)
    assert termination_height("flat", 0, rulebook=US, foot_below=0.0).governed_by == "penetration"


def test_it_tells_how_far_around_the_rule_book_looks():
    reaches = [termination_height("flat", 0, rulebook=book).reach for book in (US, CA, UK)]
    assert reaches == [pytest.approx(10 * FOOT), 3.0, 2.3]


def test_a_name_with_braces_is_told_as_it_was_typed():
    found = termination_height("flat", 0, rulebook=US, obstacles=[Obstacle("{over}", 1.0, 1.0)])
    assert found.demands[-1].sentence.startswith("{over} within")
