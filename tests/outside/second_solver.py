"""A second way to the monthly water balance, for comparison with the hull of `src/physics/profile`.

One month is a linear complementarity problem. With M the water at the month's start, t its length, A the matrix of
vapor conductances and d = p_sat - p (the mean over the month) at the inner points:

    d >= 0,   w = M + t g(p_sat) + t A d >= 0,   d . w = 0;    w is the water at the month's end.

A is an M-matrix, so the set where d > 0 can only grow while it is sought (Chandrasekaran 1970, from memory): start
with none, solve on the set, add every point with w < 0, repeat. No hulls, no events, no cross products.
"""

import math

STILL_AIR = 2.0e-10


def saturation(celsius):
    """ISO 13788 Annex E (constants as in secondary texts)."""
    if celsius >= 0.0:
        return 610.5 * math.exp(17.269 * celsius / (237.3 + celsius))
    return 610.5 * math.exp(21.875 * celsius / (265.5 + celsius))


def slices(build, limit=0.25):
    """The layers with each R above the limit cut into equal parts; None leaves them whole."""
    parts = []
    for resistance, sd in build["layers"]:
        count = 1 if limit is None else max(1, math.ceil(resistance / limit - 1e-9))
        parts += [(resistance / count, sd / count)] * count
    return parts


def solve(conductance, saturated, ends, seconds, water):
    """Water at the inner points after one month.

    `conductance` lists the vapor conductances between neighboring points, `saturated` the saturation pressures of the
    inner points, `water` what they hold.
    """
    count = len(saturated)
    p = [ends[0], *saturated, ends[1]]
    gain = [
        conductance[j + 1] * (p[j + 2] - p[j + 1]) - conductance[j] * (p[j + 1] - p[j]) for j in range(count)
    ]
    start = [m + seconds * g for m, g in zip(water, gain)]
    dry = [w < 0.0 for w in start]
    while True:
        below = drop(conductance, start, dry, seconds)
        after = []
        for j in range(count):
            if dry[j]:
                after.append(0.0)
                continue
            left = conductance[j] * below[j - 1] if j > 0 else 0.0
            right = conductance[j + 1] * below[j + 1] if j + 1 < count else 0.0
            after.append(start[j] - seconds * (left + right))
        found = [j for j in range(count) if not dry[j] and after[j] < 0.0]
        if not found:
            return after
        for j in found:
            dry[j] = True


def drop(conductance, start, dry, seconds):
    """d on the set: block after block, elimination with sums of positive numbers only."""
    count = len(start)
    below = [0.0] * count
    first = 0
    while first < count:
        if not dry[first]:
            first += 1
            continue
        last = first
        while last + 1 < count and dry[last + 1]:
            last += 1
        diagonal, right_side = [], []
        to_ground = conductance[first]
        for j in range(first, last + 1):
            value = -start[j] / seconds
            if j > first:
                to_ground = conductance[j] * to_ground / diagonal[-1]
                value += conductance[j] * right_side[-1] / diagonal[-1]
            diagonal.append(to_ground + conductance[j + 1])
            right_side.append(value)
        for j in range(last, first - 1, -1):
            inner = conductance[j + 1] * below[j + 1] if j < last else 0.0
            below[j] = (right_side[j - first] + inner) / diagonal[j - first]
        first = last + 1
    return below


def run(build, months, water=(), limit=0.25):
    """Water at the end of each month: a list for each month, one figure a point with its first and last left out.

    Points are the nodes with all that share one vapor thickness made one. Also gives the nodes of each inner point.
    `months` has (outdoor degC, outdoor Pa, indoor degC, indoor Pa, seconds); `water` maps a node to kg/m2.
    """
    parts = slices(build, limit)
    groups = [[0]]
    widths = []
    for node, (_, sd) in enumerate(parts, start=1):
        if sd > 0.0:
            widths.append(sd)
            groups.append([node])
        else:
            groups[-1].append(node)
    conductance = [STILL_AIR / width for width in widths]
    resistance = [build["outer_film"]]
    for part, _ in parts:
        resistance.append(resistance[-1] + part)
    total = resistance[-1] + build["inner_film"]
    held = [sum(mass for node, mass in dict(water).items() if node in group) for group in groups[1:-1]]
    result = []
    for outdoors, outdoor_vapor, indoors, indoor_vapor, seconds in months:
        at = [saturation(outdoors + (indoors - outdoors) * r / total) for r in resistance]
        lowest = [min(at[node] for node in group) for group in groups]
        ends = (min(outdoor_vapor, lowest[0]), min(indoor_vapor, lowest[-1]))
        held = solve(conductance, lowest[1:-1], ends, seconds, held)
        result.append(held)
    return result, groups[1:-1]
