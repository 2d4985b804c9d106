"""The groove against a published formula: TWI, Job Knowledge 95, "Calculating weld volume and weight" (text seen).

Printed there for a single-V butt of thickness t, bevel angle b on each side and gap g, without land: the two sloping
parts together are t·(t·tan b), the gap is g·t, and the cap is w = 2·t·tan b + g wide. The page prints the formula and
no worked number that we could see, so what is checked is the formula, and no printed digit.
"""

import math

import pytest

from brightroot.physics.joint.groove import groove_area_m2, groove_width_m


@pytest.mark.parametrize(
    ("t_mm", "b_deg", "g_mm"), [(3.4, 30, 2.4), (5.54, 37.5, 3.2), (10.0, 30, 2.0), (12.0, 35, 0.0)]
)
def test_area_and_width_are_the_published_ones(t_mm, b_deg, g_mm):
    slope = t_mm * math.tan(math.radians(b_deg))
    shape = {"gap_m": g_mm / 1000, "land_m": 0.0, "included_angle_rad": math.radians(2 * b_deg)}
    area = groove_area_m2(wall_m=t_mm / 1000, **shape) * 1e6
    width = groove_width_m(height_m=t_mm / 1000, **shape) * 1e3
    assert area == pytest.approx(t_mm * slope + g_mm * t_mm, rel=1e-12)
    assert width == pytest.approx(2 * slope + g_mm, rel=1e-12)
