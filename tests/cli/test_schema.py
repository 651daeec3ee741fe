"""``vireton schema``."""

import json


def test_the_schema_is_json_and_names_every_table(vireton):
    done = vireton("schema")
    assert done.code == 0
    schema = json.loads(done.out)
    assert {"bow", "arrow", "air", "sight", "uncertainty"} <= set(schema["properties"])
