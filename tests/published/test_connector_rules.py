"""Connector rules as the codes print them."""

import pytest

from calcs.connector import connector_clearance, connector_limits
from calcs.rulebook import load_rulebook

INCH = 0.0254
FOOT = 12 * INCH
US, CA, UK = (load_rulebook(code) for code in ("us", "ca", "uk"))


# IRC Table M1803.3.4 (read): single wall to combustibles 18 in.
def test_us_single_wall_clearance():
    assert connector_clearance(US).minimum / INCH == pytest.approx(18)


# IRC M1803 and UMC, 2012 (read): rise 1/4 in per ft, two right-angle bends, three screws, 2 in overlap.
def test_us_slope_bends_fasteners_overlap():
    limits = connector_limits(US)
    assert limits["connector.slope"].minimum * 12 == pytest.approx(0.25)
    assert limits["connector.elbows"].maximum == 2
    assert limits["connector.elbow_angle"].maximum == 90
    assert limits["connector.screws_per_joint"].minimum == 3
    assert limits["connector.overlap"].minimum / INCH == pytest.approx(2)


# IRC M1803.3.2, 2012 (read): horizontal run at most 75 % of the chimney's height above the inlet.
def test_us_run_against_height():
    assert connector_limits(US, chimney_height=20 * FOOT)["connector.run"].maximum / FOOT == pytest.approx(15)


# IRC M1803.2 (from memory): under 6 in 0.019 in, 6 to 10 in 0.024 in, over 10 to 16 in 0.029 in.
@pytest.mark.parametrize(
    ("inches", "printed"), [(5, 0.019), (6, 0.024), (10, 0.024), (12, 0.029), (16, 0.029)]
)
def test_us_thickness(inches, printed):
    limit = connector_limits(US, diameter=inches * INCH)["connector.thickness"]
    assert limit.minimum / INCH == pytest.approx(printed)


# CSA B365 (second-hand): 450 mm, 225 mm shielded, 3 m, two elbows, 20 mm/m, 30 mm, three screws, 1 m.
def test_canadian_connector():
    limits = connector_limits(CA)
    assert limits["connector.clearance"].minimum == pytest.approx(0.450)
    assert connector_clearance(CA, protection="brick_ventilated").minimum == pytest.approx(0.225)
    assert limits["connector.run"].maximum == pytest.approx(3.0)
    assert limits["connector.elbows"].maximum == 2
    assert limits["connector.slope"].minimum == pytest.approx(0.020)
    assert limits["connector.overlap"].minimum == pytest.approx(0.030)
    assert limits["connector.screws_per_joint"].minimum == 3
    assert limits["connector.unsupported_run"].maximum == pytest.approx(1.0)


# Approved Document J, Diagram 19 (second-hand): 3 x the outside diameter, 1.5 x with a shield; horizontal at
# most 150 mm; bends of 45 degrees at most, four at most.
def test_uk_connector():
    assert connector_clearance(UK, outer_diameter=0.150).minimum == pytest.approx(0.450)
    assert connector_clearance(UK, outer_diameter=0.150, protection="shield").minimum == pytest.approx(0.225)
    limits = connector_limits(UK)
    assert limits["connector.run"].maximum == pytest.approx(0.150)
    assert limits["connector.elbows"].maximum == 4
    assert limits["connector.elbow_angle"].maximum == 45
