"""Forces of the air on each part of the arrow, each term beside its source.

Compiled functions of plain floats and of the :class:`~vireton.kernel.parameters.Parameters`
record. ``axial`` is the component along the shaft's axis, ``across`` the rest. Speeds are those of
the body relative to the air; forces and coefficients act on the body.
"""
