"""The profile of `src/physics/profile` in numpy: temperatures and saturation as arrays, the hull as a loop.

What a scientist would write in an afternoon: whole arrays where months and nodes are independent, a plain loop where
one month needs the one before.
"""

import json
import math
import pathlib
import timeit

import numpy as np

STILL_AIR = 2.0e-10
NO_WATER = 1e-9


def saturation(celsius):
    """ISO 13788 Annex E."""
    celsius = np.asarray(celsius, dtype=float)
    water = 610.5 * np.exp(17.269 * celsius / (237.3 + celsius))
    ice = 610.5 * np.exp(21.875 * celsius / (265.5 + celsius))
    return np.where(celsius < 0.0, ice, water)


def load(path=pathlib.Path(__file__).with_name("ten-layers.json")):
    """The wall of the bench: build, and months as an array of outdoor degC, Pa, indoor degC, Pa, seconds."""
    wall = json.loads(path.read_text())
    outdoors = np.array(wall["outdoors"], dtype=float)
    indoors = np.full(len(outdoors), float(wall["indoors"]))
    outdoor_vapor = saturation(outdoors) * np.array(wall["outdoor_humidity"])
    indoor_vapor = saturation(indoors) * wall["indoor_humidity"]
    seconds = np.array(wall["days"]) * 86400.0
    return wall, np.column_stack([outdoors, outdoor_vapor, indoors, indoor_vapor, seconds])


def hull(x, p, fixed):
    """Indices of the lower hull that keeps the fixed points."""
    chain = [0]
    for node in range(1, len(x)):
        while len(chain) > 1 and not fixed[chain[-1]]:
            a, b = chain[-2], chain[-1]
            if (p[node] - p[b]) * (x[b] - x[a]) - (p[b] - p[a]) * (x[node] - x[b]) > 1e-11 * (x[node] - x[a]):
                break
            chain.pop()
        chain.append(node)
    return chain


def rates(x, p, fixed):
    """Rate of gain at every node, kg/(s m2)."""
    chain = hull(x, p, fixed)
    slope = np.diff(p[chain]) / np.diff(x[chain])
    gain = np.zeros(len(x))
    gain[chain[1:-1]] = STILL_AIR * np.diff(slope)
    return gain


def month(x, p, water, seconds):
    """Water after one month."""
    left = seconds
    while left > 0.0:
        gain = rates(x, p, water > 0.0)
        losing = (water > 0.0) & (gain < 0.0)
        spans = np.where(losing, water / np.where(losing, -gain, 1.0), np.inf)
        span = min(left, spans.min())
        after = np.maximum(water + gain * span, 0.0)
        after[spans <= span] = 0.0
        water, left = after, left - span
    return water


def year(build, months):
    """Order of the months and water at their ends, one row a month, one column a point."""
    parts = [(r / n, sd / n) for r, sd in build["layers"] for n in [max(1, math.ceil(r / 0.25 - 1e-9))] for _ in range(n)]
    r, sd = np.array(parts).T
    resistance = build["outer_film"] + np.concatenate([[0.0], np.cumsum(r)])
    share = resistance / (resistance[-1] + build["inner_film"])
    temperature = months[:, [0]] + (months[:, [2]] - months[:, [0]]) * share
    starts = np.concatenate([[0], np.flatnonzero(sd > 0.0) + 1])
    p = np.minimum.reduceat(saturation(temperature), starts, axis=1)
    x = np.concatenate([[0.0], np.cumsum(sd[sd > 0.0])])
    p[:, 0] = np.minimum(months[:, 1], p[:, 0])
    p[:, -1] = np.minimum(months[:, 3], p[:, -1])
    dry = np.zeros(len(x))
    wet = [rates(x, row, dry > 0.0).sum() * seconds > NO_WATER for row, seconds in zip(p, months[:, 4])]
    first = 0
    if any(wet) and not all(wet):
        first = wet.index(True)
        while wet[first - 1]:
            first = (first - 1) % 12
    order = [(first + k) % 12 for k in range(12)]
    water, result = dry, []
    for index in order:
        water = month(x, p[index], water, months[index, 4])
        result.append(water)
    return order, np.array(result)


def seconds_per_year():
    """Median of seven rounds, s."""
    build, months = load()
    rounds = timeit.repeat(lambda: year(build, months), number=20, repeat=7)
    return sorted(rounds)[3] / 20


if __name__ == "__main__":
    print(seconds_per_year())
