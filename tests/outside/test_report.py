"""The JSON of a review against the committed schema, read by a general-purpose validator (the jsonschema package)."""

import json
import os
import pathlib
import subprocess

import jsonschema

SCHEMA = json.loads(pathlib.Path("docs/report.schema.json").read_text(encoding="utf-8"))


def review(*arguments):
    done = subprocess.run([os.environ["DEWLAP"], "review", "--json", *arguments], capture_output=True, text=True)
    return json.loads(done.stdout)


def test_schema_is_one():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_demo_keeps_to_the_schema():
    jsonschema.validate(review(), SCHEMA, cls=jsonschema.Draft202012Validator)


def test_unreadable_text_keeps_to_the_schema():
    document = review("no-such-file.dew")
    jsonschema.validate(document, SCHEMA, cls=jsonschema.Draft202012Validator)
    assert not document["complete"] and document["unreadable"]
