"""Soil and height against general-purpose libraries: least squares, quadrature, a curve fit, a standard atmosphere."""

import math
import random

import numpy as np
import psychrolib
import scipy.integrate
import scipy.optimize

from probe import ask, values

psychrolib.SetUnitSystem(psychrolib.SI)

MIDDLES = np.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30]) + np.array(
    [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
) / 2
# Sand or gravel: 2.0 W/(m.K) and 2 MJ/(m3.K), as m2 a day.
SAND = 2.0 / 2.0e6 * 86_400


def years(seed, count):
    """Twelve means each, with a season and some disorder, of both halves of the earth."""
    dice = random.Random(seed)
    for _ in range(count):
        mean, reach, coldest = dice.uniform(-10, 28), dice.uniform(0.5, 25), dice.uniform(0, 365)
        yield [mean - reach * math.cos(2 * math.pi * (d - coldest) / 365) + dice.gauss(0, 1.5) for d in MIDDLES]


def sine(depth, day, mean, amplitude, coldest):
    x = depth / math.sqrt(365 * SAND / math.pi)
    return mean - amplitude * np.exp(-x) * np.cos(2 * math.pi * (day - coldest) / 365 - x)


def test_the_sine_is_that_of_least_squares():
    turns = 2 * math.pi * MIDDLES / 365
    table = np.column_stack([np.ones(12), np.cos(turns), np.sin(turns)])
    wanted = list(years(13370, 300))
    answers = ask([{"kind": "soil", "days": list(zip(MIDDLES, y)), "at": []} for y in wanted])
    for year, answer in zip(wanted, answers):
        mean, b, c = np.linalg.lstsq(table, np.array(year), rcond=None)[0]
        ours = answer["values"]
        np.testing.assert_allclose(ours[:2], [mean, math.hypot(b, c)], atol=1e-9)
        # The coldest day by its cosine and sine, so that the turn of the year does not matter.
        turn = 2 * math.pi * ours[2] / 365
        np.testing.assert_allclose([-ours[1] * math.cos(turn), -ours[1] * math.sin(turn)], [b, c], atol=1e-9)


def test_a_general_curve_fit_ends_at_the_same_sine():
    for year in years(1965, 20):
        ours = values("soil", days=list(zip(MIDDLES, year)), at=[])
        found, _ = scipy.optimize.curve_fit(lambda d, *p: sine(0.0, d, *p), MIDDLES, year, p0=ours)
        np.testing.assert_allclose(found, ours, atol=1e-5)


def test_the_mean_down_to_a_depth_is_the_integral():
    dice = random.Random(2)
    at = [(dice.uniform(0.01, 10.0), dice.uniform(0, 365)) for _ in range(100)]
    (year,) = years(7, 1)
    mean, amplitude, coldest, *ours = values("soil", days=list(zip(MIDDLES, year)), at=at)
    for (depth, day), point, whole in zip(at, ours[::2], ours[1::2]):
        np.testing.assert_allclose(point, sine(depth, day, mean, amplitude, coldest), atol=1e-9)
        area, _ = scipy.integrate.quad(lambda z: sine(z, day, mean, amplitude, coldest), 0.0, depth, epsabs=1e-10)
        np.testing.assert_allclose(whole, area / depth, atol=1e-8)


def test_air_pressure_is_that_of_the_standard_atmosphere():
    meters = [-400.0, 0.0, 3.0, 250.0, 1000.0, 2240.0, 3640.0, 5000.0]
    ours = values("height", meters=meters)
    # The library rounds the exponent to 5.2559.
    np.testing.assert_allclose(ours, [psychrolib.GetStandardAtmPressure(h) for h in meters], rtol=5e-6)
