"""The files that users own appear whole or not at all."""
