"""The compiled heart: one right-hand side and one integrator.

Frame of every kernel module: x downrange, y up, z right (right-handed), SI units throughout.
Vectors are 3-tuples of floats.
"""
