"""Text with a unit ↔ SI floats, the kinds of value in a file, and the one error in words."""
