"""The shortest setup file that runs: what a bench knows of the invented bow."""

SIX = """
[bow]
draw_weight = "60 lbf"
draw_length = "29 in"
arrow_speed = "280 fps"
[arrow]
length = "28 1/2 in"
mass = "415 gr"
[arrow.shaft]
spine = "0.340 in"
"""
