"""What can be measured on the bench: bow, parts, the arrow made of them, and its cautions."""
