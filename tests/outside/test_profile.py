"""The monthly profile against the complementarity problem of `second_solver.py`, on a thousand random years."""

import math
import pathlib
import random
import sys

import numpy as np
import pytest
from scipy.optimize import nnls

import second_solver
from probe import ask

sys.path.append(str(pathlib.Path(__file__).parents[1] / "bench"))
import profile_numpy  # noqa: E402

CASES = 1000
DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]


def assembly(random_):
    """One to ten layers; now and then one without vapor resistance, or nearly tight, or without heat resistance."""
    layers = []
    for _ in range(random_.randint(1, 10)):
        resistance = random_.choice([0.0, random_.uniform(0.005, 0.3), random_.uniform(0.2, 5.0)])
        kind = random_.random()
        if kind < 0.1:
            sd = 0.0
        elif kind < 0.2:
            sd = 10.0 ** random_.uniform(4, 12)
        else:
            sd = 10.0 ** random_.uniform(-2.5, 2)
        layers.append([resistance, sd])
    if all(sd == 0.0 for _, sd in layers):
        layers[0][1] = 0.5
    return {
        "outer_film": random_.choice([0.0, 0.04, 0.13]),
        "inner_film": random_.choice([0.10, 0.13, 0.17, 0.25]),
        "layers": layers,
    }


def climate(random_):
    """Twelve months of a heated, a mild or a cooled building; now and then too damp for its own surface."""
    mean, swing = random_.choice([(2.0, 16.0), (10.0, 9.0), (25.0, 6.0), (28.0, 3.0)])
    indoors = random_.choice([20.0, 22.0, 24.0, -5.0, 5.0])
    months = []
    for month, days in enumerate(DAYS):
        outdoors = mean - swing * math.cos(2.0 * math.pi * month / 12.0) + random_.uniform(-2.0, 2.0)
        room = indoors + random_.uniform(-1.0, 1.0)
        outdoor_vapor = random_.uniform(0.5, 1.0) * second_solver.saturation(outdoors)
        indoor_vapor = random_.uniform(0.3, 0.9) * second_solver.saturation(room)
        months.append([outdoors, outdoor_vapor, room, indoor_vapor, days * 86400.0])
    return months


def wet_interfaces(build, random_):
    """Water at some interfaces that can hold it, in about one case of three."""
    if random_.random() < 0.66:
        return []
    layers = build["layers"]
    tight = [sd > 0.0 for _, sd in layers]
    places = [i for i in range(1, len(layers)) if any(tight[:i]) and any(tight[i:])]
    return [[i, random_.uniform(0.0, 2.0)] for i in places if random_.random() < 0.5]


def nodes_of(build, water):
    """Interfaces as nodes of the sliced assembly."""
    first = [0]
    for resistance, _ in build["layers"]:
        first.append(first[-1] + max(1, math.ceil(resistance / 0.25 - 1e-9)))
    return {first[interface]: mass for interface, mass in water}


@pytest.fixture(scope="module")
def cases():
    random_ = random.Random(20240611)
    made = []
    for _ in range(CASES):
        build = assembly(random_)
        made.append({"kind": "profile", **build, "months": climate(random_), "water": wet_interfaces(build, random_)})
    return made


@pytest.fixture(scope="module")
def answers(cases):
    return ask(cases)


def test_no_case_is_refused(answers):
    assert [a["error"] for a in answers if "error" in a] == []


def test_water_at_the_end_of_each_month(cases, answers):
    """1e-6 kg/m2 at each point in each month."""
    worst = 0.0
    wet = dried = capped = 0
    for case, answer in zip(cases, answers):
        months, groups = second_solver.run(case, case["months"], nodes_of(case, case["water"]))
        for ours, theirs in zip(answer["mass"], months):
            found = [sum(ours[node] for node in group) for group in groups]
            assert abs(sum(found) - sum(ours)) < 1e-12, "water outside of the inner points"
            for a, b in zip(found, theirs):
                worst = max(worst, abs(a - b))
        totals = [sum(month) for month in answer["mass"]]
        wet += max(totals) > 1e-6
        dried += any(a > 1e-6 and b < 1e-9 for a, b in zip(totals, totals[1:]))
        capped += any(p[-1] == s[-1] for p, s in zip(answer["pressure"], answer["saturation"]))
    assert worst < 1e-6
    # The cases are worth something: many are wet, many dry again, some are capped at a surface.
    assert wet > CASES / 3 and dried > CASES / 10 and capped > CASES / 100


def test_water_is_kept(cases, answers):
    """What the points gained came in through the two surfaces, to 1e-9 kg/m2."""
    for case, answer in zip(cases, answers):
        assert abs(answer["imbalance"]) < 1e-9, case


def test_pressure_is_below_saturation_and_water_not_below_none(answers):
    for answer in answers:
        for pressure, saturation in zip(answer["pressure"], answer["saturation"]):
            assert all(p <= s + 1e-9 for p, s in zip(pressure, saturation))
        assert all(mass >= 0.0 for month in answer["mass"] for mass in month)


def test_the_second_solver_against_nonnegative_least_squares():
    """A third way for the same month: with A = L L', minimize |L' d + L^-1 q| over d >= 0 (scipy)."""
    random_ = random.Random(5)
    for _ in range(200):
        count = random_.randint(1, 12)
        conductance = [second_solver.STILL_AIR / random_.uniform(0.05, 5.0) for _ in range(count + 1)]
        saturated = [random_.uniform(400.0, 2000.0) for _ in range(count)]
        water = [random_.choice([0.0, random_.uniform(0.0, 0.5)]) for _ in range(count)]
        ends, seconds = (random_.uniform(300.0, 1200.0), random_.uniform(600.0, 1500.0)), 30 * 86400.0
        second = second_solver.solve(conductance, saturated, ends, seconds, water)
        c = np.array(conductance) * seconds
        matrix = np.diag(c[:-1] + c[1:]) - np.diag(c[1:-1], 1) - np.diag(c[1:-1], -1)
        p = np.array([ends[0], *saturated, ends[1]])
        q = np.array(water) + np.diff(c * np.diff(p))
        lower = np.linalg.cholesky(matrix)
        below, _ = nnls(lower.T, -np.linalg.solve(lower, q))
        assert np.allclose(q + matrix @ below, second, atol=1e-9)


def test_the_numpy_version_of_the_bench_computes_the_same():
    """What the speed is compared with gives the same water."""
    build, months = profile_numpy.load()
    order, water = profile_numpy.year(build, months)
    assert water.max() > 0.1 and water[-1].max() == 0.0
    layers = {name: build[name] for name in ("outer_film", "inner_film", "layers")}
    (answer,) = ask([{"kind": "profile", **layers, "months": [months[m].tolist() for m in order]}])
    for ours, theirs in zip(answer["mass"], water):
        assert abs(sum(ours) - theirs.sum()) < 1e-9
        assert abs(max(ours) - theirs.max()) < 1e-9
