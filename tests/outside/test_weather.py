"""Weather files: monthly means of a general-purpose reader (pvlib) and pandas against the program's.

Two files are generated here, of no real place; two are the sample files that pvlib brings (NREL TMY3 of Greensboro NC and
Sand Point AK). Vapor pressure is that of the dew point over water, WMO No. 8 Annex 4.B, averaged as pressure.
"""

import csv
import datetime
import hashlib
import io
import math
import os
import pathlib
import random
import subprocess

import numpy as np
import pandas as pd
import pvlib
import pytest

from probe import ask, values

YEARS = [1986, 1991, 1978, 2001, 1991, 1986, 1995, 1999, 1978, 2003, 1995, 2001]

# Means by pvlib 0.16.1 and pandas 3.1, worked out once apart from this test: T in C, e in Pa, RH in %, then the degree
# days below 65 F and above 10 C. The digest says which file is meant.
KNOWN = {
    "723170TYA.CSV": (
        "1e96f84638ce98e6",
        [0.332, 5.030, 11.414, 14.685, 19.032, 23.592, 25.433, 24.761, 20.076, 13.120, 10.821, 4.229],
        [455.1, 624.4, 897.1, 1010.8, 1504.8, 2182.4, 2334.3, 2287.9, 1803.9, 1189.6, 857.7, 572.6],
        [67.77, 63.95, 64.16, 61.50, 68.72, 76.78, 72.89, 74.62, 76.75, 77.66, 64.02, 64.86],
        (2153.2, 2381.2),
    ),
    "703165TY.csv": (
        "f0333a68a116f5ae",
        [0.640, 1.200, 1.652, 2.092, 3.185, 8.056, 11.807, 11.877, 7.909, 4.491, 0.438, -0.585],
        [553.0, 487.9, 549.7, 535.1, 585.5, 826.1, 943.0, 1108.9, 797.9, 637.9, 461.6, 461.4],
        [82.49, 66.43, 75.88, 71.44, 74.68, 77.03, 68.28, 79.70, 73.84, 72.49, 67.97, 70.81],
        (5078.1, 128.3),
    ),
}


def year_of_hours(seed):
    """Month, day, hour from 1, and dry bulb, dew point, humidity with the rounding that weather files have."""
    dice = random.Random(seed)
    day = datetime.date(2001, 1, 1)
    for number in range(365):
        today = dice.gauss(0.0, 4.0)
        spread = dice.uniform(0.5, 12.0)
        for hour in range(1, 25):
            season = -math.cos(2 * math.pi * (number - 20) / 365)
            dry = round(8.0 + 14.0 * season + today + 4.0 * math.sin(2 * math.pi * (hour - 9) / 24), 1)
            dew = round(dry - spread * dice.random(), 1)
            humidity = round(100 * saturation(dew) / saturation(dry))
            yield day.month, day.day, hour, dry, dew, humidity
        day += datetime.timedelta(days=1)


def saturation(celsius):
    return 611.2 * np.exp(17.62 * celsius / (243.12 + celsius))


def epw():
    head = [
        "LOCATION,Otter Landing,ZZ,USA,generated,000000,44.10,-71.90,-5.0,310.0",
        "DESIGN CONDITIONS,0",
        "TYPICAL/EXTREME PERIODS,0",
        "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
        "COMMENTS 1,of no real place, with a comma",
        "COMMENTS 2,",
        "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31",
    ]
    for month, day, hour, dry, dew, humidity in year_of_hours(20010):
        rest = "95000,0,0,300,0,0,0,0,0,0,9999,180,3.0,5,5,9999,99999,9,999999999,999,.999,999,99,999,999,99"
        head.append(f"{YEARS[month - 1]},{month},{day},{hour},60,?9?9,{dry},{dew},{humidity},{rest}")
    return "\r\n".join(head) + "\r\n"


