"""A measured value drawn over the years: it parses, says what it shows, and shows it to scale."""

from datetime import date
from xml.etree import ElementTree

from calcs.drawing.trend import BOTTOM, LEFT, RIGHT, TOP, TrendLimit, TrendPoint, trend_svg

SVG = "{http://www.w3.org/2000/svg}"
LIMIT = TrendLimit(None, 0.003175, "at most 1/8 in")


def point(year: int, value: float, verdict: str = "pass") -> TrendPoint:
    return TrendPoint(date(year, 5, 4), value, f"{value * 1000:g} mm", f"May 4, {year}", verdict)


def drawn(points, limit=LIMIT):
    return ElementTree.fromstring(trend_svg("Deposit", points, limit, prefix="deposit"))


def line(drawing) -> list[tuple[float, float]]:
    told = drawing.find(f"{SVG}polyline").get("points").split()
    return [(float(x), float(y)) for x, y in (one.split(",") for one in told)]


def test_one_visit_is_no_trend():
    assert trend_svg("Deposit", [point(2025, 0.001)], LIMIT, prefix="deposit") == ""


def test_it_stands_alone_with_title_description_and_limit():
    drawing = drawn([point(2024, 0.001), point(2025, 0.005, "fail")])
    assert [one.get("id") for one in drawing[:2]] == drawing.get("aria-labelledby").split()
    assert drawing.find(f"{SVG}desc").text == (
        "May 4, 2024: 1 mm (pass); May 4, 2025: 5 mm (fail). Limit: at most 1/8 in."
    )
    assert not {one.tag for one in drawing.iter()} & {f"{SVG}script", f"{SVG}style", f"{SVG}image"}
    assert "Limit: at most 1/8 in" in [one.text for one in drawing.iter(f"{SVG}text")]


def test_time_runs_to_scale_and_more_stands_higher():
    places = line(drawn([point(2020, 0.001), point(2021, 0.002), point(2024, 0.005)]))
    (x1, y1), (x2, y2), (x3, y3) = places
    # A year is 365 days of 1461 between the ends.
    assert abs((x2 - x1) / (x3 - x1) - 365 / 1461) < 0.01
    assert y1 > y2 > y3
    assert all(LEFT <= x <= RIGHT and TOP <= y <= BOTTOM for x, y in places)


def test_what_fails_has_a_shape_of_its_own():
    passed = drawn([point(2024, 0.001), point(2025, 0.001)])
    failed = drawn([point(2024, 0.001), point(2025, 0.005, "fail")])
    assert passed.find(f"{SVG}path") is None
    assert failed.find(f"{SVG}path") is not None


def test_without_a_limit_it_says_so():
    drawing = drawn([point(2024, 0.001), point(2025, 0.002)], None)
    assert drawing.find(f"{SVG}desc").text.endswith("Limit: none is known.")
