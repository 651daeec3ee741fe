"""Text with a unit ↔ SI floats, quantities as people type them, and the one error in words."""
