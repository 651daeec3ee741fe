"""Vireton for notebooks and scripts: what ``import vireton`` gives, one module an answer.

Each function takes a setup (or the file of one) and quantities as people write them, and returns a
frozen dataclass: arrays in SI inside, ``rows()`` a table and ``to_dict()`` the JSON of the command
of that name, ``figure()`` its picture. ``asking`` reads what is given, ``readying`` sights in.
"""
