"""Vireton: the flight of an arrow, from the rest it lies on to where it lands.

The path of the data is the path of the modules: ``setup`` file → ``parts`` → ``arrow`` → ``launch``
→ ``flight`` → ``sighting`` → ``rig`` (all of them together) → ``whatif`` and ``bands``.
"""
