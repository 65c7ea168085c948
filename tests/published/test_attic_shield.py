"""The attic shield under a sloped roof, common practice throughout."""

import pytest

from calcs.roof import pitch_angle
from calcs.shield import enclosure_panels, shield_fit

INCH = 0.0254


# Common practice: over a 14 in opening a 6/12 roof leaves 14 in on the high side and 7 in on the low side.
def test_a_six_in_twelve_roof_leaves_14_and_7():
    fit = shield_fit(15 * INCH, 14 * INCH, 10.5 * INCH, pitch_angle(6))
    assert (fit.height_high / INCH, fit.height_low / INCH) == pytest.approx((14, 7))


# Common practice: an attic shield 15 in high does not fit there and may not be cut down.
def test_a_15_in_shield_does_not_fit_there():
    fit = shield_fit(15 * INCH, 14 * INCH, 10.5 * INCH, pitch_angle(6))
    assert not fit.fits
    assert fit.shortfall / INCH == pytest.approx(8)


# Common practice: an enclosure is framed to the roof with its panels outside the 2 in clearance.
def test_the_enclosure_stands_outside_the_clearance_and_reaches_the_roof():
    low, high, side = enclosure_panels(14 * INCH, 7 * INCH, 14 * INCH, 0.5 * INCH)
    assert low.width / INCH == pytest.approx(14)
    assert low.height_left / INCH == pytest.approx(7)
    assert (side.height_right - side.height_left) / side.width == pytest.approx(6 / 12)
    assert high.bevel_degrees == pytest.approx(pitch_angle(6))
