"""``vireton schema``: print the JSON Schema of setup files."""

import json

import typer

EXAMPLE = "Example: vireton schema > setup.schema.json"


def schema() -> None:
    """Print the JSON Schema of setup files, with which an editor completes and checks them."""
    from vireton.setup import json_schema

    typer.echo(json.dumps(json_schema(), indent=2, ensure_ascii=False))
