"""Vireton for notebooks and scripts: what ``import vireton`` gives, one module an answer.

Each module holds a question, whose fields read what is given, and its answer: arrays in SI inside,
``rows()`` a table, ``to_dict()`` the JSON of the command, ``page()`` what people read, ``figure()``
its picture. ``question``, ``answer``, ``table`` and ``kinds`` are what they are made of.
"""
