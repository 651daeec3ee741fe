"""The compiled heart: one right-hand side and one integrator.

``door`` is the only way in: it checks, and hands rows to ``batch``, which flies each with the step
control of ``integrator`` (its coefficients: ``dop853``). ``motion`` is the right-hand side, made of
:mod:`vireton.aerodynamics` and of ``rigid``, on ``vectors``. ``start`` makes the first state,
``parameters`` is the record of one body in its air, ``derivable`` lets numbers carry a derivative,
``compiled`` has the decorators of all compiled functions.

Frame of every kernel module: x downrange, y up, z right (right-handed), SI units throughout.
Vectors are 3-tuples of floats.
"""
