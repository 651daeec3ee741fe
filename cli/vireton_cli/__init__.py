"""The command line of Vireton: one file a command, one registry of shared options.

Modules here import the physics inside their functions, so that ``--help`` stays quick.
"""
