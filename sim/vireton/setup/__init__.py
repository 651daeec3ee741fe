"""The setup file: one bow, its arrow, air and sight, read from TOML into the parts of the library.

``template.toml`` is what ``vireton new --template`` writes, ``intake`` what ``vireton new`` asks.
``models`` says which keys there are, ``usual`` what stands in for those left open, ``checks`` which
of them must fit together, ``load`` turns a file into a :class:`Setup`.
"""

from vireton.setup.errors import SetupError
from vireton.setup.load import Setup, load_setup, parse_setup
from vireton.setup.schema import json_schema
from vireton.setup.template import check_new, template_text, write_new, write_template

__all__ = [
    "Setup",
    "SetupError",
    "check_new",
    "json_schema",
    "load_setup",
    "parse_setup",
    "template_text",
    "write_new",
    "write_template",
]
