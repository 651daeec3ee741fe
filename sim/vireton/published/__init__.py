"""Published values against ours, each with its source."""
