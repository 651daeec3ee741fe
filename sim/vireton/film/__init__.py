"""Films of the first meter or two of a flight, read by the user: marks in, yaw and its rate out.

``clip`` is what was filmed and marked, ``marks`` reads it from a table, ``shaft`` is what a reading
needs of the arrow, ``camera`` says where marks would lie, ``fit`` turns that round, ``reading`` is
the answer with its errors and warnings. SI; the archer's signs: nose right, nose up positive.
"""
