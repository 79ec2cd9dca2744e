"""Median wall time and peak memory of a command as a whole process: milliseconds and megabytes, of RUNS runs (40)."""

import os
import subprocess
import sys
import time


def main():
    times, peak = [], 0
    for _ in range(int(os.environ.get("RUNS", "40"))):
        begin = time.perf_counter()
        child = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        _, _, usage = os.wait4(child.pid, 0)
        times.append(time.perf_counter() - begin)
        peak = max(peak, usage.ru_maxrss)
    times.sort()
    print(f"{times[len(times) // 2] * 1000:.1f} {peak / 1024:.1f}")


main()
