"""The bench page: a shop's folder of jobs, served to the technician's own phone or tablet.

``serve`` starts it, ``app`` has its addresses, ``guard`` lets in who may come, ``shop`` knows the
folder, ``lanes`` keep the computing apart, ``desk`` works in them: what was tapped in becomes the
options of ``vireton record`` and goes the same way. ``pages`` and ``static`` are what a phone gets.
"""
