"""Asks the program: a list of cases in, a list of answers out."""

import json
import os
import subprocess


def ask(cases):
    """One answer for each case, in order; a case that is refused has `error`."""
    lines = "".join(json.dumps(case) + "\n" for case in cases)
    done = subprocess.run([os.environ["PROBE"]], input=lines, capture_output=True, text=True, check=True)
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(answers) == len(cases)
    return answers


def values(kind, **lists):
    """The figures of one case that is not refused."""
    (answer,) = ask([{"kind": kind, **lists}])
    assert "error" not in answer, answer
    return answer["values"]