def tmy3():
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    write.writerow(["000000", "Otter Landing north bank", "ZZ", -5.0, 44.1, -71.9, 310])
    names = ["Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "Dry-bulb (C)", "Dry-bulb source"]
    write.writerow([*names, "Dew-point (C)", "Dew-point source", "RHum (%)", "RHum source", "Pressure (mbar)"])
    for month, day, hour, dry, dew, humidity in year_of_hours(703):
        date = f"{month:02}/{day:02}/{YEARS[month - 1]}"
        write.writerow([date, f"{hour:02}:00", 0, dry, "A", dew, "A", humidity, "A", 950])
    return out.getvalue()


def means(table):
    """By the reference: 12 temperatures, 12 vapor pressures, 12 humidities, degree days."""
    # A record belongs to the hour before its stamp, so that hour 24 of a month's last day is of that month.
    month = (table.index - pd.Timedelta(minutes=30)).month
    vapor = saturation(table["temp_dew"])
    lists = [c.groupby(month).mean() for c in (table["temp_air"], vapor, table["relative_humidity"])]
    days = table["temp_air"].to_numpy(dtype=float).reshape(-1, 24).mean(axis=1)
    return [*np.concatenate(lists), np.maximum(65 / 1.8 - 32 / 1.8 - days, 0).sum(), np.maximum(days - 10, 0).sum()]


def reference_tmy3(path_or_text):
    table, _ = pvlib.iotools.read_tmy3(path_or_text, map_variables=True)
    return means(table)


def test_a_generated_epw_has_the_means_of_the_reference():
    table, about = pvlib.iotools.read_epw(io.StringIO(epw()))
    # This reader labels the beginning of an hour.
    table.index += pd.Timedelta(hours=1)
    assert about["altitude"] == 310
    ours = values("weather", text=epw())
    np.testing.assert_allclose(ours[:-1], means(table), rtol=1e-9, atol=1e-9)
    assert ours[-1] == 0


def test_a_generated_tmy3_has_the_means_of_the_reference(tmp_path):
    path = tmp_path / "otter.csv"
    path.write_text(tmy3(), encoding="utf-8")
    ours = values("weather", text=tmy3())
    np.testing.assert_allclose(ours[:-1], reference_tmy3(path), rtol=1e-9, atol=1e-9)
    assert ours[-1] == 0


@pytest.mark.parametrize("name", KNOWN)
def test_the_samples_of_the_reference(name):
    path = pathlib.Path(pvlib.__file__).parent / "data" / name
    raw = path.read_bytes()
    digest, temperatures, vapors, humidities, degree_days = KNOWN[name]
    assert hashlib.sha256(raw).hexdigest()[:16] == digest
    ours = values("weather", text=raw.decode("latin-1"))
    np.testing.assert_allclose(ours[:-1], reference_tmy3(path), rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(ours[:12], temperatures, atol=0.0006)
    np.testing.assert_allclose(ours[12:24], vapors, atol=0.06)
    np.testing.assert_allclose(ours[24:36], humidities, atol=0.006)
    np.testing.assert_allclose(ours[36:38], degree_days, atol=0.06)


def test_short_gaps_are_filled_as_the_reference_fills_them():
    lines = epw().split("\r\n")
    for row in [*range(2000, 2006), 5000, 7001, 7002]:
        fields = lines[row].split(",")
        fields[6], fields[7], fields[8] = "99.9", "99.9", "999"
        lines[row] = ",".join(fields)
    text = "\r\n".join(lines)
    table, _ = pvlib.iotools.read_epw(io.StringIO(text))
    table.index += pd.Timedelta(hours=1)
    dry = table["temp_air"].mask(table["temp_air"] >= 99.9).interpolate()
    vapor = saturation(table["temp_dew"]).mask(table["temp_dew"] >= 99.9).interpolate()
    month = (table.index - pd.Timedelta(minutes=30)).month
    ours = values("weather", text=text)
    np.testing.assert_allclose(ours[:12], dry.groupby(month).mean(), rtol=1e-9)
    np.testing.assert_allclose(ours[12:24], vapor.groupby(month).mean(), rtol=1e-9)
    assert ours[-1] == 2


def test_a_file_that_is_cut_is_refused():
    (answer,) = ask([{"kind": "weather", "text": epw()[:-4000]}])
    assert "line " in answer["error"]


def test_the_table_of_the_command_shows_the_same_figures(tmp_path):
    path = tmp_path / "otter.epw"
    path.write_text(epw(), encoding="utf-8", newline="")
    done = subprocess.run([os.environ["DEWLAP"], "places", str(path)], capture_output=True, text=True, check=True)
    table, _ = pvlib.iotools.read_epw(path)
    table.index += pd.Timedelta(hours=1)
    wanted = means(table)
    rows = [line.split() for line in done.stdout.splitlines() if line.startswith("  ") and len(line.split()) == 6]
    rows = [r for r in rows if r[5].isdigit()]
    assert [int(r[5]) for r in rows] == YEARS
    np.testing.assert_allclose([float(r[2]) for r in rows], wanted[:12], atol=0.051)
    np.testing.assert_allclose([float(r[3]) for r in rows], wanted[12:24], atol=0.51)
    np.testing.assert_allclose([float(r[4]) for r in rows], wanted[24:36], atol=0.51)
